"""One number as text, in the maker's own unit where there is one."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.certainty import Uncertain
from wizard.plug.numbers import CATALOGUE, SCALE, Number, Term
from wizard.quantity import units
from wizard.quantity.showing import decimals_for, literal, plain

FINEST = {"mm": 2, "cm": 3, "in": 3, "deg": 1, "g": 3, "mL": 3, "s": 2, "m/s": 3}
"""Decimals beyond which nobody at a bench could tell, whatever the sum says."""

KIND_OF = {"g/mL": "density", "mL": "volume", "g": "mass", "m/s": "speed", "mm": "length"}


def amount(value: Uncertain | float, unit: str, chosen: Mapping[str, str]) -> str:
    """A core value with its doubt, in the maker's unit for its kind.

    Args:
        value: in the core's SI unit.
        unit: the unit that the catalogue publishes it in.
        chosen: the maker's units by kind.
    """
    middle, u = (value.value, value.u) if isinstance(value, Uncertain) else (value, 0.0)
    label = chosen.get(KIND_OF.get(unit, ""), unit)
    if unit == "1":
        return _with_doubt(middle, u, "")
    if label != unit:
        found = units.find(label)
        assert found is not None
        scale = units.span_from_core(1.0, found.label)
        return _with_doubt(middle * scale, u * scale, found.label)
    return _with_doubt(middle / SCALE[unit], u / SCALE[unit], unit)


def _with_doubt(number: float, u: float, label: str) -> str:
    tail = f" {label}" if label else ""
    if u <= abs(number) * 1e-6:
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
    """A value put into a formula, as text."""
    value = amount(entry.value, entry.unit, chosen)
    return f"{entry.symbol} = {value}  ({literal(entry.meaning, 60)})"
