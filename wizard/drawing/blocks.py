"""Large letters out of blocks, to be read from across a bench."""

from __future__ import annotations

from functools import lru_cache

from wizard.drawing.block_font import GLYPHS, ROWS, SPELLED

GAP = 1
"""Columns of dots between two glyphs."""

LARGEST = 4
"""The largest scale: sizes beyond it gain nothing."""


@lru_cache(maxsize=512)
def lettered(text: str, scale: int, room: int, *, plain: bool) -> tuple[str, ...] | None:
    """A text in blocks, on as many lines as its words take.

    Args:
        text: what to letter.
        scale: cells of a dot's width; a dot is as many half lines high.
        room: cells that a line may take.
        plain: with ASCII alone; a dot is then a line high, or two from scale 3.

    Returns:
        Lines of the terminal; None for a text with a sign that the font lacks, or with a
        word longer than a line.
    """
    rows: list[str] = []
    for words in _broken(text, room // scale):
        dots = _dots(words)
        if dots is None or len(dots[0]) * scale > room:
            return None
        rows += _scaled(dots, scale, plain)
    return tuple(rows)


def _broken(text: str, room: int) -> list[str]:
    """The words on lines of at most so many dots."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        dots = _dots(longer)
        if lines and dots is not None and len(dots[0]) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


@lru_cache(maxsize=256)
def _dots(text: str) -> tuple[str, ...] | None:
    """A line of text as rows of dots; None if a sign has no glyph."""
    glyphs = []
    for sign in "".join(SPELLED.get(sign, sign) for sign in text):
        if sign not in GLYPHS:
            return None
        rows = GLYPHS[sign].split(" ")
        glyphs.append(rows + ["." * len(rows[0])] * (ROWS - len(rows)))
    between = "." * GAP
    return tuple(between.join(rows) for rows in zip(*glyphs, strict=True)) or None


def _scaled(dots: tuple[str, ...], scale: int, plain: bool) -> list[str]:
    """Rows of dots as lines of the terminal; a tail that is empty takes none."""
    held = dots[:-1] if "#" not in dots[-1] else dots
    wide = ["".join(dot * scale for dot in row) for row in held]
    if plain:
        return [row.replace(".", " ") for row in wide for _ in range((scale + 1) // 2)]
    halves = [row for row in wide for _ in range(scale)]
    if len(halves) % 2:
        halves.append("." * len(halves[0]))
    return [
        "".join(map(_block, upper, lower))
        for upper, lower in zip(halves[::2], halves[1::2], strict=True)
    ]


def _block(upper: str, lower: str) -> str:
    if upper == "#":
        return "█" if lower == "#" else "▀"
    return "▄" if lower == "#" else " "
