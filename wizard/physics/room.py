"""Where on a body a drill may go, and how deep, before a wall gets too thin.

The body is shrunk by the least wall on a grid over its profile; a hole whose wall
and blind end stay within the shrunk body keeps that wall. The grid is for finding
places fast; what is found is checked by `clearance` to the last tenth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from wizard.physics.clearance import Capsule
from wizard.physics.curve import Numbers
from wizard.physics.holes import Axis
from wizard.physics.shape import Body

Flags = NDArray[np.bool_]

FINEST = 0.5e-3  # m, of the grid
_MOST = 240  # grid lines along a body
_HAIR = 1e-9  # m


@dataclass(frozen=True, eq=False)
class Room:
    """What the walls and the obstacles leave for holes square to the centre line.

    Attributes:
        body: the drawn body.
        axis: the way of drilling.
        wall: least wall [m].
        gap: least wood between a hole and an obstacle [m].
        obstacles: screws and wires.
        step: of the grid [m].
    """

    body: Body
    axis: Axis
    wall: float
    gap: float
    obstacles: tuple[Capsule, ...]
    step: float
    _found: dict[tuple[float, float], tuple[Numbers, ...]] = field(default_factory=dict, repr=False)

    @cached_property
    def x(self) -> Numbers:
        """Grid lines along the body [m]."""
        lines = np.arange(self.body.nose, self.body.tail + self.step / 2, self.step)
        return np.where(np.abs(lines - self.body.tail) < _HAIR, self.body.tail, lines)

    @cached_property
    def z(self) -> Numbers:
        """Levels of the grid, upwards [m]."""
        low, high = float(np.min(self.bottom)), float(np.max(self.top))
        return np.arange(low, high + self.step / 2, self.step)

    @cached_property
    def top(self) -> Numbers:
        """The back over the grid lines [m]."""
        return self.body.top(self.x)

    @cached_property
    def bottom(self) -> Numbers:
        """The belly over the grid lines [m]."""
        return self.body.bottom(self.x)

    @cached_property
    def breadth(self) -> Numbers:
        """Half-breadths on the grid, shape (x, z), 0 where there is no wood [m]."""
        level = np.broadcast_to(self.z, (len(self.x), len(self.z)))
        for skin, inward in ((self.top[:, None], -_HAIR), (self.bottom[:, None], _HAIR)):
            # A level on a flat back or belly has wood, whatever its last bit says.
            level = np.where(np.abs(level - skin) < _HAIR, skin + inward, level)
        return self.body.half_breadth_at(self.x[:, None], level)

    @cached_property
    def shrunk(self) -> Numbers:
        """Half-breadths less the wall all round: where the centre of a ball of it may be [m].

        Erosion by a ball: the least over all offsets of the half-breadth there less what
        the ball still reaches aside.
        """
        k = math.floor(self.wall / self.step + 1e-9)
        wood = np.pad(self.breadth, k)
        nx, nz = self.breadth.shape
        least = np.full((nx, nz), np.inf)
        for i in range(-k, k + 1):
            for j in range(-k, k + 1):
                square = self.wall**2 - (i * i + j * j) * self.step**2
                if square > -1e-15:
                    there = wood[k + i : k + i + nx, k + j : k + j + nz]
                    np.minimum(least, there - math.sqrt(max(square, 0.0)), out=least)
        return least

    @cached_property
    def obstacle_points(self) -> tuple[Numbers, Numbers]:
        """Points along the obstacles, shape (n, 3), and the radius at each [m]."""
        points, radii = [np.empty((0, 3))], [np.empty(0)]
        for one in self.obstacles:
            start, end = np.array(one.start), np.array(one.end)
            count = 2 + math.ceil(float(np.linalg.norm(end - start)) / self.step)
            points.append(start + np.linspace(0.0, 1.0, count)[:, None] * (end - start))
            radii.append(np.full(count, one.radius))
        return np.concatenate(points), np.concatenate(radii)

    def stops(self, radius: float, point_height: float) -> Numbers:
        """Over the grid lines, how deep a hole up or down may go for the obstacles [m]."""
        points, radii = self.obstacle_points
        if not len(points):
            return np.full(len(self.x), np.inf)
        aside = np.hypot(points[:, 0] - self.x[:, None], points[:, 1])
        beside = np.maximum(aside - radius, 0.0)
        needed = radii + self.gap
        mouth = self.top if self.axis == "down" else self.bottom
        turn = -1.0 if self.axis == "down" else 1.0
        ahead = turn * (points[:, 2] - mouth[:, None])
        above = np.sqrt(np.maximum(needed**2 - beside**2, 0.0))
        point = point_height * np.clip(1.0 - aside / radius, 0.0, 1.0)
        stop = np.where(beside < needed - _HAIR, ahead - above - point, np.inf)
        return np.asarray(np.min(stop, axis=1))

    @cached_property
    def _free_across(self) -> Numbers:
        """From points of the profile, seen from the side, to the obstacles [m]."""
        x, z = self.x[:, None], self.z
        free = np.full((len(self.x), len(self.z)), np.inf)
        for one in self.obstacles:
            (x0, _, z0), (x1, _, z1) = one.start, one.end
            square = (x1 - x0) ** 2 + (z1 - z0) ** 2
            share = ((x - x0) * (x1 - x0) + (z - z0) * (z1 - z0)) / square if square else 0.0 * x
            share = np.clip(share, 0.0, 1.0)
            away = np.hypot(x - x0 - share * (x1 - x0), z - z0 - share * (z1 - z0))
            np.minimum(free, away - one.radius, out=free)
        return free

    def depths(self, radius: float, point_height: float) -> tuple[Numbers, Numbers, Numbers]:
        """Over the grid lines, for a hole up or down: least and greatest depth [m].

        Between them the walls are kept; the third array is the greatest that the
        obstacles leave. The least is what it takes to get past the mouth.
        """
        key = radius, point_height
        if key not in self._found:
            self._found[key] = self._depths(radius, point_height)
        least, greatest, stop = self._found[key]
        return least, greatest, stop

    def _depths(self, radius: float, point_height: float) -> tuple[Numbers, ...]:
        turn = -1 if self.axis == "down" else 1
        mouth = self.top if self.axis == "down" else self.bottom
        z = self.z[::turn]
        from_mouth = turn * (z - mouth[:, None])
        first, last = _run(self._round(radius)[:, ::turn])
        tip = _run_from(self.shrunk[:, ::turn] >= 0.0, first)
        rows = np.arange(len(self.x))
        there = last >= first
        deepest = np.minimum(from_mouth[rows, last], from_mouth[rows, tip] - point_height)
        least = np.where(there, from_mouth[rows, np.minimum(first, len(z) - 1)], np.inf)
        stop = self.stops(radius, point_height)
        return least, np.where(there, deepest, -np.inf), stop

    def reach_across(self, radius: float) -> Numbers:
        """How far past the centre line a hole across may go at points of the profile [m].

        Minus infinity where an obstacle is in its way.
        """
        key = radius, math.inf
        if key not in self._found:
            clear = self._free_across >= radius + self.gap - _HAIR
            reach = np.where(clear, self._reach_across(radius), -np.inf)
            self._found[key] = (reach,)
        return self._found[key][0]

    def _reach_across(self, radius: float) -> Numbers:
        k = math.floor(radius / self.step + 1e-9)
        nx, nz = self.shrunk.shape
        padded = np.pad(self.shrunk, k, constant_values=-np.inf)
        least = np.full((nx, nz), np.inf)
        for i in range(-k, k + 1):
            # Only the rim counts: the shrunk body bulges outward.
            j = math.floor(math.sqrt(max(radius**2 - (i * self.step) ** 2, 0.0)) / self.step)
            for rim in {-j, j}:
                np.minimum(least, padded[k + i : k + i + nx, k + rim : k + rim + nz], out=least)
        return least

    def _round(self, radius: float) -> Flags:
        """Where a disc of a radius level with a point of the profile is within the shrunk body."""
        k = math.floor(radius / self.step + 1e-9)
        nx = len(self.x)
        padded = np.pad(self.shrunk, ((k, k), (0, 0)), constant_values=-np.inf)
        ok = np.ones(self.shrunk.shape, dtype=bool)
        for i in range(-k, k + 1):
            side = math.sqrt(max(radius**2 - (i * self.step) ** 2, 0.0))
            ok &= padded[k + i : k + i + nx] >= side
        return ok


def room(
    body: Body,
    axis: Axis,
    wall: float,
    gap: float,
    obstacles: Sequence[Capsule],
    step: float = FINEST,
) -> Room:
    """The room in a body; the grid is no finer than the body needs. See `Room`."""
    return _room(body, axis, wall, gap, tuple(obstacles), max(step, body.length / _MOST))


@lru_cache(maxsize=32)
def _room(
    body: Body, axis: Axis, wall: float, gap: float, obstacles: tuple[Capsule, ...], step: float
) -> Room:
    """One room for one question: a search asks for the same again and again."""
    return Room(body, axis, wall, gap, obstacles, step)


def _run(ok: Flags) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First column of each row that is true, and the last of the run from there (-1 if none)."""
    first = np.argmax(ok, axis=1)
    none = ~ok.any(axis=1)
    last = _run_from(ok, first)
    return np.where(none, ok.shape[1], first), np.where(none, -1, last)


def _run_from(ok: Flags, first: NDArray[np.intp]) -> NDArray[np.intp]:
    """Last column of the run of true ones that begins at a column of each row."""
    columns = np.arange(ok.shape[1])
    stop = ~ok & (columns >= first[:, None])
    return np.asarray(np.where(stop.any(axis=1), np.argmax(stop, axis=1), ok.shape[1]) - 1)
