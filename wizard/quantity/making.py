"""Measurements that nobody typed: written as they would be, to a step that makes sense."""

from __future__ import annotations

import math

from wizard.quantity import units
from wizard.quantity.reading import Quantity


def made(value: float, unit: str, finest: float) -> Quantity:
    """A measurement from a number.

    Args:
        value: in the core's SI unit.
        unit: label of the unit to write it in.
        finest: what the last digit may leave out [core unit], > 0.

    Returns:
        The measurement; its value is that of its own text, not of the digits left out.

    Raises:
        ValueError: there is no such unit.
    """
    found = units.find(unit)
    if found is None:
        raise ValueError(f"{unit!r} is no unit")
    decimals = max(0, math.ceil(-math.log10(units.span_from_core(finest, found.label)) - 1e-9))
    text = f"{units.from_core(value, found.label):.{decimals}f}"
    if decimals:
        text = text.rstrip("0").rstrip(".")
    text = "0" if text == "-0" else text
    return Quantity(
        f"{text} {found.label}", units.to_core(float(text), found.label), found.kind, found.label
    )


def bare(value: float, decimals: int) -> Quantity:
    """A pure number, to so many decimals."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return Quantity(text, float(text), "number", "")
