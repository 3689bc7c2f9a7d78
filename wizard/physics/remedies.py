"""What would make a drill plan fit: a larger drill, a denser metal, a thicker blank, less ballast.

Each is found by asking for the plan again, on the grid while searching and on the true
skin at the end, so that what is named does fit. It takes longer than the plan itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import islice
from typing import Literal

import numpy as np

from wizard.physics.clearance import Capsule
from wizard.physics.drill_order import Order
from wizard.physics.layout import Proposal, away, fitting, search
from wizard.physics.pieces import Piece
from wizard.physics.room import room
from wizard.physics.shape import Body
from wizard.physics.stacking import size

DENSEST = 22_590.0  # kg/m3, osmium: no metal is denser; CRC Handbook, from memory
_DRILL_STEP = 0.5e-3  # m
_HALVINGS = 6
_THICKEST = 2.0  # times the blank as it is
_LIGHTER_TRIES = 40
_NUDGES = 4

Kind = Literal["larger drill", "denser metal", "thicker blank", "wider blank", "less ballast"]


@dataclass(frozen=True, slots=True)
class Remedy:
    """One change that would do.

    Attributes:
        kind: what to change.
        value: diameter of the drill [m], density of the metal [kg/m3], what to add to the
            blank [m], or the ballast that would do [kg].
        order: what is asked, so changed.
    """

    kind: Kind
    value: float
    order: Order


def remedies(order: Order, plan: Proposal) -> tuple[Remedy, ...]:
    """Changes that would do, each by itself; empty if the plan is reached or none would.

    Args:
        order: what was asked.
        plan: what was proposed for it. If nothing fitted, a remedy makes everything fit; if
            only the aim was missed, it meets the aim.
    """
    if plan.reached or not order.pieces:
        return ()
    fits_already = bool(plan.holes)

    def does(changed: Order) -> bool:
        space = room(changed.body, changed.axis, changed.wall, changed.gap, changed.obstacles)
        found = search(changed, space)
        if found is None:
            return False
        return not fits_already or abs(away(changed, found)) <= changed.tolerance

    def confirmed(changed: Order) -> bool:
        found = fitting(changed)
        return found is not None and (found.reached or not fits_already)

    ways = [_larger_drill, _denser_metal, _thicker_blank, _less_ballast]
    found = [one for way in ways if (one := way(order, does, confirmed))]
    if not fits_already and all(one.kind != "less ballast" for one in found):
        much_less = _as_much_as_fits(order, does, confirmed)
        found += [much_less] if much_less else []
    return tuple(found)


Test = Callable[[Order], bool]


def _larger_drill(order: Order, does: Test, confirmed: Test) -> Remedy | None:
    """The narrowest drill, by half millimetres, that would do in place of those at hand."""
    widest = max((known[0] for piece in order.pieces if (known := size(piece))), default=0.0)
    narrow = [drill for drill in order.drills if drill >= widest - 1e-9]
    first = math.ceil(max(widest, min(narrow, default=0.0)) / _DRILL_STEP - 1e-6)
    last = math.floor((order.body.breadth - 2.0 * order.wall) / _DRILL_STEP)
    for steps in range(max(first, 1), last + 1):
        changed = replace(order, drills=(steps * _DRILL_STEP,))
        if does(changed) and confirmed(changed):
            return Remedy("larger drill", steps * _DRILL_STEP, changed)
    return None


def _denser_metal(order: Order, does: Test, confirmed: Test) -> Remedy | None:
    """The least dense metal that would do for pieces of the same masses and forms."""
    least = min(piece.metal_density for piece in order.pieces)

    def cast(share: float) -> Order:
        pieces = (denser(piece, least + share * (DENSEST - least)) for piece in order.pieces)
        return replace(order, pieces=tuple(pieces))

    share = _least(cast, does, confirmed)
    if share is None:
        return None
    return Remedy("denser metal", least + share * (DENSEST - least), cast(share))


def _thicker_blank(order: Order, does: Test, confirmed: Test) -> Remedy | None:
    """How much thicker (for holes across, wider) the blank would have to be."""
    across = order.axis == "across"
    whole = order.body.breadth if across else order.body.height

    def thickened(share: float) -> Order:
        factor = 1.0 + share * (_THICKEST - 1.0)
        return _wider(order, factor) if across else _thicker(order, factor)

    share = _least(thickened, does, confirmed)
    if share is None:
        return None
    added = share * (_THICKEST - 1.0) * whole
    return Remedy("wider blank" if across else "thicker blank", added, thickened(share))


def _less_ballast(order: Order, does: Test, confirmed: Test) -> Remedy | None:
    """The heaviest part of the pieces that would do."""
    for tried, pieces in enumerate(_lighter(order.pieces)):
        changed = replace(order, pieces=pieces)
        if does(changed) and confirmed(changed):
            return Remedy("less ballast", sum(p.mass * p.count for p in pieces), changed)
        if tried >= _LIGHTER_TRIES:
            break
    return None


def _as_much_as_fits(order: Order, does: Test, confirmed: Test) -> Remedy | None:
    """Pieces by falling mass, each taken if it still goes in, where far less has to do."""
    kept: list[Piece] = []
    for one in islice(_falling(order.pieces), _LIGHTER_TRIES):
        if does(replace(order, pieces=(*kept, one))):
            kept.append(one)
    while kept:
        changed = replace(order, pieces=tuple(kept))
        if confirmed(changed):
            return Remedy("less ballast", sum(piece.mass for piece in kept), changed)
        kept.pop()
    return None


def _falling(pieces: Sequence[Piece]) -> list[Piece]:
    """Pieces one by one, the heaviest first."""
    single = [replace(piece, count=1) for piece in pieces for _ in range(piece.count)]
    return sorted(single, key=lambda piece: (-piece.mass, piece.id))


def denser(piece: Piece, density: float) -> Piece:
    """A piece of the same mass and form in a denser metal; wire keeps its gauge."""
    if density <= piece.metal_density:
        return piece
    share = piece.metal_density / density
    across, along = (1.0, share) if piece.form == "wire" else (share ** (1 / 3), share ** (1 / 3))
    return replace(
        piece,
        metal_density=density,
        diameter=piece.diameter and piece.diameter * across,
        length=piece.length and piece.length * along,
    )


def _least(change: Callable[[float], Order], does: Test, confirmed: Test) -> float | None:
    """Least share from 0 to 1 of a change that would do, found by halving and confirmed."""
    if not does(change(1.0)):
        return None
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if does(change(middle)) else (middle, high)
    for nudge in range(_NUDGES):
        share = min(high + nudge * 0.5**_HALVINGS, 1.0)
        if confirmed(change(share)):
            return share
    return None


def _thicker(order: Order, factor: float) -> Order:
    """The order with every height above the baseline times a factor, screws and wires too."""
    stations = tuple(
        replace(one, top=one.top * factor, bottom=one.bottom * factor)
        for one in order.body.stations
    )
    obstacles = tuple(
        Capsule(
            (*one.start[:2], one.start[2] * factor), (*one.end[:2], one.end[2] * factor), one.radius
        )
        for one in order.obstacles
    )
    return replace(order, body=Body(stations, order.body.section), obstacles=obstacles)


def _wider(order: Order, factor: float) -> Order:
    stations = tuple(
        replace(one, half_breadth=one.half_breadth * factor) for one in order.body.stations
    )
    return replace(order, body=Body(stations, order.body.section))


def _lighter(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, ...]]:
    """The pieces less ever more: sub-lists by falling mass, none empty, none twice."""
    single = _falling(pieces)[::-1]
    masses = np.array([piece.mass for piece in single])
    heap: list[tuple[float, tuple[int, ...]]] = [(float(masses[0]), (0,))]
    kinds = [(piece.id, piece.mass) for piece in single]
    while heap:
        removed, out = heappop(heap)
        left = tuple(piece for n, piece in enumerate(single) if n not in out)
        if left:
            yield left
        following = out[-1] + 1
        if following < len(single):
            heappush(heap, (removed + float(masses[following]), (*out, following)))
        # Of pieces alike the first ones go: all other choices of as many are the same.
        others = (n for n in range(following, len(single)) if kinds[n] != kinds[out[-1]])
        other = next(others, None)
        if other is not None:
            swapped = removed - float(masses[out[-1]]) + float(masses[other])
            heappush(heap, (swapped, (*out[:-1], other)))
