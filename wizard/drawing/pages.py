"""Figures put on as few sheets of paper as will do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Literal

from wizard.drawing.frame import FOOT, HEAD, MARGIN, framed
from wizard.drawing.sheets import Figure, Part, moved
from wizard.drawing.tiles import Area, letter, tiled

Paper = Literal["a4", "letter"]

SIZES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height upright [mm]: ISO 216 (2007), and ANSI Y14.1, 8 1/2 by 11 in."""

NAMES: dict[Paper, str] = {"a4": "A4", "letter": "US Letter"}

MOST_PAGES = 60
"""Beyond so many sheets a length was mistyped."""

_GAP = 2.0  # mm between figures
_ABSURD = 10 * MOST_PAGES


class TooLarge(ValueError):  # noqa: N818 - it names the state, as the words shown do
    """A template that would take an absurd heap of paper.

    Attributes:
        pages: how many sheets it would take.
    """

    def __init__(self, pages: int) -> None:
        super().__init__(pages)
        self.pages = pages

    def __str__(self) -> str:
        return (
            f"the template would take {self.pages} sheets, more than {MOST_PAGES}; "
            "look at the lengths of the shape and their units"
        )


@dataclass(frozen=True, eq=False)
class Page:
    """One sheet of paper.

    Attributes:
        width: [mm].
        height: [mm].
        parts: strokes and labels by the name of what they belong to.
    """

    width: float
    height: float
    parts: tuple[Part, ...]


def pages(figures: Sequence[Figure], paper: Paper, title: str, note: str) -> tuple[Page, ...]:
    """The whole template, upright or across, whichever takes less paper.

    Args:
        figures: what to put on it; those larger than a sheet are tiled.
        paper: the sheet.
        title: of every sheet.
        note: a line under it.

    Raises:
        TooLarge: it would take more than `MOST_PAGES` sheets.
    """
    short, long = SIZES[paper]
    ways = [
        (width, height, Area(width - 2 * MARGIN, height - 2 * MARGIN - HEAD - FOOT))
        for width, height in ((short, long), (long, short))
    ]
    counts = [sum(math.prod(area.tiles(f)) for f in figures) for _, _, area in ways]
    if min(counts) > _ABSURD:  # not worth laying out
        raise TooLarge(min(counts))
    laid = [(width, height, _laid_out(figures, area)) for width, height, area in ways]
    width, height, sheets = min(laid, key=lambda way: len(way[2]))
    if len(sheets) > MOST_PAGES:
        raise TooLarge(len(sheets))
    return tuple(
        Page(width, height, (*framed(width, height, (n, len(sheets)), title, note), *sheet))
        for n, sheet in enumerate(sheets, start=1)
    )


# Laying out ----------------------------------------------------------------


def _laid_out(figures: Sequence[Figure], area: Area) -> list[tuple[Part, ...]]:
    """Large figures on tiles of their own; the others on shelves, in order."""
    letters = (letter(n) for n in count())
    large = _stacked([figure for figure in figures if not area.fits(figure)], area)
    tiles = [
        tuple(_put(part, 0.0, 0.0) for part in sheet)
        for figure in large
        for sheet in tiled(figure, area, letters)
    ]
    return [*tiles, *_shelved([figure for figure in figures if area.fits(figure)], area)]


def _stacked(figures: Sequence[Figure], area: Area) -> list[Figure]:
    """Figures that are only too long, below each other as one while they fit in height."""
    stacks: list[Figure] = []
    for figure in figures:
        if stacks and stacks[-1].height + _GAP + figure.height <= area.height:
            top = stacks.pop()
            strokes, labels = moved(figure, 0.0, top.height + _GAP)
            figure = Figure(
                f"{top.name} and {figure.name}",
                max(top.width, figure.width),
                top.height + _GAP + figure.height,
                (*top.strokes, *strokes),
                (*top.labels, *labels),
            )
        stacks.append(figure)
    return stacks


def _shelved(figures: Sequence[Figure], area: Area) -> Iterator[tuple[Part, ...]]:
    """Figures side by side until a row is full, rows below each other until a sheet is."""
    sheet: list[Part] = []
    right = down = row = 0.0
    for figure in figures:
        if right > 0.0 and right + figure.width > area.width + 1e-9:
            right, down, row = 0.0, down + row + _GAP, 0.0
        if sheet and down + figure.height > area.height + 1e-9:
            yield tuple(sheet)
            sheet, right, down, row = [], 0.0, 0.0, 0.0
        sheet.append(_put(figure, right, down))
        right, row = right + figure.width + _GAP, max(row, figure.height)
    if sheet:
        yield tuple(sheet)


def _put(figure: Figure, right: float, down: float) -> Part:
    return figure.name, *moved(figure, MARGIN + right, MARGIN + HEAD + down)
