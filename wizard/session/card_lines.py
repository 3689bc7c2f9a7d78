"""A card as lines of a screen: each text in letters as large as there is room for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from textwrap import wrap
from typing import Literal

from wizard.drawing.blocks import LARGEST, lettered
from wizard.session.card import Big, Card

MARGIN = 1
"""Cells that stay free at either side."""

MOST = {0: LARGEST, 1: 2, 2: 3, 3: 1}
"""The largest scale by rank: a question need not be as large as its answer."""


@dataclass(frozen=True, slots=True)
class CardLine:
    """One line of a card.

    Attributes:
        text: without its margin.
        kind: letters out of blocks, a text that had no room for them, or a small line.
    """

    text: str
    kind: Literal["block", "text", "small", "alert"]


@lru_cache(maxsize=16)
def card_lines(card: Card, width: int, height: int, *, plain: bool) -> tuple[CardLine, ...]:
    """The lines of a card, no more than there is room for.

    All texts grow together, the first rank before the others, as long as they fit.

    Args:
        card: what is shown.
        width: cells of a line.
        height: lines.
        plain: whether nothing but ASCII is shown.
    """
    room = max(width - 2 * MARGIN, 1)
    heights = [_height(big, 0, room, plain) or 1 for big in card.bigs]
    alert = len(_wrapped(card.alert, room))
    scales = [0] * len(card.bigs)
    order = sorted(range(len(card.bigs)), key=lambda n: card.bigs[n].rank)
    for scale in range(1, LARGEST + 1):
        for n in (n for n in order if scale <= MOST[card.bigs[n].rank]):
            grown = _height(card.bigs[n], scale, room, plain)
            if grown is not None and alert + sum(heights) - heights[n] + grown <= height:
                scales[n], heights[n] = scale, grown
    gaps = height - alert - sum(heights) >= len(card.bigs) + len(card.notes)
    lines = list(_lines(card, scales, room, plain, gaps=gaps))
    notes = [CardLine(part, "small") for note in card.notes for part in _wrapped(note, room)]
    return tuple([*lines, *notes][:height])


def _height(big: Big, scale: int, room: int, plain: bool) -> int | None:
    """Lines that a text takes with the small ones about it; None where it has no such letters."""
    rows = lettered(big.text, scale, room, plain=plain) if scale else _wrapped(big.text, room)
    if rows is None:
        return None
    return len(_wrapped(big.over, room)) + len(rows) + len(_wrapped(big.under, room))


def _lines(
    card: Card, scales: list[int], room: int, plain: bool, *, gaps: bool
) -> Iterator[CardLine]:
    yield from (CardLine(part, "alert") for part in _wrapped(card.alert, room))
    for number, (big, scale) in enumerate(zip(card.bigs, scales, strict=True)):
        if gaps and (number or card.alert):
            yield CardLine("", "small")
        yield from (CardLine(part, "small") for part in _wrapped(big.over, room))
        yield from _big(big, scale, room, plain)
        yield from (CardLine(part, "small") for part in _wrapped(big.under, room))


def _big(big: Big, scale: int, room: int, plain: bool) -> Iterator[CardLine]:
    rows = lettered(big.text, scale, room, plain=plain) if scale else None
    if rows is None:
        yield from (CardLine(part, "text") for part in _wrapped(big.text, room))
    else:
        yield from (CardLine(row, "block") for row in rows)


@lru_cache(maxsize=256)
def _wrapped(text: str, room: int) -> tuple[str, ...]:
    return tuple(wrap(text, room))
