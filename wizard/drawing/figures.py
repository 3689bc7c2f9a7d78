"""The figures of the paper template at 1:1: side, plan and a section at every station."""

from __future__ import annotations

import math

import numpy as np

from wizard.drawing.bores import Bore, Role, bores
from wizard.drawing.lettering import fitted, width
from wizard.drawing.marking import working_stations
from wizard.drawing.sheets import (
    MM,
    Figure,
    Label,
    Stroke,
    Style,
    Window,
    clipped,
    cross,
)
from wizard.drawing.views import View, places, plan_view, section_view, side_view, spots
from wizard.physics.curve import Numbers
from wizard.physics.shape import Body
from wizard.plug.body.blank import Blank, blank
from wizard.plug.record import Build
from wizard.plug.rule import Rule, rule_of, shown

_LEFT, _ABOVE, _BELOW = 10.0, 9.0, 8.0  # mm of paper around side and plan
_BESIDE = 5.0  # mm of paper around a section
_OVER = 2.5e-3  # m that a station or centre line runs past what it crosses
_SPARE = 1e-3  # m: a blank that is hardly longer than the body is not drawn
_ARM = 2.5  # mm, of the cross that marks a place
_APART = 1.0  # mm between marks that each have a name
_NAME = 2.2  # mm, size of names and numbers
_CLEAR = 0.4  # mm between a name and a line beside it
_FINE = 801  # points along the body: chords true to 0.01 mm on any plug
_AROUND = 240  # points around a section

_STYLES: dict[Role, Style] = {
    "outline": "outline",
    "hole": "hidden",
    "lead": "hidden",
    "fill": "hidden",
}

Box = tuple[float, float, float, float]
"""Left, bottom, right and top in a view [m]."""


def figures(build: Build, body: Body) -> tuple[Figure, ...]:
    """Every figure, side and plan first."""
    drawn = tuple(b for b in bores(build) if b is not None)
    squared, stations, marked = blank(build), working_stations(build, body), spots(build)
    assert squared is not None
    side = side_view(body, drawn, marked, _FINE)
    plan = plan_view(body, drawn, marked, _FINE)
    level = float(side.outline[:, 1].min() + side.outline[:, 1].max()) / 2
    in_side = _box(squared, body, squared.sides.height, level)
    in_plan = _box(squared, body, squared.sides.thickness, 0.0)
    side_sheet = _long("Side, from port", side, stations, in_side)
    x = places(body, _FINE)
    side_sheet.line("thin", np.stack([x, body.cuts(x).widest], axis=1))
    middle = (body.nose + body.tail) / 2
    side_sheet.name("widest level", middle, float(body.cuts(middle).widest))
    return (
        _finished("side", side_sheet, side, drawn, in_side),
        _finished("plan", _long("Plan, from above", plan, stations, in_plan), plan, drawn, in_plan),
        *(
            _section(number, body, x, drawn, rule_of(build))
            for number, x in enumerate(stations)
            if body.section_area(x) > 0.0
        ),
    )


class _Sheet:
    """Collects strokes and labels given in the axes of a view [m], right and up."""

    def __init__(self, left: float, top: float, edge: tuple[float, float]) -> None:
        self.corner, self.edge = np.array([left, top]), np.array(edge)
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []

    def paper(self, points: Numbers) -> Numbers:
        """Points on the paper [mm], right and down."""
        return np.asarray((points - self.corner) * (MM, -MM) + self.edge)

    def at(self, right: float, up: float) -> tuple[float, float]:
        """One point on the paper [mm]."""
        x, y = self.paper(np.array([right, up])).tolist()
        return x, y

    def line(self, style: Style, points: Numbers, *, closed: bool = False) -> None:
        """A line through points of the view."""
        self.strokes.append(Stroke(style, self.paper(points), closed))

    def straight(self, style: Style, start: tuple[float, float], end: tuple[float, float]) -> None:
        """A straight line."""
        self.line(style, np.array([start, end]))

    def outlines(self, view: View) -> None:
        """All lines of the view in their own styles."""
        for edge in view.lines:
            self.line(_STYLES[edge.role], edge.points, closed=edge.closed)

    def name(
        self, text: str, right: float, up: float, *, below: bool = False, beside: float = 0.0
    ) -> None:
        """A name close to a point, where it covers no other and crosses as little as may be.

        Call it once all lines are drawn.

        Args:
            text: the name.
            right: of the point [m].
            up: of the point [m].
            below: whether places under the point come first.
            beside: how far to either side what is named reaches [m].
        """
        x, y = self.at(right, up)
        over, under = (-0.8, -3.4, -6.0, -8.6), (2.4, 5.0, 7.6, 10.2)
        tried = [
            Label(text, x + side * (0.8 + away), y + dy, _NAME, "left" if side > 0 else "right")
            for dy in ((*under, *over) if below else (*over, *under))
            for away in dict.fromkeys((0.0, beside * MM))
            for side in (1, -1)
        ]
        on_paper = [t for t in tried if _reach(t)[0] >= 0.0]
        free = [t for t in on_paper if not any(_overlap(t, other) for other in self.labels)]
        self.labels.append(min(free or tried, key=self._crossed))

    def _crossed(self, label: Label) -> int:
        """How many lines run through a label; stations are thin enough to be read through."""
        left, right = _reach(label)
        top = label.down - 0.75 * label.size
        window = Window(left - _CLEAR, top, right - left + 2 * _CLEAR, label.size)
        lines = (stroke for stroke in self.strokes if stroke.style != "thin")
        return sum(bool(clipped(line.points, line.closed, window)) for line in lines)

    def figure(self, name: str, right: float, bottom: float, below: float) -> Figure:
        """The finished figure, with the far corner of what it holds [m]; names have room."""
        x, y = self.at(right, bottom)
        wide = max([x + float(self.edge[0]), *(_reach(label)[1] for label in self.labels)])
        return Figure(name, wide, y + below, tuple(self.strokes), tuple(self.labels))


def _reach(label: Label) -> tuple[float, float]:
    """Left and right end of a label [mm], roughly."""
    size = width(label.text, label.size)
    start = label.right - {"left": 0.0, "middle": 0.5, "right": 1.0}[label.align] * size
    return start, start + size


def _overlap(a: Label, b: Label) -> bool:
    (a_left, a_right), (b_left, b_right) = _reach(a), _reach(b)
    apart = abs(a.down - b.down) >= 0.9 * max(a.size, b.size)
    return not apart and a_left < b_right and b_left < a_right


# Side and plan -------------------------------------------------------------


def _box(squared: Blank, body: Body, high: float, middle: float) -> Box:
    spare = (squared.sides.length - body.length) / 2
    return body.nose - spare, middle - high / 2, body.tail + spare, middle + high / 2


def _long(title: str, view: View, stations: tuple[float, ...], box: Box) -> _Sheet:
    """Blank, centre line, stations and outline."""
    left, bottom, right, top = box
    sheet = _Sheet(left, top, (_LEFT, _ABOVE))
    sheet.labels.append(Label(title, _LEFT, 3.6, 3.0, bold=True))
    for number, x in enumerate(stations):
        sheet.straight("thin", (x, bottom - _OVER), (x, top + _OVER))
        at, down = sheet.at(x, bottom - _OVER)
        sheet.labels.append(Label(str(number), at, down + 2.4, _NAME, "middle"))
    if right - left > float(np.ptp(view.outline[:, 0])) + _SPARE:
        corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
        sheet.line("cut", np.array(corners), closed=True)
    middle = (bottom + top) / 2
    sheet.straight("centre", (left - _OVER, middle), (right + _OVER, middle))
    at, down = sheet.at(left - _OVER, middle)
    sheet.labels.append(Label("nose", at - 0.4, down + 0.7, _NAME, "right"))
    sheet.outlines(view)
    return sheet


def _finished(name: str, sheet: _Sheet, view: View, drawn: tuple[Bore, ...], box: Box) -> Figure:
    """The figure with the names of its holes and a cross for every mark near the body.

    Of marks that fall on one another the first is named: the marking-out sheet names all.
    """
    left, bottom, right, top = box
    middle = (bottom + top) / 2
    near = (right - left) / 4
    marks = [mark for mark in view.marks if left - near <= mark.right <= right + near]
    holes = [_hole(sheet, name == "side", bore) for bore in drawn]
    for mark in marks:
        sheet.strokes += cross("rule", *sheet.at(mark.right, mark.up), _ARM)
    for bore, (at_right, at_up) in zip(drawn, holes, strict=True):
        sheet.name(f"hole {bore.number}", at_right, at_up, beside=bore.hole.radius)
    named: list[tuple[float, float]] = []
    for mark in marks:
        at = sheet.at(mark.right, mark.up)
        if all(math.dist(at, other) > _APART for other in named):
            sheet.name(fitted(mark.name, 40.0, _NAME), mark.right, mark.up, below=mark.up < middle)
            named.append(at)
    return sheet.figure(name, right, bottom, _BELOW)


def _hole(sheet: _Sheet, side: bool, bore: Bore) -> tuple[float, float]:
    """Draw the centre line or centre cross of a hole; gives where its number belongs [m]."""
    hole = bore.hole
    mouth = hole.z if side else -hole.y
    if (hole.axis == "across") == side:
        sheet.strokes += cross("centre", *sheet.at(hole.x, mouth), (hole.radius + _OVER) * MM)
        return hole.x, mouth
    _, dy, dz = hole.direction
    away = dz if side else -dy
    sheet.straight(
        "centre",
        (hole.x, mouth - away * _OVER),
        (hole.x, mouth + away * (hole.length + _OVER)),
    )
    return hole.x, mouth + away * hole.length / 2


# Sections ------------------------------------------------------------------


def _section(number: int, body: Body, x: float, drawn: tuple[Bore, ...], rule: Rule) -> Figure:
    view = section_view(body, x, drawn, (), _AROUND)
    left, bottom = view.outline.min(axis=0).tolist()
    right, top = view.outline.max(axis=0).tolist()
    title = f"{number}: {shown(x - body.nose, rule)}"
    room = max(_BESIDE, width(title, 2.6) / 2 - right * MM)
    sheet = _Sheet(left, top, (room, _ABOVE))
    widest = float(body.cuts(x).widest)
    sheet.straight("centre", (0.0, bottom - _OVER), (0.0, top + _OVER))
    sheet.straight("centre", (left - _OVER, widest), (right + _OVER, widest))
    sheet.outlines(view)
    at, down = sheet.at(0.0, top + _OVER)
    sheet.labels.append(Label(title, at, down - 1.0, 2.6, "middle"))
    return sheet.figure(f"section {number}", right, bottom, _BESIDE)
