"""The marking-out sheet: what is drawn on the blank before it is cut.

Everything is measured from edges that the maker has: along from the nose line,
up from the lower edge of the squared blank, out from the centre line. Lengths in
the data are exact; the text rounds them to what a pencil can draw.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.drawing.bores import bores
from wizard.drawing.views import places, spots
from wizard.physics.forms import FORMS
from wizard.physics.holes import Hole
from wizard.physics.shape import Body
from wizard.plug.body.blank import Blank, blank, blank_findings
from wizard.plug.body.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.record import Build, Shape
from wizard.plug.rule import Rule, rule_of

Where = Literal["nose", "tail", "belly", "back", "port side", "starboard side", "inside"]

_OWN_STATIONS = (4, 24)
"""So many typed stations are marked as they are; else the length is stepped off."""

_STEPS = 10
_ON_SKIN = 1e-3  # m: so close to the skin, a mark is on it


@dataclass(frozen=True, slots=True)
class Offsets:
    """The lines of the body at one station [m].

    Attributes:
        along: from the nose line.
        back: the top line, up from the blank's lower edge.
        belly: the bottom line, up from it.
        widest: the level of the greatest breadth, up from it.
        half_breadth: out from the centre line, to either side.
    """

    along: float
    back: float
    belly: float
    widest: float
    half_breadth: float


@dataclass(frozen=True, slots=True)
class Face:
    """A face cut across the nose.

    Attributes:
        slanted: a slant up to the back, or square across.
        low: where it begins at the nose line, up from the lower edge [m].
        high: where it ends, up from it [m].
        back_to: how far aft of the nose line it reaches [m].
        half_breadth: of a square face [m].
    """

    slanted: bool
    low: float
    high: float
    back_to: float
    half_breadth: float


@dataclass(frozen=True, slots=True)
class MarkOut:
    """One point to mark.

    Attributes:
        name: what goes there.
        along: from the nose line [m].
        up: from the blank's lower edge [m].
        off: from the centre line, to port [m].
        where: on which side of the body.
        drill: diameter and depth of a hole [m], or None.
        way: how a hole is drilled, or empty.
    """

    name: str
    along: float
    up: float
    off: float
    where: Where
    drill: tuple[float, float] | None = None
    way: str = ""


@dataclass(frozen=True, slots=True)
class MarkingSheet:
    """All that is marked on the blank.

    Attributes:
        name: of the build, as typed; None if it has none.
        rule: what lengths are read on.
        blank: what to square.
        offsets: the taper lines, from nose to tail; empty while nothing is drawn.
        deepest: greatest height and where [m], or None.
        broadest: greatest breadth and where [m], or None.
        face: a face at the nose, or None.
        marks: line tie, hangers and holes.
        findings: what to look at before the board is cut.
    """

    name: str | None
    rule: Rule
    blank: Blank
    offsets: tuple[Offsets, ...]
    deepest: tuple[float, float] | None
    broadest: tuple[float, float] | None
    face: Face | None
    marks: tuple[MarkOut, ...]
    findings: tuple[Finding, ...]


def marking_sheet(build: Build) -> MarkingSheet | None:
    """The sheet of a build; None while neither a body nor its three sizes are given."""
    body, squared = drawn_body(build), blank(build)
    if squared is None:
        return None
    rule, name, findings = rule_of(build), build.build.name, blank_findings(build)
    if body is None:
        return MarkingSheet(name, rule, squared, (), None, None, None, (), findings)
    edge = lower_edge(body, squared)
    x = places(body, 401)
    heights, breadths = body.top(x) - body.bottom(x), 2.0 * body.half_breadth(x)
    deep, broad = int(np.argmax(heights)), int(np.argmax(breadths))
    return MarkingSheet(
        name=name,
        rule=rule,
        blank=squared,
        offsets=tuple(_offsets(body, at, edge) for at in working_stations(build, body)),
        deepest=(float(heights[deep]), float(x[deep]) - body.nose),
        broadest=(float(breadths[broad]), float(x[broad]) - body.nose),
        face=_face(build.shape, body, edge),
        marks=(*_spots(build, body, edge), *_holes(build, body, edge)),
        findings=findings,
    )


def working_stations(build: Build, body: Body) -> tuple[float, ...]:
    """Where sections are marked and drawn [m]: the typed stations, or equal steps."""
    typed = body.curve.knots
    if build.shape.station and _OWN_STATIONS[0] <= len(typed) <= _OWN_STATIONS[1]:
        return tuple(typed.tolist())
    return tuple(np.linspace(body.nose, body.tail, _STEPS + 1).tolist())


def lower_edge(body: Body, squared: Blank) -> float:
    """Height above the baseline of the blank's lower edge [m]: the spare wood lies half below."""
    lowest = min(s.bottom for s in body.stations)
    return lowest - (squared.sides.height - squared.body.height) / 2.0


# Lines and marks -----------------------------------------------------------


def _offsets(body: Body, x: float, edge: float) -> Offsets:
    cut = body.cuts(x)
    return Offsets(
        along=x - body.nose,
        back=float(cut.top) - edge,
        belly=float(cut.bottom) - edge,
        widest=float(cut.widest) - edge,
        half_breadth=float(cut.half_breadth),
    )


def _face(shape: Shape, body: Body, edge: float) -> Face | None:
    """The face: slanted where the form or the maker asks for one, square at a flat nose."""
    reach = slanted_face(shape)
    nose = body.cuts(body.nose)
    low, high = float(nose.bottom), float(nose.top)
    if reach > 0.0:
        back_to = reach * body.length
        top = float(body.top(body.nose + back_to))
        return Face(True, high - edge, top - edge, back_to, float(nose.half_breadth))
    if high > low and nose.half_breadth > 0.0:
        return Face(False, low - edge, high - edge, 0.0, float(nose.half_breadth))
    return None


def slanted_face(shape: Shape) -> float:
    """What a slanted face takes of the length [1]; 0 without one, or drawn by stations."""
    if shape.station:
        return 0.0
    if shape.face is not None:
        return shape.face.value
    form = FORMS.get(shape.form or "")
    return form.face if form else 0.0


def _where(body: Body, x: float, z: float) -> Where:
    if x <= body.nose + _ON_SKIN:
        return "nose"
    if x >= body.tail - _ON_SKIN:
        return "tail"
    if z <= float(body.bottom(x)) + _ON_SKIN:
        return "belly"
    return "back" if z >= float(body.top(x)) - _ON_SKIN else "inside"


def _spots(build: Build, body: Body, edge: float) -> list[MarkOut]:
    return [
        MarkOut(s.name, s.x - body.nose, s.z - edge, s.y, _where(body, s.x, s.z))
        for s in sorted(spots(build), key=lambda s: (s.sign != "tie", s.x))
    ]


def _holes(build: Build, body: Body, edge: float) -> list[MarkOut]:
    found = []
    for bore in bores(build):
        if bore is None:
            continue
        hole = bore.hole
        where, way = _drilling(hole)
        off = 0.0 if hole.axis == "across" else hole.y
        found.append(
            MarkOut(
                f"hole {bore.number}",
                hole.x - body.nose,
                hole.z - edge,
                off,
                where,
                (hole.diameter, hole.depth),
                way,
            )
        )
    return found


def _drilling(hole: Hole) -> tuple[Where, str]:
    """The side that a hole opens on, and how the drill goes in."""
    if hole.axis == "across":
        return "port side" if hole.y >= 0.0 else "starboard side", "straight across"
    return ("belly", "straight up") if hole.axis == "up" else ("back", "straight down")
