"""A body and what is in it seen from the side, from above and in section.

Everything lies in the axes of the body, in m. On the page the side view runs x to
the right and z up, the nose to the left; the plan x to the right and port down, as
seen from above; a section is seen from the tail, port to the left and z up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.drawing.bores import Bore, Role
from wizard.physics.curve import Numbers, distinct
from wizard.physics.holes import Hole
from wizard.physics.shape import Body
from wizard.physics.skin import outlines
from wizard.plug.record import Build

Sign = Literal["gravity", "buoyancy", "hanger", "tie"]

_ROUND = 72  # points of a drawn circle: true to 0.1 % of its radius


@dataclass(frozen=True, eq=False)
class Line:
    """One line of a view.

    Attributes:
        role: what it is the edge of.
        points: right and up on the page, shape (n, 2) [m].
        closed: whether its end meets its start; lead and fill are closed and full.
    """

    role: Role
    points: Numbers
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Mark:
    """A marked point of a view.

    Attributes:
        sign: what it marks.
        right: on the page [m].
        up: on the page [m].
        name: for the eye.
    """

    sign: Sign
    right: float
    up: float
    name: str


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on or in the body: x aft, z up, y to port [m]."""

    sign: Sign
    name: str
    x: float
    z: float
    y: float = 0.0


@dataclass(frozen=True, eq=False)
class View:
    """One view.

    Attributes:
        lines: outline first.
        marks: points, the more important ones later.
    """

    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]

    @property
    def outline(self) -> Numbers:
        """Edge of the body, shape (n, 2) [m]."""
        return self.lines[0].points

    def tilted(self, pitch: float) -> View:
        """The view turned nose down by a pitch [rad], about the origin of the body's axes."""
        c, s = math.cos(pitch), math.sin(pitch)
        turn = np.array([[c, s], [-s, c]])
        lines = tuple(Line(e.role, e.points @ turn, e.closed) for e in self.lines)
        marks = tuple(
            Mark(m.sign, m.right * c - m.up * s, m.right * s + m.up * c, m.name) for m in self.marks
        )
        return View(lines, marks)


def spots(build: Build) -> tuple[Spot, ...]:
    """Hardware and line tie, as far as their places are given."""
    found = [
        Spot(
            "hanger",
            item.name or f"hardware {i}",
            item.x.value,
            item.z.value,
            item.y.value if item.y else 0.0,
        )
        for i, item in enumerate(build.hardware or (), start=1)
        if item.x and item.z
    ]
    tie = build.shape.line_tie
    if tie is not None and tie.x and tie.z:
        found.append(Spot("tie", "line tie", tie.x.value, tie.z.value))
    return tuple(found)


# The three views ----------------------------------------------------------


def side_view(
    body: Body, drawn: tuple[Bore, ...], marked: tuple[Spot, ...], count: int = 160
) -> View:
    """The body from its port side, the nose to the left."""
    x = places(body, count)
    edge = np.concatenate(
        [np.stack([x, body.top(x)], axis=1), np.stack([x, body.bottom(x)], axis=1)[::-1]]
    )
    return View((Line("outline", edge), *_holes(drawn, "z")), _marks(marked, "z"))


def plan_view(
    body: Body, drawn: tuple[Bore, ...], marked: tuple[Spot, ...], count: int = 160
) -> View:
    """The body from above, the nose to the left and port below."""
    x = places(body, count)
    port = np.stack([x, -body.half_breadth(x)], axis=1)
    edge = np.concatenate([port * (1.0, -1.0), port[::-1]])
    return View((Line("outline", edge), *_holes(drawn, "y")), _marks(marked, "y"))


def section_view(
    body: Body, x: float, drawn: tuple[Bore, ...], marked: tuple[Spot, ...], count: int = 96
) -> View:
    """The body cut across at x, seen from the tail; marks are shown wherever they lie along it."""
    y, z = outlines(body, np.array([x]), count)
    edge = np.stack([-y[0], z[0]], axis=1)
    lines = [Line("outline", edge)]
    for bore in drawn:
        hole = bore.hole
        reach = hole.radius**2 - (x - hole.x) ** 2
        if reach <= 0.0:
            continue
        for role, start, end in bore.pieces():
            lines.append(Line(role, _placed(bore, start, end, math.sqrt(reach), "section")))
    return View(tuple(lines), tuple(Mark(s.sign, -s.y, s.z, s.name) for s in marked))


def places(body: Body, count: int) -> Numbers:
    """Places along the body, closer towards its ends, with all of its stations [m]."""
    even = body.nose + body.length * (1 - np.cos(np.linspace(0.0, np.pi, count))) / 2
    return distinct(np.concatenate([np.clip(even, body.nose, body.tail), body.curve.knots]))


def _marks(marked: tuple[Spot, ...], up: Literal["y", "z"]) -> tuple[Mark, ...]:
    return tuple(Mark(s.sign, s.x, s.z if up == "z" else -s.y, s.name) for s in marked)


def _holes(drawn: tuple[Bore, ...], up: Literal["y", "z"]) -> list[Line]:
    """Holes seen square to their axis as profiles, along it as circles."""
    lines = []
    for bore in drawn:
        along = (bore.hole.axis == "across") == (up == "z")
        pieces = bore.pieces()
        if along:  # looking along the hole, only its nearest filling shows
            lines += [Line(role, _circle(bore.hole, up)) for role in _seen(pieces)]
        else:
            lines += [
                Line(role, _placed(bore, start, end, bore.hole.radius, up))
                for role, start, end in pieces
            ]
    return lines


def _seen(pieces: tuple[tuple[Role, float, float], ...]) -> tuple[Role, ...]:
    roles = [role for role, _, _ in pieces]
    return ("lead", "hole") if "lead" in roles else ("hole",)


def _circle(hole: Hole, up: Literal["y", "z"]) -> Numbers:
    angle = np.linspace(0.0, 2.0 * np.pi, _ROUND, endpoint=False)
    middle = hole.z if up == "z" else -hole.y
    return np.stack(
        [hole.x + hole.radius * np.cos(angle), middle + hole.radius * np.sin(angle)], axis=1
    )


def _placed(
    bore: Bore, start: float, end: float, half_width: float, view: Literal["y", "z", "section"]
) -> Numbers:
    """A stretch of a hole put where it lies in a view that shows its axis."""
    hole = bore.hole
    across, away = bore.profile(start, end, half_width).T
    _, dy, dz = hole.direction
    if view == "section":
        if hole.axis == "across":
            return np.stack([-(hole.y + away * dy), hole.z + across], axis=1)
        return np.stack([-hole.y + across, hole.z + away * dz], axis=1)
    if view == "z":
        return np.stack([hole.x + across, hole.z + away * dz], axis=1)
    return np.stack([hole.x + across, -(hole.y + away * dy)], axis=1)
