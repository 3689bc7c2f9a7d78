"""Figures put on sheets of paper, with heading, check rule and register marks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import Literal

from wizard.drawing.sheets import (
    Figure,
    Label,
    Stroke,
    Window,
    cross,
    moved,
    polyline,
    seen_through,
)

Paper = Literal["a4", "letter"]

SIZES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height upright [mm]: ISO 216 (2007), and ANSI Y14.1, 8 1/2 by 11 in."""

NAMES: dict[Paper, str] = {"a4": "A4", "letter": "US Letter"}

MOST_PAGES = 60
"""Beyond so many sheets a length was mistyped."""

_MARGIN = 10.0  # mm: what printers leave white, with some to spare
_HEAD, _FOOT = 14.0, 17.0  # mm for heading and check rule
_OVERLAP = 14.0  # mm that two sheets share
_ARM = 4.0  # mm, of a register mark
_GAP = 2.0  # mm between figures
_NOTE = 5.0  # mm under a tiled figure for what it is
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
    parts: tuple[tuple[str, tuple[Stroke, ...], tuple[Label, ...]], ...]


@dataclass(frozen=True, slots=True)
class Area:
    """The part of a sheet that figures may use [mm]."""

    width: float
    height: float

    def tiles(self, figure: Figure) -> tuple[int, int]:
        """Sheets that a figure takes across and down."""
        return _count(figure.width, self.width), _count(figure.height, self.height)

    def fits(self, figure: Figure) -> bool:
        """Whether a figure goes onto one sheet."""
        return self.tiles(figure) == (1, 1)


def _count(size: float, room: float) -> int:
    if size <= room + 1e-9:
        return 1
    return math.ceil((size - _OVERLAP) / (room - _OVERLAP) - 1e-9)


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
        (width, height, Area(width - 2 * _MARGIN, height - 2 * _MARGIN - _HEAD - _FOOT))
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
        Page(width, height, (*_framed(width, height, n, len(sheets), title, note), *sheet))
        for n, sheet in enumerate(sheets, start=1)
    )


_Part = tuple[str, tuple[Stroke, ...], tuple[Label, ...]]
_SheetOf = tuple[_Part, ...]


# Laying out ----------------------------------------------------------------


def _laid_out(figures: Sequence[Figure], area: Area) -> list[_SheetOf]:
    """Large figures on tiles of their own; the others on shelves, in order."""
    letters = (_letter(n) for n in count())
    large = _stacked([figure for figure in figures if not area.fits(figure)], area)
    tiles = [sheet for figure in large for sheet in _tiled(figure, area, letters)]
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


def _shelved(figures: Sequence[Figure], area: Area) -> Iterator[_SheetOf]:
    """Figures side by side until a row is full, rows below each other until a sheet is."""
    sheet: list[_Part] = []
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


def _put(figure: Figure, right: float, down: float) -> _Part:
    return figure.name, *moved(figure, _MARGIN + right, _MARGIN + _HEAD + down)


def _tiled(figure: Figure, area: Area, letters: Iterator[str]) -> Iterator[_SheetOf]:
    """A figure over several sheets that share a strip with register marks."""
    across, down = area.tiles(figure)
    tile = Area(min(area.width, figure.width), min(area.height, figure.height + _NOTE))
    seams = [_Seam(True, n, j) for j in range(down) for n in range(1, across)]
    seams += [_Seam(False, n, i) for i in range(across) for n in range(1, down)]
    named = {seam: next(letters) for seam in seams}
    for j in range(down):
        for i in range(across):
            left, top = i * (tile.width - _OVERLAP), j * (tile.height - _OVERLAP)
            window = Window(left, top, tile.width, tile.height)
            strokes: list[Stroke] = []
            words = (
                f"{figure.name}, part {j * across + i + 1} of {across * down}: "
                "cut along the seam, lay crosses of one name on each other"
            )
            labels = [Label(words, tile.width / 2, tile.height - 1.0, 2.6, "middle")]
            for seam, letter in named.items():
                at = seam.on(i, j, tile)
                if at is not None:
                    _register(strokes, labels, seam.upright, at, tile, letter)
            marks = Figure("register", tile.width, tile.height, tuple(strokes), tuple(labels))
            yield _put(marks, 0.0, 0.0), _put(seen_through(window, figure), 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class _Seam:
    """Where two tiles meet: an upright seam after column `number`, in row `other`, or the reverse.

    Counted so that seam 1 follows the first tile.
    """

    upright: bool
    number: int
    other: int

    def on(self, column: int, row: int, area: Area) -> float | None:
        """Where the seam runs on a tile, from its left or top [mm]; None if it isn't there."""
        own, other = (column, row) if self.upright else (row, column)
        if other != self.other or self.number - own not in (0, 1):
            return None
        size = area.width if self.upright else area.height
        return size - _OVERLAP / 2 if self.number - own == 1 else _OVERLAP / 2


def _register(
    strokes: list[Stroke], labels: list[Label], upright: bool, at: float, area: Area, letter: str
) -> None:
    """A seam to cut along, with crosses that must meet those of the other sheet."""
    length = area.height if upright else area.width

    def point(along: float) -> tuple[float, float]:
        return (at, along) if upright else (along, at)

    strokes.append(polyline("cut", point(0.0), point(length)))
    for k, along in enumerate((2 * _ARM, length - 3 * _ARM), start=1):
        right, down = point(along)
        strokes += cross("rule", right, down, _ARM)
        labels.append(Label(f"{letter}{k}", right + 1.0, down - 1.0, 2.6, bold=True))


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    tens, ones = divmod(number, 26)
    return (_letter(tens - 1) if tens else "") + chr(ord("A") + ones)


# What every sheet carries --------------------------------------------------


def _framed(
    width: float, height: float, number: int, count: int, title: str, note: str
) -> tuple[_Part, ...]:
    top = _MARGIN + 4.0
    labels = (
        Label(title, _MARGIN, top, 4.2, bold=True),
        Label(note, _MARGIN, top + 4.6, 2.8),
        Label(f"sheet {number} of {count}", width - _MARGIN, top, 2.8, "right"),
    )
    return ("heading", (), labels), _check_rule(_MARGIN, height - _MARGIN - 2.0)


def _check_rule(left: float, down: float) -> _Part:
    """100 mm over 4 in: both must measure true on the print."""
    strokes, labels = [], []
    for base, up, unit, length, parts, long in (
        (down - 6.0, 1.0, "mm", 100.0, 100, {10: 3.0, 5: 2.2, 1: 1.4}),
        (down - 4.6, -1.0, "in", 101.6, 32, {8: 3.0, 4: 2.2, 2: 1.8, 1: 1.4}),
    ):
        strokes.append(polyline("rule", (left, base), (left + length, base)))
        for k in range(parts + 1):
            tick = next(size for every, size in long.items() if k % every == 0)
            at = left + length * k / parts
            strokes.append(polyline("rule", (at, base), (at, base - up * tick)))
        labels += _rule_numbers(left, base, up, unit, length)
    words = ("Check rule: 100 mm and 4 in.", "Not true on the print? Print again at 100 %.")
    for n, line in enumerate(words):
        labels.append(Label(line, left + 112.0, down - 5.6 + 3.6 * n, 2.6))
    return "check rule", tuple(strokes), tuple(labels)


def _rule_numbers(left: float, base: float, up: float, unit: str, length: float) -> list[Label]:
    numbers = range(0, 101, 10) if unit == "mm" else range(5)
    down = base - up * 3.6 if up > 0 else base + 5.6
    made = [Label(str(n), left + length * n / numbers[-1], down, 2.2, "middle") for n in numbers]
    made[-1] = replace(made[-1], text=f"{numbers[-1]} {unit}")
    return made
