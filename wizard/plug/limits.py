"""Whether one measurement is possible at all where it stands."""

from __future__ import annotations

from wizard.plug.fields import Spec
from wizard.quantity import units
from wizard.quantity.reading import Quantity


def out_of_range(spec: Spec, quantity: Quantity) -> tuple[str, str] | None:
    """Why a quantity is impossible at this answer, and what was expected; None if it isn't."""
    if spec.never_below and quantity.value <= (spec.above or 0.0):
        return f"{quantity.text} is impossible here.", spec.never_below
    if spec.above is not None and quantity.value <= spec.above:
        return f"{quantity.text} is impossible here.", "Expected more than zero."
    if not spec.negative and quantity.kind != "temperature" and quantity.value < 0:
        return f"{quantity.text} is impossible here.", "Expected zero or more."
    if spec.at_most is not None and quantity.value > spec.at_most * (1 + 1e-12):
        limit = spec.at_most
        if quantity.unit:
            shown = f"{units.from_core(limit, quantity.unit):.4g} {quantity.unit}"
        else:
            shown = f"{limit:g}"
        return f"{quantity.text} is impossible here.", f"Expected {shown} at most."
    return None
