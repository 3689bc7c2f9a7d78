"""How a finished plug lies in the water, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from wizard.certainty.adjusting import agrees
from wizard.plug.body.lying import HANGS, lies, unplaced
from wizard.plug.derived import Derived
from wizard.plug.onward.expecting import Expectation
from wizard.plug.record import Build
from wizard.report.righting import righting_lines
from wizard.report.showing import amount, chance

LEVEL = 0.5
"""Degrees up to which a plug is called level: no eye tells less."""


def lying_lines(
    build: Build, derived: Derived, to_come: Expectation | None = None
) -> Iterator[str]:
    """What it does in the water and how it lies there, as far as that is known.

    Args:
        build: the record.
        derived: what follows from it.
        to_come: what it is expected to come to, where it isn't weighed yet.
    """
    if derived.value("net_in_water") is not None:
        yield from _known(build, derived, "It")
        odds = derived.numbers.get("chance_aim")
        if odds is not None:
            yield f"Chance that it {_asked(build)}: {chance(odds.value.value)}."
        yield from _told_otherwise(build, derived)
    elif to_come is not None and to_come.derived.value("net_in_water") is not None:
        taken = " and ".join(to_come.assumed)
        yield from _known(build, to_come.derived, f"Expected, with {taken}: it" if taken else "It")
    else:
        yield "What it does in the water is not known yet."


def _told_otherwise(build: Build, derived: Derived) -> Iterator[str]:
    """That the tank does not say what the sum says, where it does not."""
    summed, proof = derived.value("net_in_water"), derived.value("proof_net")
    weight = derived.value("finished_mass")
    if summed is None or proof is None or weight is None:
        return
    if not agrees(proof - summed, HANGS * weight.value):
        measured = amount(proof, "g", build.build.units)
        yield f"The tank says otherwise: {measured} left in the water. The sum misses something."


def _known(build: Build, derived: Derived, it: str) -> Iterator[str]:
    chosen = build.build.units
    parts = (_does(derived, chosen), _tilt(derived), _water(build))
    yield f"{it} {', '.join(part for part in parts if part)}."
    if derived.value("cg_x") is None and (unknown := unplaced(build, derived.parts)):
        yield unknown
    if derived.value("draught") is not None:
        yield from _afloat(derived, chosen)
    yield from righting_lines(build, derived)


def _does(derived: Derived, chosen: Mapping[str, str]) -> str:
    net, mass = derived.value("net_in_water"), derived.value("finished_mass")
    assert net is not None
    assert mass is not None
    if _turns_over(derived):
        heel = derived.value("rest_heel")
        over = 180.0 if heel is None else math.degrees(heel.value)
        return lies(over).removeprefix("it ")
    if abs(net.value) <= HANGS * mass.value:
        return "hangs where it is stopped"
    if net.value < 0:
        return "floats"
    speed = derived.value("sink_rate")
    return "sinks" if speed is None else f"sinks at {amount(speed, 'm/s', chosen)}"


def _turns_over(derived: Derived) -> bool:
    """Whether the centre of gravity is too high: a pitch is then absent, or GM negative."""
    gm, pitch = derived.value("gm"), derived.value("rest_pitch")
    if gm is not None:
        return gm.value < 0
    up, down = derived.value("cb_z"), derived.value("cg_z")
    return pitch is None and up is not None and down is not None and up.value <= down.value


def _tilt(derived: Derived) -> str:
    pitch = derived.value("rest_pitch")
    if pitch is None:
        return ""
    degrees = math.degrees(pitch.value)
    if abs(degrees) < LEVEL:
        return "level"
    return f"nose {'down' if degrees > 0 else 'up'} {abs(degrees):.0f} degrees"


def _water(build: Build) -> str:
    at = build.water
    if at.temperature is None or at.salinity is None:
        return ""
    if at.salinity.value == 0:
        return f"in fresh water of {at.temperature.text}"
    return f"in water of {at.salinity.text} salt at {at.temperature.text}"


def _afloat(derived: Derived, chosen: Mapping[str, str]) -> Iterator[str]:
    draught, above = derived.value("draught"), derived.value("freeboard")
    if draught is not None and above is not None:
        yield (
            f"Its highest point stands {amount(above, 'mm', chosen)} above the water, its "
            f"lowest {amount(draught, 'mm', chosen)} under it."
        )


def _asked(build: Build) -> str:
    behaviour = build.aim.behaviour
    return "hangs as asked" if behaviour == "suspends" else f"{behaviour} as asked"
