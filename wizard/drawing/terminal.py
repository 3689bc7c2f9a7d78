"""The picture as lines of text, for any width, with or without braille signs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.drawing.canvas import ACROSS, DOWN, FILL, LEAD, PLAIN_FILL, PLAIN_LEAD, Canvas
from wizard.drawing.scene import Scene
from wizard.drawing.views import Mark, Sign, View
from wizard.physics.curve import Numbers
from wizard.plug.rule import Rule, bare, shown

NARROWEST = 12
"""Columns below which nothing can be told."""

_BESIDE = 64  # columns from which the section stands beside the side view
_GAP = 3  # columns between two views
_SHORE = 2  # columns of water on either side of a section
_LEVEL = math.radians(20)  # up to this pitch side view and plan share one scale

_LETTERS: dict[Sign, str] = {"gravity": "G", "buoyancy": "B", "hanger": "o", "tie": "*"}
_WATER, _CUT = "~", "^"
_MEANINGS: tuple[tuple[str, str, str], ...] = (
    ("G", "centre of gravity", "CG"),
    ("B", "centre of buoyancy", "CB"),
    ("o", "hanger", "hanger"),
    ("*", "line tie", "tie"),
    (_WATER, "water", "water"),
    ("lead", "ballast", "ballast"),
    ("fill", "backfill", "backfill"),
)
"""What the legend says of a letter or a role: in full and in short."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a view stands on its canvas: dots = (right - left) scale, (top - up) scale."""

    left: float
    top: float
    scale: float

    def place(self, points: Numbers) -> Numbers:
        """Points of the view [m] in dots."""
        return np.asarray((points - (self.left, self.top)) * (self.scale, -self.scale))


def lines(scene: Scene, width: int, *, plain: bool = False) -> tuple[str, ...]:
    """The whole picture.

    Args:
        scene: what to show.
        width: columns that may be used; fewer than `NARROWEST` count as that many.
        plain: use ASCII alone.

    Returns:
        Lines of at most `width` characters, the legend last.
    """
    width = max(width, NARROWEST)
    out = _beside(scene, width, plain) if width >= _BESIDE else _below(scene, width, plain)
    fitted = (line[:width].rstrip() for line in (*out, "", legend(scene, width, plain=plain)))
    return tuple(fitted)


def legend(scene: Scene, width: int, *, plain: bool = False) -> str:
    """What the letters mean, as much of it as one line takes."""
    views = (scene.side, scene.plan, scene.section)
    present = {_LETTERS[m.sign] for view in views for m in view.marks}
    present |= {edge.role for view in views for edge in view.lines}
    if scene.water is not None:
        present.add(_WATER)
    solid = {"lead": PLAIN_LEAD, "fill": PLAIN_FILL} if plain else {"lead": LEAD, "fill": FILL}
    rows = [row for row in _MEANINGS if row[0] in present]
    full, short = (
        [f"{solid.get(row[0], row[0])} {row[which]}" for row in rows] for which in (1, 2)
    )
    entries = full if len("  ".join(full)) <= width else short
    while len("  ".join(entries)) > width:
        entries.pop()
    return "  ".join(entries)


# Putting the views together ------------------------------------------------


def _below(scene: Scene, width: int, plain: bool) -> list[str]:
    """Side view, plan and section under each other."""
    tallest = _tallest(width)
    scales = [_fitting(view, width, tallest) for view in (scene.side, scene.plan)]
    if abs(scene.pitch) < _LEVEL:
        scales = [min(scales)] * 2
    cut = _fitting(scene.section, max(width // 2, NARROWEST - 2 * _SHORE), tallest // 2)
    return [
        _side_title(scene, width, plain),
        *_drawn(scene.side, scales[0], width, plain, scene.water),
        "",
        *_plan(scene, scales[1], width, plain),
        "",
        *_section(scene, cut, plain),
    ]


def _beside(scene: Scene, width: int, plain: bool) -> list[str]:
    """The section beside the side view and at its scale, the plan below."""
    tallest = _tallest(width)
    most = width // 3 - 2 * _SHORE
    across = _extent(scene.side)[0] + _extent(scene.section)[0]
    cut = min(
        (width - _GAP - 2 * _SHORE - 2) * ACROSS / across,
        _fitting(scene.section, most, tallest),
    )
    taken = max(_columns(scene.section, cut) + 2 * _SHORE, len(_section_title(scene)))
    left = width - _GAP - taken
    side, plan = (_fitting(view, left, tallest) for view in (scene.side, scene.plan))
    if abs(scene.pitch) < _LEVEL:
        side = plan = min(side, plan)
    drawn = [
        _side_title(scene, left, plain),
        *_drawn(scene.side, side, left, plain, scene.water),
    ]
    return [
        *_joined(drawn, _section(scene, cut, plain), left + _GAP),
        "",
        *_plan(scene, plan, left, plain),
    ]


def _tallest(width: int) -> int:
    """Rows that one view may take."""
    return 10 + width // 5


def _plan(scene: Scene, scale: float, columns: int, plain: bool) -> list[str]:
    return [
        f"from above ({scene.rule})",
        *_drawn(scene.plan, scale, columns, plain),
        *_ruler(scene, scale, columns, plain),
    ]


def _section(scene: Scene, scale: float, plain: bool) -> list[str]:
    columns = _columns(scene.section, scale) + 2 * _SHORE
    return [
        _section_title(scene),
        *_drawn(scene.section, scale, columns, plain, scene.water_in_section, _SHORE),
    ]


def _section_title(scene: Scene) -> str:
    return f"section at {shown(scene.station, scene.rule)}"


def _joined(left: list[str], right: list[str], column: int) -> list[str]:
    rows = max(len(left), len(right))
    pairs = zip(left + [""] * (rows - len(left)), right + [""] * (rows - len(right)), strict=True)
    return [f"{a:<{column}}{b}".rstrip() for a, b in pairs]


def _side_title(scene: Scene, columns: int, plain: bool) -> str:
    degree = " deg" if plain else "°"
    angle = round(abs(math.degrees(scene.pitch)))
    tilt = f"nose {'down' if scene.pitch > 0 else 'up'} {angle}{degree}" if angle else "level"
    how = {
        "floats": f"floats, {tilt}",
        "hangs": f"under water, {tilt}",
        "unknown": "how it lies is not known",
    }[scene.lies]
    wordings = (f"from port: {how}", how, tilt)
    return next((w for w in wordings if len(w) <= columns), tilt)


# One view ------------------------------------------------------------------


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


def _extent(view: View) -> tuple[float, float]:
    left, bottom, right, top = _box(view)
    return right - left, top - bottom


def _fitting(view: View, columns: int, rows: int) -> float:
    """Dots per metre at which a view fits into so many columns and rows."""
    across, up = _extent(view)
    return min((columns * ACROSS - 2) / across, (rows * DOWN - DOWN) / max(up, 1e-9))


def _columns(view: View, scale: float) -> int:
    return math.ceil((_extent(view)[0] * scale + 2) / ACROSS)


def _drawn(
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
    for mark in sorted(marks, key=lambda m: list(_LETTERS).index(m.sign), reverse=True):
        right, down = frame.place(np.array([mark.right, mark.up])).tolist()
        if mark.sign == "buoyancy":
            buoyancy = right, down
        elif mark.sign == "gravity" and buoyancy is not None:
            same_row = down // DOWN == buoyancy[1] // DOWN
            if same_row and right // ACROSS == buoyancy[0] // ACROSS:
                right += ACROSS if right >= buoyancy[0] else -ACROSS
        canvas.letter(right, down, _LETTERS[mark.sign])


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
            canvas.letter(column * ACROSS, down, _WATER)


def _crossings(outline: Numbers, down: float) -> Numbers:
    """Where a closed line crosses a level, in dots."""
    following = np.roll(outline, -1, axis=0)
    across = (outline[:, 1] < down) != (following[:, 1] < down)
    (x0, y0), (x1, y1) = outline[across].T, following[across].T
    return np.asarray(x0 + (down - y0) * (x1 - x0) / (y1 - y0))


def _ruler(scene: Scene, scale: float, columns: int, plain: bool) -> list[str]:
    """Ticks along the plan with lengths in the maker's unit, and where the section is cut."""
    step = _step(scale, scene.rule)
    left, _, _, _ = _box(scene.plan)

    def column(x: float) -> int:
        return int(((x - left) * scale + 0.5) // ACROSS)

    ticks, numbers = [" "] * columns, [" "] * (columns + 16)
    for k in range(math.ceil(scene.nose / step - 1e-6), math.floor(scene.tail / step + 1e-6) + 1):
        text = bare(k * step, scene.rule)
        at = min(max(column(k * step), 0), columns - 1)
        ticks[at] = "|" if plain else "╵"
        start = max(at - len(text) // 2, 0)
        numbers[start : start + len(text)] = text
    ticks[min(max(column(scene.station), 0), columns - 1)] = _CUT
    return ["".join(ticks).rstrip(), "".join(numbers).rstrip()]


def _step(scale: float, rule: Rule) -> float:
    """The finest round step whose numbers stand apart [m]."""
    widest = 7 * ACROSS
    base, steps = (0.0254, (0.25, 0.5, 1, 2, 4, 12)) if rule == "in" else (
        1e-3, (1, 2, 5, 10, 20, 50, 100, 200, 500))  # fmt: skip
    found = next((s * base for s in steps if s * base * scale >= widest), None)
    return (
        found
        if found is not None
        else base * steps[-1] * math.ceil(widest / (base * steps[-1] * scale))
    )
