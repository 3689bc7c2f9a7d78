"""The last thing before the terminal: no control codes, no colours, no signs it lacks."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

_ASCII = {
    "─": "-", "━": "=", "│": "|", "█": "#", "░": ":", "·": "-", "•": "*", "±": "~", "…": ".",
    "“": '"', "”": '"', "‘": "'", "’": "'", "–": "-", "—": "-", "−": "-", "×": "x", "°": "o",
    "²": "2", "³": "3", "µ": "u", "→": ">", "←": "<", "↑": "^", "↓": "v",
    "├": "+", "┤": "+", "┬": "+", "┴": "+", "┼": "+", "┌": "+", "┐": "+", "└": "+", "┘": "+",
    "●": "*", "○": "o", "▲": "^", "▼": "v", "▁": "_", "≤": "<", "≥": ">", "≈": "~",
}  # fmt: skip

_SPELLED = {"±": "+/-", "½": "1/2", "¼": "1/4", "¾": "3/4", "…": "...", "→": "->", "×": "x"}


def spelled_in_ascii(text: str) -> str:
    """A text with its signs spelt out in ASCII; what has no spelling stays."""
    if text.isascii():
        return text
    return "".join(_SPELLED.get(c) or _ASCII.get(c, c) for c in text)


@lru_cache(4096)
def _printable(text: str) -> str:
    """The text without what could act: signs of no width go, others become a mark."""
    return "".join(
        c if c.isprintable() else " " if c.isspace() and cell_len(c) else "?" * cell_len(c)
        for c in text
    )


@lru_cache(4096)
def _ascii(text: str) -> str:
    return "".join(c if c.isascii() else _ASCII.get(c, "?" * cell_len(c)) for c in text)


@lru_cache(1024)
def _colourless(style: Style) -> Style:
    return Style(
        bold=style.bold,
        underline=style.underline,
        reverse=style.reverse,
        meta=style.meta or None,
    )


class Outgoing(LineFilter):
    """One filter for all, since every painted line goes through it.

    Args:
        colours: whether colour codes may be sent; without, greys and defaults go too.
        ascii_only: whether nothing but ASCII is shown, cell for cell.
    """

    def __init__(self, colours: bool, ascii_only: bool) -> None:
        super().__init__()
        self._colours, self._ascii = colours, ascii_only

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The line as it leaves the program."""
        if self._colours and all(self._is_fine(segment.text) for segment in segments):
            return segments
        return [self._sent(*segment) for segment in segments]

    def _is_fine(self, text: str) -> bool:
        return text.isprintable() and (not self._ascii or text.isascii())

    def _sent(self, text: str, style: Style | None, control: Any) -> Segment:
        if not text.isprintable():
            text = _printable(text)
        if self._ascii and not text.isascii():
            text = _ascii(text)
        if style is not None and not self._colours:
            style = _colourless(style)
        return Segment(text, style, control)
