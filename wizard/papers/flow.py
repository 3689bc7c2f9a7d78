"""Sections of a page set into lines, and lines put into columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wizard.drawing.sheets import Label, Stroke, polyline
from wizard.papers.lettering import broken, width
from wizard.report.page import LOUD, Row, Section

_LEADING = 1.28  # height of a line over the size of its letters: common practice
_BETWEEN = 2.0  # mm between two cells
_BEFORE = 1.1  # lines of paper before a title
_MOST_LINES = 30  # of a cell: beyond them nobody reads a table
_LEAST = 8.0  # mm: a narrower column can't be read


@dataclass(frozen=True, slots=True)
class Item:
    """Something that is not torn apart: a line, a row of a table, a title.

    Attributes:
        height: [mm].
        labels: measured from its upper left corner.
        strokes: likewise.
        keeps: whether it must stand on one column with what follows.
    """

    height: float
    labels: tuple[Label, ...]
    strokes: tuple[Stroke, ...] = ()
    keeps: bool = False


def items(sections: Sequence[Section], room: float, size: float) -> Iterator[Item]:
    """All sections as items.

    Args:
        sections: what to set.
        room: width of a column [mm].
        size: of the letters [mm].
    """
    line = size * _LEADING
    for section in sections:
        yield _title(section.title, room, size)
        for text in section.lines:
            for words in broken(text, room, size):
                yield Item(line, (Label(words, 0.0, size, size),))
        if section.rows:
            yield from _table(section, room, size)


def _title(text: str, room: float, size: float) -> Item:
    line = size * _LEADING
    down = _BEFORE * line + size
    under = down + 0.35 * size
    label = Label(broken(text, room, size, bold=True)[0], 0.0, down, size, bold=True)
    return Item(
        under + 0.5 * size, (label,), (polyline("thin", (0.0, under), (room, under)),), keeps=True
    )


def _table(section: Section, room: float, size: float) -> Iterator[Item]:
    heads = tuple(column.head for column in section.columns)
    rows = [
        (f"{LOUD} {row[0]}" if n in section.loud else row[0], *row[1:])
        for n, row in enumerate(section.rows)
    ]
    aligns = [column.align for column in section.columns]
    widths = _widths((heads, *rows), room, size)
    if "right" in aligns:  # numbers stand at the edge
        widths[0] += max(room - sum(widths) - _BETWEEN * (len(widths) - 1), 0.0)
    head = _row(heads, aligns, widths, size)
    grey = polyline("thin", (0.0, head.height), (room, head.height))
    yield replace(head, strokes=(grey,), keeps=True)
    for n, row in enumerate(rows):
        yield _row(row, aligns, widths, size, bold=n in section.loud)


def _widths(rows: Sequence[Row], room: float, size: float) -> list[float]:
    """Columns as wide as they need to be; the widest give way where the room is too small."""
    wanted = [max(width(row[n], size) for row in rows) + 0.2 for n in range(len(rows[0]))]
    spare = room - _BETWEEN * (len(wanted) - 1)
    while sum(wanted) > spare and max(wanted) > _LEAST:
        widest = max(range(len(wanted)), key=wanted.__getitem__)
        others = sum(wanted) - wanted[widest]
        second = max((w for n, w in enumerate(wanted) if n != widest), default=_LEAST)
        wanted[widest] = max(spare - others, min(second, wanted[widest] * 0.9), _LEAST)
    return wanted


def _row(
    cells: Row, aligns: Sequence[str], widths: Sequence[float], size: float, *, bold: bool = False
) -> Item:
    labels: list[Label] = []
    left, line, most = 0.0, size * _LEADING, 1
    for cell, align, room in zip(cells, aligns, widths, strict=True):
        lines = broken(cell, room, size, bold)
        if len(lines) > _MOST_LINES:
            lines = [*lines[: _MOST_LINES - 1], "…"]
        most = max(most, len(lines))
        for n, words in enumerate(lines):
            down = n * line + size
            if align == "right":
                labels.append(Label(words, left + room, down, size, "right", bold))
            else:
                labels.append(Label(words, left, down, size, bold=bold))
        left += room + _BETWEEN
    return Item(most * line, tuple(labels))


def columns(flow: Sequence[Item], heights: Sequence[float]) -> list[list[Item]] | None:
    """Items put into columns of given heights [mm]; None if they don't all fit.

    A title stays with the first line under it.
    """
    out: list[list[Item]] = []
    rest = list(flow)
    for height in heights:
        column, rest = _column(rest, height)
        out.append(column)
    return None if rest else out


def _column(rest: list[Item], height: float) -> tuple[list[Item], list[Item]]:
    """What goes into one column, and what is left."""
    taken, used = 0, 0.0
    while taken < len(rest):
        end = taken + 1
        while rest[end - 1].keeps and end < len(rest):
            end += 1
        used += sum(item.height for item in rest[taken:end])
        if used > height:
            break
        taken = end
    return rest[:taken], rest[taken:]
