"""Moisture of wood on the bench, and a density moved from one moisture to another."""

from __future__ import annotations

from wizard.certainty import Cause, Uncertain, apply, measured
from wizard.physics.density import accuracy_u
from wizard.physics.validity import OutsideValidity
from wizard.physics.wood import density_at_moisture, moisture_for_humidity
from wizard.plug.findings import Finding
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, Sample, Stock, Weighing

ROOM = 20.0
"""Temperature taken for the air of a store [degC]: 10 degC more or less move it by 0.3 points."""

AIR_U = 0.01
"""Standard uncertainty of a moisture that the air's humidity gives [1]: a judgement, no source.

Thin wood follows the air within weeks, thick wood never does quite, and wood that
dries stays above wood that takes up water.
"""

SWELLING_U = 0.5
"""Doubt of the swelling of one board, as a share of it [1].

Over the 160 species whose basic gravity and gravity at 12 % are both in the Forest
Service's REF_SPECIES table, what eq. 4-11 says of the swelling is off by half of it.
"""

SAME = 0.002
"""Moistures nearer than this count as equal [1]: finer than any meter."""


def moisture_of(
    build: Build, at: Sample | Weighing | Stock, path: Path
) -> tuple[Uncertain | None, tuple[Finding, ...]]:
    """Moisture of the wood at one weighing [1]: by its meter, else from the air it lay in.

    None where neither is answered or the wood is too wet for the relations.
    """
    if at.moisture is not None:
        if at.moisture.value > 0.30:
            return None, (_too_wet((*path, "moisture"), at.moisture.text),)
        stated = build.density.moisture_accuracy
        u = accuracy_u(stated.value) if stated else 0.0
        return measured(at.moisture.value, u, Cause("density.moisture_accuracy", "accuracy")), ()
    if at.humidity is None:
        return None, ()
    here = (*path, "humidity")
    try:
        value = moisture_for_humidity(at.humidity.value, ROOM)
    except OutsideValidity as error:
        wrong = f"No moisture of the wood follows from this: {error}."
        return None, (Finding("warning", here, wrong, "Measure it, or leave it out."),)
    return measured(value, AIR_U, Cause(words(here), "moisture")), ()


def _too_wet(path: Path, text: str) -> Finding:
    return Finding(
        "warning",
        path,
        f"Wood of {text} moisture is green: its density can't be moved to another moisture.",
        "Let it dry in a room for weeks, then test it again.",
    )


def moved(density: Uncertain, tested: Uncertain, now: Uncertain) -> Uncertain:
    """A density brought to the moisture that the body has now.

    Args:
        density: as tested [kg/m3].
        tested: moisture at the test [1], 0 to 0.30.
        now: moisture of the body [1], 0 to 0.30.

    Source: Wood Handbook (2010), eq. 4-11 and 4-12; the doubt is that of the swelling,
    common to all pieces of the board.
    """
    x, y = tested.value, now.value
    without_swelling = density.value * (1.0 + y) / (1.0 + x)
    swelling = without_swelling - density_at_moisture(density.value, x, y)
    doubt = measured(0.0, abs(SWELLING_U * swelling), Cause("swelling of this wood", "moisture"))
    return apply(density_at_moisture, density, tested, now) + doubt
