"""A drill plan: where to drill, how wide and how deep, for pieces and a centre of gravity.

The pieces are dealt out to one to four holes in a few ways, each hole drilled with
one of the drills at hand, and the holes are set along the body so that walls stay,
holes keep clear of each other and of screws and wires, and the ballast weighs where
it is wanted as closely as possible. The same question always has the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from wizard.physics.clearance import hole_gap, least_gap, thinnest_wall
from wizard.physics.drill_order import Group, Order, dealings
from wizard.physics.holes import Hole
from wizard.physics.parts import Place
from wizard.physics.pieces import Piece
from wizard.physics.placing import Lane, Spot, best_spots, lane, lengthways_short
from wizard.physics.room import FINEST, Room, room
from wizard.physics.stacking import Stack, size, stack

_HAIR = 0.05e-3  # m: the accuracy of a wall
_ROUNDS = 6
_SHARES = 4  # of the tolerance: trims in the same share of it are equal

LimitKind = Literal[
    "no pieces",
    "no drills",
    "drill too narrow",
    "drill too wide",
    "depth",
    "length",
    "obstacle",
    "aim",
]


@dataclass(frozen=True, slots=True)
class Limit:
    """What keeps a plan from fitting or from its aim.

    Attributes:
        kind: "drill too narrow" for the widest piece; "drill too wide" to leave its walls
            anywhere; "depth" between mouth and wall; "length" to set the holes side by
            side; "obstacle" when it would do without screws and wires; "aim" when the
            ballast cannot act where it should.
        by: how much is missing, to half a millimetre [m]; 0 where there is nothing to
            place, or to drill with, and where an obstacle only keeps the aim from being met.
    """

    kind: LimitKind
    by: float


@dataclass(frozen=True, slots=True)
class Proposal:
    """A drill plan.

    Attributes:
        holes: from nose to tail; empty if nothing fits.
        pieces: what goes into each hole, the first at the blind end.
        stacks: how it lies there.
        place: CG of the ballast; None without holes.
        away: how far aft of the aim the ballast acts [m]; None without holes.
        wall: thinnest wall of all holes [m]; None without holes.
        reached: whether everything fits and the aim is met within the tolerance.
        binding: the limits that bind; empty if reached.
    """

    holes: tuple[Hole, ...]
    pieces: tuple[tuple[Piece, ...], ...]
    stacks: tuple[Stack, ...]
    place: Place | None
    away: float | None
    wall: float | None
    reached: bool
    binding: tuple[Limit, ...]


def propose(order: Order) -> Proposal:
    """The best drill plan, or the limits that bind.

    Best means: everything fits; the aim met within the tolerance; then as high or low as
    asked, or else the fewest holes; then the wood taken out that the mass wants, the better
    trim, and the least wood taken out.

    Raises:
        ValueError: if a drill, the wall, the gap or the plug is not above zero, or a
            piece has no mass.
    """
    plan = fitting(order)
    if plan is not None:
        return plan if plan.reached else replace(plan, binding=_aim_limits(order, plan))
    missing = _missing(order)
    if missing:
        return _nothing(missing)
    walls = (order.wall + n * FINEST / 2.0 for n in range(2 * _ROUNDS))
    limits = (shortage(replace(order, wall=wall)) for wall in walls)
    return _nothing(next((found for found in limits if found), ()))


def fitting(order: Order) -> Proposal | None:
    """The best drill plan without the limits that bind, which take longer; None if nothing fits.

    Raises:
        ValueError: as `propose`.
    """
    _check(order)
    if _missing(order):
        return None
    tried = (_checked_plan(order, allowance) for allowance in (0.0, FINEST / 2.0))
    return next((plan for plan in tried if plan is not None), None)


def _checked_plan(order: Order, allowance: float) -> Proposal | None:
    """A plan whose walls and gaps hold on the true skin, not only on the grid.

    Where the grid was too kind, it is asked for as much more.

    Args:
        order: what is asked.
        allowance: by how much the grid, which rounds depths down, may be kinder at first [m].
    """
    wall, gap = order.wall - allowance, order.gap
    for _ in range(_ROUNDS):
        found = search(order, room(order.body, order.axis, wall, gap, order.obstacles))
        if found is None:
            return None
        plan = _plan(order, found)
        assert plan.wall is not None
        short_wall, short_gap = order.wall - plan.wall, order.gap - _least_gap(order, plan.holes)
        if max(short_wall, short_gap) <= _HAIR:
            return plan
        wall += max(short_wall - FINEST / 2.0, 2.0 * _HAIR) if short_wall > _HAIR else 0.0
        gap += max(short_gap, 2.0 * _HAIR) if short_gap > _HAIR else 0.0
    return None


def _check(order: Order) -> None:
    lengths = (order.wall, order.gap, order.plug, *order.drills)
    if not all(0.0 < length < math.inf for length in lengths):
        raise ValueError("drills, wall, gap and plug must be above 0")
    if not all(0.0 < piece.mass < math.inf for piece in order.pieces):
        raise ValueError("a piece of ballast needs a mass")


def _missing(order: Order) -> tuple[Limit, ...]:
    """Limits that need no search."""
    if not sum(piece.count for piece in order.pieces):
        return (Limit("no pieces", 0.0),)
    if not order.drills:
        return (Limit("no drills", 0.0),)
    widest = max((known[0] for piece in order.pieces if (known := size(piece))), default=0.0)
    if widest > max(order.drills) + 1e-9:
        return (Limit("drill too narrow", widest - max(order.drills)),)
    return ()


def _nothing(limits: tuple[Limit, ...]) -> Proposal:
    return Proposal((), (), (), None, None, None, False, limits)


# Searching


def _dealt(order: Order, space: Room) -> Iterator[list[Lane]]:
    """The lanes of every dealing."""
    lanes: dict[tuple[Group, float], Lane] = {}
    for groups, drills in dealings(order):
        for key in zip(groups, drills, strict=True):
            if key not in lanes:
                lanes[key] = lane(order, space, *key)
        yield [lanes[key] for key in zip(groups, drills, strict=True)]


def search(order: Order, space: Room) -> tuple[Spot, ...] | None:
    """The best spots for holes, or None if nothing fits."""
    best: tuple[tuple[float, ...], tuple[Spot, ...]] | None = None
    for lanes in _dealt(order, space):
        settled = best is not None and order.height is None and best[0][0] == 0.0
        if settled and best is not None and len(lanes) > len(best[1]):
            break
        spots = best_spots(order, space, lanes)
        if spots is not None:
            rank = _rank(order, spots)
            if best is None or rank < best[0]:
                best = rank, spots
    return best[1] if best else None


def fits(order: Order, space: Room) -> bool:
    """Whether everything goes in somewhere, wherever it then acts."""
    for lanes in _dealt(order, space):
        if max(one.short for one in lanes) <= 1e-9 and lengthways_short(space, lanes) == 0.0:
            return True
    return False


def _rank(order: Order, spots: tuple[Spot, ...]) -> tuple[float, ...]:
    """Lower is better: miss beyond the tolerance, then height, holes, wood, and trim within it."""
    off = abs(away(order, spots))
    miss, within = max(off - order.tolerance, 0.0), min(off / order.tolerance, 1.0)
    wood = sum(spot.hole.volume for spot in spots)
    least, most = order.volume
    amiss = max(least - wood, wood - most, 0.0)
    rest = len(spots), round(amiss, 9), round(_SHARES * within), wood
    if order.height is None:
        return round(miss, 6), *rest
    mass = sum(spot.mass for spot in spots)
    z = sum(spot.mass * spot.z for spot in spots) / mass
    return round(miss, 6), round(-z if order.height == "high" else z, 4), *rest


def away(order: Order, spots: Sequence[Spot]) -> float:
    """How far aft of the aim the contents of the holes act, on the ballast's mass [m]."""
    pull = sum(spot.pull for spot in spots) - order.aim.moment
    return pull / sum(spot.mass for spot in spots)


def _plan(order: Order, spots: tuple[Spot, ...]) -> Proposal:
    spots = tuple(sorted(spots, key=lambda spot: spot.hole.x))
    stacks = tuple(stack(spot.hole, spot.pieces) for spot in spots)
    mass = sum(held.mass for held in stacks)
    placed = [(held.mass / mass, held.place) for held in stacks if held.place]
    miss = away(order, spots)
    return Proposal(
        holes=tuple(spot.hole for spot in spots),
        pieces=tuple(spot.pieces for spot in spots),
        stacks=stacks,
        place=Place(
            x=sum(share * place.x for share, place in placed),
            y=sum(share * place.y for share, place in placed),
            z=sum(share * place.z for share, place in placed),
        ),
        away=miss,
        wall=min(thinnest_wall(spot.hole, order.body).thickness for spot in spots),
        reached=abs(miss) <= order.tolerance,
        binding=(),
    )


def _least_gap(order: Order, holes: Sequence[Hole]) -> float:
    """Least wood between holes and to obstacles [m]."""
    between = [hole_gap(a, b) for n, a in enumerate(holes) for b in holes[:n]]
    return min((*between, *(least_gap(hole, order.obstacles) for hole in holes)))


# Limits


def _aim_limits(order: Order, plan: Proposal) -> tuple[Limit, ...]:
    """Why the aim is missed: by how much, and whether an obstacle keeps it."""
    assert plan.away is not None
    missed = Limit("aim", abs(plan.away) - order.tolerance)
    if order.obstacles:
        free = replace(order, obstacles=())
        found = search(free, room(order.body, order.axis, order.wall, order.gap, ()))
        if found and abs(away(order, found)) <= order.tolerance:
            return missed, Limit("obstacle", 0.0)
    return (missed,)


def shortage(order: Order) -> tuple[Limit, ...]:
    """Which limit keeps everything from fitting on the grid, for the dealing that comes closest."""
    space = room(order.body, order.axis, order.wall, order.gap, order.obstacles)
    depth, length, wide = math.inf, math.inf, math.inf
    for lanes in _dealt(order, space):
        short = max(one.short for one in lanes)
        depth = min(depth, short)
        wide = min(wide, max(one.diameter for one in lanes) - 2.0 * float(np.max(space.shrunk)))
        if short <= 0.0:
            length = min(length, lengthways_short(space, lanes))
    if length == 0.0:
        return ()
    if order.obstacles and not shortage(replace(order, obstacles=())):
        return (Limit("obstacle", depth if depth > 0.0 else length),)
    if math.isinf(depth):
        return (Limit("drill too wide", wide),)
    return (Limit("depth", depth) if depth > 0.0 else Limit("length", length),)
