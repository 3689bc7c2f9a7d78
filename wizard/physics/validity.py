"""Where a formula holds, and the refusal outside it."""

from __future__ import annotations

import math

HAIR = 1e-5
"""Share of a range by which its ends may be passed: 104 degF is 40 degC and a rounding more."""


class OutsideValidity(ValueError):  # noqa: N818 - it names the state, as the words shown do
    """A value for which a formula was never checked.

    Attributes:
        quantity: what was given, in words.
        value: what it was.
        low: smallest value allowed.
        high: largest value allowed; infinite where there is none.
        unit: of value, low and high; empty for a plain number.
    """

    def __init__(
        self, quantity: str, value: float, low: float, high: float, unit: str = ""
    ) -> None:
        super().__init__(quantity, value, low, high, unit)
        self.quantity = quantity
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        low, high, value = (_written_out(n) for n in (self.low, self.high, self.value))
        allowed = f"{low} to {high}" if math.isfinite(self.high) else f"above {low}"
        return f"{self.quantity} is {value}{unit}; the formula holds for {allowed}{unit}"


def _written_out(number: float) -> str:
    """A number without an exponent: most people at a bench read none."""
    if abs(number) >= 1e6:
        return f"{number:.0f}"
    short = f"{number:g}"
    return f"{number:.12f}".rstrip("0") if "e" in short else short


def require_within(quantity: str, value: float, low: float, high: float, unit: str = "") -> None:
    """Refuse a value outside low to high by more than a hair, and one that is no number.

    Raises:
        OutsideValidity: naming the quantity and the range.
    """
    hair = HAIR * (high - low)
    if not low - hair <= value <= high + hair:
        raise OutsideValidity(quantity, value, low, high, unit)


def require_positive(quantity: str, value: float, unit: str = "") -> None:
    """Refuse a value that is not above zero, not finite, or no number.

    Raises:
        OutsideValidity: naming the quantity.
    """
    if not 0.0 < value < math.inf:
        raise OutsideValidity(quantity, value, 0.0, math.inf, unit)
