"""A page to hand on, as data: a title, sentences and tables. Whoever writes it makes it safe.

The same page becomes plain text, Markdown, HTML and PDF, so that none of them knows more
than another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Align = Literal["left", "right"]
Row = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: what stands over it, and to which side its cells lean."""

    head: str
    align: Align = "left"


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page: sentences, then a table.

    Attributes:
        title: over it.
        lines: sentences, each a paragraph of its own.
        columns: of the table; none for a section without one.
        rows: a cell a column.
        loud: rows that stand out, counted from zero; a sign says so as well.
    """

    title: str
    lines: tuple[str, ...] = ()
    columns: tuple[Column, ...] = ()
    rows: tuple[Row, ...] = ()
    loud: frozenset[int] = frozenset()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing under its title."""
        return not self.lines and not self.rows

    @property
    def without_empty_columns(self) -> Section:
        """The same without columns in which no row has anything."""
        kept = [n for n in range(len(self.columns)) if any(row[n] for row in self.rows)]
        if len(kept) == len(self.columns):
            return self
        rows = tuple(tuple(row[n] for n in kept) for row in self.rows)
        return replace(self, columns=tuple(self.columns[n] for n in kept), rows=rows)


@dataclass(frozen=True, slots=True)
class Page:
    """A page.

    Attributes:
        title: what it is about.
        lead: lines under the title.
        sections: in order; empty ones are left out.
        foot: what made it, and when.
    """

    title: str
    lead: tuple[str, ...]
    sections: tuple[Section, ...]
    foot: str = ""


LOUD = "≠"
"""The sign before the first cell of a row that stands out."""


def columns(*heads: str, right: int = 0) -> tuple[Column, ...]:
    """Columns by their heads; so many of the last lean to the right, as numbers do."""
    first = len(heads) - right
    return tuple(Column(h, "right" if n >= first else "left") for n, h in enumerate(heads))
