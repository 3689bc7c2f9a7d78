"""One number as text, in the maker's own unit where there is one."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.certainty import Uncertain
from wizard.plug.numbers import CATALOGUE, SCALE, Number, Term
from wizard.quantity import units
from wizard.quantity.showing import decimals_for, literal, plain

FINEST = {"mm": 2, "cm": 3, "in": 3, "deg": 1, "g": 3, "mL": 3, "s": 2, "m/s": 3}
"""Decimals beyond which nobody at a bench could tell, whatever the sum says."""

ARITHMETIC = 1e-6, 1e-9
"""Shares of a number and of its unit below which a doubt is only the arithmetic's own."""

GUARDED = 7
"""Digits of a value in a working: three more than a bench reads."""

KIND_OF = {"g/mL": "density", "mL": "volume", "g": "mass", "m/s": "speed", "mm": "length"}


def amount(value: Uncertain | float, unit: str, chosen: Mapping[str, str]) -> str:
    """A core value with its doubt, in the maker's unit for its kind.

    Args:
        value: in the core's SI unit.
        unit: the unit that the catalogue publishes it in.
        chosen: the maker's units by kind.
    """
    return _with_doubt(*_in_unit(value, unit, chosen))


def unrounded(value: Uncertain | float, unit: str, chosen: Mapping[str, str]) -> str:
    """The same with guard digits, so that a sum done again by hand comes out the same.

    The doubt stands behind it in at most two digits (JCGM 100:2008, 7.2.6).
    """
    middle, u, label = _in_unit(value, unit, chosen)
    tail = f" {label}" if label else ""
    if not _is_doubt(u, middle):
        return plain(middle, GUARDED) + tail
    return f"{plain(middle, GUARDED)} ± {two_digits(u)}{tail}"


def has_doubt(value: Uncertain, unit: str) -> bool:
    """Whether a core value has a doubt worth telling.

    Args:
        value: in the core's SI unit.
        unit: the unit that the catalogue publishes it in.
    """
    middle, u, _ = _in_unit(value, unit, {})
    return _is_doubt(u, middle)


def _is_doubt(u: float, number: float) -> bool:
    share, least = ARITHMETIC
    return u > max(abs(number) * share, least)


def two_digits(doubt: float) -> str:
    """A standard uncertainty in at most two digits."""
    decimals = decimals_for(doubt)
    return f"{round(doubt, decimals):.{max(decimals, 0)}f}"


def doubt(value: float, unit: str, chosen: Mapping[str, str]) -> str:
    """A standard uncertainty by itself, in at most two digits."""
    size, _, label = _in_unit(value, unit, chosen)
    return f"{two_digits(size)} {label}".rstrip()


def _in_unit(
    value: Uncertain | float, unit: str, chosen: Mapping[str, str]
) -> tuple[float, float, str]:
    """Value and doubt in the maker's unit, and that unit's label."""
    middle, u = (value.value, value.u) if isinstance(value, Uncertain) else (value, 0.0)
    if unit == "1":
        return middle, u, ""
    label = chosen.get(KIND_OF.get(unit, ""), unit)
    if label == unit:
        return middle / SCALE[unit], u / SCALE[unit], unit
    found = units.find(label)
    assert found is not None
    scale = units.span_from_core(1.0, found.label)
    return middle * scale, u * scale, found.label


def _with_doubt(number: float, u: float, label: str) -> str:
    tail = f" {label}" if label else ""
    if not _is_doubt(u, number):
        return plain(number) + tail
    decimals = min(decimals_for(u), FINEST.get(label, 6))
    # Adding zero takes the sign off a zero.
    shown, doubt = (f"{round(x, decimals) + 0.0:.{max(decimals, 0)}f}" for x in (number, u))
    return f"{shown}{tail}" if float(doubt) == 0 else f"{shown} ± {doubt}{tail}"


def chance(probability: float) -> str:
    """A probability in words that claim no certainty: never 0 % or 100 %."""
    percent = 100.0 * probability
    if percent > 99.9:
        return "over 99.9 %"
    if percent < 0.1:
        return "under 0.1 %"
    return f"{percent:.3g} %" if percent > 99 or percent < 10 else f"{percent:.0f} %"


def number(entry: Number, chosen: Mapping[str, str]) -> str:
    """A number of a build as text."""
    if entry.name.startswith("chance"):
        return chance(entry.value.value)
    return amount(entry.value, CATALOGUE[entry.name].unit, chosen)


def term(entry: Term, chosen: Mapping[str, str]) -> str:
    """A value put into a formula, with guard digits and where it comes from, as text."""
    value = unrounded(entry.value, entry.unit, chosen)
    return f"{entry.symbol} = {value}  ({literal(entry.meaning, 60)}; {entry.origin})"
