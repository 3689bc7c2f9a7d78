"""Taking the girth factor into the shape: the drawing then holds what was weighed."""

from __future__ import annotations

import math
from dataclasses import replace

from wizard.certainty import Uncertain, apply
from wizard.plug.body.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.record import Build, Shape, Station
from wizard.quantity import units
from wizard.quantity.reading import Quantity, Refusal, read

_FINEST = {"mm": 0.01, "cm": 0.001, "m": 0.00001, "in": 0.0005, "ft": 0.00005}
"""To what a new length is rounded in each unit: finer than any caliper at the bench."""


USUAL = (0.9, 1.1)
"""Girth factors that a careful carver meets; others have causes to look for: a judgement."""

CLOSE = 2e-3
"""Nearer to 1 there is nothing to take in: a twentieth of a millimetre on a plug's height."""

LARGER = (
    "a body carved fuller than drawn, a side misread as too small, or wood denser than the sample"
)
SMALLER = (
    "a body sanded slimmer than drawn, a full breadth typed for a half-breadth, or wood lighter "
    "than the sample"
)


def girth_number(build: Build, body_volume: Uncertain | None) -> Number | None:
    """The factor on heights and breadths that makes the drawn volume the weighed one [1]."""
    body = drawn_body(build)
    if body is None or body_volume is None:
        return None
    drawn = body.volume
    terms = (
        Term("V_b", "volume of the bare body", body_volume, "mL"),
        Term("V_drawn", "volume of the drawn shape", drawn, "mL"),
    )
    working = Working("sqrt(V_b / V_drawn), lengths kept", terms, "volume goes with its square")
    return Number("girth", apply(lambda v: math.sqrt(v / drawn), body_volume), working)


def offered_girth(build: Build) -> float | None:
    """The girth factor of a build as it stands [1]; None while it is not known."""
    if build.weighing.mass is None or drawn_body(build) is None:
        return None
    from wizard.plug.account import account
    from wizard.plug.density.wood import wood_test

    found = girth_number(build, account(build, wood_test(build).density).body_volume)
    return None if found is None else found.value.value


def girth_findings(girth: float) -> tuple[Finding, ...]:
    """What a girth factor far from 1 says: likely causes, before it is taken into the shape."""
    if USUAL[0] <= girth <= USUAL[1]:
        return ()
    more = f"{100 * abs(girth - 1):.0f} % {'more' if girth > 1 else 'less'}"
    return (
        Finding(
            "warning",
            ("shape",),
            f"The girth factor is {girth:.2f}: height and breadth would have to be {more} than "
            "drawn for the weighed volume.",
            f"Likely {LARGER if girth > 1 else SMALLER}. Look at these before it is taken in.",
        ),
    )


def is_worth_taking(girth: float | None) -> bool:
    """Whether a girth factor would change the drawing by anything that a caliper shows."""
    return girth is not None and abs(girth - 1.0) > CLOSE


def girth_applied(build: Build, girth: float) -> Build:
    """The build with its drawn heights and breadths times a girth factor; lengths stay.

    Stations grow about their own middle between top and bottom, so that a bent body
    keeps its bend. Each length keeps the unit that it was typed in.

    Args:
        build: the record.
        girth: the factor, as `girth_number` gives it [1].
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
