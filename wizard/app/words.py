"""Words on lines: wrapping by the cells that a terminal gives them."""

from __future__ import annotations

from collections.abc import Iterator

from rich.cells import cell_len, set_cell_size

__all__ = ["cell_len", "columns", "cut", "fitted", "wrapped"]


def _pieces(word: str, width: int) -> Iterator[str]:
    piece = ""
    for sign in word:
        if piece and cell_len(piece + sign) > width:
            yield piece
            piece = ""
        piece += sign
    yield piece


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """A text on lines of at most so many cells; later lines begin with the indent.

    A text that fits stays as it is; else its leading spaces are kept, and a word longer
    than a line is broken.
    """
    if cell_len(text) <= width:
        return [text]
    width = max(width, cell_len(indent) + 4)
    lead = text[: len(text) - len(text.lstrip(" "))]
    lines, line, bare = [], lead, True
    for word in text.split():
        gap = "" if bare else " "
        if cell_len(line + gap + word) <= width:
            line, bare = line + gap + word, False
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
    return [*lines, line]


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
