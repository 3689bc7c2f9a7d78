"""A suspender's bands: the waters in which it hangs, and what a snap or a hook does to it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from wizard.physics.validity import OutsideValidity
from wizard.physics.water import SALINITIES, TEMPERATURES, seawater_density
from wizard.plug.account import hardware_density
from wizard.plug.ballast.hooks import HOOKS, family, size_of
from wizard.plug.record import Build
from wizard.plug.tank.explain import Standing
from wizard.plug.waters import Water

SNAP, SNAP_DENSITY = 0.3e-3, 7900.0
"""A small snap [kg, kg/m3]: from memory."""

LEADER = (0.5, 0.35e-3, 1780.0)
"""A leader of fluorocarbon: length [m], diameter [m], density [kg/m3]: from memory."""

_SCAN = 400


@dataclass(frozen=True, slots=True)
class Band:
    """The range of one property of the water in which a plug hangs within its tolerance.

    Attributes:
        low: its lower end; None where the equation of the water ends first.
        high: its upper end; likewise.
        neutral: where it hangs without any rest, nearest to the fishing water; None if nowhere.
        per_unit: what one unit more does to N at the fishing water [kg].
        is_empty: whether it hangs nowhere.
    """

    low: float | None
    high: float | None
    neutral: float | None
    per_unit: float
    is_empty: bool = False


@dataclass(frozen=True, slots=True)
class Addition:
    """Something small that is hung on or changed, and what it does to N [kg]."""

    what: str
    net: float


def temperature_band(now: Standing, water: Water, band: float) -> Band | None:
    """Temperatures in which it hangs at the salinity of the fishing water [degC].

    The plug's own swelling with warmth is left out: far less than the water's.

    Args:
        now: where the plug stands.
        water: the fishing water.
        band: net weight within which it hangs [kg].
    """
    return _band(
        lambda t: _net(now, water, t, water.salinity), water.temperature, TEMPERATURES, band
    )


def salinity_band(now: Standing, water: Water, band: float) -> Band | None:
    """Practical salinities in which it hangs at the temperature of the fishing water."""
    return _band(lambda s: _net(now, water, water.temperature, s), water.salinity, SALINITIES, band)


def _net(now: Standing, water: Water, temperature: float, salinity: float) -> float:
    """N in another water [kg]. Source: Archimedes, V unchanged."""
    density = seawater_density(temperature, salinity)
    return now.net.value + now.volume.value * (water.density - density)


def _band(
    net: Callable[[float], float], at: float, limits: tuple[float, float], band: float
) -> Band | None:
    low_end, high_end = limits
    try:
        here = net(at)
    except OutsideValidity:
        return None
    step = (high_end - low_end) / _SCAN
    slope = (net(min(at + step, high_end)) - net(max(at - step, low_end))) / (
        min(at + step, high_end) - max(at - step, low_end)
    )
    neutral = _nearest_zero(net, at, limits)
    if abs(here) > band:
        if neutral is None:
            return Band(None, None, None, slope, is_empty=True)
        at = neutral
    low = _edge(net, at, low_end, band)
    high = _edge(net, at, high_end, band)
    return Band(low, high, neutral, slope)


def _edge(net: Callable[[float], float], at: float, end: float, band: float) -> float | None:
    """Where the band is left on the way from a point within it to an end; None if it is not."""
    inside = at
    for i in range(1, _SCAN + 1):
        x = at + (end - at) * i / _SCAN
        if abs(net(x)) > band:
            outside = x
            break
        inside = x
    else:
        return None
    for _ in range(50):
        middle = (inside + outside) / 2.0
        if abs(net(middle)) > band:
            outside = middle
        else:
            inside = middle
    return inside


def _nearest_zero(
    net: Callable[[float], float], at: float, limits: tuple[float, float]
) -> float | None:
    """The water nearest by in which nothing is left of the weight; None if there is none."""
    found = []
    for end in limits:
        before, value = at, net(at)
        for i in range(1, _SCAN + 1):
            x = at + (end - at) * i / _SCAN
            now = net(x)
            if value == 0 or value * now <= 0:
                found.append(_zero(net, before, x))
                break
            before, value = x, now
    return min(found, key=lambda x: abs(x - at)) if found else None


def _zero(net: Callable[[float], float], one: float, other: float) -> float:
    first = net(one)
    for _ in range(60):
        middle = (one + other) / 2.0
        if first * net(middle) > 0:
            one = middle
        else:
            other = middle
    return (one + other) / 2.0


def additions(build: Build, water: Water) -> tuple[Addition, ...]:
    """What a snap, a leader and one size of each hook do to the weight in water."""
    rho = water.buoyant
    length, diameter, density = LEADER
    volume = math.pi / 4.0 * diameter**2 * length
    found = [
        Addition("a snap of 0.3 g", SNAP * (1.0 - rho / SNAP_DENSITY)),
        Addition("half a metre of 0.35 mm fluorocarbon leader", volume * (density - rho)),
    ]
    return (*found, *_one_size(build, rho))


def _one_size(build: Build, rho: float) -> tuple[Addition, ...]:
    """One size up on each kind of hook."""
    out = []
    for item in build.hardware or ():
        sizes, metal, own = family(item, HOOKS), hardware_density(item), size_of(item)
        if own is None or own not in sizes or metal is None or item.mass is None:
            continue
        place = sizes.index(own)
        if place + 1 < len(sizes):
            larger = sizes[place + 1]
            ratio = larger.mass.typical / own.mass.typical
            more = item.count * item.mass.value * (ratio - 1.0)
            at = f" at {item.x.text}" if item.x else ""
            what = f"{larger.name} in place of size {own.size}{at}"
            out.append(Addition(what, more * (1.0 - rho / metal)))
    return tuple(out)
