"""A page as plain text of 78 columns: for a terminal, a printer, a screen reader."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from textwrap import wrap

from wizard.quantity.showing import literal
from wizard.report.page import LOUD, Column, Page, Row, Section

WIDTH = 78
_GAP = 2
_LEAST = 6  # columns of a cell: narrower ones can't be read
_UNIT = re.compile(r"(?<=[0-9]) (?=[^ ])")
_TIE = "\N{NO-BREAK SPACE}"
_LONGEST = 4000  # characters of a cell


def text(page: Page, picture: Sequence[str] = (), width: int = WIDTH) -> str:
    """The page.

    Args:
        page: what to write.
        picture: lines to put under the title.
        width: columns that it may use.
    """
    return "\n".join(line.rstrip() for line in _lines(page, picture, width)) + "\n"


def _lines(page: Page, picture: Sequence[str], width: int) -> Iterator[str]:
    title = safe(page.title)
    yield from wrap(title, width) or [""]
    yield "=" * min(len(title), width)
    for line in page.lead:
        yield from _wrapped(line, width)
    if picture:
        yield ""
        yield from picture
    for section in page.sections:
        yield ""
        yield from section_lines(section, width)
    if page.foot:
        yield ""
        yield from _wrapped(page.foot, width)


def section_lines(section: Section, width: int = WIDTH) -> Iterator[str]:
    """One section: its title, its sentences, its table."""
    yield safe(section.title)
    yield "-" * min(len(section.title), width)
    for line in section.lines:
        yield from _wrapped(line, width)
    if section.rows:
        yield from table(section, width)


def safe(cell: str) -> str:
    """A text in one line in which nothing acts."""
    return literal(" ".join(cell.split()), _LONGEST)


def _wrapped(line: str, width: int, indent: str = "  ") -> list[str]:
    """A text on lines that fit; a number keeps its unit."""
    tied = _UNIT.sub(_TIE, safe(line))
    lines = wrap(tied, width, subsequent_indent=indent, break_on_hyphens=False)
    return [line.replace(_TIE, " ") for line in lines]


def table(section: Section, width: int = WIDTH) -> Iterator[str]:
    """A table; a row that stands out begins with its sign.

    Args:
        section: its columns and rows.
        width: columns that it may use.
    """
    marked = bool(section.loud)
    rows = [
        tuple(safe(cell) for cell in _marked(row, n in section.loud, marked))
        for n, row in enumerate(section.rows)
    ]
    heads = _marked(tuple(c.head for c in section.columns), False, marked)
    widths = _widths((heads, *rows), width)
    yield from _row(heads, section.columns, widths)
    for row in rows:
        yield from _row(row, section.columns, widths)


def _marked(row: Row, loud: bool, marked: bool) -> Row:
    if not marked:
        return row
    return (f"{LOUD if loud else ' '} {row[0]}" if loud else row[0], *row[1:])


def _widths(rows: Sequence[Row], room: int) -> list[int]:
    """Columns as wide as they need to be; the widest give way where the room is too small."""
    wanted = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    spare = room - _GAP * (len(wanted) - 1)
    widths = [min(w, spare) for w in wanted]
    while sum(widths) > spare and max(widths) > _LEAST:
        widths[widths.index(max(widths))] -= 1
    return widths


def _row(cells: Row, columns: Sequence[Column], widths: Sequence[int]) -> Iterator[str]:
    wrapped = [_wrapped(cell, width, "") or [""] for cell, width in zip(cells, widths, strict=True)]
    for n in range(max(len(lines) for lines in wrapped)):
        parts = [
            f"{line:>{width}}" if column.align == "right" else f"{line:<{width}}"
            for line, width, column in zip(
                (lines[n] if n < len(lines) else "" for lines in wrapped),
                widths,
                columns,
                strict=True,
            )
        ]
        yield (" " * _GAP).join(parts).rstrip()
