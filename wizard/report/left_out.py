"""What each number says nothing of, in words that stand under its working."""

from __future__ import annotations

from collections.abc import Mapping

_BY_WORDS: Mapping[str, tuple[str, ...]] = {
    "silt and depth; a lake is often colder below": ("water_density",),
    "knots, pith and grain that the samples did not have": ("wood_density",),
    "filler and putty that went on after the weighing": ("body_volume",),
    "how true the carving is to the drawing; slots and holes": ("shape_volume",),
    "roughness of the surface; slots and holes": ("shape_area",),
    "where along the body it is fuller or slimmer: one factor for all of it": ("girth",),
    "water that soaks in": ("neutral_mass",),
    "whether that aim suits the fishing": ("target_mass",),
    "snaps, leader and what is hung on later": ("hardware_mass",),
    "coats, the real water, the wood drilled out": ("bench_ballast",),
    "water that soaks in; metal that does not fit its holes": ("ballast_mass",),
    "water that soaks in, snaps and leader": ("finished_mass",),
    "bubbles that cling; water in hangers and holes": ("displaced_volume",),
    "water that soaks in, snaps and leader, the pull of the line": ("net_in_water",),
    "doubts that nobody stated, and slips": (
        "chance_sinks",
        "chance_aim",
    ),
    "water that had soaked in; bubbles that clung": ("proof_net",),
    "slips that both share": ("best_net",),
    "water that soaked into the body during the test": ("proof_ballast",),
    "line and leader, which slow it; water that moves": ("sink_rate",),
    "hooks that swing": (
        "cg_x",
        "cg_z",
    ),
    "bubbles that cling": (
        "cb_x",
        "cb_z",
    ),
    "waves, and the pull of the line": (
        "draught",
        "freeboard",
    ),
    "damping by the water, and the pull of the line": ("roll_period",),
    "hooks that swing, and the pull of the line": (
        "proof_pitch",
        "proof_gm",
        "rest_pitch",
        "gm",
        "gm_along",
        "righting_arm",
        "vanishing_heel",
        "rest_heel",
    ),
}

LEFT_OUT: Mapping[str, str] = {name: words for words, names in _BY_WORDS.items() for name in names}
"""What is not included in a number, by its name in the catalogue."""
