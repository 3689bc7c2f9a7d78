"""A page as Markdown (CommonMark with tables); nothing in it is taken for markup."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from wizard.report.as_text import safe
from wizard.report.page import LOUD, Page, Row, Section

_ACTS = re.compile(r"([\\`*_\[\]<>|~&!$^#])")
"""Signs that CommonMark or a common extension of it reads as markup wherever they stand.

“#” also ends a heading.
"""

_BEGINS = re.compile(r"^([+=-]|[0-9]+(?=[.)]))")
"""Beginnings of a line that make it a list, a rule or the line above a heading."""

_LINKS = re.compile(r"(?i)(:(?=//)|(?<=www)\.|@)")
"""What makes a link of a bare word where such an extension is on."""

_LEANS = {"left": ":--", "right": "--:"}


def markdown(page: Page, picture: Sequence[str] = ()) -> str:
    """The page.

    Args:
        page: what to write.
        picture: lines to put under the title, as they are.
    """
    return "\n".join(_lines(page, picture)) + "\n"


def _lines(page: Page, picture: Sequence[str]) -> Iterator[str]:
    yield f"# {plain(page.title)}"
    yield ""
    if page.lead:
        yield "\\\n".join(plain(line) for line in page.lead)
        yield ""
    if picture:
        yield from ("```text", *picture, "```", "")
    for section in page.sections:
        yield f"## {plain(section.title)}"
        yield ""
        yield from _section(section)
    if page.foot:
        yield plain(page.foot)


def plain(text: str) -> str:
    """Text of which every sign stands for itself."""
    acting = _LINKS.sub(r"\\\1", _ACTS.sub(r"\\\1", safe(text)))
    return _BEGINS.sub(_escaped, acting)


def _escaped(found: re.Match[str]) -> str:
    """A beginning that is none: a sign escaped, or the dot after a number."""
    return f"\\{found[0]}" if not found[0].isdigit() else f"{found[0]}\\"


def _section(section: Section) -> Iterator[str]:
    for line in section.lines:
        yield from (plain(line), "")
    if not section.rows:
        return
    yield _row(tuple(column.head for column in section.columns))
    yield "|" + "|".join(_LEANS[column.align] for column in section.columns) + "|"
    for n, row in enumerate(section.rows):
        loud = n in section.loud
        yield _row((f"{LOUD} {row[0]}" if loud else row[0], *row[1:]))
    yield ""


def _row(cells: Row) -> str:
    return "| " + " | ".join(plain(cell) for cell in cells) + " |"
