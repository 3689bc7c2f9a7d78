"""`review --json` against a calculation of its own: the same names, values and doubts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.properties.plugs import (
    BLOCKS,
    LOOSE,
    WOOD,
    ballast_with,
    build_with,
    numbers,
    round_body,
)
from tests.properties.reference_plug import Reference

AFLOAT = {"draught", "freeboard", "gm"}
"""Numbers of a floating body, for which the reference has no closed form."""

TOGETHER = {"best_net"}
"""Sum and tank together: checked on its own, with what is assumed where nothing is stated."""

KNOWN = {
    "water_density", "wood_density", "body_volume", "shape_volume", "shape_area", "neutral_mass",
    "target_mass", "hardware_mass", "bench_ballast", "ballast_mass", "finished_mass",
    "displaced_volume", "net_in_water", "chance_sinks", "chance_aim", "proof_net", "sink_rate",
    "cg_x", "cg_z", "cb_x", "cb_z", "rest_pitch", *AFLOAT,
}  # fmt: skip
"""Numbers that the reference works out where they can be known."""

NONLINEAR = {"sink_rate", "proof_net", "rest_pitch"}


def compare(tables: Mapping[str, Any]) -> None:
    """Every number of the program against the reference: the same names, the same values."""
    ours, theirs = numbers(tables), Reference(tables).numbers
    floating = AFLOAT | TOGETHER | ({"rest_pitch"} if "rest_pitch" not in theirs else set())
    assert (set(ours) & KNOWN) - floating == set(theirs)
    # A speed hangs on the skin, and the quadrature of a round skin is good to 1e-9 itself.
    by_speed = "sink_rate" in tables.get("aim", {})
    for name, (value, u) in theirs.items():
        relative = 1e-7 if by_speed or name in NONLINEAR else 1e-9
        hair = (1e-7 if by_speed else 1e-9) * _size(name, theirs)
        assert ours[name]["value"] == pytest.approx(value, rel=relative, abs=hair), name
        assert ours[name]["u"] == pytest.approx(u, rel=1e-6, abs=hair), name


def _size(name: str, found: Mapping[str, tuple[float, float]]) -> float:
    """What a number that is a difference of large ones must be judged by."""
    if name in ("net_in_water", "proof_net", "ballast_mass", "bench_ballast"):
        return max(
            (found[n][0] for n in ("neutral_mass", "finished_mass") if n in found), default=1
        )
    return 1000.0 if name.startswith("chance") else 1.0


# Builds by hand --------------------------------------------------------------

BY_HAND: dict[str, dict[str, Any]] = {
    "a sinker in two holes with pieces laid out": {},
    "holes laid out, pieces not yet": {"ballast": ballast_with(piece=None)},
    "holes from the back and across": {
        "ballast": ballast_with(
            hole=[
                {"x": "30 mm", "diameter": "8 mm", "depth": "15 mm", "axis": "down"},
                {"x": "60 mm", "diameter": "9 mm", "depth": "10 mm", "axis": "across"},
                {"x": "70 mm", "diameter": "6 mm", "depth": "10 mm", "axis": "across",
                 "z": "6 mm"},
            ],
            piece=[{"mass": "6 g"}],
        )
    },
    "no holes yet, q = 1.3": {"ballast": LOOSE},
    "no holes yet, ballast fills its hole": {"ballast": LOOSE | {"hole_ratio": 1.0}},
    "pieces without holes": {"ballast": ballast_with(hole=None, piece=[{"mass": "9 g"}])},
    "a floater": {"aim": {"behaviour": "floats", "margin": "18 %"}, "ballast": LOOSE},
    "a floater by what stands out": {
        "aim": {"behaviour": "floats", "freeboard_fraction": "7.5 %"}, "ballast": LOOSE,
    },
    "a suspender": {"aim": {"behaviour": "suspends"}, "ballast": LOOSE},
    "a suspender in the sea with a wide band": {
        "aim": {"behaviour": "suspends", "tolerance": "1 %"},
        "water": {"temperature": "52 degF", "salinity": "34.5 psu"},
        "ballast": ballast_with(piece=None),
    },
    "a sinker by its speed": {"aim": {"behaviour": "sinks", "sink_rate": "18 cm/s"}},
    "a sinker by its speed, holes open": {
        "aim": {"behaviour": "sinks", "sink_rate": "6 in/s"}, "ballast": LOOSE,
    },
    "three samples and their scatter": {"density": WOOD | {"sample": BLOCKS}},
    "samples that differ much in certainty": {
        "density": WOOD
        | {"sample": [*BLOCKS, {"method": "known", "density": "0.39 g/mL",
                                "uncertainty": "0.02 g/mL"}]}
    },
    "a known board": {
        "density": {"sample": [{"method": "known", "density": "26 lb/ft3",
                                "uncertainty": "0.006 g/mL"}]}
    },
    "a dunk in the fishing water": {
        "density": WOOD | {"sample": [{"method": "dunk", "mass": "8.31 g", "gain": "20.2 g"}]}
    },
    "a dunk in tap water": {
        "water": {"temperature": "12 degC", "salinity": "35 g/kg"},
        "density": WOOD
        | {"sample": [{"method": "dunk", "mass": "8.31 g", "gain": "20.2 g",
                       "temperature": "21 degC"}]},
    },
    "the squared blank alone": {
        "density": {"length_resolution": "0.1 mm", "mass_resolution": "0.1 g"},
        "stock": {"length": "5 in", "width": "1.25 in", "thickness": "0.875 in", "mass": "36.4 g"},
    },
    "a blank beside a sample": {
        "stock": {"length": "5 in", "width": "1.25 in", "thickness": "0.875 in", "mass": "51 g"},
    },
    "weighed when ballasted": {"weight": [{"stage": "ballasted", "mass": "33.9 g"}]},
    "weighed twice, the later stage counts": {
        "weight": [
            {"stage": "coated", "mass": "35.1 g", "resolution": "0.1 g", "accuracy": "0.1 g"},
            {"stage": "ballasted", "mass": "30 g"},
        ]
    },
    "weighed finished with a coat of unknown mass": {
        "coat": [{"name": "paint", "thickness": "0.03 mm"}],
        "weight": [{"stage": "finished", "mass": "38.2 g"}],
    },
    "a trial weight in the fishing water": {
        "aim": {"behaviour": "floats", "margin": "6 %"},
        "ballast": LOOSE,
        "trial": [{"kind": "float", "weight": "2.1 g", "density": "11.34 g/mL"}],
    },
    "a trial weight in a salt tank": {
        "aim": {"behaviour": "floats", "margin": "6 %"},
        "ballast": LOOSE,
        "trial": [{"kind": "float", "weight": "3.1 g", "density": "11.34 g/mL",
                   "temperature": "21 degC", "salt": "38.9 g/kg"}],
    },
    "a timed sink in warmer water": {
        "trial": [{"kind": "sink", "depth": "40 cm", "time": "2.1 s", "time_accuracy": "0.1 s",
                   "temperature": "22 degC", "salinity": "0 g/kg"}],
    },
    "timed sinks in brine and in the sea": {
        "water": {"temperature": "10 degC", "salinity": "33 g/kg"},
        "trial": [
            {"kind": "sink", "depth": "40 cm", "time": "2.6 s", "time_accuracy": "0.1 s",
             "temperature": "20 degC", "salt": "38 g/kg"},
            {"kind": "sink", "depth": "1.2 m", "time": "7.1 s", "time_accuracy": "0.2 s"},
        ],
    },
    "a timed sink in fresh water of a plug that floats in the sea": {
        "water": {"temperature": "10 degC", "salinity": "38 g/kg"},
        "trial": [{"kind": "sink", "depth": "40 cm", "time": "9 s",
                   "temperature": "20 degC", "salinity": "0 g/kg"}],
    },
    "a brine denser than any sea": {
        "trial": [{"kind": "float", "weight": "9 g", "density": "7.3 g/mL", "salt": "110 g/kg"}],
    },
    "a trial and no doubt stated anywhere": {
        "density": {"sample": BLOCKS[:1]},
        "weighing": {"mass": "13.62 g"},
        "trial": [{"kind": "float", "weight": "0 g", "density": "11.34 g/mL"}],
    },
    "no hardware and no coats answered": {"hardware": None, "coat": None},
    "nothing hung on": {"hardware": [], "coat": []},
    "a body whose nose is not at zero": {"shape": round_body(90.0, 10.9, nose_mm=4.0)},
}  # fmt: skip


@pytest.mark.parametrize("changes", BY_HAND.values(), ids=BY_HAND.keys())
def test_builds_by_hand_agree_with_the_formulas(changes: dict[str, Any]) -> None:
    compare(build_with(**changes))


# Builds by chance -----------------------------------------------------------

LENGTHS = {"mm": 1.0, "cm": 10.0, "in": 25.4}
MASSES = {"g": 1.0, "oz": 28.349523125, "gr": 0.06479891}
DENSITIES = {"g/mL": 1.0, "kg/m3": 0.001, "oz/in3": 1.7299940439}


@st.composite
def amount(draw: st.DrawFn, low: float, high: float, units: Mapping[str, float]) -> str:
    """A quantity between two bounds in the first of the units, typed in any of them."""
    unit = draw(st.sampled_from(sorted(units)))
    number = draw(st.floats(low, high)) / units[unit]
    return f"{number:.7f} {unit}"


def optional(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """A strategy's value or nothing."""
    return st.none() | strategy


def keys(required: Mapping[str, Any], maybe: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    """A table with some keys always and some now and then."""
    return st.fixed_dictionaries(dict(required), optional=dict(maybe))


def sample(base: float) -> st.SearchStrategy[dict[str, Any]]:
    """A sample of wood near a density [g/mL]."""

    @st.composite
    def made(draw: st.DrawFn) -> dict[str, Any]:
        method = draw(st.sampled_from(("block", "cylinder", "dunk", "known")))
        density = base * draw(st.floats(0.95, 1.05))
        if method == "known":
            row = {"method": method, "density": f"{density:.6f} g/mL"}
            u = draw(optional(st.floats(0.0005, 0.02)))
            return row if u is None else row | {"uncertainty": f"{u:.6f} g/mL"}
        a, b, c = (draw(st.floats(20, 60)) for _ in range(3))
        volume = {"block": a * b * c, "cylinder": 0.785 * a * a * b, "dunk": a * b * c}[method]
        row = {"method": method, "mass": f"{density * volume / 1000:.5f} g"}
        if method == "block":
            row |= {"length": f"{a:.4f} mm", "width": f"{b:.4f} mm", "thickness": f"{c:.4f} mm"}
        elif method == "cylinder":
            row |= {"diameter": f"{a:.4f} mm", "length": f"{b:.4f} mm"}
        else:
            row["gain"] = f"{volume / 1000:.4f} g"
            t = draw(optional(st.floats(1, 39)))
            row |= {} if t is None else {"temperature": f"{t:.3f} degC"}
        return row

    return made()


@st.composite
def plugs(draw: st.DrawFn) -> dict[str, Any]:
    """Any build, possible and complete or not."""
    base = draw(st.floats(0.12, 0.8))
    radius, length = round(draw(st.floats(7, 16)), 3), round(draw(st.floats(40, 180)), 3)
    volume = 3.14159 * radius**2 * length / 1000
    behaviour = draw(st.sampled_from((None, "floats", "suspends", "sinks")))
    aims: dict[Any, Any] = {
        "floats": {
            "margin": amount(2, 40, {"%": 1}),
            "freeboard_fraction": amount(2, 40, {"%": 1}),
        },
        "sinks": {"margin": amount(1, 40, {"%": 1}), "sink_rate": amount(3, 60, {"cm/s": 1})},
    }
    aim = {} if behaviour is None else {"behaviour": behaviour}
    if behaviour in aims and draw(st.integers(0, 9)):
        key = draw(st.sampled_from(sorted(aims[behaviour])))
        aim[key] = draw(aims[behaviour][key])
    elif behaviour == "suspends":
        aim |= draw(keys({}, {"tolerance": amount(0.1, 2, {"%": 1})}))
    place = {"x": amount(-5, length, LENGTHS), "z": amount(-8, 20, LENGTHS)}
    outside = {"outside": st.sampled_from((0.0, 0.3, 1.0))}
    stage = {"stage": st.sampled_from(("ballasted", "sealed", "coated", "finished"))}
    hardware = keys(
        {"mass": amount(0.2, 4, MASSES)},
        {"count": st.integers(1, 3), "density": amount(1.2, 8.9, DENSITIES), **outside, **stage}
        | (place if draw(st.booleans()) else {}),
    )
    film = {"thickness": amount(0.005, 0.3, LENGTHS)}
    weighed = {"mass": amount(0.05, 1.5, MASSES)}
    coat = st.one_of(
        *(
            keys(
                {"density": amount(0.9, 1.6, DENSITIES), **how},
                {"name": st.sampled_from(("clear sealer", "paint")), **outside, **stage},
            )
            for how in (film, weighed)
        )
    )
    hole = keys(
        {"diameter": amount(3, 12, LENGTHS), "depth": amount(3, 2 * radius - 0.01, {"mm": 1})},
        {"x": amount(0.1, length - 0.1, {"mm": 1})},
    )
    holes = draw(st.lists(hole, max_size=3))
    piece = keys(
        {"mass": amount(0.5, 6, MASSES)},
        {"count": st.integers(1, 3), "density": amount(5, 19, DENSITIES)}
        | ({"hole": st.integers(1, len(holes))} if holes else {}),
    )
    ballast = draw(
        keys(
            {"density": amount(6, 19, DENSITIES), "filler_density": amount(0.3, 1.9, DENSITIES)},
            {"hole_ratio": st.floats(1, 2), "piece": st.lists(piece, max_size=3)},
        )
    ) | ({"hole": holes} if holes else {})
    tank = {
        "temperature": amount(3, 35, {"degC": 1}),
        **draw(
            st.sampled_from(
                (
                    {},
                    {"salinity": amount(0, 41, {"g/kg": 1})},
                    {"salt": amount(0, 110, {"g/kg": 1})},
                )
            )
        ),
    }
    trial = keys(
        {
            "kind": st.just("float"),
            "weight": amount(0, 9, MASSES),
            "density": amount(6, 12, DENSITIES),
        },
        tank,
    )
    instrument = {
        "resolution": amount(0.001, 0.1, {"g": 1}), "accuracy": amount(0.001, 0.1, {"g": 1}),
    }  # fmt: skip
    tables = draw(
        keys(
            {
                "water": keys(
                    {
                        "temperature": amount(0.1, 42, {"degC": 1}),
                        "salinity": amount(0, 43, {"g/kg": 1}),
                    },
                    {},
                ),
                "density": keys(
                    {"sample": st.lists(sample(base), max_size=5)},
                    {
                        "length_resolution": amount(0.01, 0.5, {"mm": 1}),
                        "length_accuracy": amount(0.01, 0.1, {"mm": 1}),
                        "mass_resolution": amount(0.001, 0.1, {"g": 1}),
                        "mass_accuracy": amount(0.001, 0.1, {"g": 1}),
                        "board_scatter": amount(0.5, 5, {"%": 1}),
                    },
                ),
                "weighing": keys(
                    {"mass": amount(volume * base, volume * base * 1.05, MASSES)}, instrument
                ),
            },
            {
                "shape": st.just(round_body(length, radius)),
                "hardware": st.lists(hardware, max_size=3),
                "coat": st.lists(coat, max_size=3),
                "ballast": st.just(ballast),
                "weight": st.lists(
                    keys({"mass": amount(volume * 0.8, volume * 1.3, MASSES), **stage}, instrument),
                    max_size=2,
                ),
                "trial": st.lists(trial, max_size=2),
            },
        )
    )
    return {**tables, "aim": aim}


@settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(plugs())
def test_builds_by_chance_agree_with_the_formulas(tables: dict[str, Any]) -> None:
    compare(tables)
