"""Words on lines: wrapping by the cells that a terminal gives them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rich.cells import cell_len, set_cell_size

__all__ = ["cell_len", "columns", "cut", "drawn_in", "fitted", "wrapped"]


def _pieces(word: str, width: int) -> Iterator[str]:
    piece = ""
    for sign in word:
        if piece and cell_len(piece + sign) > width:
            yield piece
            piece = ""
        piece += sign
    yield piece


_FIRST_COLUMN = re.compile(r" *(?:\S+(?: \S+)* {2,}(?=\S))?")


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """A text on lines of at most so many cells; later lines begin with the indent.

    A text that fits stays as it is; else its leading spaces are kept, so is a first column
    with the gap behind it, under which nothing is written; and a word longer than a line is
    broken.
    """
    if cell_len(text) <= width:
        return [text]
    width = max(width, cell_len(indent) + 4)
    lead = text[: len(text) - len(text.lstrip(" "))]
    column = _FIRST_COLUMN.match(text)
    if column is not None and len(column[0]) > len(lead) and cell_len(column[0]) <= width * 3 // 4:
        lead = column[0]
        indent = " " * cell_len(lead)
    lines, line, taken, bare = [], lead, cell_len(lead), True
    for word in text[len(lead) :].split():
        added = word if bare else f" {word}"
        more = cell_len(added)
        if taken + more <= width:
            line, taken, bare = line + added, taken + more, False
            continue
        if not bare:
            lines.append(line)
            line = indent
        first, *rest = _pieces(word, width - cell_len(indent))
        if cell_len(line + first) > width:
            lines.append(line)
            line = indent
        line, bare = line + first, False
        for piece in rest:
            lines.append(line)
            line = indent + piece
        taken = cell_len(line)
    return [*lines, line]


def drawn_in(lines: Sequence[str], width: int) -> list[str]:
    """The lines of a table with less between its columns, if that makes all of them fit.

    Where every line has spaces side by side all but one may go, from the widest gap first.
    """
    over = max(map(cell_len, lines), default=0) - width
    size = max(map(len, lines), default=0)
    padded = [line.ljust(size) for line in lines]
    shared = "".join("x" if any(line[n] != " " for line in padded) else " " for n in range(size))
    gaps = [[gap.start(), gap.end()] for gap in re.finditer(" {2,}", shared)]
    if not 0 < over <= sum(end - start - 1 for start, end in gaps):
        return list(lines)
    kept = [end - start for start, end in gaps]
    for _ in range(over):
        kept[kept.index(max(kept))] -= 1
    for (start, end), left in reversed(list(zip(gaps, kept, strict=True))):
        padded = [line[: start + left] + line[end:] for line in padded]
    return [line.rstrip() for line in padded]


def fitted(text: str, width: int) -> str:
    """A text of exactly so many cells; one too long ends in a mark."""
    if cell_len(text) > width:
        return set_cell_size(text, max(width - 1, 0)) + "…" * (width > 0)
    return text + " " * (width - cell_len(text))


def cut(text: str, width: int) -> str:
    """A text of at most so many cells; one too long ends in a mark."""
    return fitted(text, width) if cell_len(text) > width else text


def columns(left: str, right: str, width: int) -> str:
    """Two texts at the ends of a line; the left one gives way."""
    room = width - cell_len(right) - 1
    if room < 8:
        return fitted(left, width)
    return f"{fitted(left, room)} {right}"
