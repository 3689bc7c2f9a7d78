"""The drawn shape of a build, as a body that the formulas can use."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from wizard.plug.fields import specs
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build, Fullness, Shape
from wizard.plug.record import Station as Record
from wizard.quantity.reading import Quantity

if TYPE_CHECKING:
    from wizard.physics.lines import Line
    from wizard.physics.shape import Body
    from wizard.physics.stations import Section, ShapeError, Station

_NAMES = ("x", "top", "bottom", "half_breadth")
_EXPECTED = {
    "x": "Expected stations from nose to tail, each further aft than the one before it.",
    "top": "Expected the top line at or above the bottom line.",
}


def _number(quantity: Quantity | None, default: float) -> float:
    return default if quantity is None else quantity.value


def drawn_length(build: Build) -> float | None:
    """Length of the drawn or planned body [m]; None while unknown."""
    stations = drawn_stations(build.shape)
    if stations is not None:
        return stations[-1].x
    return build.shape.length.value if build.shape.length else None


def drawn_height(build: Build) -> float | None:
    """Greatest height at the stations of the drawn, or of the planned body [m]."""
    stations = drawn_stations(build.shape)
    if stations is not None:
        return max(s.top - s.bottom for s in stations)
    return build.shape.height.value if build.shape.height else None


def body_height(build: Build, x: float | None) -> float | None:
    """Height of the body at a place, or its planned height [m]; None while unknown."""
    stations = drawn_stations(build.shape)
    if stations is not None and x is not None and 0 <= x <= stations[-1].x - stations[0].x:
        back, belly = _back_and_belly(stations)
        return back(x) - belly(x)
    return build.shape.height.value if build.shape.height else None


def usual_line_tie(build: Build) -> tuple[float, float] | None:
    """Where a line tie usually stands on a body of this form, x and z [m]; None if at the nose."""
    from wizard.physics.forms import named

    form, stations = named(build.shape.form or ""), drawn_stations(build.shape)
    if form is None or form.line_tie is None or stations is None or build.shape.station:
        return None
    tie, nose, tail = build.shape.line_tie, stations[0].x, stations[-1].x
    x = tie.x.value if tie is not None and tie.x else nose + form.line_tie * (tail - nose)
    back, _ = _back_and_belly(stations)
    return x, back(x)


def section_of(shape: Shape) -> Section:
    """How the sections are filled: as typed, else as the form has them, else the usual."""
    from wizard.physics.forms import named
    from wizard.physics.stations import Section

    form = None if shape.station else named(shape.form or "")
    usual = form.section if form else Section()
    typed = shape.section
    return Section(
        _number(typed.widest, usual.widest),
        _number(typed.upper, usual.upper),
        _number(typed.lower, usual.lower),
        _number(typed.flat_back, usual.flat_back),
    )


def is_drawn(shape: Shape) -> bool:
    """Whether the shape is complete enough to have a volume."""
    if shape.station:
        return _encloses(shape.station)
    return bool(shape.form and shape.length and shape.height and shape.thickness)


def _encloses(stations: tuple[Record, ...]) -> bool:
    """Whether stations, all complete, leave room between them yet: nose and tail may be points."""
    if any(getattr(s, name) is None for s in stations for name in _NAMES):
        return False
    wide = any(s.half_breadth and s.half_breadth.value != 0 for s in stations)
    high = any(s.top and s.bottom and s.top.value != s.bottom.value for s in stations)
    return len(stations) > 1 and wide and high


def _stations(shape: Shape) -> tuple[Station, ...]:
    from wizard.physics.stations import Station

    if shape.station:
        return tuple(Station(*(getattr(s, name).value for name in _NAMES)) for s in shape.station)
    assert shape.form is not None
    assert shape.length is not None
    assert shape.height is not None
    assert shape.thickness is not None
    sides = (shape.length.value, shape.height.value, shape.thickness.value)
    return _form_stations(shape.form, sides, tuple(_proportions(shape).items()))


@lru_cache(maxsize=16)
def _form_stations(
    form: str, sides: tuple[float, float, float], proportions: tuple[tuple[str, float], ...]
) -> tuple[Station, ...]:
    from wizard.physics.forms import stations

    return stations(form, *sides, **dict(proportions))


def _proportions(shape: Shape) -> dict[str, float]:
    """The proportions typed, by name [1]."""
    return {
        name: value.value
        for name in ("widest_at", "nose", "tail", "face")
        if (value := getattr(shape, name)) is not None
    }


@lru_cache(maxsize=16)
def _back_and_belly(stations: tuple[Station, ...]) -> tuple[Line, Line]:
    """Heights above the baseline over x [m]."""
    from wizard.physics.lines import Line

    x = [s.x for s in stations]
    tops, bottoms = [s.top for s in stations], [s.bottom for s in stations]
    return Line.through(x, tops), Line.through(x, bottoms)


def drawn_stations(shape: Shape) -> tuple[Station, ...] | None:
    """What the body is drawn through; None while the drawing is incomplete or can't be."""
    from wizard.physics.stations import ShapeError

    try:
        return _possible_stations(shape) if is_drawn(shape) else None
    except ShapeError:
        return None


def _possible_stations(shape: Shape) -> tuple[Station, ...]:
    """The stations of a complete drawing.

    Raises:
        ShapeError: no body can have that shape.
    """
    from wizard.physics.stations import refuse_the_impossible

    section_of(shape)
    stations = _stations(shape)
    refuse_the_impossible(stations)
    return stations


@lru_cache(maxsize=16)
def _body(stations: tuple[Station, ...], section: Section) -> Body:
    from wizard.physics.shape import Body

    return Body.through(stations, section)


_KEPT = 16
_drawn: dict[int, tuple[Shape, Body | None]] = {}


def drawn_body(build: Build) -> Body | None:
    """The body as drawn; None while the drawing is incomplete or can't be.

    Dozens of formulas ask for it in one sum, so it is kept by the very record of the shape.
    """
    shape = build.shape
    kept = _drawn.get(id(shape))
    if kept is None or kept[0] is not shape:
        kept = shape, _body_of(shape)
        if len(_drawn) >= _KEPT:
            _drawn.clear()
        _drawn[id(shape)] = kept
    return kept[1]


def _body_of(shape: Shape) -> Body | None:
    stations = drawn_stations(shape)
    return None if stations is None else _body(stations, section_of(shape))


def shape_findings(build: Build) -> tuple[Finding, ...]:
    """Why a drawing can't become a body; empty when it can, or is not complete and may."""
    if not is_drawn(build.shape):
        return tuple(_begun(build.shape)) if build.shape.station else ()
    from wizard.physics.stations import ShapeError

    try:
        _possible_stations(build.shape)
    except ShapeError as error:
        # Another program's form is no fault of the file: its shape is not known here.
        return () if error.field == "form" else (_refused(build.shape, error),)
    return ()


def _begun(shape: Shape) -> Iterator[Finding]:
    """What is wrong with stations already while some are not complete."""
    from wizard.physics.stations import crossed, misplaced

    placed = [(i, s.x.value) for i, s in enumerate(shape.station) if s.x is not None]
    found = [misplaced(i, before, x) for (_, before), (i, x) in pairwise(placed)]
    for i, s in enumerate(shape.station):
        if s.top is not None and s.bottom is not None:
            found.append(crossed(i, s.top.value, s.bottom.value))
    yield from (_refused(shape, error) for error in found if error is not None)


def _refused(shape: Shape, error: ShapeError) -> Finding:
    path: Path = ("shape", error.field)
    if shape.station and error.station_index is not None:
        path = ("shape", "station", error.station_index, error.field)
    elif error.field in specs(Fullness):
        path = ("shape", "section", error.field)
    said = f"{error.message[:1].upper()}{error.message[1:]}."
    return Finding("refusal", path, f"This draws no body: {said}", _EXPECTED.get(error.field, ""))


def departures(build: Build) -> tuple[Finding, ...]:
    """Where the drawing leaves the common practice of its form; notes, no source."""
    shape = build.shape
    if shape.station and shape.way not in (None, "stations"):
        return (_overruled(),)
    if shape.station or not shape.form:
        return ()
    from wizard.physics import forms

    if forms.named(shape.form) is None:
        return (_unknown_form(", ".join(forms.FORMS)),)
    if drawn_body(build) is None:
        return ()
    assert shape.length is not None
    assert shape.height is not None
    found = forms.departures(
        shape.form, shape.length.value, shape.height.value, **_proportions(shape)
    )
    remedy = "Common practice, no source: keep it if you mean it."
    return tuple(Finding("note", ("shape", d.field), f"It is {d.text}.", remedy) for d in found)


def _unknown_form(known: str) -> Finding:
    wrong = "No form of that name is known, so the shape is not drawn."
    return Finding("warning", ("shape", "form"), wrong, f"There are {known}; or give stations.")


def _overruled() -> Finding:
    return Finding(
        "warning",
        ("shape", "way"),
        "Stations stand, and they draw the body, not its sizes.",
        "Remove the stations to draw it by a form.",
    )
