"""How likely the finished plug does what was asked."""

from __future__ import annotations

from wizard.certainty import Uncertain, chance_above
from wizard.plug.record import Build

DEFAULT_TOLERANCE = 0.005
"""Band of a suspender as a share of its mass: common practice, no source."""


def hanging_band(build: Build, mass: float) -> float:
    """Net weight within which a suspender hangs [kg].

    Args:
        build: the record.
        mass: of the finished plug [kg].
    """
    tolerance = build.aim.tolerance
    return (tolerance.value if tolerance else DEFAULT_TOLERANCE) * mass


def chance_of_aim(build: Build, net: Uncertain, mass: float) -> float | None:
    """Chance that a plug does what its build asks for [1]; None where that is not known.

    Args:
        build: the record.
        net: N, weight left in the water [kg].
        mass: of the finished plug [kg].

    Source: normal distribution of N (JCGM 100:2008, 6.2).
    """
    sinks = chance_above(net)
    if sinks is None or build.aim.behaviour is None:
        return None
    if build.aim.behaviour != "suspends":
        return sinks if build.aim.behaviour == "sinks" else 1.0 - sinks
    band = hanging_band(build, mass)
    below, above = chance_above(net, -band), chance_above(net, band)
    return None if below is None or above is None else below - above
