"""The record of a bench: what its maker owns and knows, and every new build may start from.

Declared like a build's record, and never required: a missing answer is None.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from wizard.plug.fields import (
    choice,
    day,
    measure,
    other,
    table,
    tables,
    text,
    texts,
    unit_choices,
    whole,
)
from wizard.plug.findings import Finding
from wizard.plug.keys import key_findings
from wizard.plug.record import MM, Coat, G, Operation, Other, Resin, moisture
from wizard.quantity.reading import Quantity

PAPERS = ("a4", "letter")
METALS_OF_A_DRAWER = ("lead", "tungsten", "bismuth", "tin", "brass", "steel")
"""What pieces of ballast are usually made of; any other name may be typed."""


@dataclass(frozen=True)
class Habits:
    """How this maker writes, prints and works."""

    name: str | None = text()
    units: dict[str, str] = unit_choices()
    paper: str | None = choice(*PAPERS)
    theme: str | None = text()
    hours: str | None = text()
    bell: str | None = choice("no", "yes")
    notify: str | None = choice("no", "yes")
    notes: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Scale:
    """The scale."""

    resolution: Quantity | None = measure("mass", above=None, plausible=(0.0, 5 * G))
    accuracy: Quantity | None = measure("mass", above=None, plausible=(0.0, 10 * G))
    maximum: Quantity | None = measure("mass", plausible=(10 * G, 50.0))
    other: Other = other()


@dataclass(frozen=True)
class Caliper:
    """The caliper, or the rule that stands in for it."""

    resolution: Quantity | None = measure("length", above=None, plausible=(0.0, 1 * MM))
    accuracy: Quantity | None = measure("length", above=None, plausible=(0.0, 1 * MM))
    other: Other = other()


@dataclass(frozen=True)
class Drills:
    """The drills at hand, and the least wood this maker leaves around a hole."""

    owned: tuple[str, ...] = texts()
    point: Quantity | None = measure("angle", at_most=3.1416, plausible=(1.0, 3.1416))
    wall: Quantity | None = measure("length", plausible=(1 * MM, 15 * MM))
    other: Other = other()


@dataclass(frozen=True)
class DrawerPiece:
    """Like pieces of ballast in the drawer; one length of wire or rod, one sheet, one lump."""

    name: str | None = text()
    mass: Quantity | None = measure("mass", plausible=(0.01 * G, 1.0))
    count: int = whole(at_least=0, default=1)
    form: str | None = choice("ball", "cone", "egg", "cylinder", "wire", "sheet", "putty")
    metal: str | None = text()
    density: Quantity | None = measure("density", at_most=23000.0, plausible=(2000.0, 20000.0))
    diameter: Quantity | None = measure("length", plausible=(0.5 * MM, 40 * MM))
    length: Quantity | None = measure("length", plausible=(0.5 * MM, 3.0))
    other: Other = other()


@dataclass(frozen=True)
class Board:
    """A board, with the density that a test of it gave."""

    name: str | None = text()
    wood: str | None = text()
    length: Quantity | None = measure("length", plausible=(10 * MM, 3.0))
    width: Quantity | None = measure("length", plausible=(3 * MM, 0.5))
    thickness: Quantity | None = measure("length", plausible=(3 * MM, 0.2))
    density: Quantity | None = measure("density", at_most=1500.0, plausible=(80.0, 1000.0))
    uncertainty: Quantity | None = measure("density", above=None)
    moisture: Quantity | None = moisture()
    tested: date | None = day()
    other: Other = other()


@dataclass(frozen=True)
class ResinTin(Resin):
    """A two-part resin as its tin has it, and what it weighs once it is hard."""

    name: str | None = text()
    density: Quantity | None = measure("density", at_most=5000.0, plausible=(200.0, 2000.0))


@dataclass(frozen=True)
class Bench:
    """A maker's bench, as far as it was described."""

    bench: Habits = table(Habits)
    keys: Other = other()
    scale: Scale = table(Scale)
    caliper: Caliper = table(Caliper)
    drills: Drills = table(Drills)
    piece: tuple[DrawerPiece, ...] = tables(DrawerPiece)
    board: tuple[Board, ...] = tables(Board)
    coat: tuple[Coat, ...] = tables(Coat)
    operation: tuple[Operation, ...] = tables(Operation)
    resin: tuple[ResinTin, ...] = tables(ResinTin)
    learned: Other = other()
    other: Other = other()


def impossible(bench: Bench) -> tuple[Finding, ...]:
    """What can't be in a bench, answer by answer; each a refusal."""
    return (*_drills(bench), *key_findings(bench.keys), *_hours(bench))


def _drills(bench: Bench) -> Iterator[Finding]:
    from wizard.plug.ballast.drilling import drill_diameter

    for i, size in enumerate(bench.drills.owned):
        if drill_diameter(size) is None:
            yield Finding(
                "refusal",
                ("drills", "owned", i),
                f"“{size}” is no drill known here.",
                "Expected a size like 3/8 in, #7, letter F or 9.5 mm.",
            )


def _hours(bench: Bench) -> Iterator[Finding]:
    from wizard.schedule.hours import read_hours
    from wizard.schedule.words import Refusal

    if bench.bench.hours is None:
        return
    found = read_hours(bench.bench.hours)
    if isinstance(found, Refusal):
        yield Finding("refusal", ("bench", "hours"), found.wrong, found.remedy)
