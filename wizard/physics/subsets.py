"""Sums of whole numbers from a stock: the fewest members, then the nearest sum, in order.

Dynamic programming: table i holds for every sum the fewest of the first i items
that make it, so a best-first search down the tables meets no dead end and lists
the sets in order (Bellman 1957 for the recursion; Martello and Toth, Knapsack
Problems, 1990, ch. 4, for subset sums).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Table = NDArray[np.int32]

_UNREACHED = 1 << 28


@dataclass(frozen=True, slots=True)
class Item:
    """`count` pieces of `steps` each, from kind `source` of the stock."""

    source: int
    steps: int
    count: int


class Found(NamedTuple):
    """One set of members.

    Attributes:
        pieces: how many members, a partial cut counted as one.
        away: distance of the sum from the target [steps].
        partial: steps of the partial cut, 0 if there is none.
        members: (source, steps, count) of each.
    """

    pieces: int
    away: float
    partial: int
    members: tuple[tuple[int, int, int], ...]


class _End(NamedTuple):
    """Where a search down the tables begins: the sum that whole members still have to make."""

    pieces: int
    away: float
    partial: int
    whole_sum: int
    route: int


class _Route(NamedTuple):
    """Items with their tables; `source` is the stock of a partial cut, `longest` its most steps."""

    items: tuple[Item, ...]
    tables: tuple[Table, ...]
    source: int = -1
    longest: int = 0


def best_sets(
    whole: Sequence[Item], cuts: Sequence[Item], window: tuple[int, int], target: float, most: int
) -> Iterator[Found]:
    """Sets with a sum in the window, fewest members first, then nearest, then least partial cut.

    Args:
        whole: members that are taken whole.
        cuts: members that may be cut shorter. Of several cuts all but one may be taken at
            their longest without changing their number or sum, so full cuts are
            members like others, and at most one more is partial.
        window: least and greatest sum [steps], both allowed.
        target: the sum wished for [steps].
        most: how many sets are right for certain; later ones may miss some between.
    """
    last = min(window[1], sum(item.count * item.steps for item in (*whole, *cuts)))
    routes = _routes(whole, cuts, last + 1)
    return _in_order(routes, _ends(routes, window, target, most))


def sums(items: Sequence[Item], size: int) -> list[int]:
    """All sums below `size` that can be made, in order, 0 included."""
    import numpy as np

    fewest = _tables((), size)[0]
    for item in items:
        fewest = _with_item(fewest, item)
    return [int(s) for s in np.flatnonzero(fewest < _UNREACHED)]


def _with_item(fewest: Table, item: Item) -> Table:
    """The table when an item may be used as well; its count is split 1, 2, 4, ..., rest."""
    import numpy as np

    best = fewest.copy()
    left, lot = min(item.count, (best.size - 1) // item.steps), 1
    while left > 0:
        lot = min(lot, left)
        jump = lot * item.steps
        np.minimum(best[jump:], best[:-jump] + lot, out=best[jump:])
        left, lot = left - lot, 2 * lot
    return best


def _tables(items: Sequence[Item], size: int, before: tuple[Table, ...] = ()) -> tuple[Table, ...]:
    """Table i: the fewest of the first i items that make each sum; goes on from `before`."""
    import numpy as np

    tables = list(before)
    if not tables:
        tables.append(np.full(size, _UNREACHED, dtype=np.int32))
        tables[0][0] = 0
    for item in items:
        tables.append(_with_item(tables[-1], item))
    return tuple(tables)


def _routes(whole: Sequence[Item], cuts: Sequence[Item], size: int) -> list[_Route]:
    """No partial cut, or one partial cut in place of a full one of each kind."""
    base = _tables(whole, size)
    routes = [_Route((*whole, *cuts), _tables(cuts, size, base))]
    for cut in cuts:
        left = [replace(c, count=c.count - 1) if c is cut else c for c in cuts]
        tables = _tables(left, size, base)
        routes.append(_Route((*whole, *left), tables, cut.source, cut.steps - 1))
    return routes


def _ends(
    routes: Sequence[_Route], window: tuple[int, int], target: float, most: int
) -> list[_End]:
    """The best ends of a search, best first.

    An end gives at least one set, and two ends (the partial cut from a full one or from
    the stock's remainder) may give the same: 2 `most` of them give the best `most` sets.
    """
    import numpy as np

    first, last = window
    columns = []
    for number, route in enumerate(routes):
        fewest = route.tables[-1]
        whole = np.flatnonzero(fewest < _UNREACHED)
        least = 1 if route.source >= 0 else 0
        low, high = np.maximum(first, whole + least), np.minimum(last, whole + route.longest)
        whole, low, high = (column[low <= high] for column in (whole, low, high))
        total = np.maximum(low, np.minimum(round(target), high))
        away = np.round(np.abs(total - target), 6)
        pieces = fewest[whole] + least
        columns.append((pieces, away, total - whole, whole, np.full(whole.size, number)))
    joined = [np.concatenate(column) for column in zip(*columns, strict=True)]
    if joined[0].size > 2 * most:
        near = joined[0] <= np.partition(joined[0], 2 * most)[2 * most]
        joined = [column[near] for column in joined]
    order = np.lexsort(joined[::-1])[: 2 * most + 1]
    return [_End(*end) for end in zip(*(column[order].tolist() for column in joined), strict=True)]


def _in_order(routes: Sequence[_Route], ends: Sequence[_End]) -> Iterator[Found]:
    """Best-first down the tables; of equals the deepest, so that sets are finished one by one."""
    Members = tuple[tuple[int, int, int], ...]
    State = tuple[int, int, int, Members]  # sum left, route, members so far, and which
    heap: list[tuple[int, float, int, int, int, State]] = []
    serial = 0
    for end in ends:
        route = routes[end.route]
        partial: Members = ((route.source, end.partial, 1),) if end.partial else ()
        state: State = (end.whole_sum, end.route, len(partial), partial)
        depth = len(route.items)
        heappush(heap, (end.pieces, end.away, end.partial, depth, serial, state))
        serial += 1
    while heap:
        pieces, away, cut, depth, _, (left, number, used, members) = heappop(heap)
        if depth == 0:
            yield Found(pieces, away, cut, members)
            continue
        item, table = routes[number].items[depth - 1], routes[number].tables[depth - 1]
        for n in range(min(item.count, left // item.steps) + 1):
            left_then = left - n * item.steps
            fewest = int(table[left_then])
            if fewest < _UNREACHED:
                further = (*members, (item.source, item.steps, n)) if n else members
                state = (left_then, number, used + n, further)
                heappush(heap, (used + n + fewest, away, cut, depth - 1, serial, state))
                serial += 1
