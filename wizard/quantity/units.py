"""Units: which ones a maker may type, and their exact factors to SI.

Every factor is exact by definition: the international inch and pound of 1959
(NIST SP 811). Salinity in g/kg and psu are both taken as practical salinity. A
unit package would cost more start-up time than all the rest of a review, so
the tests hold these factors to one instead.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

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

INCH = 0.0254
POUND = 0.45359237


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that a maker may type.

    Attributes:
        label: as it is shown and saved, e.g. ``g/mL``.
        kind: the kind of quantity it measures.
        factor: one of it in the core's SI unit.
        spellings: other ways of typing it.
        zero: its zero point in the core's unit.
    """

    label: str
    kind: Kind
    factor: float
    spellings: tuple[str, ...] = ()
    zero: float = 0.0


UNITS: tuple[Unit, ...] = (
    Unit("mm", "length", 1e-3),
    Unit("cm", "length", 1e-2),
    Unit("m", "length", 1.0),
    Unit("in", "length", INCH, ('"',)),
    Unit("ft", "length", 12 * INCH, ("'",)),
    Unit("mg", "mass", 1e-6),
    Unit("g", "mass", 1e-3),
    Unit("kg", "mass", 1.0),
    Unit("oz", "mass", POUND / 16),
    Unit("lb", "mass", POUND),
    Unit("gr", "mass", POUND / 7000),
    Unit("mL", "volume", 1e-6),
    Unit("L", "volume", 1e-3),
    Unit("cc", "volume", 1e-6),
    Unit("cm3", "volume", 1e-6),
    Unit("in3", "volume", INCH**3),
    Unit("g/mL", "density", 1e3),
    Unit("g/cm3", "density", 1e3),
    Unit("kg/m3", "density", 1.0),
    Unit("lb/ft3", "density", POUND / (12 * INCH) ** 3),
    Unit("oz/in3", "density", POUND / 16 / INCH**3),
    Unit("degC", "temperature", 1.0, ("°C", "C")),
    Unit("degF", "temperature", 5 / 9, ("°F", "F"), zero=-160 / 9),
    Unit("g/kg", "salinity", 1.0),
    Unit("psu", "salinity", 1.0),
    Unit("s", "time", 1.0),
    Unit("min", "time", 60.0),
    Unit("h", "time", 3600.0),
    Unit("d", "time", 86400.0),
    Unit("m/s", "speed", 1.0),
    Unit("cm/s", "speed", 1e-2),
    Unit("ft/s", "speed", 12 * INCH),
    Unit("in/s", "speed", INCH),
    Unit("%", "ratio", 1e-2),
    Unit("deg", "angle", math.pi / 180, ("°",)),
)


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


def to_core(number: float, label: str) -> float:
    """A number in a unit, as a number of the core's SI unit."""
    unit = _spelled()[label]
    return unit.zero + unit.factor * number


def from_core(value: float, label: str) -> float:
    """The inverse of `to_core`."""
    unit = _spelled()[label]
    return (value - unit.zero) / unit.factor


def span_from_core(span: float, label: str) -> float:
    """A difference (an uncertainty, say) in a unit: the zero point drops out."""
    return span / _spelled()[label].factor
