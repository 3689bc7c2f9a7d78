"""Which pieces from the drawer make up a wanted mass: the exact best, not a greedy guess.

Best means: within the tolerance, then the fewest pieces, then the closest mass,
then (if the caller gives a key) the best trim, then the least cut off wire or putty.
Where a trim takes a layout to know, the caller lays the sets of the fewest pieces out.
Wire and rod are cut to length for the rest, sheet and putty portioned; each cut
counts as a piece. Masses count in whole steps; `subsets` has the method.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from wizard.physics.pieces import CUT_FORMS, Piece, PieceSet, Taken, cut_length
from wizard.physics.subsets import Found, Item, best_sets, sums

LimitKind = Literal[
    "nothing wanted", "no pieces", "pieces too heavy", "drawer too light", "between two sums"
]

STEP = 1e-5  # kg: what a bench scale shows
MOST_STEPS = 100_000  # a larger sum is counted in coarser steps, so that no typing slip can hang
LONGEST_CUT = 0.025  # m: a cut that still stands in a hole; common practice, no source


@dataclass(frozen=True, slots=True)
class ChoiceLimit:
    """Why no set is within the tolerance.

    Attributes:
        kind: which limit binds.
        by: how far off it is [kg].
        below: the nearest sum below the wanted mass that can be made [kg]; None if none.
        above: the nearest sum above it [kg]; None if none.
    """

    kind: LimitKind
    by: float
    below: float | None = None
    above: float | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """What the drawer gives for a wanted mass.

    Attributes:
        wanted: [kg].
        tolerance: [kg].
        step: the step to which masses were rounded [kg].
        sets: the best sets, best first; empty if a limit binds.
        complete: True if every set as good as the best by pieces and mass was seen, so
            that the trim was decided among all of them.
        limit: which limit binds; None when there is a set.
    """

    wanted: float
    tolerance: float
    step: float
    sets: tuple[PieceSet, ...]
    complete: bool = True
    limit: ChoiceLimit | None = None

    @property
    def best(self) -> PieceSet | None:
        """The best set, if there is one."""
        return self.sets[0] if self.sets else None


def choice(
    drawer: Iterable[Piece],
    wanted: float,
    tolerance: float,
    *,
    trim: Callable[[PieceSet], float] | None = None,
    alternatives: int = 5,
    longest_cut: float = LONGEST_CUT,
    step: float = STEP,
    most: int = 64,
) -> Choice:
    """The best sets of one or more pieces for a wanted mass, or the limit that binds.

    Masses are rounded to whole steps, so a set of n pieces may be off by n / 2 steps
    of what the scale would say with more digits; a piece below half a step is left
    out. Beyond `MOST_STEPS` steps the step is widened and the answer says to what.

    Args:
        drawer: what is at hand.
        wanted: mass wanted [kg].
        tolerance: how far off the sum may be [kg], >= 0.
        trim: of two sets alike in pieces and mass the one with the lower value is better.
        alternatives: how many sets to give at most.
        longest_cut: longest piece of wire to cut [m].
        step: step of mass [kg], > 0.
        most: how many sets to look at, at most, for the best trim.

    Raises:
        ValueError: if a number is not finite, the tolerance is negative, or the step or
            a piece's density is not above zero.

    Source: the module's docstring.
    """
    pieces = [piece for piece in drawer if piece.count > 0 and piece.mass > 0]
    _check(pieces, wanted, tolerance, longest_cut, step)
    if wanted <= 0:
        return Choice(wanted, tolerance, step, (), limit=ChoiceLimit("nothing wanted", -wanted))
    high = min(wanted + tolerance, sum(piece.count * piece.mass for piece in pieces))
    step = max(step, high / MOST_STEPS)
    whole, cuts = _items(pieces, longest_cut, step)
    first = max(1, math.ceil(round((wanted - tolerance) / step, 6)))
    last = math.floor(round((wanted + tolerance) / step, 6))
    limit = _plain_limit(whole, cuts, wanted, tolerance, step, first, last)
    if limit is not None:
        return Choice(wanted, tolerance, step, (), limit=limit)
    window, most = (first, last), max(most, alternatives)
    ordered = best_sets(whole, cuts, window, wanted / step, most)
    found, complete = _best(ordered, alternatives, most if trim else alternatives)
    if not found:
        limit = _gap(whole + cuts, wanted, tolerance, step, first)
    ranked = [(one[:3], _piece_set(pieces, one, step)) for one in found]
    if trim:
        ranked.sort(key=lambda pair: (pair[0][:2], trim(pair[1]), pair[0]))
    sets = tuple(members for _, members in ranked[:alternatives])
    return Choice(wanted, tolerance, step, sets, complete, limit)


def _check(
    pieces: Sequence[Piece], wanted: float, tolerance: float, longest_cut: float, step: float
) -> None:
    numbers = [wanted, tolerance, step]
    numbers += [value for piece in pieces for value in (piece.mass, piece.metal_density)]
    if not all(math.isfinite(number) for number in numbers):
        raise ValueError("masses, tolerance, step and densities must be finite")
    if tolerance < 0 or step <= 0 or longest_cut <= 0:
        raise ValueError("tolerance must be >= 0, step and longest cut above 0")
    if any(piece.metal_density <= 0 for piece in pieces):
        raise ValueError("a metal's density must be above 0")


def _stock(piece: Piece, step: float) -> int:
    """Steps in one length, sheet or lump: never more than there is."""
    return math.floor(round(piece.mass / step, 6))


def _items(
    pieces: Sequence[Piece], longest_cut: float, step: float
) -> tuple[list[Item], list[Item]]:
    """Whole pieces, and what stock to be cut gives in longest cuts and remainders."""
    whole, cuts = [], []
    for source, piece in enumerate(pieces):
        if piece.form not in CUT_FORMS:
            whole.append(Item(source, round(piece.mass / step), piece.count))
            continue
        stock, length = _stock(piece, step), cut_length(piece, piece.mass)
        share = min(1.0, longest_cut / length) if length else 1.0
        longest = math.floor(round(piece.mass * share / step, 6))
        if longest:
            cuts.append(Item(source, longest, piece.count * (stock // longest)))
            cuts.append(Item(source, stock % longest, piece.count))
    whole.sort(key=lambda item: -item.steps)
    return [i for i in whole if i.steps > 0], [i for i in cuts if i.steps > 0]


def _plain_limit(
    whole: Sequence[Item],
    cuts: Sequence[Item],
    wanted: float,
    tolerance: float,
    step: float,
    first: int,
    last: int,
) -> ChoiceLimit | None:
    """The limits that need no search."""
    if not whole and not cuts:
        return ChoiceLimit("no pieces", wanted)
    everything = sum(item.steps * item.count for item in (*whole, *cuts))
    if everything < first:
        short = wanted - tolerance - everything * step
        return ChoiceLimit("drawer too light", short, below=everything * step)
    if not cuts and (lightest := whole[-1].steps) > last:
        over = lightest * step - wanted - tolerance
        return ChoiceLimit("pieces too heavy", over, above=lightest * step)
    return None


def _best(ordered: Iterable[Found], alternatives: int, most: int) -> tuple[list[Found], bool]:
    """The first sets and all that equal the best, up to `most`; and whether all of those."""
    found: dict[tuple[tuple[int, int, int], ...], Found] = {}
    best: tuple[int, float] | None = None
    for one in ordered:
        best = best or one[:2]
        equal = one[:2] == best
        if len(found) >= (most if equal else alternatives):
            return list(found.values()), not equal
        found.setdefault(tuple(sorted(one.members)), one)
    return list(found.values()), True


def _piece_set(pieces: Sequence[Piece], found: Found, step: float) -> PieceSet:
    taken = []
    for source, steps, count in found.members:
        piece = pieces[source]
        if piece.form in CUT_FORMS and steps < _stock(piece, step):
            mass = steps * step
            cut = replace(piece, mass=mass, count=count, length=cut_length(piece, mass))
            taken.append(Taken(cut, cut=True))
        else:
            taken.append(Taken(replace(piece, count=count)))
    taken.sort(key=lambda one: (-one.piece.mass, one.piece.id))
    return PieceSet(tuple(taken), sum(one.piece.mass * one.piece.count for one in taken))


def _gap(
    items: Sequence[Item], wanted: float, tolerance: float, step: float, first: int
) -> ChoiceLimit:
    """The nearest sums on both sides; adding pieces one by one crosses within the heaviest."""
    light = [item for item in items if item.steps < first]
    heavy = [item.steps for item in items if item.steps >= first]
    reached = sums(light, 1 + first + max((item.steps for item in light), default=0))
    below = max((s for s in reached if 0 < s < first), default=None)
    above = min((s for s in (*reached, *heavy) if s >= first), default=None)
    nearest = [None if s is None else s * step for s in (below, above)]
    by = min(abs(wanted - s) for s in nearest if s is not None) - tolerance
    return ChoiceLimit("between two sums", by, *nearest)
