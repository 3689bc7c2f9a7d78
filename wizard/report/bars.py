"""Intervals drawn as bars on one scale, with text alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.quantity.showing import literal

WIDTH = 78
NAME, VALUE = 25, 8
ROOM = WIDTH - NAME - VALUE - 3  # cells of a bar; the rest is a sign and two spaces
NARROWEST = 0.02  # of the numbers themselves: a finer scale shows nothing but noise


@dataclass(frozen=True, slots=True)
class Signs:
    """What bars are drawn with."""

    left: str
    line: str
    right: str
    middle: str
    below: str
    above: str
    tick: str


LINES = Signs("├", "─", "┤", "●", "◄", "►", "┬")
PLAIN = Signs("|", "-", "|", "o", "<", ">", "+")


@dataclass(frozen=True, slots=True)
class Bar:
    """An interval with its middle, all in one unit.

    Attributes:
        name: what it is.
        low: its lower end.
        middle: best value.
        high: its upper end.
        stands_out: whether to mark it.
    """

    name: str
    low: float
    middle: float
    high: float
    stands_out: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """Where numbers stand in a row of cells."""

    low: float
    high: float
    cells: int

    def cell(self, number: float) -> int:
        """The cell of a number; outside the row where the number is off the scale."""
        share = (number - self.low) / (self.high - self.low)
        return math.floor(min(max(share, -1.0), 2.0) * (self.cells - 1) + 0.5)


def scale_for(bars: Sequence[Bar], cells: int) -> Scale:
    """A scale that holds the bars; one that stands out may lie beyond it."""
    plain = [bar for bar in bars if not bar.stands_out] or list(bars)
    low, high = min(bar.low for bar in plain), max(bar.high for bar in plain)
    short = max(NARROWEST * (abs(high) or 1.0) - (high - low), 0.0)
    low, high = low - short / 2.0, high + short / 2.0
    span = high - low
    near = [bar for bar in bars if low - span <= bar.low and bar.high <= high + span]
    low = min(low, *(bar.low for bar in near))
    high = max(high, *(bar.high for bar in near))
    margin = 0.03 * span
    return Scale(low - margin, high + margin, cells)


def step_for(span: float) -> float:
    """A round step that divides a span into three to eight."""
    rough = span / 5.0
    power = 10.0 ** math.floor(math.log10(rough))
    return next(times * power for times in (1.0, 2.0, 5.0, 10.0) if times * power >= rough)


def bar_lines(bars: Sequence[Bar], *, plain: bool = False) -> Iterator[str]:
    """The bars and their scale, a line each, no wider than `WIDTH`.

    Args:
        bars: at least one.
        plain: whether to draw with ASCII alone.
    """
    signs = PLAIN if plain else LINES
    scale = scale_for(bars, ROOM)
    step = step_for(scale.high - scale.low)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    for bar in bars:
        mark = "!" if bar.stands_out else " "
        value = f"{bar.middle:.{decimals + 1}f}"
        drawn = "".join(_row(bar, scale, signs)).rstrip()
        name = literal(bar.name)[:NAME]
        yield f"{mark} {name:<{NAME}}{value:>{VALUE}} {drawn}"
    yield from _axis(scale, step, decimals, signs)


def _row(bar: Bar, scale: Scale, signs: Signs) -> list[str]:
    cells = [" "] * scale.cells
    first, last = (scale.cell(end) for end in (bar.low, bar.high))
    if last < 0 or first >= scale.cells:
        cells[0 if last < 0 else -1] = signs.below if last < 0 else signs.above
        return cells
    for i in range(max(first, 0), min(last, scale.cells - 1) + 1):
        cells[i] = signs.line
    for end, sign in ((first, signs.left), (last, signs.right)):
        if 0 <= end < scale.cells:
            cells[end] = sign
    middle = scale.cell(bar.middle)
    if 0 <= middle < scale.cells:
        cells[middle] = signs.middle
    return cells


def _axis(scale: Scale, step: float, decimals: int, signs: Signs) -> Iterator[str]:
    """The scale's line and the numbers under it."""
    marks, labels = [signs.line] * scale.cells, [" "] * scale.cells
    first, last = math.ceil(scale.low / step - 1e-9), math.floor(scale.high / step + 1e-9)
    for number in range(first, last + 1):
        text = f"{number * step:.{decimals}f}"
        at = min(max(scale.cell(float(text)), 0), scale.cells - 1)
        marks[at] = signs.tick
        start = min(max(at - len(text) // 2, 0), scale.cells - len(text))
        if all(cell == " " for cell in labels[max(start - 1, 0) : start + len(text)]):
            labels[start : start + len(text)] = text
    indent = " " * (NAME + VALUE + 3)
    yield indent + "".join(marks)
    yield (indent + "".join(labels)).rstrip()
