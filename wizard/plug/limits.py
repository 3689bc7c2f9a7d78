"""Whether one measurement is possible at all where it stands."""

from __future__ import annotations

import math

from wizard.plug.fields import Spec
from wizard.quantity import units
from wizard.quantity.reading import Quantity

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


def _like(limit: float, quantity: Quantity, which: str = "most") -> str:
    """A limit in the unit of a quantity."""
    if quantity.unit:
        return f"{units.from_core(limit, quantity.unit):.4g} {quantity.unit} at {which}"
    return f"{limit:g} at {which}"
