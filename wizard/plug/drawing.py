"""The drawn shape of a build, as a body that the formulas can use."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from wizard.plug.findings import Finding
from wizard.plug.record import Build, Shape
from wizard.quantity.reading import Quantity

if TYPE_CHECKING:
    from wizard.physics.shape import Body, Section, Station

_NAMES = ("x", "top", "bottom", "half_breadth")


def _number(quantity: Quantity | None, default: float) -> float:
    return default if quantity is None else quantity.value


def drawn_length(build: Build) -> float | None:
    """Length of the drawn or planned body [m]; None while unknown."""
    shape = build.shape
    if shape.station:
        xs = [s.x.value for s in shape.station if s.x]
        return max(xs) if xs else None
    return shape.length.value if shape.length else None


def body_height(build: Build, x: float | None) -> float | None:
    """Height of the body at a place, or its planned height [m]; None while unknown."""
    body = drawn_body(build)
    if body is not None and x is not None and 0 <= x <= body.length:
        return float(body.top(x) - body.bottom(x))
    return build.shape.height.value if build.shape.height else None


def _section(shape: Shape) -> Section:
    """How the sections are filled: as typed, else as the form has them, else the usual."""
    from wizard.physics.forms import FORMS
    from wizard.physics.shape import Section

    form = None if shape.station else FORMS.get(shape.form or "")
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
        return all(getattr(s, name) is not None for s in shape.station for name in _NAMES)
    return bool(shape.form and shape.length and shape.height and shape.thickness)


def _stations(shape: Shape) -> tuple[Station, ...]:
    from wizard.physics.shape import Station

    if shape.station:
        return tuple(Station(*(getattr(s, name).value for name in _NAMES)) for s in shape.station)
    from wizard.physics.forms import stations

    assert shape.form is not None
    assert shape.length is not None
    assert shape.height is not None
    assert shape.thickness is not None
    return stations(
        shape.form,
        shape.length.value,
        shape.height.value,
        shape.thickness.value,
        **_proportions(shape),
    )


def _proportions(shape: Shape) -> dict[str, float]:
    """The proportions typed, by name [1]."""
    return {
        name: value.value
        for name in ("widest_at", "nose", "tail", "face")
        if (value := getattr(shape, name)) is not None
    }


@lru_cache(maxsize=16)
def _body(stations: tuple[Station, ...], section: Section) -> Body:
    from wizard.physics.shape import Body

    return Body.through(stations, section)


def drawn_body(build: Build) -> Body | None:
    """The body as drawn; None while the drawing is incomplete or can't be."""
    if not is_drawn(build.shape):
        return None
    from wizard.physics.shape import ShapeError

    try:
        return _body(_stations(build.shape), _section(build.shape))
    except ShapeError:
        return None


def shape_findings(build: Build) -> tuple[Finding, ...]:
    """Why a complete drawing can't be a body; empty when it can."""
    if not is_drawn(build.shape):
        return ()
    from wizard.physics.shape import ShapeError

    try:
        _body(_stations(build.shape), _section(build.shape))
    except ShapeError as error:
        if error.station_index is None or not build.shape.station:
            path: tuple[str | int, ...] = ("shape", error.field)
        else:
            path = ("shape", "station", error.station_index, error.field)
        return (Finding("refusal", path, str(error.message), ""),)
    return ()


def departures(build: Build) -> tuple[Finding, ...]:
    """Where the drawing leaves the common practice of its form; notes, no source."""
    shape = build.shape
    if shape.station or drawn_body(build) is None:
        return ()
    from wizard.physics import forms

    assert shape.form is not None
    assert shape.length is not None
    assert shape.height is not None
    found = forms.departures(
        shape.form, shape.length.value, shape.height.value, **_proportions(shape)
    )
    remedy = "Common practice, no source: keep it if you mean it."
    return tuple(Finding("note", ("shape", d.field), f"It is {d.text}.", remedy) for d in found)
