"""How much wood stays: around a hole, between holes, beside screws and wires.

A screw's shank and a length of through-wire are capsules: a segment with a radius.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wizard.physics.curve import Numbers
from wizard.physics.holes import Hole
from wizard.physics.shape import Body
from wizard.physics.skin import outlines

Point = tuple[float, float, float]

_LEVELS, _AROUND = 16, 24  # points on a hole's wall, along and around
_SKIN_STEP = 1.0e-3  # m, between points of the skin; distances are then good to 0.05 mm
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
_GOLDEN_STEPS = 30  # to a millionth of the segment
_FALL = 0.05e-3  # m: the wall has stopped thickening behind the mouth when it thins by this


@dataclass(frozen=True, slots=True)
class Capsule:
    """All points within a radius of a segment, as x, y, z [m]."""

    start: Point
    end: Point
    radius: float


class Wall(NamedTuple):
    """The thinnest wall of a hole.

    Attributes:
        thickness: [m]; negative where the hole comes out through the skin.
        x: where on the hole's wall, aft of the nose [m].
        y: to port [m].
        z: above the baseline [m].
    """

    thickness: float
    x: float
    y: float
    z: float


def wire(points: Sequence[Point], radius: float) -> tuple[Capsule, ...]:
    """A through-wire or a bent shank as capsules from point to point."""
    return tuple(Capsule(a, b, radius) for a, b in pairwise(points))


@lru_cache(maxsize=512)
def gap(hole: Hole, other: Capsule) -> float:
    """Least wood between a hole and a screw or wire [m]; negative if they meet.

    The signed distance to a hole is convex, so along a segment it has one least value,
    found by golden section.
    """
    mouth, along = (hole.x, hole.y, hole.z), hole.direction

    def distance(share: float) -> float:
        point = [a + share * (b - a) for a, b in zip(other.start, other.end, strict=True)]
        from_mouth = [p - m for p, m in zip(point, mouth, strict=True)]
        s = _dot(from_mouth, along)
        return _beside(hole, s, math.sqrt(max(_dot(from_mouth, from_mouth) - s * s, 0.0)))

    low, high = 0.0, 1.0
    for _ in range(_GOLDEN_STEPS):
        a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        low, high = (low, b) if distance(a) <= distance(b) else (a, high)
    return min(distance(0.0), distance(1.0), distance((low + high) / 2.0)) - other.radius


def least_gap(hole: Hole, others: Iterable[Capsule]) -> float:
    """Least wood between a hole and screws or wires [m]; infinite if there are none."""
    return min((gap(hole, other) for other in others), default=math.inf)


def hole_gap(a: Hole, b: Hole) -> float:
    """Least wood between two holes [m]; negative if they meet.

    Between parallel holes it is found in the plane of both axes. A hole across and one
    up or down count as capsules of their full diameter, which never gives more than
    there is for a drill's point of 90 deg or blunter.
    """
    if (a.axis == "across") != (b.axis == "across"):
        return _capsule_gap(a, b)
    s0, aside = _offsets(a, b)
    turn = _dot(a.direction, b.direction)
    ends = sorted((s0, s0 + turn * b.length))
    if aside < a.radius + b.radius and ends[0] < a.length and ends[1] > 0.0:
        return aside - a.radius - b.radius
    own = _outline(a)
    other = [(s0 + turn * s, aside - rho, 0.0) for s, rho, _ in _outline(b)]
    return min(segment_distance(*one, *two) for one in pairwise(own) for two in pairwise(other))


def _offsets(a: Hole, b: Hole) -> tuple[float, float]:
    """Where the mouth of b lies, along the axis of a and aside from it [m]."""
    between = (b.x - a.x, b.y - a.y, b.z - a.z)
    s = _dot(between, a.direction)
    return s, math.sqrt(max(_dot(between, between) - s * s, 0.0))


def _outline(hole: Hole) -> list[Point]:
    """Half of the hole cut along its axis: along and aside from the mouth to the tip [m]."""
    r = hole.radius
    return [(0.0, 0.0, 0.0), (0.0, r, 0.0), (hole.depth, r, 0.0), (hole.length, 0.0, 0.0)]


def _beside(hole: Hole, s: float, rho: float) -> float:
    """Signed distance of a point from a hole, along its axis and aside given [m]."""
    r, depth, h = hole.radius, hole.depth, hole.point_height
    past = s - depth
    if s >= 0.0 and rho <= r and (past <= 0.0 or rho * h <= r * (h - past)):
        inside = True
        mouth = s
    else:
        inside = False
        mouth = math.hypot(s, max(rho - r, 0.0))
    wall = math.hypot(max(-s, past, 0.0), rho - r)
    # The end, from the shoulder (depth, r) to the tip (depth + h, 0).
    share = _clamped((past * h + (r - rho) * r) / (h * h + r * r))
    end = math.hypot(past - share * h, rho - r + share * r)
    return -min(mouth, wall, end) if inside else min(mouth, wall, end)


def _capsule_gap(a: Hole, b: Hole) -> float:
    ends = [(p.x, p.y, p.z) for hole in (a, b) for p in (hole.at(0.0), hole.at(hole.depth))]
    return segment_distance(*ends) - a.radius - b.radius


def segment_distance(p: Point, p_end: Point, q: Point, q_end: Point) -> float:
    """Least distance between two segments [m].

    Source: Ericson, Real-Time Collision Detection (2005), section 5.1.9: of the pair of
    parameters where the unbounded lines come closest, s is clamped first, then t, then
    s again.
    """
    d1 = [b - a for a, b in zip(p, p_end, strict=True)]
    d2 = [b - a for a, b in zip(q, q_end, strict=True)]
    r = [a - b for a, b in zip(p, q, strict=True)]
    a, e, b = _dot(d1, d1), _dot(d2, d2), _dot(d1, d2)
    c, f = _dot(d1, r), _dot(d2, r)
    square = a * e - b * b
    s = _clamped((b * f - c * e) / square) if square > 1e-12 * a * e else 0.0
    t = (b * s + f) / e if e > 0.0 else 0.0
    if not 0.0 <= t <= 1.0 or e == 0.0:
        t = _clamped(t)
        s = _clamped((b * t - c) / a) if a > 0.0 else 0.0
    near = [r_ + s * u - t * v for r_, u, v in zip(r, d1, d2, strict=True)]
    return math.hypot(*near)


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(u * v for u, v in zip(a, b, strict=True))


def _clamped(value: float) -> float:
    return min(max(value, 0.0), 1.0)


def wall_clearance(hole: Hole, body: Body) -> float:
    """Least distance from the hole's wall to the body's skin, along the whole hole [m].

    See `thinnest_wall`.
    """
    return thinnest_wall(hole, body).thickness


@lru_cache(maxsize=512)
def thinnest_wall(hole: Hole, body: Body) -> Wall:
    """Where the least wood stands between a hole and the skin.

    From each point of the wall the distance counts to the skin level with it or beyond,
    seen along the drilling, since at its mouth every hole meets the skin. For the
    same reason the stretch behind the mouth over which the wall still thickens does
    not count: from there to the blind end the least is taken, and over the blind end.
    Kept, since it takes 10 ms and the same hole is asked about again and again.

    Args:
        hole: its mouth on the skin, its x within the body.
        body: the drawn body.

    Raises:
        ValueError: if the hole lies off the body.
    """
    if not body.nose < hole.x < body.tail:
        raise ValueError("the hole lies off the body")
    points, wall = _hole_points(hole)
    flat = points.reshape(-1, 3)
    patch = _patch(hole, body)
    thickness = _forward(hole, body, flat, patch)
    inside = body.inside(flat[:, 0], flat[:, 1], flat[:, 2]).reshape(points.shape[:2])
    thickness[~inside.ravel()] = 0.0
    entered = np.logical_or.accumulate(inside, axis=1)
    burst = (~inside & (entered | ~entered[:, wall - 1 : wall])).ravel()
    if burst.any():
        thickness[burst] = -_nearest(flat[burst], patch, None)
    rows = thickness.reshape(points.shape[:2])
    worst = min(
        ((float(row[at]), n, at) for n, row in enumerate(rows) for at in [_thinnest(row, wall)])
    )
    x, y, z = points[worst[1], worst[2]].tolist()
    return Wall(worst[0], x, y, z)


def _thinnest(row: Numbers, wall: int) -> int:
    """Index of the thinnest wall along one line from the mouth to the deepest point."""
    along = row[:wall]
    within = np.flatnonzero(along > 0.0)
    first = int(within[0]) if within.size else wall - 1
    highest = np.maximum.accumulate(along[first:])
    fallen = np.flatnonzero(along[first:] < highest - _FALL)
    until = first + int(fallen[0]) if fallen.size else wall
    peak = first + int(np.argmax(along[first:until])) if until > first else first
    return peak + int(np.argmin(row[peak:]))


def _hole_points(hole: Hole) -> tuple[Numbers, int]:
    """Points on lines from the mouth to the deepest point, shape (lines, points, 3).

    Also how many points of a line lie on the straight wall; the last of them is the end
    of the full diameter.
    """
    straight = np.linspace(0.0, hole.depth, _LEVELS)
    inward = np.array([2 / 3, 1 / 3, 0.0])
    depths = np.concatenate([straight, hole.depth + (1 - inward) * hole.point_height])
    radii = hole.radius * np.concatenate([np.ones(_LEVELS), inward])
    # Port and starboard are alike, so half the lines serve a hole on the centre line.
    halved = hole.axis != "across" and hole.y == 0.0
    turn = np.linspace(0.0, 2 * np.pi, _AROUND + 1)[: _AROUND // 2 + 1 if halved else _AROUND]
    along = np.array(hole.direction)
    one = np.array([1.0, 0.0, 0.0])
    other = np.cross(along, one)
    ring = np.cos(turn)[:, None] * one + np.sin(turn)[:, None] * other
    axis = np.array([hole.x, hole.y, hole.z]) + depths[:, None] * along
    return axis + radii[:, None] * ring[:, None, :], _LEVELS


def _patch(hole: Hole, body: Body) -> Numbers:
    """Points of the skin near a hole in rings, shape (rings, points, 3)."""
    reach = hole.radius + body.breadth / 2.0 + 2 * _SKIN_STEP
    low, high = max(body.nose, hole.x - reach), min(body.tail, hole.x + reach)
    # A body of a size that no plug has must not take a machine's whole memory.
    step = max(_SKIN_STEP, (body.breadth + body.height) / 300.0, (high - low) / 1000.0)
    x = np.linspace(low, high, max(4, math.ceil((high - low) / step)))
    around = 4 * math.ceil((body.breadth + body.height) / 2.0 / step * 0.8)
    y, z = outlines(body, x, max(around, 24))
    return np.stack([np.broadcast_to(x[:, None], y.shape), y, z], axis=-1)


def _forward(hole: Hole, body: Body, points: Numbers, patch: Numbers) -> Numbers:
    """Distance of points to the skin level with them or beyond, seen along the drilling [m]."""
    along = np.array(hole.direction)
    beyond = (patch @ along).reshape(1, -1) >= (points @ along)[:, None] - 1e-12
    best = _nearest(points, patch, beyond)
    best = np.minimum(best, _level_distance(hole, body, points, patch[:, 0, 0]))
    for end, sign in ((body.nose, 1.0), (body.tail, -1.0)):
        if body.section_area(end) > 0.0:
            faces = body.inside(np.full(len(points), end), points[:, 1], points[:, 2])
            best = np.where(faces, np.minimum(best, sign * (points[:, 0] - end)), best)
    return best


def _level_distance(hole: Hole, body: Body, points: Numbers, x: Numbers) -> Numbers:
    """Distance of points to the outline of the body cut level with them, square to the hole."""
    across = hole.axis == "across"
    level = points[:, 1 if across else 2][:, None]
    if across:
        cut = body.cuts(x)
        share = np.abs(level) / np.maximum(cut.half_breadth, 1e-12)
        there = share <= 1.0
        share = np.minimum(share, 1.0)
        up = cut.widest + cut.above * body.section.upper_half.height_at(share)
        down = cut.widest - cut.below * body.section.lower_half.height_at(share)
        sides = [up, down]
    else:
        breadth = body.half_breadth_at(x, level)
        there = breadth > 0.0
        sides = [breadth, -breadth]
    own = points[:, 2 if across else 1][:, None]
    squares = [(points[:, :1] - x) ** 2 + (own - side) ** 2 for side in sides]
    nearest = [_refined(np.where(there, square, np.inf)) for square in squares]
    return np.minimum(nearest[0], nearest[1])


def _refined(squares: Numbers) -> Numbers:
    """Least distances from rows of squared distances along a line, between its points too."""
    at = np.argmin(squares, axis=1)
    rows = np.arange(len(squares))
    last = squares.shape[1] - 1
    before, after = np.maximum(at - 1, 0), np.minimum(at + 1, last)
    here = squares[rows, at]
    drop = _drop(squares[rows, before], here, squares[rows, after], (at > 0) & (at < last))
    return np.asarray(np.sqrt(np.maximum(here - drop, 0.0)))


_BLOCK = 64
"""Points measured at a time: the table of all distances at once would take tens of MB."""


def _nearest(points: Numbers, patch: Numbers, allowed: NDArray[np.bool_] | None) -> Numbers:
    """Distances of points to the nearest of a patch's points, refined between them."""
    blocks = [slice(start, start + _BLOCK) for start in range(0, len(points), _BLOCK)]
    return np.concatenate(
        [_nearest_of(points[b], patch, None if allowed is None else allowed[b]) for b in blocks]
    )


def _nearest_of(points: Numbers, patch: Numbers, allowed: NDArray[np.bool_] | None) -> Numbers:
    """The same of a block of points."""
    rings, around, _ = patch.shape
    cloud = patch.reshape(-1, 3)
    origin = points.mean(axis=0)
    p, q = (np.asarray(one - origin, dtype=np.float32) for one in (points, cloud))
    # Axis by axis: a product of matrices this small would wake every thread of the library.
    # Single precision, a few nanometres about the points' middle, takes half the time.
    squares = np.zeros((len(p), len(q)), dtype=np.float32)
    for axis in range(3):
        apart = p[:, axis, np.newaxis] - q[:, axis]
        squares += apart * apart
    if allowed is not None:
        np.copyto(squares, np.inf, where=~allowed)
    at = np.argmin(squares, axis=1)
    ring, spot = np.divmod(at, around)
    rows = np.arange(len(points))
    here = squares[rows, at]
    ahead = squares[rows, np.maximum(ring - 1, 0) * around + spot]
    aft = squares[rows, np.minimum(ring + 1, rings - 1) * around + spot]
    left = squares[rows, ring * around + (spot - 1) % around]
    right = squares[rows, ring * around + (spot + 1) % around]
    drop = _drop(ahead, here, aft, (ring > 0) & (ring < rings - 1))
    drop += _drop(left, here, right, np.ones(len(points), dtype=bool))
    return np.asarray(np.sqrt(np.maximum(here - drop, 0.0)))


def _drop(before: Numbers, here: Numbers, after: Numbers, both: NDArray[np.bool_]) -> Numbers:
    """How far the parabola through three squares dips below the middle one."""
    with np.errstate(invalid="ignore", divide="ignore"):
        bend = before - 2.0 * here + after
        usable = both & np.isfinite(bend) & (bend > 0.0)
        dip = (after - before) ** 2 / (8.0 * bend)
    return np.asarray(np.where(usable, dip, 0.0))
