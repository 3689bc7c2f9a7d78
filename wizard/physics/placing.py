"""Setting holes along a body: for each hole the places it may have, then all together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wizard.physics.curve import Numbers
from wizard.physics.drill_order import Group, Order
from wizard.physics.holes import Hole
from wizard.physics.room import Room
from wizard.physics.stacking import stack

_TRIED = {2: 240, 3: 40, 4: 13}  # places tried for each hole but the last, by number of holes
_CLOSE = 0.05e-3  # m: aims met closer than this are equal, and the more compact plan is better


class Spot(NamedTuple):
    """One hole with its pieces at its place.

    Attributes:
        hole: the hole.
        pieces: what goes in, the first at the blind end.
        mass: of the pieces [kg].
        z: of their CG [m].
        pull: sum of w (l - lever) over what goes in and comes out [kg m].
    """

    hole: Hole
    pieces: Group
    mass: float
    z: float
    pull: float


class Load(NamedTuple):
    """Some pieces in the bottom of a hole, measured from its deepest point.

    Attributes:
        mass: [kg].
        gravity: height of their CG [m].
        volume: of the metal [m3].
        middle: height of the metal's centroid [m].
        height: of the stack [m].
    """

    mass: float
    gravity: float
    volume: float
    middle: float
    height: float


@dataclass(frozen=True, eq=False)
class Lane:
    """The places that one hole may have, over the grid lines along the body.

    Attributes:
        pieces: what goes in.
        diameter: of the drill [m].
        load: the pieces in the hole.
        left: length to spare [m]; negative where the hole does not fit.
        depth: of the full diameter [m].
        y: of the mouth [m].
        z: of the mouth [m].
        gravity_z: level of the pieces' CG [m].
        pull: as for `Spot` [kg m].
    """

    pieces: Group
    diameter: float
    load: Load
    left: Numbers
    depth: Numbers
    y: Numbers
    z: Numbers
    gravity_z: Numbers
    pull: Numbers

    @property
    def fits(self) -> NDArray[np.intp]:
        """Grid lines on which the hole fits."""
        return np.flatnonzero(self.left >= -1e-9)

    @property
    def short(self) -> float:
        """Length that is missing where it comes closest [m]; infinite if the drill is too wide."""
        return -float(np.max(self.left))


@lru_cache(maxsize=4096)
def load_of(trial: Hole, pieces: Group) -> Load:
    """How pieces lie in the bottom of a hole that is deep enough."""
    held = stack(trial, pieces)
    along = [(one.piece, _distance(trial, one.place.z)) for one in held.seated]
    return Load(
        held.mass,
        sum(piece.mass * height for piece, height in along) / held.mass,
        held.volume,
        sum(piece.volume * height for piece, height in along) / held.volume,
        held.height,
    )


def _distance(trial: Hole, z: float) -> float:
    return trial.length - (z - trial.z)


def lane(order: Order, space: Room, pieces: Group, diameter: float) -> Lane:
    """The places where a hole of a diameter may take some pieces."""
    trial = Hole(0.0, 0.0, 0.0, "up", diameter, 10.0, order.point_angle)
    load = load_of(trial, pieces)
    place = _across if order.axis == "across" else _upright
    left, depth, y, z = place(order, space, trial, load)
    turn = {"up": 1.0, "down": -1.0, "across": 0.0}[order.axis]
    h = trial.point_height
    area = math.pi * trial.radius**2
    volume = area * (depth + h / 3.0)
    centroid = area * (depth**2 / 2.0 + h / 3.0 * (depth + h / 4.0)) / volume
    to_tip = depth + h

    def arm(distance: Numbers) -> Numbers:
        """Lever of a point of the axis less the aim's [m]."""
        return space.x - order.aim.slope * (z + turn * distance) - order.aim.lever

    rho_f, rho_w = order.filler_density, order.wood_density
    pull = load.mass * arm(to_tip - load.gravity)
    pull += rho_f * (volume * arm(centroid) - load.volume * arm(to_tip - load.middle))
    pull -= rho_w * volume * arm(centroid)
    gravity_z = z + turn * (to_tip - load.gravity)
    return Lane(pieces, diameter, load, left, depth, y, z, gravity_z, pull)


def _upright(
    order: Order, space: Room, trial: Hole, load: Load
) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Length to spare, depth, and y and z of the mouth, over the grid lines."""
    least, walls, obstacles = space.depths(trial.radius, trial.point_height)
    needed = np.maximum(least, load.height + order.plug - trial.point_height)
    greatest = np.minimum(walls, obstacles)
    left = np.where(np.isfinite(needed), greatest - needed, -np.inf)
    depth = greatest if order.height == "high" else needed
    mouth = space.top if order.axis == "down" else space.bottom
    usable = np.where(left >= -1e-9, depth, trial.diameter)
    return left, usable, np.zeros_like(mouth), mouth


def _across(
    order: Order, space: Room, trial: Hole, load: Load
) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """The same for a hole from port whose pieces weigh on the centre line."""
    shoulder = load.gravity - trial.point_height
    left = np.minimum(
        space.reach_across(trial.radius) - max(shoulder, 0.0), space.shrunk - load.gravity
    )
    left = np.minimum(left, space.breadth + load.gravity - load.height - order.plug)
    fits = left >= -1e-9
    if order.height == "low":
        level = np.argmax(fits, axis=1)
    elif order.height == "high":
        level = fits.shape[1] - 1 - np.argmax(fits[:, ::-1], axis=1)
    else:
        level = np.argmax(left, axis=1)
    level = np.where(fits.any(axis=1), level, np.argmax(left, axis=1))
    rows = np.arange(len(space.x))
    y = space.breadth[rows, level]
    depth = np.maximum(y + shoulder, trial.diameter)
    return left[rows, level], depth, y, space.z[level]


# All holes together


def best_spots(order: Order, space: Room, lanes: Sequence[Lane]) -> tuple[Spot, ...] | None:
    """The places of all holes that meet the aim best; None if they do not fit together."""
    if not all(len(one.fits) for one in lanes):
        return None
    best: tuple[tuple[float, float], tuple[Lane, ...], list[int]] | None = None
    for row in _orders(lanes):
        found = _best_in_row(order, space, row)
        if found is not None and (best is None or found[0] < best[0]):
            best = found[0], row, found[1]
    if best is None:
        return None
    _, row, lines = best
    if len(row) > 2:
        lines = _refined(order, space, row, lines)
    return tuple(_spot(order, space, *one) for one in zip(row, lines, strict=True))


def lengthways_short(space: Room, lanes: Sequence[Lane]) -> float:
    """Length that is missing to set the holes side by side [m]; 0 if they fit."""
    shortest = math.inf
    for row in _orders(lanes):
        at, short = -math.inf, 0.0
        for n, one in enumerate(row):
            x = space.x[one.fits]
            least = at + _apart(space, row[n - 1], one) if n else -math.inf
            free = x[x >= least - 1e-9]
            short += 0.0 if free.size else least - float(x[-1])
            at = float(free[0]) if free.size else float(x[-1])
        shortest = min(shortest, short)
    return shortest


def _orders(lanes: Sequence[Lane]) -> list[tuple[Lane, ...]]:
    """Orders from nose to tail, those left out that differ by like holes only."""
    seen: dict[tuple[object, ...], tuple[Lane, ...]] = {}
    for row in permutations(lanes):
        seen.setdefault(tuple((one.diameter, one.load) for one in row), row)
    return list(seen.values())


def _apart(space: Room, a: Lane, b: Lane) -> float:
    """Least distance of the axes of two holes [m]."""
    return (a.diameter + b.diameter) / 2.0 + space.gap


def _best_in_row(
    order: Order, space: Room, row: Sequence[Lane]
) -> tuple[tuple[float, float], list[int]] | None:
    """The best grid lines for holes in an order, with (miss, spread); the last hole is solved."""
    masses = [one.load.mass for one in row]
    chosen = np.zeros((1, 0), dtype=np.intp)
    for n, one in enumerate(row[:-1]):
        tried = _thinned(one.fits, _TRIED[len(row)])
        pairs = np.repeat(chosen, len(tried), axis=0), np.tile(tried, len(chosen))
        chosen = np.column_stack(pairs)
        if n:
            gaps = space.x[chosen[:, n]] - space.x[chosen[:, n - 1]]
            chosen = chosen[gaps >= _apart(space, row[n - 1], one) - 1e-9]
    pull = sum((one.pull[chosen[:, n]] for n, one in enumerate(row[:-1])), np.zeros(len(chosen)))
    last = row[-1]
    first = np.zeros(len(chosen), dtype=np.intp)
    if len(row) > 1:
        least = space.x[chosen[:, -1]] + _apart(space, row[-2], last) - 1e-9
        first = np.searchsorted(space.x[last.fits], least)
    there = first < len(last.fits)
    chosen, pull, first = chosen[there], pull[there], first[there]
    if not len(chosen):
        return None
    lines = last.fits[_nearest(last.pull[last.fits], order.aim.moment - pull, first)]
    chosen = np.column_stack([chosen, lines])
    miss = np.abs(pull + last.pull[lines] - order.aim.moment) / sum(masses)
    miss = np.maximum(miss - _CLOSE, 0.0)
    x = space.x[chosen]
    mean = x @ masses / sum(masses)
    spread = (x - mean[:, None]) ** 2 @ masses
    best = int(np.lexsort((spread, miss))[0])
    return (float(miss[best]), float(spread[best])), [int(line) for line in chosen[best]]


def _refined(order: Order, space: Room, row: Sequence[Lane], lines: list[int]) -> list[int]:
    """Each hole in turn moved between its neighbours to where the aim is met best."""
    lines = list(lines)
    for n, one in enumerate(row):
        x = space.x[one.fits]
        free = np.ones(len(x), dtype=bool)
        if n:
            free &= x - space.x[lines[n - 1]] >= _apart(space, row[n - 1], one) - 1e-9
        if n + 1 < len(row):
            free &= space.x[lines[n + 1]] - x >= _apart(space, one, row[n + 1]) - 1e-9
        others = sum(other.pull[lines[k]] for k, other in enumerate(row) if k != n)
        miss = np.abs(others + one.pull[one.fits] - order.aim.moment)
        best = int(np.argmin(np.where(free, miss, np.inf)))
        here = abs(others + one.pull[lines[n]] - order.aim.moment)
        if miss[best] < here - _CLOSE * one.load.mass:
            lines[n] = int(one.fits[best])
    return lines


def _nearest(pulls: Numbers, wanted: Numbers, first: NDArray[np.intp]) -> NDArray[np.intp]:
    """Index from `first` on of the pull nearest to what is wanted; pulls grow along the body."""
    rising = np.maximum.accumulate(pulls)
    after = np.clip(np.searchsorted(rising, wanted), first, len(pulls) - 1)
    before = np.maximum(after - 1, first)
    nearer = np.abs(pulls[before] - wanted) < np.abs(pulls[after] - wanted)
    return np.where(nearer, before, after)


def _thinned(lines: NDArray[np.intp], most: int) -> NDArray[np.intp]:
    """At most so many of the grid lines, evenly, both ends kept."""
    if len(lines) <= most:
        return lines
    return lines[np.unique(np.linspace(0, len(lines) - 1, most).round().astype(np.intp))]


def _spot(order: Order, space: Room, one: Lane, line: int) -> Spot:
    x, y, z = float(space.x[line]), float(one.y[line]), float(one.z[line])
    depth = float(one.depth[line])
    hole = Hole(x, y, z, order.axis, one.diameter, depth, order.point_angle)
    return Spot(hole, one.pieces, one.load.mass, float(one.gravity_z[line]), float(one.pull[line]))
