"""The last thing before the terminal: no control codes, no colours, no signs it lacks."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

_ASCII = {
    "─": "-", "━": "=", "│": "|", "█": "#", "░": ":", "·": "-", "•": "*", "±": "~", "…": ".",
    "“": '"', "”": '"', "‘": "'", "’": "'", "–": "-", "—": "-", "−": "-", "×": "x", "°": "o",
    "²": "2", "³": "3", "µ": "u", "→": ">", "←": "<", "↑": "^", "↓": "v",
    "¼": "?", "½": "?", "¾": "?", "▁": "_",
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


class Safe(LineFilter):
    """Nothing that is not printable leaves the program, whatever widget drew it."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The line with harmless text."""
        return _respelled(segments, str.isprintable, _printable)


class Ascii(LineFilter):
    """Nothing but ASCII leaves the program: for poor fonts and the Linux console."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The line in ASCII, cell for cell."""
        return _respelled(segments, str.isascii, _ascii)


def _respelled(
    segments: list[Segment], is_fine: Callable[[str], bool], respell: Callable[[str], str]
) -> list[Segment]:
    if all(is_fine(segment.text) for segment in segments):
        return segments
    return [
        segment if is_fine(segment.text) else Segment(respell(segment.text), segment.style, None)
        for segment in segments
    ]


@lru_cache(1024)
def _colourless(style: Style) -> Style:
    return Style(
        bold=style.bold,
        underline=style.underline,
        reverse=style.reverse,
        meta=style.meta or None,
    )


class Colourless(LineFilter):
    """No colour code at all is sent, greys and defaults included; bold and reverse stay."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The line without colours."""
        return [
            Segment(text, None if style is None else _colourless(style), control)
            for text, style, control in segments
        ]
