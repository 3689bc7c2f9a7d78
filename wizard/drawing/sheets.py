"""Strokes and labels on paper: what a page is made of, whoever writes it.

All in mm, right and down from the top left corner of a figure or page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.physics.curve import Numbers

Style = Literal["outline", "hidden", "centre", "thin", "cut", "rule"]
Align = Literal["left", "middle", "right"]

MM = 1e3
"""Millimetres in a metre: the one place where a drawing gets its scale."""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a style is drawn: width [mm], grey from 0 (black) to 255, dash and gap [mm]."""

    width: float
    grey: int
    dash: tuple[float, float] | None = None


PENS: dict[Style, Pen] = {
    "outline": Pen(0.3, 0),
    "hidden": Pen(0.2, 0, (1.5, 0.8)),
    "centre": Pen(0.15, 90, (5.0, 1.5)),
    "thin": Pen(0.12, 130),
    "cut": Pen(0.15, 90, (0.8, 0.8)),
    "rule": Pen(0.2, 0),
}


@dataclass(frozen=True, eq=False)
class Stroke:
    """One line on paper, points of shape (n, 2)."""

    style: Style
    points: Numbers
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; `size` is that of the font [mm], `down` its baseline."""

    text: str
    right: float
    down: float
    size: float = 2.6
    align: Align = "left"
    bold: bool = False


Part = tuple[str, tuple[Stroke, ...], tuple[Label, ...]]
"""Strokes and labels on a page, by the name of what they belong to."""


@dataclass(frozen=True, eq=False)
class Figure:
    """One drawing that belongs together.

    Attributes:
        name: a word for it, unique on the template.
        width: [mm].
        height: [mm].
        strokes: inside width and height.
        labels: likewise.
    """

    name: str
    width: float
    height: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """A part of a figure that goes onto one page [mm]."""

    left: float
    top: float
    width: float
    height: float

    def holds(self, right: float, down: float) -> bool:
        """Whether a point lies in it."""
        return (
            self.left <= right <= self.left + self.width
            and self.top <= down <= self.top + self.height
        )


def polyline(style: Style, *points: tuple[float, float], closed: bool = False) -> Stroke:
    """A stroke through a few points."""
    return Stroke(style, np.array(points, dtype=float), closed)


def cross(style: Style, right: float, down: float, arm: float) -> tuple[Stroke, Stroke]:
    """Two short lines that cross at a point."""
    return (
        polyline(style, (right - arm, down), (right + arm, down)),
        polyline(style, (right, down - arm), (right, down + arm)),
    )


def moved(
    figure: Figure, right: float, down: float
) -> tuple[tuple[Stroke, ...], tuple[Label, ...]]:
    """The strokes and labels of a figure, shifted."""
    shift = np.array([right, down])
    strokes = tuple(Stroke(s.style, s.points + shift, s.closed) for s in figure.strokes)
    labels = tuple(
        Label(t.text, t.right + right, t.down + down, t.size, t.align, t.bold)
        for t in figure.labels
    )
    return strokes, labels


def seen_through(window: Window, figure: Figure) -> Figure:
    """What a window shows of a figure, its corner at the window's corner."""
    strokes = tuple(
        Stroke(s.style, piece, False)
        for s in figure.strokes
        for piece in clipped(s.points, s.closed, window)
    )
    labels = tuple(t for t in figure.labels if window.holds(t.right, t.down))
    whole = Figure(figure.name, window.width, window.height, strokes, labels)
    return Figure(whole.name, whole.width, whole.height, *moved(whole, -window.left, -window.top))


def clipped(points: Numbers, closed: bool, window: Window) -> tuple[Numbers, ...]:
    """The pieces of a line that lie in a window."""
    return tuple(np.array(piece) for piece in _joined(_segments(points, closed, window)))


def _segments(
    points: Numbers, closed: bool, window: Window
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    corners = np.vstack([points, points[:1]]) if closed else points
    starts, ends = corners[:-1], corners[1:]
    # Most segments pass a small window by: only those that may meet it are cut one by one.
    near = (np.maximum(starts, ends) >= (window.left, window.top)) & (
        np.minimum(starts, ends) <= (window.left + window.width, window.top + window.height)
    )
    for x0, y0, x1, y1 in np.hstack([starts, ends])[near.all(axis=1)].tolist():
        reach = _inside(x0, y0, x1, y1, window)
        if reach is not None:
            a, b = reach
            yield (
                (x0 + a * (x1 - x0), y0 + a * (y1 - y0)),
                (x0 + b * (x1 - x0), y0 + b * (y1 - y0)),
            )


def _inside(
    x0: float, y0: float, x1: float, y1: float, window: Window
) -> tuple[float, float] | None:
    """The part of a segment in a window, as parameters from 0 to 1; None if there is none.

    Source: Liang and Barsky, A new concept and method for line clipping, ACM
    Transactions on Graphics 3 (1984) 1.
    """
    low, high = 0.0, 1.0
    for start, step, least, most in (
        (x0, x1 - x0, window.left, window.left + window.width),
        (y0, y1 - y0, window.top, window.top + window.height),
    ):
        if step == 0.0:
            if not least <= start <= most:
                return None
            continue
        a, b = sorted(((least - start) / step, (most - start) / step))
        low, high = max(low, a), min(high, b)
    return (low, high) if low < high else None


def _joined(
    segments: Iterable[tuple[tuple[float, float], tuple[float, float]]],
) -> Iterator[list[tuple[float, float]]]:
    """Segments that follow each other as one line."""
    piece: list[tuple[float, float]] = []
    for start, end in segments:
        if piece and piece[-1] != start:
            yield piece
            piece = []
        if not piece:
            piece = [start]
        piece.append(end)
    if piece:
        yield piece
