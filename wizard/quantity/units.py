"""Units: which ones a maker may type, and their exact factors to SI.

The factors come from a small registry of the pint package, which never sees
text that a person typed: only the unit labels listed here reach it. It is
built on first use, because pint costs more start-up time than a screen.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

Kind = Literal[
    "length",
    "mass",
    "volume",
    "density",
    "temperature",
    "salinity",
    "time",
    "speed",
    "ratio",
    "angle",
    "number",
]

# Exact by definition: international inch and pound of 1959 (NIST SP 811).
# Salinity in g/kg and psu are both taken as practical salinity.
DEFINITIONS = (
    "meter = [length]",
    "kilogram = [mass]",
    "second = [time]",
    "kelvin = [temperature]",
    "practical_salinity = [salinity]",
    "radian = [angle]",
    "one = [ratio]",
    "inch = 0.0254 * meter",
    "pound = 0.45359237 * kilogram",
    "percent = 0.01 * one",
    "degree = 0.017453292519943295 * radian",
    "minute = 60 * second",
    "degree_Celsius = kelvin; offset: 273.15",
    "degree_Fahrenheit = 5 / 9 * kelvin; offset: 273.15 - 160 / 9",
)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that a maker may type.

    Attributes:
        label: as it is shown and saved, e.g. ``g/mL``.
        kind: the kind of quantity it measures.
        meaning: the same unit in the registry's names.
        spellings: other ways of typing it.
    """

    label: str
    kind: Kind
    meaning: str
    spellings: tuple[str, ...] = ()


UNITS: tuple[Unit, ...] = (
    Unit("mm", "length", "0.001 * meter"),
    Unit("cm", "length", "0.01 * meter"),
    Unit("m", "length", "meter"),
    Unit("in", "length", "inch", ('"',)),
    Unit("ft", "length", "12 * inch", ("'",)),
    Unit("mg", "mass", "1e-6 * kilogram"),
    Unit("g", "mass", "0.001 * kilogram"),
    Unit("kg", "mass", "kilogram"),
    Unit("oz", "mass", "pound / 16"),
    Unit("lb", "mass", "pound"),
    Unit("gr", "mass", "pound / 7000"),
    Unit("mL", "volume", "1e-6 * meter ** 3"),
    Unit("L", "volume", "0.001 * meter ** 3"),
    Unit("cc", "volume", "1e-6 * meter ** 3"),
    Unit("cm3", "volume", "1e-6 * meter ** 3"),
    Unit("in3", "volume", "inch ** 3"),
    Unit("g/mL", "density", "1000 * kilogram / meter ** 3"),
    Unit("g/cm3", "density", "1000 * kilogram / meter ** 3"),
    Unit("kg/m3", "density", "kilogram / meter ** 3"),
    Unit("lb/ft3", "density", "pound / (12 * inch) ** 3"),
    Unit("oz/in3", "density", "pound / 16 / inch ** 3"),
    Unit("degC", "temperature", "degree_Celsius", ("°C", "C")),
    Unit("degF", "temperature", "degree_Fahrenheit", ("°F", "F")),
    Unit("g/kg", "salinity", "practical_salinity"),
    Unit("psu", "salinity", "practical_salinity"),
    Unit("s", "time", "second"),
    Unit("min", "time", "minute"),
    Unit("h", "time", "60 * minute"),
    Unit("d", "time", "1440 * minute"),
    Unit("m/s", "speed", "meter / second"),
    Unit("cm/s", "speed", "0.01 * meter / second"),
    Unit("ft/s", "speed", "12 * inch / second"),
    Unit("in/s", "speed", "inch / second"),
    Unit("%", "ratio", "percent"),
    Unit("deg", "angle", "degree", ("°",)),
)

_CORE_UNIT: dict[Kind, str] = {
    "length": "meter",
    "mass": "kilogram",
    "volume": "meter ** 3",
    "density": "kilogram / meter ** 3",
    "temperature": "degree_Celsius",
    "salinity": "practical_salinity",
    "time": "second",
    "speed": "meter / second",
    "ratio": "one",
    "angle": "radian",
}


def labels(kind: Kind) -> tuple[str, ...]:
    """The labels of a kind's units, as shown and saved."""
    return tuple(unit.label for unit in UNITS if unit.kind == kind)


@cache
def _spelled() -> dict[str, Unit]:
    exact = {s: unit for unit in UNITS for s in (unit.label, *unit.spellings)}
    loose: dict[str, list[Unit]] = {}
    for spelling, unit in exact.items():
        loose.setdefault(spelling.casefold(), []).append(unit)
    unambiguous = {s: us[0] for s, us in loose.items() if len({u.label for u in us}) == 1}
    return unambiguous | exact


def find(text: str) -> Unit | None:
    """The unit that a maker's text names, or None.

    Letter case is forgiven where it leaves no doubt; superscripts count as
    digits; a space may stand beside the stroke and after the sign of a degree.
    """
    folded = re.sub(r" ?/ ?|(?<=°) ", lambda m: m.group().strip(), text.replace("³", "3"))
    return _spelled().get(folded) or _spelled().get(folded.casefold())


@cache
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
    for line in DEFINITIONS:
        registry.define(line)
    return registry


@cache
def _line(label: str) -> tuple[float, float]:
    """Offset and factor that take a number in the unit to the core's unit."""
    unit = _spelled()[label]
    registry = _registry()
    if unit.kind == "temperature":
        core = _CORE_UNIT[unit.kind]
        at = [registry.Quantity(x, unit.meaning).to(core).magnitude for x in (0.0, 100.0)]
        return float(at[0]), float(at[1] - at[0]) / 100.0
    factor = registry.parse_expression(unit.meaning).to(_CORE_UNIT[unit.kind]).magnitude
    return 0.0, float(factor)


def to_core(number: float, label: str) -> float:
    """A number in a unit, as a number of the core's SI unit."""
    offset, factor = _line(label)
    return offset + factor * number


def from_core(value: float, label: str) -> float:
    """The inverse of `to_core`."""
    offset, factor = _line(label)
    return (value - offset) / factor


def span_from_core(span: float, label: str) -> float:
    """A difference (an uncertainty, say) in a unit: the zero point drops out."""
    return span / _line(label)[1]


def warm() -> None:
    """Load what the first conversion needs, ahead of it."""
    _line("mm")
