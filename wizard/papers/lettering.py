"""How wide words run in the one font of a PDF, and where they break."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from wizard.drawing.lettering import latin
from wizard.report.as_text import safe

_POINTS = 72.0 / 25.4  # in a mm
_REFERENCE = 10.0  # points


@lru_cache(maxsize=1)
def _measure() -> Any:
    from fpdf import FPDF

    file = FPDF(unit="pt")
    file.add_page()
    return file


@lru_cache(maxsize=8192)
def width(text: str, size: float, bold: bool = False) -> float:
    """How wide a text runs [mm] in Helvetica of a size [mm]."""
    file = _measure()
    file.set_font("Helvetica", "B" if bold else "", _REFERENCE)
    run: float = file.get_string_width(latin(text))
    return run / _REFERENCE * size


def broken(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """A text made safe, on lines of at most so much room [mm]; a number keeps its unit."""
    words = _tied(safe(text).split(" "))
    lines: list[str] = []
    line = ""
    for word in words:
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _pieces(word, room, size, bold)
        lines += whole
    return [*lines, line] if line or not lines else lines


def _tied(words: Sequence[str]) -> list[str]:
    """Words in which a unit stays with its number."""
    out: list[str] = []
    for word in words:
        if out and out[-1][-1:].isdigit() and word[:1].isalpha() and len(word) <= 5:
            out[-1] = f"{out[-1]} {word}"
        else:
            out.append(word)
    return out


def _pieces(word: str, room: float, size: float, bold: bool) -> list[str]:
    """A word cut to a room, where it is longer than a line."""
    pieces, piece = [], ""
    for letter in word:
        if piece and width(piece + letter, size, bold) > room:
            pieces.append(piece)
            piece = ""
        piece += letter
    return [*pieces, piece]
