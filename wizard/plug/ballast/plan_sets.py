"""Which sets of pieces are worth laying out: what fits nowhere is found before it is chosen.

A piece that fits nowhere by itself is in no plan, wire is cut no longer than the
deepest hole takes, and pieces that do not fit together are not tried with others again.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from wizard.physics.choice import LONGEST_CUT
from wizard.physics.drill_order import Order
from wizard.physics.layout import fits
from wizard.physics.pieces import CUT_FORMS, Piece, cut_length
from wizard.physics.placing import lane
from wizard.physics.room import FINEST, Room, room
from wizard.physics.stacking import size

_TRIAL = 1e-3  # m: of wire, to learn what room is left over it
_HAIR = 1e-9  # kg


class Fitting:
    """What holes in a body take, on a grid that is kinder than the true skin, never harder."""

    def __init__(self, order: Order) -> None:
        wall = max(order.wall - FINEST / 2.0, FINEST)
        self._order = order
        self._room: Room = room(order.body, order.axis, wall, order.gap, order.obstacles)
        self._clashes: list[tuple[Piece, ...]] = []

    @property
    def most_holes(self) -> int:
        """At most so many holes are drilled."""
        return self._order.most_holes

    def alone(self, piece: Piece) -> float:
        """Length to spare over a piece in a hole of its own, where there is most of it [m].

        Negative where it fits nowhere, minus infinity where no drill is wide enough.
        """
        known = size(piece)
        width = known[0] if known else 0.0
        drills = [drill for drill in self._order.drills if drill >= width - 1e-9]
        single = replace(piece, count=1)
        spare = (-lane(self._order, self._room, (single,), drill).short for drill in drills)
        return max(spare, default=-float("inf"))

    def longest_cut(self, wires: Iterable[Piece]) -> float:
        """The longest piece of wire or rod that goes into a hole of this body [m]."""
        longest = 0.0
        for wire in wires:
            whole = cut_length(wire, wire.mass)
            if whole is None:
                return LONGEST_CUT
            trial = min(_TRIAL, whole)
            cut = replace(wire, mass=wire.mass * trial / whole, length=trial)
            longest = max(longest, trial + self.alone(cut))
        return min(longest, LONGEST_CUT) if longest > _TRIAL else LONGEST_CUT

    def usable(self, piece: Piece) -> bool:
        """Whether a piece goes into any hole, or for what is cut any part of it."""
        if piece.form not in CUT_FORMS:
            return self.alone(piece) >= -1e-9
        whole = cut_length(piece, piece.mass)
        if whole is None:
            return True
        share = min(1.0, _TRIAL / whole)
        trial = replace(piece, mass=piece.mass * share, length=whole * share)
        return self.alone(trial) >= -1e-9

    def together(self, pieces: Sequence[Piece]) -> bool:
        """Whether pieces fit; the fewest of them that do not are remembered."""
        single = sorted(_single(pieces), key=lambda one: one.volume)
        if any(_holds(single, clash) for clash in self._clashes):
            return False
        if self._fits(single):
            return True
        self._clashes.append(self._least(single))
        return False

    def _least(self, clash: Sequence[Piece]) -> tuple[Piece, ...]:
        """As few as still do not fit, of the first kinds the fewest: wire may be in hundreds."""
        left = Counter(clash)

        def is_clash(kind: Piece, count: int) -> bool:
            return not self._fits(list(Counter({**left, kind: count}).elements()))

        for kind, count in Counter(clash).items():
            left[kind] = bisect_left(range(count), True, key=partial(is_clash, kind))
        return tuple(left.elements())

    def _fits(self, single: Sequence[Piece]) -> bool:
        return not single or fits(replace(self._order, pieces=tuple(single)), self._room)


def _single(pieces: Sequence[Piece]) -> Iterator[Piece]:
    for one in pieces:
        for _ in range(one.count):
            yield replace(one, count=1)


def _holds(pieces: Sequence[Piece], clash: Sequence[Piece]) -> bool:
    """Whether all of a clash is among pieces; what is cut counts where it is as long."""
    for kind in {one.id for one in clash}:
        own = sorted((one.mass for one in pieces if one.id == kind), reverse=True)
        least = sorted((one.mass for one in clash if one.id == kind), reverse=True)
        if len(own) < len(least):
            return False
        if any(mine < other - _HAIR for mine, other in zip(own, least, strict=False)):
            return False
    return True
