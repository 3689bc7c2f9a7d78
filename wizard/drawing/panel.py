"""One view of the picture on a canvas of its own, and the ruler under the plan."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.drawing.canvas import ACROSS, DOWN, Canvas
from wizard.drawing.scene import Scene
from wizard.drawing.views import Mark, Sign, View
from wizard.physics.curve import Numbers
from wizard.plug.rule import Rule, bare

LETTERS: dict[Sign, str] = {"gravity": "G", "buoyancy": "B", "hanger": "o", "tie": "*"}
WATER, _CUT = "~", "^"

_APART = 7  # columns that a number under the ruler may take
_STEPS: dict[Rule, tuple[float, ...]] = {
    "mm": tuple(1e-3 * s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500)),
    "in": tuple(0.0254 * s for s in (0.25, 0.5, 1, 2, 4, 12)),
}
"""Steps of the ruler [m]."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a view stands on its canvas: dots = (right - left) scale, (top - up) scale."""

    left: float
    top: float
    scale: float

    def place(self, points: Numbers) -> Numbers:
        """Points of the view [m] in dots."""
        return np.asarray((points - (self.left, self.top)) * (self.scale, -self.scale))


def _box(view: View) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of what a view must show [m].

    Marks count unless they lie further off than half of the body's own size.
    """
    left, bottom = view.outline.min(axis=0).tolist()
    right, top = view.outline.max(axis=0).tolist()
    reach = max(right - left, top - bottom) / 2
    near = [
        mark
        for mark in view.marks
        if left - reach <= mark.right <= right + reach and bottom - reach <= mark.up <= top + reach
    ]
    across, up = [left, right, *(m.right for m in near)], [bottom, top, *(m.up for m in near)]
    return min(across), min(up), max(across), max(up)


def extent(view: View) -> tuple[float, float]:
    """How much a view takes across and up [m]."""
    left, bottom, right, top = _box(view)
    return right - left, top - bottom


def fitting(view: View, columns: int, rows: int) -> float:
    """Scale [dots/m] at which a view fits into so many columns and rows."""
    across, up = extent(view)
    return min((columns * ACROSS - 2) / max(across, 1e-9), (rows * DOWN - DOWN) / max(up, 1e-9))


def columns_of(view: View, scale: float) -> int:
    """Columns that a view takes at a scale [dots/m]."""
    return math.ceil((extent(view)[0] * scale + 2) / ACROSS)


def drawn(
    view: View,
    scale: float,
    columns: int,
    plain: bool,
    water: float | None = None,
    margin: int = 0,
) -> list[str]:
    """A view as lines; `margin` columns stay free on its left."""
    left, bottom, _, top = _box(view)
    frame = _Frame(left - (margin * ACROSS + 0.5) / scale, top + 0.5 / scale, scale)
    if water is not None:  # it runs through the middle of a row of characters
        shift = (DOWN / 2 - (frame.top - water) * scale) % DOWN
        frame = _Frame(frame.left, frame.top + shift / scale, scale)
    canvas = Canvas(columns, int((frame.top - bottom) * scale) // DOWN + 1)
    for edge in view.lines:
        points = frame.place(edge.points)
        if edge.role in ("lead", "fill"):
            canvas.fill(points, lead=edge.role == "lead")
        else:
            canvas.stroke(points)
    _letters(canvas, view.marks, frame)
    if water is not None:
        _water(canvas, view, frame, water)
    return canvas.lines(plain=plain)


def _letters(canvas: Canvas, marks: tuple[Mark, ...], frame: _Frame) -> None:
    """Hangers first, G last; where G would hide B it stands beside it, on its own side."""
    buoyancy = None
    for mark in sorted(marks, key=lambda m: list(LETTERS).index(m.sign), reverse=True):
        right, down = frame.place(np.array([mark.right, mark.up])).tolist()
        if mark.sign == "buoyancy":
            buoyancy = right, down
        elif mark.sign == "gravity" and buoyancy is not None:
            same_row = down // DOWN == buoyancy[1] // DOWN
            if same_row and right // ACROSS == buoyancy[0] // ACROSS:
                right += ACROSS if right >= buoyancy[0] else -ACROSS
        canvas.letter(right, down, LETTERS[mark.sign])


def _water(canvas: Canvas, view: View, frame: _Frame, water: float) -> None:
    """The water as a line of its own outside the body, and every other sign of it inside."""
    down = (frame.top - water) * frame.scale
    row = int(down // DOWN)
    if not 0 <= row < canvas.rows:
        return
    crossings = _crossings(frame.place(view.outline), down) / ACROSS
    for column in canvas.free(row):
        inside = np.count_nonzero(crossings < column + 0.5) % 2 == 1
        if not inside or column % 2 == 0:
            canvas.letter(column * ACROSS, down, WATER)


def _crossings(outline: Numbers, down: float) -> Numbers:
    """Where a closed line crosses a level, in dots."""
    following = np.roll(outline, -1, axis=0)
    across = (outline[:, 1] < down) != (following[:, 1] < down)
    (x0, y0), (x1, y1) = outline[across].T, following[across].T
    return np.asarray(x0 + (down - y0) * (x1 - x0) / (y1 - y0))


def ruler(scene: Scene, scale: float, columns: int, plain: bool) -> list[str]:
    """Ticks along the plan with lengths in the maker's unit, and where the section is cut."""
    step = _step(scale, scene.rule)
    left, _, _, _ = _box(scene.plan)

    def column(x: float) -> int:
        return int(((x - left) * scale + 0.5) // ACROSS)

    ticks, numbers = [" "] * columns, [" "] * columns
    for k in range(math.ceil(scene.nose / step - 1e-6), math.floor(scene.tail / step + 1e-6) + 1):
        text = bare(k * step, scene.rule)
        at = min(max(column(k * step), 0), columns - 1)
        ticks[at] = "|" if plain else "╵"
        start = max(min(at - len(text) // 2, columns - len(text)), 0)
        numbers[start : start + len(text)] = text[:columns]
    ticks[min(max(column(scene.station), 0), columns - 1)] = _CUT
    return ["".join(ticks).rstrip(), "".join(numbers).rstrip()]


def _step(scale: float, rule: Rule) -> float:
    """The finest round step whose numbers stand apart [m]."""
    least, longest = _APART * ACROSS / scale, _STEPS[rule][-1]
    whole = longest * max(math.ceil(least / longest), 1)
    return next((step for step in _STEPS[rule] if step >= least), whole)
