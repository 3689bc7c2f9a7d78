"""The plug on paper as it will lie: side view in the water, section and plan, to any width.

And its outline for the sheet, with a bar of known length: whatever the scale is, the bar
shrinks with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from wizard.drawing.figures import figures
from wizard.drawing.panel import LETTERS
from wizard.drawing.scene import Scene
from wizard.drawing.sheets import MM, Figure, Label, Stroke, Style, moved, polyline
from wizard.drawing.views import Mark, View
from wizard.physics.curve import Numbers
from wizard.physics.shape import Body
from wizard.plug.record import Build
from wizard.plug.rule import Rule, rule_of, shown

_EDGE = 4.0  # mm of paper around a view
_GAP = 6.0  # mm between views
_TITLE = 4.0  # mm over a view
_SIZE = 2.4  # mm, size of letters
_HATCH = 0.9  # mm between the lines that fill lead
_BAR_AT = 10.0  # mm from the left
_ARM = 1.2  # mm, of the cross of a centre
_BARS: dict[Rule, tuple[float, ...]] = {
    "mm": (0.01, 0.02, 0.05, 0.1),
    "in": (0.0127, 0.0254, 0.0508, 0.1016),
}
"""Lengths of the bar [m]: the longest that takes a third of the body at most."""


def portrait(scene: Scene, width: float, height: float) -> Figure:
    """The picture of a plug.

    Args:
        scene: what to show.
        width: of the paper [mm].
        height: most that it may take [mm].
    """
    views = (
        ("side", _lies(scene), scene.side, scene.water),
        ("section", "section", scene.section, scene.water_in_section),
        ("plan", "from above", scene.plan, None),
    )
    across = sum(_extent(view)[0] for _, _, view, _ in views)
    up = max(_extent(view)[1] for _, _, view, _ in views)
    scale = min(
        (width - 2 * _GAP - 2 * _EDGE * len(views)) / across, (height - _TITLE - 2 * _EDGE) / up
    )
    return _together([_drawn(name, title, view, scale, w) for name, title, view, w in views])


def outline(build: Build, body: Body, width: float, height: float) -> Figure:
    """Side and plan of the paper template, at 1:1 or as large as the room allows.

    Args:
        build: the record.
        body: its drawn body.
        width: of the room [mm].
        height: of the room [mm].
    """
    side, plan, *_ = figures(build, body)
    strokes, labels = moved(plan, 0.0, side.height + _GAP)
    under = side.height + _GAP + plan.height
    bar, told = _bar(body, rule_of(build), under + _TITLE)
    whole = Figure(
        "outline",
        max(side.width, plan.width),
        under + 2 * _TITLE,
        (*side.strokes, *strokes, *bar),
        (*side.labels, *labels, told),
    )
    return shrunk(whole, min(1.0, width / whole.width, height / whole.height))


def shrunk(figure: Figure, factor: float) -> Figure:
    """A figure at another size, its letters with it."""
    strokes = tuple(Stroke(s.style, s.points * factor, s.closed) for s in figure.strokes)
    labels = tuple(
        Label(t.text, t.right * factor, t.down * factor, t.size * factor, t.align, t.bold)
        for t in figure.labels
    )
    return Figure(figure.name, figure.width * factor, figure.height * factor, strokes, labels)


def _bar(body: Body, rule: Rule, down: float) -> tuple[tuple[Stroke, ...], Label]:
    """A bar of a length that is written beside it."""
    fitting = [length for length in _BARS[rule] if length <= body.length / 3]
    length = fitting[-1] if fitting else _BARS[rule][0]
    left, right = _BAR_AT, _BAR_AT + length * MM
    ends = (polyline("rule", (x, down - 1.0), (x, down + 1.0)) for x in (left, right))
    text = f"{shown(length, rule)} on the plug; the template prints it at 1:1"
    return (
        (polyline("rule", (left, down), (right, down)), *ends),
        Label(text, right + 2.0, down + 0.8, _SIZE),
    )


# Views ---------------------------------------------------------------------


def _lies(scene: Scene) -> str:
    degrees = round(abs(math.degrees(scene.pitch)))
    tilt = f"nose {'down' if scene.pitch > 0 else 'up'} {degrees} degrees" if degrees else "level"
    return {
        "floats": f"floating, {tilt}",
        "hangs": f"under water, {tilt}",
        "unknown": "how it lies is not known",
    }[scene.lies]


def _extent(view: View) -> tuple[float, float]:
    """What a view takes across and up [m], marks near the body counted."""
    left, bottom, right, top = _box(view)
    return right - left, top - bottom


def _box(view: View) -> tuple[float, float, float, float]:
    low, high = view.outline.min(axis=0), view.outline.max(axis=0)
    reach = float((high - low).max()) / 2
    near = [
        (m.right, m.up)
        for m in view.marks
        if np.all(low - reach <= (m.right, m.up)) and np.all((m.right, m.up) <= high + reach)
    ]
    points = np.array([low, high, *near])
    left, bottom = points.min(axis=0).tolist()
    right, top = points.max(axis=0).tolist()
    return left, bottom, right, top


def _drawn(name: str, title: str, view: View, scale: float, water: float | None) -> Figure:
    """One view at a scale [mm/m]."""
    left, bottom, right, top = _box(view)
    width, height = (right - left) * scale + 2 * _EDGE, (top - bottom) * scale + 2 * _EDGE + _TITLE

    def paper(points: Numbers) -> Numbers:
        corner = np.array([left, top])
        return np.asarray((points - corner) * (scale, -scale) + (_EDGE, _EDGE + _TITLE))

    strokes: list[Stroke] = []
    for edge in view.lines:
        points = paper(edge.points)
        if edge.role == "lead":
            strokes += _hatched(points)
        style: Style = "outline" if edge.role == "outline" else "hidden"
        strokes.append(Stroke(style, points, edge.closed))
    labels = [Label(title, 0.0, _TITLE - 1.0, _SIZE, bold=True)]
    for mark in view.marks:
        _marked(strokes, labels, mark, paper(np.array([[mark.right, mark.up]]))[0])
    if water is not None:
        level = float(paper(np.array([[left, water]]))[0][1])
        if 0.0 < level < height:
            strokes.append(polyline("cut", (0.0, level), (width, level)))
            labels.append(Label("water", width, level - 0.6, _SIZE, "right"))
    return Figure(name, width, height, tuple(strokes), tuple(labels))


def _marked(strokes: list[Stroke], labels: list[Label], mark: Mark, at: Numbers) -> None:
    """A centre as a cross with its letter, a hanger or the line tie as a small ring."""
    right, down = at.tolist()
    if mark.sign in ("gravity", "buoyancy"):
        strokes.append(polyline("rule", (right - _ARM, down), (right + _ARM, down)))
        strokes.append(polyline("rule", (right, down - _ARM), (right, down + _ARM)))
        over = mark.sign == "buoyancy"
        label = down - _ARM if over else down + _ARM + _SIZE * 0.7
        labels.append(Label(LETTERS[mark.sign], right + 0.6, label, _SIZE, bold=True))
        return
    angle = np.linspace(0.0, 2.0 * np.pi, 17)
    ring = np.stack([right + 0.8 * np.cos(angle), down + 0.8 * np.sin(angle)], axis=1)
    strokes.append(Stroke("rule", ring, True))


def _hatched(points: Numbers) -> Iterator[Stroke]:
    """Level lines through a closed shape, by the even-odd rule."""
    (x0, y0), (x1, y1) = points.T, np.roll(points, -1, axis=0).T
    low, high = float(y0.min()), float(y0.max())
    for level in np.arange(low + _HATCH / 2, high, _HATCH).tolist():
        across = (y0 <= level) != (y1 <= level)
        share = (level - y0[across]) / (y1[across] - y0[across])
        crossings = np.sort(x0[across] + share * (x1[across] - x0[across])).tolist()
        for start, end in zip(crossings[::2], crossings[1::2], strict=False):
            yield polyline("thin", (start, level), (end, level))


def _together(views: Sequence[Figure]) -> Figure:
    """Views beside each other."""
    strokes: list[Stroke] = []
    labels: list[Label] = []
    right = 0.0
    for view in views:
        drawn, written = moved(view, right, 0.0)
        strokes += drawn
        labels += written
        right += view.width + _GAP
    height = max(view.height for view in views)
    return Figure("picture", right - _GAP, height, tuple(strokes), tuple(labels))
