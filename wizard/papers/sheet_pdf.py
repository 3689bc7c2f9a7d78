"""The sheet of a build on paper: one or two pages with its picture and its outline."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.drawing.pages import SIZES, Paper
from wizard.drawing.pages import Page as Leaf
from wizard.drawing.portrait import outline, portrait, shrunk
from wizard.drawing.scene import Scene
from wizard.drawing.sheets import Figure, Label, Part, Stroke, moved, polyline
from wizard.papers.flow import Item, columns, items
from wizard.papers.lettering import broken
from wizard.physics.shape import Body
from wizard.plug.record import Build
from wizard.report.page import Page

MARGIN = 11.0
"""What printers leave white, with some to spare [mm]: common practice, no source."""

SIZES_OF_LETTERS = (2.7, 2.5, 2.3, 2.1)
"""Sizes of the letters that are tried until two pages hold all [mm]; 2.1 mm is 6 points."""

_TITLE, _LEAD = 5.6, 2.9  # mm, sizes of letters
_PICTURE = 62.0  # mm, the most that the picture may take in height
_OUTLINE = 92.0  # mm, likewise
_LEAST_OUTLINE = 40.0  # mm
_GUTTER = 6.0  # mm between two columns
_FOOT = 5.0  # mm


@dataclass(frozen=True, eq=False)
class Drawn:
    """What the sheet shows of the body.

    Attributes:
        build: the record.
        body: its drawn body.
        scene: the picture.
    """

    build: Build
    body: Body
    scene: Scene


def sheet_leaves(page: Page, drawn: Drawn | None, paper: Paper) -> tuple[Leaf, ...]:
    """The sheet as leaves of paper: one or two, more only for notes without end.

    Args:
        page: what to write.
        drawn: what to draw; None while there is no body.
        paper: its size.
    """
    sheet = _Sheet(page, drawn, *SIZES[paper])
    for size in SIZES_OF_LETTERS:
        for leaves in (1, 2):
            laid = sheet.laid(size, leaves)
            if laid is not None:
                return laid
    size, leaves = SIZES_OF_LETTERS[-1], 3
    while (laid := sheet.laid(size, leaves)) is None:
        leaves += 1
    return laid


def beside(sheets: Sequence[tuple[Leaf, ...]]) -> tuple[Leaf, ...]:
    """Two sheets beside each other, each at the size that half a leaf has."""
    width, height = sheets[0][0].width, sheets[0][0].height
    scale = min(height / 2 / width, width / height)
    count = max(len(sheet) for sheet in sheets)
    return tuple(
        Leaf(height, width, tuple(_halves(sheets, n, scale, height))) for n in range(count)
    )


def _halves(
    sheets: Sequence[tuple[Leaf, ...]], number: int, scale: float, width: float
) -> Iterator[Part]:
    for place, sheet in enumerate(sheets):
        if number >= len(sheet):
            continue
        for name, strokes, labels in sheet[number].parts:
            small = shrunk(Figure(name, 0.0, 0.0, strokes, labels), scale)
            yield name, *moved(small, place * width / len(sheets), 0.0)


class _Sheet:
    """One page of a report and the paper that it goes on."""

    def __init__(self, page: Page, drawn: Drawn | None, width: float, height: float) -> None:
        self.page, self.drawn = page, drawn
        self.width, self.height = width, height
        self.room = width - 2 * MARGIN
        self.head = tuple(self._head())
        self.top = max((label.down for label in self.head), default=MARGIN) + 2.5
        self.picture = None
        if drawn is not None:
            self.picture = portrait(drawn.scene, self.room, _PICTURE)
            self.top += self.picture.height + 1.0

    def _head(self) -> Iterator[Label]:
        down = MARGIN + _TITLE * 0.8
        title = broken(self.page.title, self.room, _TITLE, bold=True)[0]
        yield Label(title, MARGIN, down, _TITLE, bold=True)
        down += 1.5
        for text in self.page.lead:
            for line in broken(text, self.room, _LEAD):
                down += _LEAD * 1.3
                yield Label(line, MARGIN, down, _LEAD)

    def laid(self, size: float, leaves: int) -> tuple[Leaf, ...] | None:
        """The leaves with letters of a size, or None if so many don't hold it all."""
        across = (self.room - _GUTTER) / 2
        flow = list(items(self.page.sections, across, size))
        full = self.height - 2 * MARGIN - _FOOT
        first = self.height - MARGIN - _FOOT - self.top
        tops = [self.top, *[MARGIN] * (leaves - 1)]
        rooms = [first, *[full] * (leaves - 1)]
        drawing = None
        if self.drawn is not None:
            drawing = outline(self.drawn.build, self.drawn.body, self.room, _OUTLINE)
            rooms[-1] -= drawing.height + 2.0
        if rooms[-1] < _LEAST_OUTLINE:
            return None
        set_in = columns(flow, [room for room in rooms for _ in range(2)])
        if set_in is None:
            return None
        return tuple(
            Leaf(
                self.width,
                self.height,
                (
                    *self._first(n),
                    *_columns(set_in[2 * n : 2 * n + 2], tops[n], across),
                    *self._last(drawing if n == leaves - 1 else None, rooms[n] + tops[n] + 2.0),
                    self._foot(n + 1, leaves),
                ),
            )
            for n in range(leaves)
        )

    def _first(self, number: int) -> Iterator[Part]:
        if number > 0:
            return
        yield "head", (), self.head
        if self.picture is not None:
            yield "picture", *moved(self.picture, MARGIN, self.top - self.picture.height - 1.0)

    def _last(self, drawing: Figure | None, down: float) -> Iterator[Part]:
        if drawing is not None:
            yield "outline", *moved(drawing, MARGIN, down)

    def _foot(self, number: int, count: int) -> Part:
        down = self.height - MARGIN
        rule = polyline("thin", (MARGIN, down - 3.2), (self.width - MARGIN, down - 3.2))
        words = broken(self.page.foot, self.room - 20.0, 2.2)[0]
        labels = (
            Label(words, MARGIN, down, 2.2),
            Label(f"{number} of {count}", self.width - MARGIN, down, 2.2, "right"),
        )
        return "foot", (rule,), labels


def _columns(set_in: Sequence[Sequence[Item]], top: float, across: float) -> Iterator[Part]:
    for place, column in enumerate(set_in):
        left, down = MARGIN + place * (across + _GUTTER), top
        labels: list[Label] = []
        strokes: list[Stroke] = []
        for item in column:
            figure = Figure("item", across, item.height, item.strokes, item.labels)
            drawn, written = moved(figure, left, down)
            strokes += drawn
            labels += written
            down += item.height
        yield f"column {place + 1}", tuple(strokes), tuple(labels)
