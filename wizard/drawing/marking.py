"""The marking-out sheet: what is drawn on the blank before it is cut.

Everything is measured from edges that the maker has: along from the nose line,
up from the lower edge of the squared blank, out from the centre line. Lengths in
the data are exact; the text rounds them to what a pencil can draw.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.drawing.rule import Rule, drawable_above, rule_of, shown
from wizard.drawing.views import bores, places, spots
from wizard.physics.forms import FORMS
from wizard.physics.holes import Hole
from wizard.physics.shape import Body
from wizard.plug.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.record import Build, Shape

Where = Literal["nose", "tail", "belly", "back", "port side", "starboard side", "inside"]

_OWN_STATIONS = (4, 24)
"""So many typed stations are marked as they are; else the length is stepped off."""

_STEPS = 10
_ON_SKIN = 1e-3  # m: so close to the skin, a mark is on it


@dataclass(frozen=True, slots=True)
class Box:
    """A squared block [m]: along, from belly to back, from side to side."""

    length: float
    height: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Blank:
    """The blank to square.

    Attributes:
        body: the block that the body just fills.
        allowance: added to each side for saw and sander [m]; None while not answered.
        sides: the block to square, what a pencil can draw and never less.
    """

    body: Box
    allowance: float | None
    sides: Box


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
    body = drawn_body(build)
    own = _planned(build.shape) if body is None else _filled(body)
    if own is None:
        return None
    rule = rule_of(build)
    blank = _blank(own, build.shape, rule)
    name, findings = build.build.name, blank_findings(build)
    if body is None:
        return MarkingSheet(name, rule, blank, (), None, None, None, (), findings)
    edge = lower_edge(body, blank)
    x = places(body, 401)
    heights, breadths = body.top(x) - body.bottom(x), 2.0 * body.half_breadth(x)
    deep, broad = int(np.argmax(heights)), int(np.argmax(breadths))
    return MarkingSheet(
        name=name,
        rule=rule,
        blank=blank,
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


def lower_edge(body: Body, blank: Blank) -> float:
    """Height above the baseline of the blank's lower edge [m]: the spare wood lies half below."""
    lowest = float(np.min(body.bottom(places(body, 401))))
    return lowest - (blank.sides.height - blank.body.height) / 2.0


# The blank -----------------------------------------------------------------


def blank_of(build: Build, body: Body) -> Blank:
    """The blank that a drawn body is cut from."""
    return _blank(_filled(body), build.shape, rule_of(build))


def _planned(shape: Shape) -> Box | None:
    if shape.length and shape.height and shape.thickness:
        return Box(shape.length.value, shape.height.value, shape.thickness.value)
    return None


def _filled(body: Body) -> Box:
    """The block around a body: a curved one is higher than any of its sections."""
    x = places(body, 401)
    height = float(np.max(body.top(x)) - np.min(body.bottom(x)))
    return Box(body.length, height, body.breadth)


def _blank(own: Box, shape: Shape, rule: Rule) -> Blank:
    allowance = shape.allowance.value if shape.allowance else None
    spare = 2.0 * (allowance or 0.0)
    sides = (drawable_above(side + spare, rule) for side in (own.length, own.height, own.thickness))
    return Blank(own, allowance, Box(*sides))


def blank_findings(build: Build) -> tuple[Finding, ...]:
    """Sides of the board or blank that are too small for the body and its allowance."""
    body = drawn_body(build)
    own = _planned(build.shape) if body is None else _filled(body)
    if own is None:
        return ()
    rule = rule_of(build)
    blank = _blank(own, build.shape, rule)
    spare = blank.allowance or 0.0
    findings = []
    for key, word, measured, needed in (
        ("length", "long", "the body", own.length),
        ("width", "wide", "the body from belly to back", own.height),
        ("thickness", "thick", "the widest point", own.thickness),
    ):
        board = getattr(build.stock, key)
        if board is None or board.value >= needed + 2.0 * spare - 1e-7:
            continue
        sum_ = f"{measured} takes {shown(needed, rule)}"
        if spare:
            whole = shown(drawable_above(needed + 2.0 * spare, rule), rule)
            sum_ += f" and {shown(spare, rule)} a side to saw and sand: {whole}"
        findings.append(
            Finding(
                "warning",
                ("stock", key),
                f"The board is only {board.text} {word}; {sum_}.",
                "Before it is cut: take a larger board, a smaller body or less allowance.",
            )
        )
    return tuple(findings)


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
    for number, bore in enumerate(bores(build, body), start=1):
        if bore is None:
            continue
        hole = bore.hole
        where, way = _drilling(hole)
        off = 0.0 if hole.axis == "across" else hole.y
        found.append(
            MarkOut(
                f"hole {number}",
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
