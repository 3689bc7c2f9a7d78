"""Units against the default registry of the pint package and against their definitions."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from wizard.quantity import units

PINT = {
    "mm": "millimeter", "cm": "centimeter", "m": "meter", "in": "inch", "ft": "foot",
    "mg": "milligram", "g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound", "gr": "grain",
    "mL": "milliliter", "L": "liter", "cc": "cubic_centimeter", "cm3": "centimeter**3",
    "in3": "inch**3",
    "g/mL": "gram/milliliter", "g/cm3": "gram/centimeter**3", "kg/m3": "kilogram/meter**3",
    "lb/ft3": "pound/foot**3", "oz/in3": "ounce/inch**3",
    "degC": "degC", "degF": "degF",
    "s": "second", "min": "minute", "h": "hour", "d": "day",
    "m/s": "meter/second", "cm/s": "centimeter/second", "ft/s": "foot/second",
    "in/s": "inch/second",
    "%": "percent", "deg": "degree",
}  # fmt: skip
CORE = {
    "length": "meter", "mass": "kilogram", "volume": "meter**3", "density": "kilogram/meter**3",
    "temperature": "degC", "time": "second", "speed": "meter/second", "ratio": "dimensionless",
    "angle": "radian",
}  # fmt: skip
NOT_IN_PINT = {"g/kg", "psu"}  # practical salinity has no dimension of its own


@pytest.fixture(scope="module")
def registry() -> Any:
    return pint.UnitRegistry()


def test_every_unit_is_looked_up_in_the_other_registry() -> None:
    assert {unit.label for unit in units.UNITS} == set(PINT) | NOT_IN_PINT


@pytest.mark.parametrize("unit", [u for u in units.UNITS if u.label in PINT], ids=lambda u: u.label)
@pytest.mark.parametrize("number", [0.0, 1.0, -40.0, 98.6, 1234.5])
def test_factors_are_those_of_the_default_registry(
    registry: Any, unit: units.Unit, number: float
) -> None:
    theirs = registry.Quantity(number, PINT[unit.label]).to(CORE[unit.kind]).magnitude
    assert units.to_core(number, unit.label) == pytest.approx(theirs, rel=1e-14, abs=1e-12)
    assert units.from_core(theirs, unit.label) == pytest.approx(number, rel=1e-13, abs=1e-11)
    one = registry.Quantity(
        1.0, f"delta_{unit.label}" if unit.kind == "temperature" else PINT[unit.label]
    )
    span = one.to("delta_degC" if unit.kind == "temperature" else CORE[unit.kind]).magnitude
    assert units.span_from_core(span, unit.label) == pytest.approx(1.0, rel=1e-14)


# NIST Special Publication 811 (2008), appendix B.8: exact by definition, or as printed.
PRINTED = [
    ("in", 2.54e-2, 0), ("ft", 3.048e-1, 0), ("lb", 4.535_923_7e-1, 0), ("gr", 6.479_891e-5, 0),
    ("oz", 2.834_952e-2, 1e-6), ("in3", 1.638_706e-5, 1e-6), ("lb/ft3", 1.601_846e1, 1e-6),
    ("oz/in3", 1.729_994e3, 1e-6), ("ft/s", 3.048e-1, 0), ("in/s", 2.54e-2, 0),
]  # fmt: skip


@pytest.mark.parametrize(("label", "factor", "digits"), PRINTED)
def test_factors_as_printed(label: str, factor: float, digits: float) -> None:
    assert units.to_core(1.0, label) == pytest.approx(factor, rel=digits or 1e-15)


def test_fixed_points_of_the_fahrenheit_scale() -> None:
    for fahrenheit, celsius in ((32.0, 0.0), (212.0, 100.0), (-40.0, -40.0)):
        assert units.to_core(fahrenheit, "degF") == pytest.approx(celsius, abs=1e-12)


def test_salinity_is_practical_whichever_way_it_is_written() -> None:
    assert units.to_core(35.0, "g/kg") == units.to_core(35.0, "psu") == 35.0


def test_no_text_of_a_person_reaches_the_unit_package() -> None:
    """General unit parsers evaluate expressions; the labels here are the only ones looked up."""
    for text in ("meter", "kilogram", "inch", "2*mm", "mm**2", "degree_Celsius", "pi"):
        assert units.find(text) is None
