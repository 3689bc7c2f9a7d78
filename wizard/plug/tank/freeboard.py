"""What a mark at the waterline says of a plug's mass, and when it can't say.

The heavier a plug, the less of it stands above the water, as a rule. But one that is heavy at
one end pitches the more the deeper it lies, and its other end may rise while it sinks: then
several masses leave the same height above the water, and no mark there tells them apart.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from wizard.certainty import Uncertain
from wizard.physics.roots import root_between
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.afloat import Floater

LIGHTEST, NEUTRAL = 0.05, 1.0 - 1e-6
"""Shares of the neutral mass between which a plug is sought [1]."""

LOOKS = 12
"""Masses at which it is looked whether the height falls all along."""

SETTLED = 0.4
"""Share of the neutral mass below which no plug was seen to rise at an end [1]: a judgement."""


@dataclass(frozen=True, slots=True)
class Undecided:
    """Masses that leave the same height above the water.

    Attributes:
        least: the lightest [kg].
        most: the heaviest [kg].
    """

    least: float
    most: float


def mass_afloat(
    afloat: Floater, mark: float | None, dry: Uncertain, limit: float, rho: float
) -> Uncertain | Undecided:
    """Mass of a plug of which so much stands above the water [kg].

    Slopes are central differences at the mass found (JCGM 100:2008, 5.1.3 note 2).

    Args:
        afloat: the plug.
        mark: where it was read, aft of the nose; None for its highest point [m].
        dry: what stands above the water there [m].
        limit: how far that may be misread [m].
        rho: of the water, less air [kg/m3].

    Raises:
        OutsideValidity: no mass leaves so much above the water.
    """
    volume, most = afloat.body_volume, rho * afloat.most

    def above(mass: float) -> float:
        return afloat.above(mass, rho, mark)

    looks = [LIGHTEST, *(SETTLED + (NEUTRAL - SETTLED) * i / LOOKS for i in range(LOOKS + 1))]
    seen = [(share * most, above(share * most)) for share in looks]
    (light, high), (heavy, low) = seen[0], seen[-1]
    if not low <= dry.value <= high:
        raise OutsideValidity("height above water", dry.value, max(low, 0.0), high, "m")
    upper, lower = (_crossings(seen, dry.value + off) for off in (limit, -limit))
    if len(upper) > 1 or len(lower) > 1:
        ends = [end for pair in (*upper, *lower) for end in pair]
        return Undecided(min(ends), max(ends))
    mass = root_between(lambda m: above(m) - dry.value, light, heavy)
    step, more = 1e-3 * most, 1e-3 * volume.value
    by_mass = _slope(above, mass, step)
    by_volume = _slope(lambda v: afloat.above(mass, rho, mark, v), volume.value, more)
    off = (dry - dry.value) - by_volume * (volume - volume.value)
    return mass + off / by_mass


def _crossings(seen: list[tuple[float, float]], height: float) -> list[tuple[float, float]]:
    """Between which of the masses looked at a height is passed."""
    return [(m, n) for (m, one), (n, two) in pairwise(seen) if (one > height) != (two > height)]


def _slope(function: Callable[[float], float], at: float, step: float) -> float:
    return (function(at + step) - function(at - step)) / (2.0 * step)
