"""Pieces and holes sought in turn until they agree: the holes change what the pieces must weigh."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

from wizard.physics.choice import LONGEST_CUT, STEP, Choice, ChoiceLimit, choice
from wizard.physics.pieces import MOULDED, PieceSet
from wizard.physics.pieces import Piece as Solid
from wizard.plug.ballast.drawer import portions
from wizard.plug.ballast.plan_found import Found
from wizard.plug.ballast.plan_laying import Laying
from wizard.plug.ballast.plan_sets import Fitting

_ROUNDS = 6
_NEAR = 0.15  # share by which drilling may change what is wanted
_LOOKED_AT = 400  # sets of pieces that are looked at, at most, in one round
_SETS = 16  # of these, sets that are laid out
_OFF = 2  # of these, sets that lie well but whose mass the holes put off
_IN_ALL = 32  # sets that are laid out in all rounds
_REPORTED = 4  # sets laid out where nothing fits, for the limit that comes closest
_SHORTER = (0.75, 0.5)  # of the longest wire that goes in


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to choose pieces.

    Attributes:
        solids: what may be taken, as equivalents.
        longest_cut: the longest piece of wire [m].
        is_varied: whether it is another way than what fits asks for.
    """

    solids: tuple[Solid, ...]
    longest_cut: float
    is_varied: bool = False


class Search:
    """Pieces and holes sought in turn."""

    def __init__(self, laying: Laying) -> None:
        self.laying, self.goal, self.stock = laying, laying.goal, laying.stock

    def best(self) -> Found:
        """The first round in which pieces and holes agree, else the one that comes closest.

        Holes come in steps, so what is wanted may jump to and fro: later rounds go half way.
        """
        wanted, tried = self.goal.first_guess(), list[Found]()
        for number in range(_ROUNDS):
            rounds = self._round(max(wanted, self.goal.tolerance / 10.0))
            tried += rounds
            nearest = min(rounds, key=self._promise)
            if any(self.laying.meets(one) for one in rounds) or nearest.set is None:
                break
            if abs(nearest.wanted - wanted) <= self.goal.tolerance >= nearest.off:
                break
            if self.laying.count >= _IN_ALL:
                break
            wanted = nearest.wanted if number == 0 else (wanted + nearest.wanted) / 2.0
        found = min(tried, key=self.laying.badness)
        return self._chosen_again(found) if self.laying.meets(found) else found

    def _chosen_again(self, found: Found) -> Found:
        """The best of what could be chosen, now that it is known what is wanted with holes."""
        way = next(self._ways(found.wanted))
        chosen = self._chosen(found.wanted, self.goal.tolerance, way)
        sets = [one for one in chosen.sets if one.pieces <= found.pieces]
        if not sets or (found.trim == 0 and sets[0].pieces == found.pieces):
            return found
        other = self._best_of(sets, found.wanted, [])
        if other is None:
            return found
        return min(found, other, key=lambda one: (one.pieces, one.trim))

    @staticmethod
    def _promise(found: Found) -> tuple[bool, bool, float, float]:
        """Lower is better to go on from: it lies well, whatever its mass is now."""
        short = max((limit.by for limit in found.limits), default=0.0)
        return found.set is None, bool(found.limits), round(short, 3), found.off

    def _round(self, wanted: float) -> list[Found]:
        """Sets of pieces for an amount, laid out until one agrees; the best of them last."""
        if not any(one.count for one in self.stock.solids):
            return [self.laying.laid_out(portions(self.goal, wanted), wanted)]
        laid_out: list[Found] = []
        for way in self._ways(wanted):
            chosen = self._chosen(wanted, self.goal.tolerance, way)
            limit = chosen.limit
            if limit is not None and way.is_varied:
                continue
            sets = chosen.sets if limit is None else self._nearest(wanted, limit, way)
            found = self._best_of(sets, wanted, laid_out)
            if found is not None:
                return [*laid_out, found]
            if any(one.set is not None for one in laid_out):
                break
        if not laid_out:
            laid_out = [self._as_chosen(wanted)]
        return sorted(laid_out, key=self.laying.badness, reverse=True)

    def _best_of(
        self, sets: Iterable[PieceSet], wanted: float, laid_out: list[Found]
    ) -> Found | None:
        """The best trim among the sets of the fewest pieces that meet all; None if none does.

        Args:
            sets: fewest pieces first, then nearest in mass.
            wanted: ballast wanted before holes are laid out [kg].
            laid_out: gets what was tried.
        """
        best: Found | None = None
        tried, off = 0, 0
        for one in sets:
            solids = self.stock.taken(one)
            if tried >= _SETS or off >= _OFF or self.laying.count >= _IN_ALL:
                break
            if best is not None and one.pieces > best.pieces:
                break
            if not self.fitting.together(solids):
                continue
            tried += 1
            found = self.laying.laid_out(solids, wanted)
            if self.laying.meets(found):
                if best is None or (found.pieces, found.trim) < (best.pieces, best.trim):
                    best = found
                if best.trim == 0 or self.goal.trim is None:
                    break
                continue
            laid_out.append(found)
            off += found.set is not None and not found.limits
        return best

    def _as_chosen(self, wanted: float) -> Found:
        """Why nothing of the whole drawer goes in: the set that comes closest, as it is."""
        way = _Way(self.stock.equivalents, LONGEST_CUT)
        chosen = self._chosen(wanted, self.goal.tolerance, way)
        limit = chosen.limit
        near = chosen.sets if limit is None else self._nearest(wanted, limit, way)
        laid_out = [
            self.laying.laid_out(self.stock.taken(one), wanted) for one in islice(near, _REPORTED)
        ]
        if limit is not None and not laid_out:
            return Found.of_choice(wanted, limit)
        return min(laid_out, key=self.laying.badness)

    @cached_property
    def fitting(self) -> Fitting:
        """What holes in this body take."""
        return Fitting(self.laying.order((), self.goal.first_guess()))

    @cached_property
    def _usable(self) -> tuple[Solid, ...]:
        """The pieces that fit somewhere by themselves, with their own masses."""
        return tuple(one for one in self.stock.solids if self.fitting.usable(one))

    @property
    def left_out(self) -> tuple[tuple[str, str], ...]:
        """Names of pieces that fit nowhere even by themselves, with the reason."""
        out = [one for one in self.stock.solids if one.count and one not in self._usable]
        return tuple(
            (self.stock.name(one), "no hole in this body takes such a piece") for one in out
        )

    def _ways(self, wanted: float) -> Iterator[_Way]:
        """Ways to choose, tried while nothing fits: cut as long as goes in, then shorter.

        What is moulded goes into one hole, then in like portions into several.
        """
        ids = {one.id for one in self._usable}
        own = tuple(one for one in self.stock.equivalents if one.id in ids)
        wires = [one for one in self._usable if one.form == "wire"]
        longest = self.fitting.longest_cut(wires)
        yield _Way(own, longest)
        if wires:
            for share in _SHORTER:
                yield _Way(own, share * longest, is_varied=True)
        for holes in range(2, self.fitting.most_holes + 1):
            portioned = tuple(_portioned(one, wanted / holes) for one in own)
            if portioned != own:
                yield _Way(portioned, longest, is_varied=True)

    def _chosen(self, wanted: float, tolerance: float, way: _Way) -> Choice:
        return choice(
            way.solids, wanted, tolerance, longest_cut=way.longest_cut, alternatives=_LOOKED_AT
        )

    def _nearest(self, wanted: float, limit: ChoiceLimit, way: _Way) -> Iterator[PieceSet]:
        """Sets that just miss an amount: with their holes drilled they may be what is wanted."""
        for mass in (limit.below, limit.above):
            if mass is not None and abs(mass - wanted) <= _NEAR * wanted:
                yield from self._chosen(mass, 2.0 * STEP, way).sets


def _portioned(one: Solid, mass: float) -> Solid:
    """What is moulded to its hole in portions of a mass [kg], up to a whole step; else as it is."""
    portion = math.ceil(round(mass / STEP, 6)) * STEP
    if one.form not in MOULDED or one.mass <= portion:
        return one
    return replace(one, mass=portion, count=one.count * int(one.mass / portion))
