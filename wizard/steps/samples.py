"""The samples of a density test: what is asked of each by its method."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt

MEASURED = ("block", "cylinder", "dunk")
"""Methods that put the sample itself on the scale."""


def _method(*methods: str) -> Callable[[Build, Any], bool]:
    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.method in methods

    return asked


def _thorough(key: str, *methods: str, after: str = "") -> Callable[[Build, Any], bool]:
    """Asked of a sample by those who want the long way, and where it is answered already."""

    def asked(build: Build, row: Any) -> bool:
        if row is None or row.method not in methods:
            return False
        wanted = build.weighing.thorough == "yes" and bool(not after or getattr(row, after))
        return wanted or bool(getattr(row, key))

    return asked


def _air(build: Build, row: Any) -> bool:
    if row is None or row.method not in (*MEASURED, "known"):
        return False
    return row.humidity is not None or (build.weighing.thorough == "yes" and row.moisture is None)


def _moist(build: Build, row: Any) -> bool:
    """A value carried over needs its moisture more than any other."""
    if row is None or row.method not in (*MEASURED, "known"):
        return False
    return row.moisture is not None or row.method == "known" or build.weighing.thorough == "yes"


def _noted(build: Build, row: Any) -> bool:
    return row is not None and (bool(row.note) or row.method == "known")


def _again(key: str, ask: str, why: str, how: str, *methods: str, unit: str = "mm") -> Prompt:
    """Further readings of one answer."""
    return Prompt(
        f"{key}_again",
        ask,
        why,
        how,
        unit=unit,
        optional=True,
        when=_thorough(f"{key}_again", *methods, after=key),
    )


ALONG = "At both ends and in the middle; a semicolon between readings."

SAMPLES = Group(
    "density.sample",
    one="sample",
    none="",
    start=(("method", "block"),),
    least=1,
    prompts=(
        Prompt(
            "method",
            "Kind of sample",
            "How its volume is found. The largest piece is the best one.",
            words=(
                ("block", "squared: three sides"),
                ("cylinder", "dowel or core"),
                ("dunk", "held under water on the scale"),
                ("known", "from an earlier test of this board"),
                ("body", "the body itself, weighed and dunked"),
            ),
        ),
        Prompt(
            "length",
            "Length",
            "Longer is better.",
            "Before you cut: type the three sides alone, and see how good it would be.",
            sketch="sides",
            unit="mm",
            when=_method("block"),
        ),
        Prompt(
            "width",
            "Width",
            "One of the three sides that make its volume.",
            "Across the grain, caliper at its middle, jaws flat and lightly closed.",
            sketch="sides",
            unit="mm",
            when=_method("block"),
        ),
        Prompt(
            "thickness",
            "Thickness",
            "The smallest side decides how well the density is known.",
            "Caliper at its middle, jaws flat and lightly closed.",
            sketch="sides",
            unit="mm",
            when=_method("block"),
        ),
        Prompt(
            "diameter",
            "Diameter",
            "It counts twice, as a square: the reading to take most care of.",
            "Caliper at both ends and in the middle, turned a quarter each time.",
            unit="mm",
            when=_method("cylinder"),
        ),
        Prompt(
            "length",
            "Length",
            "With the diameter it makes the volume.",
            "Caliper along the core, from end to end; both ends cut square.",
            unit="mm",
            when=_method("cylinder"),
        ),
        Prompt(
            "mass",
            "Mass",
            "A small piece on a coarse scale is no test.",
            "Scale at zero first, and again after.",
            unit="g",
            when=_method(*MEASURED),
        ),
        Prompt(
            "gain",
            "Gain of the scale",
            "What the beaker's scale shows more while the sealed sample is held just under.",
            "Zero the scale with the beaker on it; wipe off bubbles; touch no wall.",
            sketch="dunk",
            unit="g",
            when=_method("dunk"),
        ),
        Prompt(
            "temperature",
            "Temperature of that water",
            "The gain is water pushed aside, and cold water is denser.",
            "Thermometer in the beaker. Only if it is not the fishing water.",
            unit="degC",
            optional=True,
            when=_method("dunk"),
        ),
        Prompt(
            "density",
            "Density",
            "What this board was found to have stands for a test.",
            "From the notes or the profile of the build it was tested for.",
            unit="g/mL",
            when=_method("known"),
        ),
        Prompt(
            "uncertainty",
            "Its standard uncertainty",
            "Says how much the value carried over may be trusted.",
            "At k = 1: half of what holds in 95 of 100 cases.",
            unit="g/mL",
            optional=True,
            when=_method("known"),
        ),
        Prompt(
            "tested",
            "When it was tested",
            "A board moves with the seasons.",
            "Year, month, day: 2026-04-02.",
            optional=True,
            when=_method("known"),
        ),
        Prompt(
            "note",
            "Note",
            "To know the piece again when its number stands alone.",
            "Which board, which end, how it was tested.",
            optional=True,
            when=_noted,
        ),
        _again(
            "length",
            "Further lengths",
            "Readings that differ show a piece that is not square.",
            ALONG,
            *("block", "cylinder"),
        ),
        _again("width", "Further widths", "The same across.", ALONG, "block"),
        _again(
            "thickness",
            "Further thicknesses",
            "The side where a tenth counts most.",
            ALONG,
            "block",
        ),
        _again(
            "diameter",
            "Further diameters",
            "A dowel is seldom round.",
            "Turn it between readings; a semicolon between them.",
            "cylinder",
        ),
        _again(
            "mass",
            "Further masses",
            "Their scatter shows what the scale can really do.",
            "Take it off, zero, weigh again; a semicolon between readings.",
            *MEASURED,
            unit="g",
        ),
        _again(
            "gain",
            "Further gains",
            "Bubbles and soaking show as readings that drift.",
            "Lift it out, wipe, zero, hold it under again; a semicolon between readings.",
            "dunk",
            unit="g",
        ),
        Prompt(
            "zero",
            "Empty scale after weighing",
            "What it drifted by meanwhile: half of it is taken off the reading.",
            "Read it right after; it may be below zero.",
            unit="g",
            optional=True,
            when=_thorough("zero", *MEASURED),
        ),
        Prompt(
            "moisture",
            "Its moisture",
            "A body sealed at another moisture has another density.",
            "Meter with its pins in this piece; for an earlier test, what it had then.",
            unit="%",
            optional=True,
            when=_moist,
        ),
        Prompt(
            "humidity",
            "Humidity where it lay",
            "Without a meter: wood that lay for weeks follows the air.",
            "A room's hygrometer; heated rooms in winter have 25 to 40 %.",
            unit="%",
            optional=True,
            when=_air,
        ),
        Prompt(
            "mass_later",
            "Mass some hours later",
            "A piece that still dries tells nothing of the body.",
            "The same scale, zeroed; half a day apart tells more than an hour.",
            unit="g",
            optional=True,
            when=_thorough("mass_later", *MEASURED),
        ),
        Prompt(
            "later",
            "How much later",
            "To say how fast it dries.",
            "From one weighing to the other: 6 h, or 0.5 d.",
            unit="h",
            optional=True,
            when=_thorough("later", *MEASURED, after="mass_later"),
        ),
    ),
)
