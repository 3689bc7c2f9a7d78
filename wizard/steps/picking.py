"""What may be picked instead of typed: units of a measurement, names from the tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.plug.paths import Path
from wizard.plug.record import Build
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.steps.answering import default_unit, understood
from wizard.steps.prompts import Question


@dataclass(frozen=True, slots=True)
class Pick:
    """Something to pick.

    Attributes:
        text: what it puts into the field.
        detail: what it is, short.
    """

    text: str
    detail: str = ""


def unit_picks(question: Question) -> tuple[Pick, ...]:
    """The units that a measurement may have, in the order of the table."""
    if not has_units(question):
        return ()
    kind = question.spec.kind
    return tuple(Pick(label, _UNIT_WORDS.get(label, "")) for label in units.labels(kind))


_UNIT_WORDS = {
    "mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet",
    "mg": "milligrams", "g": "grams", "kg": "kilograms", "oz": "ounces", "lb": "pounds",
    "gr": "grains", "mL": "millilitres", "L": "litres", "cc": "cubic centimetres",
    "cm3": "cubic centimetres", "in3": "cubic inches", "degC": "degrees Celsius",
    "degF": "degrees Fahrenheit", "g/kg": "grams of salt in a kilogram",
    "psu": "practical salinity", "s": "seconds", "min": "minutes", "h": "hours", "d": "days",
    "%": "per cent", "deg": "degrees",
}  # fmt: skip


def with_unit(text: str, unit: str) -> str:
    """A typed number with another unit behind it, whatever unit it had."""
    bare = text.strip()
    for known in sorted(
        (s for u in units.UNITS for s in (u.label, *u.spellings)), key=len, reverse=True
    ):
        if bare.casefold().endswith(known.casefold()):
            bare = bare[: -len(known)].rstrip()
            break
    return f"{bare} {unit}".lstrip()


def has_units(question: Question) -> bool:
    """Whether an answer is measured in a unit that may be picked."""
    return question.spec.form == "quantity" and question.spec.kind != "number"


def unit_now(build: Build, question: Question, text: str) -> str:
    """The unit that a text has or would get at a question."""
    value = understood(build, question, text)
    return value.unit if isinstance(value, Quantity) else default_unit(build, question)


def has_names(path: Path) -> bool:
    """Whether a table knows names for the answer at a path."""
    return ".".join(str(part) for part in path if not isinstance(part, int)) in _PICKS


def name_picks(path: Path) -> tuple[Pick, ...]:
    """The names that a table knows for the answer at a path."""
    keys = ".".join(str(part) for part in path if not isinstance(part, int))
    return tuple(_PICKS[keys]()) if keys in _PICKS else ()


def _density(value: float) -> str:
    return f"about {value / 1000:.2f} g/mL"


def _woods() -> Iterator[Pick]:
    from wizard.tables import woods

    return (Pick(row.name, _density(row.density.typical)) for row in woods().values())


def _metals() -> Iterator[Pick]:
    from wizard.tables import metals

    rows = (row for row in metals().values() if "ballast" in row.roles)
    return (Pick(row.name, _density(row.density.typical)) for row in rows)


def _fillers() -> Iterator[Pick]:
    from wizard.tables import fillers

    rows = (row for row in fillers().values() if "backfill" in row.roles)
    return (Pick(row.name, _density(row.density.typical)) for row in rows)


def _hardware() -> Iterator[Pick]:
    from wizard.tables import hardware

    families = dict.fromkeys(row.family for row in hardware().values())
    return (Pick(family) for family in families)


def _coats() -> Iterator[Pick]:
    from wizard.tables import coats

    return (Pick(row.name, _density(row.density.typical)) for row in coats().values())


def _forms() -> Iterator[Pick]:
    from wizard.physics.forms import FORMS

    return (Pick(form.name, form.description) for form in FORMS.values())


_PICKS = {
    "stock.wood": _woods,
    "shape.form": _forms,
    "ballast.metal": _metals,
    "ballast.filler": _fillers,
    "hardware.name": _hardware,
    "coat.name": _coats,
}
