"""The search for the rest of a floating plug: a coarse look at all pitches, then Newton."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.physics import skin
from wizard.physics.curve import Numbers
from wizard.physics.newton import newton_between
from wizard.physics.section import gauss
from wizard.physics.waterplane import UPRIGHT, Hull, Immersed, immersed_sections, under_water

_PITCHES = np.linspace(-UPRIGHT, UPRIGHT, 13)
_SCAN_PLACES = 32
_SCAN_STEPS = 10
_SCAN_CLOSE = 1e-2  # of the displaced volume
_VOLUME_NEAR = 1e-5  # of the displaced volume, while the pitch is sought
_VOLUME_CLOSE = 1e-10  # and at the end
_LEVER_CLOSE = 1e-9  # of the length
_NEAR_STEPS = 8


@dataclass(frozen=True, slots=True)
class Buoyancy:
    """What the water carries, and how that grows with the level.

    `growth`, `growth_first` and `growth_second` are the moments, along the water,
    of the volume that a rise of the level adds: those of a waterplane to which the
    parts and films that are just going under belong as well.
    """

    volume: float
    x: float
    z: float
    growth: float
    growth_first: float
    growth_second: float
    cut: Immersed
    wetted_share: float

    @property
    def hinge(self) -> float:
        """Where along the water the level stays put when the plug pitches."""
        return self.growth_first / self.growth if self.growth else 0.0

    @property
    def stiffness(self) -> float:
        """Second moment of the growth about the hinge [m4]."""
        return self.growth_second - self.growth_first * self.hinge


@dataclass(frozen=True, slots=True)
class Afloat:
    """The plug in the search for its rest.

    Attributes:
        hull: its drawn body.
        body_volume: volume of the real body [m3].
        film_volume: of all coats [m3].
        hung: volume, x and z of the appendages, shape (3, n).
        volume: what it has to push aside, mass / water density [m3].
        cg_x: centre of gravity aft of the nose [m].
        cg_z: above the baseline [m].
    """

    hull: Hull
    body_volume: float
    film_volume: float
    hung: Numbers
    volume: float
    cg_x: float
    cg_z: float

    @property
    def likeness(self) -> float:
        """Real over drawn volume of the body."""
        return self.body_volume / self.hull.body.volume

    def buoyancy(self, pitch: float, level: float) -> Buoyancy:
        """What the water carries at a pitch and level."""
        body, cut, k = self.hull.body, self.hull.immersed(pitch, level), self.likeness
        wet, film = skin.wetted(body, pitch, level), self.film_volume
        volume = k * cut.volume + film * wet.share
        x = k * cut.volume * cut.x + film * wet.share * wet.x
        z = k * cut.volume * cut.z + film * wet.share * wet.z
        growth = k * cut.waterplane + film * wet.growth
        first, second = k * cut.first + film * wet.first, k * cut.second + film * wet.second
        s, c = math.sin(pitch), math.cos(pitch)
        v, at_x, at_z = self.hung
        sunk, rate = under_water(level - at_x * s - at_z * c, body)
        sunk, rate, distance = v * sunk, v * rate, at_x * c - at_z * s
        volume += float(sunk.sum())
        x, z = x + float(sunk @ at_x), z + float(sunk @ at_z)
        growth, first = growth + float(rate.sum()), first + float(rate @ distance)
        second += float(rate @ distance**2)
        if volume > 0.0:
            x, z = x / volume, z / volume
        return Buoyancy(volume, x, z, growth, first, second, cut, wet.share)

    def lever(self, pitch: float, x: float, z: float) -> float:
        """How far B stands aft of G, along the water; it turns the nose down [m]."""
        return (x - self.cg_x) * math.cos(pitch) - (z - self.cg_z) * math.sin(pitch)

    def rise(self, pitch: float, x: float, z: float) -> float:
        """How far B stands above G, square to the water [m]."""
        return (x - self.cg_x) * math.sin(pitch) + (z - self.cg_z) * math.cos(pitch)

    def metacentre(self, second_moment: float) -> float:
        """I / V of a second moment of the drawn waterplane [m]."""
        return self.likeness * second_moment / self.volume


def rest(afloat: Afloat) -> tuple[float, float, Buoyancy]:
    """Pitch [rad], level [m] and buoyancy of the rest of least potential energy."""
    pitch, level = _balance(afloat, *_guess(afloat))
    return pitch, *_level(afloat, pitch, level, _VOLUME_CLOSE)


def rest_near(afloat: Afloat, pitch: float, level: float) -> tuple[float, float, Buoyancy] | None:
    """The rest close to a pitch and level, as `rest` gives it; None if that leads nowhere.

    Newton's method in both at once: the level is put right for the volume, then the plug
    pitches about its hinge.
    """
    for _ in range(_NEAR_STEPS):
        state = afloat.buoyancy(pitch, level)
        short, lever, slope = _turning(afloat, pitch, state)
        is_level = abs(short) <= _VOLUME_CLOSE * afloat.volume
        if is_level and abs(lever) <= _LEVER_CLOSE * afloat.hull.body.length:
            return pitch, level, state
        if state.growth <= 0.0 or slope <= 0.0 or not abs(pitch + lever / slope) < UPRIGHT:
            return None
        turn = lever / slope
        level += short / state.growth
        level = level * math.cos(turn) + state.hinge * math.sin(turn)
        pitch += turn
    return None


def balanced_at(afloat: Afloat, pitch: float) -> Buoyancy:
    """What the water carries at a pitch, at the level at which that is the plug's weight."""
    low, high = _reach(afloat, np.array([pitch]))
    return _level(afloat, pitch, float(low[0] + high[0]) / 2.0, _VOLUME_CLOSE)[1]


def _guess(afloat: Afloat) -> tuple[float, float, float, float]:
    """A coarse look at all pitches together: bracket, start, and level of the best rest.

    A fixed set of sections stands for the body, and films go with its immersed
    share; only the choice among several rests hangs on it.
    """
    level, x, z = _balanced(afloat)
    s, c = np.sin(_PITCHES), np.cos(_PITCHES)
    lever = (x - afloat.cg_x) * c - (z - afloat.cg_z) * s
    energy = -((x - afloat.cg_x) * s + (z - afloat.cg_z) * c)
    stable = [i for i in range(len(lever) - 1) if lever[i] >= 0.0 > lever[i + 1]]
    rests = [(min(energy[i], energy[i + 1]), i, i + 1) for i in stable]
    if lever[0] < 0.0:
        rests.append((energy[0], 0, 0))
    if lever[-1] >= 0.0:
        rests.append((energy[-1], len(lever) - 1, len(lever) - 1))
    _, i, j = min(rests)
    part = 0.0 if i == j else lever[i] / (lever[i] - lever[j])
    low, high = _PITCHES[max(i - 1, 0)], _PITCHES[min(j + 1, len(_PITCHES) - 1)]
    start = _PITCHES[i] + part * (_PITCHES[j] - _PITCHES[i])
    return float(low), float(high), float(start), float(level[i] + part * (level[j] - level[i]))


def _balanced(afloat: Afloat) -> tuple[Numbers, Numbers, Numbers]:
    """Level, and x and z of B, at each of the scanned pitches with the weight carried."""
    scan = _Scan(afloat)
    low, high = _reach(afloat, _PITCHES)
    level = low + (high - low) * afloat.volume / scan.most
    volume, growth, x, z = scan.carried(_PITCHES, level)
    for _ in range(_SCAN_STEPS - 1):
        short = afloat.volume - volume
        (still,) = np.nonzero(np.abs(short) >= _SCAN_CLOSE * afloat.volume)
        if not still.size:
            break
        rises = short > 0.0
        low, high = np.where(rises, level, low), np.where(rises, high, level)
        with np.errstate(divide="ignore", invalid="ignore"):
            following = level + short / growth
        inside = (following > low) & (following < high)
        level[still] = np.where(inside, following, (low + high) / 2)[still]
        volume[still], growth[still], x[still], z[still] = scan.carried(
            _PITCHES[still], level[still]
        )
    carried = np.maximum(volume, _SCAN_CLOSE * afloat.volume)
    return level, x / carried, z / carried


class _Scan:
    """A fixed set of sections that stands for the body at all pitches."""

    def __init__(self, afloat: Afloat) -> None:
        body = afloat.hull.body
        nodes, w = gauss(_SCAN_PLACES)
        self.body, self.hung = body, afloat.hung
        self.cut = body.cuts(body.nose + body.length * (1 + nodes) / 2)
        outside = afloat.body_volume + afloat.film_volume
        self.w = w * outside / float(np.dot(w, body.section_area(self.cut.x)))
        self.most = outside + float(self.hung[0].sum())

    def carried(self, pitch: Numbers, level: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """Volume under water, its growth with the level, and its moments in x and z."""
        w, cut, (v, at_x, at_z) = self.w, self.cut, self.hung
        s, c, d = (row[:, np.newaxis] for row in (np.sin(pitch), np.cos(pitch), level))
        area, moment, y = immersed_sections(self.body, cut, (d - cut.x * s) / c)
        sunk, rate = under_water(d - at_x * s - at_z * c, self.body)
        return (
            area @ w + sunk @ v,
            2.0 * (y @ w) / c[:, 0] + rate @ v,
            area @ (w * cut.x) + sunk @ (v * at_x),
            area @ (w * cut.widest) + moment @ w + sunk @ (v * at_z),
        )


def _reach(afloat: Afloat, pitches: Numbers) -> tuple[Numbers, Numbers]:
    """Levels that leave all dry and that cover all, at each pitch."""
    hull = afloat.hull
    x = np.concatenate([hull.watch, hull.watch, afloat.hung[1]])
    z = np.concatenate([hull.watched[:, 0], hull.watched[:, 2], afloat.hung[2]])
    heights = np.outer(np.sin(pitches), x) + np.outer(np.cos(pitches), z)
    margin = hull.body.height / 10
    return heights.min(axis=1) - margin, heights.max(axis=1) + margin


def _level(afloat: Afloat, pitch: float, start: float, tolerance: float) -> tuple[float, Buoyancy]:
    """The level at which the water carries the plug at a given pitch."""

    def excess(level: float) -> tuple[float, float, Buoyancy]:
        state = afloat.buoyancy(pitch, level)
        return state.volume - afloat.volume, state.growth, state

    low, high = _reach(afloat, np.array([pitch]))
    return newton_between(excess, float(low[0]), float(high[0]), start, tolerance * afloat.volume)


def _balance(
    afloat: Afloat, low: float, high: float, start: float, level: float
) -> tuple[float, float]:
    """The pitch at which G and B stand on one vertical, and the level there.

    While the pitch is sought the level is only nearly right: what volume is still
    short is added as a slice at the hinge, the line that stays put in a pitch.
    """
    last = start, level, 0.0

    def turning(pitch: float) -> tuple[float, float, float]:
        nonlocal last
        before, kept, hinge = last
        expected = kept * math.cos(pitch - before) + hinge * math.sin(pitch - before)
        found, state = _level(afloat, pitch, expected, _VOLUME_NEAR)
        if state.growth:
            found += (afloat.volume - state.volume) / state.growth
        last = pitch, found, state.hinge
        _, lever, slope = _turning(afloat, pitch, state)
        return -lever, slope, found

    return newton_between(turning, low, high, start, _LEVER_CLOSE * afloat.hull.body.length)


def _turning(afloat: Afloat, pitch: float, state: Buoyancy) -> tuple[float, float, float]:
    """Volume still short [m3], the lever once it is made up [m], and how fast that falls [m]."""
    short = afloat.volume - state.volume
    lever = afloat.lever(pitch, state.x, state.z)
    slice_lever = state.hinge + afloat.lever(pitch, 0.0, 0.0)
    lever += (slice_lever - lever) * short / afloat.volume
    slope = state.stiffness / afloat.volume + afloat.rise(pitch, state.x, state.z)
    return short, lever, slope
