"""Taking the girth factor into the shape: the drawing then holds what was weighed."""

from __future__ import annotations

from dataclasses import replace

from wizard.plug.record import Build, Shape, Station
from wizard.quantity import units
from wizard.quantity.reading import Quantity, Refusal, read

_FINEST = {"mm": 0.01, "cm": 0.001, "m": 0.00001, "in": 0.0005, "ft": 0.00005}
"""To what a new length is rounded in each unit: finer than any caliper at the bench."""


def girth_applied(build: Build, girth: float) -> Build:
    """The build with its drawn heights and breadths times a girth factor; lengths stay.

    Stations grow about their own middle between top and bottom, so that a bent body
    keeps its bend. Each length keeps the unit that it was typed in.

    Args:
        build: the record.
        girth: the factor, as `crosschecks.girth_factor` gives it [1].
    """
    shape = build.shape
    if shape.station:
        rows = tuple(_station(row, girth) for row in shape.station)
        return replace(build, shape=replace(shape, station=rows))
    return replace(build, shape=_proportions(shape, girth))


def _proportions(shape: Shape, girth: float) -> Shape:
    return replace(
        shape,
        height=shape.height and _like(shape.height, shape.height.value * girth),
        thickness=shape.thickness and _like(shape.thickness, shape.thickness.value * girth),
    )


def _station(row: Station, girth: float) -> Station:
    breadth = row.half_breadth
    if breadth is not None:
        row = replace(row, half_breadth=_like(breadth, breadth.value * girth))
    if row.top is None or row.bottom is None:
        return row
    middle = (row.top.value + row.bottom.value) / 2
    half = (row.top.value - row.bottom.value) / 2 * girth
    return replace(row, top=_like(row.top, middle + half), bottom=_like(row.bottom, middle - half))


def _like(typed: Quantity, length: float) -> Quantity:
    """A length [m] as a quantity in the unit of another."""
    finest = _FINEST[typed.unit]
    number = round(units.from_core(length, typed.unit) / finest) * finest
    text = f"{number:.5f}".rstrip("0").rstrip(".")
    found = read(f"{'0' if text == '-0' else text} {typed.unit}", "length", negative=True)
    assert not isinstance(found, Refusal)
    return found
