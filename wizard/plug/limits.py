"""Whether one measurement is possible at all where it stands."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from wizard.plug.fields import Spec, specs
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain

MOST_ROWS = 1000
"""Rows of a table, readings of an answer: what follows from them takes its time."""

ABSOLUTE_ZERO = -273.15
"""degC."""


def out_of_range(spec: Spec, quantity: Quantity) -> tuple[str, str] | None:
    """Why a quantity is impossible at this answer, and what was expected; None if it isn't."""
    if spec.never_below and quantity.value <= (spec.above or 0.0):
        return f"{quantity.text} is impossible here.", spec.never_below
    if spec.above is not None and quantity.value <= spec.above:
        return f"{quantity.text} is impossible here.", "Expected more than zero."
    if not spec.negative and quantity.kind != "temperature" and quantity.value < 0:
        return f"{quantity.text} is impossible here.", "Expected zero or more."
    if spec.most is not None and quantity.value > spec.most * (1 + 1e-12):
        return f"{quantity.text} is impossible here.", f"Expected {_like(spec.most, quantity)}."
    least = ABSOLUTE_ZERO if quantity.kind == "temperature" else -(spec.most or math.inf)
    if quantity.value < least * (1 + 1e-12):
        expected = f"Expected {_like(least, quantity, 'least')}."
        return f"{quantity.text} is impossible here.", expected
    return None


def beyond_limits(record: Any, path: Path = ()) -> Iterator[Finding]:
    """Measurements of a record that nobody typed, as far as they are impossible where they stand.

    Args:
        record: a build, or a table of it.
        path: where it stands.
    """
    for key, spec in specs(type(record)).items():
        value, here = getattr(record, key), (*path, key)
        every = (
            [(here, value)]
            if not isinstance(value, tuple)
            else [((*here, row), item) for row, item in enumerate(value)]
        )
        for place, item in every:
            if isinstance(item, Quantity):
                complaint = out_of_range(spec, item)
                if complaint:
                    yield Finding("refusal", place, *complaint)
            elif spec.table is not None and item is not None:
                yield from beyond_limits(item, place)


def _like(limit: float, quantity: Quantity, which: str = "most") -> str:
    """A limit in the unit of a quantity."""
    if quantity.unit:
        return f"{plain(units.from_core(limit, quantity.unit))} {quantity.unit} at {which}"
    return f"{plain(limit)} at {which}"


def counts(spec: Spec) -> tuple[int, int]:
    """The least and the most that a count may be."""
    least = 1 if spec.above is None else int(spec.above) + 1
    return least, 10**6 if spec.at_most is None else int(spec.at_most)


def counts_in_words(spec: Spec) -> str:
    """The same as what is expected: “from 1 to 4”, “from 1 up”."""
    least, most = counts(spec)
    return f"from {least} up" if spec.at_most is None else f"from {least} to {most}"
