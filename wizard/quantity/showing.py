"""Numbers for the eye: unit, honest digits, uncertainty.

The uncertainty is rounded first, to two digits when it begins with 1 or 2 and
to one otherwise (JCGM 100:2008, 7.2.6 allows at most two); the value follows
it. A value without one keeps four significant digits and is never padded.
"""

from __future__ import annotations

import math
from fractions import Fraction

from wizard.quantity import units


def decimals_for(uncertainty: float) -> int:
    """Decimal places that an uncertainty justifies (negative: left of the point)."""
    exponent = math.floor(math.log10(uncertainty))
    leading = round(uncertainty / 10.0 ** (exponent - 1))
    if leading >= 100:  # 0.996 rounds up to 1.0
        exponent, leading = exponent + 1, 10
    return 1 - exponent if leading < 30 else -exponent


def _fixed(number: float, decimals: int) -> str:
    shown = f"{round(number, decimals):.{max(decimals, 0)}f}"
    return shown.lstrip("-") if float(shown) == 0 else shown


FINEST = 12
"""Decimals shown at most: what is left of a number beyond them is the arithmetic's own."""


def plain(number: float, digits: int = 4) -> str:
    """A number without uncertainty, to so many significant digits, not padded."""
    if number == 0 or not math.isfinite(number):
        return "0" if number == 0 else str(number)
    decimals = min(max(digits - 1 - math.floor(math.log10(abs(number))), 0), FINEST)
    shown = _fixed(number, decimals)
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def amount(value: float, unit: str, uncertainty: float = 0.0) -> str:
    """A core value in a unit, with its standard uncertainty if it has one.

    Args:
        value: in the core's SI unit.
        unit: label of the unit to show; empty for a pure number.
        uncertainty: standard uncertainty (k = 1) in the core's SI unit.

    Returns:
        Text such as ``37.4 ± 0.9 g``.
    """
    number = units.from_core(value, unit) if unit else value
    span = units.span_from_core(uncertainty, unit) if unit else uncertainty
    tail = f" {unit}" if unit else ""
    if not (span > 0 and math.isfinite(span)) or span < abs(number) * 1e-6:
        return plain(number) + tail
    decimals = min(decimals_for(span), 6)
    return f"{_fixed(number, decimals)} ± {_fixed(span, decimals)}{tail}"


def inches(value: float, denominator: int = 32) -> str:
    """A length [m] to the nearest fraction of an inch, as a rule shows it."""
    ticks = round(value / 0.0254 * denominator)
    whole, part = divmod(abs(ticks), denominator)
    sign = "-" if ticks < 0 else ""
    if part == 0:
        return f"{sign}{whole} in"
    fraction = Fraction(part, denominator)
    lead = f"{whole} " if whole else ""
    return f"{sign}{lead}{fraction.numerator}/{fraction.denominator} in"


def literal(text: str, longest: int = 200) -> str:
    """Text from a file or a person, made safe to show: nothing in it acts.

    Control, format, surrogate and unassigned characters (terminal escapes and
    direction overrides among them) and separators of lines become visible codes, and
    any space a plain one; long text is cut.
    """
    from unicodedata import category

    def safe(c: str) -> str:
        if c.isprintable():
            return c
        return " " if category(c) == "Zs" else f"\\u{ord(c):04x}"

    shown = "".join(safe(c) for c in text[: longest + 1])
    return shown if len(text) <= longest else shown[:longest] + "…"
