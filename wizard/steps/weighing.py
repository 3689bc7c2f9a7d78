"""Weighing: the bare body on the scale."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Prompt, Step


def _after(key: str) -> Callable[[Build, Any], bool]:
    """Asked once another answer of the step stands."""

    def asked(build: Build, row: Any) -> bool:
        return bool(getattr(build.weighing, key))

    return asked


def _thorough(key: str, after: str = "") -> Callable[[Build, Any], bool]:
    """Asked of those who want the long way, and where it is answered already."""

    def asked(build: Build, row: Any) -> bool:
        at = build.weighing
        wanted = at.thorough == "yes" and bool(not after or getattr(at, after))
        return wanted or bool(getattr(at, key))

    return asked


def _air(build: Build, row: Any) -> bool:
    at = build.weighing
    return at.humidity is not None or (at.thorough == "yes" and at.moisture is None)


STEP = Step(
    id="weighing",
    title="Weighing",
    phase="measure",
    hands=(
        "Let the body and the scale come to the room's temperature; switch the scale on early.",
        "Off the body: dust, paper template, tape. On it: nothing yet, no filler, no hanger.",
        "Scale at zero (tare), weigh the body, take it off: it must show zero again.",
        "For a dunk: seal the body first, beaker half full on the scale, zero it with the beaker "
        "on, wipe off bubbles, hold the body just under with a thin needle, touch no wall.",
    ),
    items=(
        Prompt(
            "weighing.mass",
            "Mass of the bare body",
            "With the density it gives the body's volume: the heart of the sum.",
            "The whole body, sanded, before sealer and hardware. Zero the scale first.",
            unit="g",
        ),
        Prompt(
            "weighing.resolution",
            "Smallest step of the scale",
            "Says how much the reading can be off by rounding.",
            "0.01 g if it shows two decimals.",
            unit="g",
            offer="0.01 g",
        ),
        Prompt(
            "weighing.accuracy",
            "Accuracy stated for the scale",
            "Its own error, the same at every reading.",
            "From its papers, or what a check weight shows.",
            unit="g",
            optional=True,
        ),
        Prompt(
            "weighing.gain",
            "Dunk of the sealed body: gain",
            "A second, independent volume: what the scale gains when the body is held under.",
            "Beaker on the scale, zero it, hold the sealed body just under with a thin needle.",
            sketch="dunk",
            unit="g",
            optional=True,
        ),
        Prompt(
            "weighing.temperature",
            "Temperature of that water",
            "The gain is water pushed aside, and cold water is denser.",
            "Thermometer in the beaker. Leave it empty if it is the fishing water.",
            unit="degC",
            optional=True,
            when=_after("gain"),
        ),
        Prompt(
            "weighing.thorough",
            "Weigh and test thoroughly",
            "Asks for more at this step and the next: worth it for a suspender or light wood.",
            words=(
                ("no", "one reading of each side and mass"),
                ("yes", "more readings, zero, check weight, moisture, drying"),
            ),
            optional=True,
        ),
        Prompt(
            "weighing.mass_again",
            "Further readings of the mass",
            "Their scatter shows what the scale can really do.",
            "Take it off, zero, weigh again; a semicolon between readings.",
            unit="g",
            optional=True,
            when=_thorough("mass_again"),
        ),
        Prompt(
            "weighing.zero",
            "Empty scale after weighing",
            "What it drifted by meanwhile: half of it is taken off the reading.",
            "Read it right after the body is off; it may be below zero.",
            unit="g",
            optional=True,
            when=_thorough("zero"),
        ),
        Prompt(
            "weighing.check_mass",
            "A check weight's nominal mass",
            "Shows whether the scale is off by more than it should be.",
            "A check weight or an unworn coin about as heavy as the body.",
            unit="g",
            optional=True,
            when=_thorough("check_mass"),
        ),
        Prompt(
            "weighing.check_reading",
            "What the scale shows for it",
            "If it is off by more than the stated accuracy, that counts instead.",
            "Zero, check weight on the middle of the pan, read when it stands still.",
            unit="g",
            optional=True,
            when=_thorough("check_reading", after="check_mass"),
        ),
        Prompt(
            "weighing.maximum",
            "Most that the scale takes",
            "Beyond it a scale shows anything; a beaker of water counts too.",
            "Printed on it, as max or cap.",
            unit="g",
            optional=True,
            when=_thorough("maximum"),
        ),
        Prompt(
            "weighing.moisture",
            "Moisture of the body",
            "A density tested at another moisture is moved to this one.",
            "Meter on the body or a piece that lay beside it, just before sealing.",
            unit="%",
            optional=True,
            when=_thorough("moisture"),
        ),
        Prompt(
            "weighing.humidity",
            "Humidity where the body lay",
            "Without a meter: wood that lay for weeks follows the air.",
            "A room's hygrometer; heated rooms in winter have 25 to 40 %.",
            unit="%",
            optional=True,
            when=_air,
        ),
        Prompt(
            "weighing.mass_later",
            "Mass some hours later",
            "A body that still dries has no mass yet, and its sealer locks the water in.",
            "The same scale, zeroed; half a day apart tells more than an hour.",
            unit="g",
            optional=True,
            when=_thorough("mass_later"),
        ),
        Prompt(
            "weighing.later",
            "How much later",
            "To say how fast it dries.",
            "From one weighing to the other: 6 h, or 0.5 d.",
            unit="h",
            optional=True,
            when=_thorough("later", after="mass_later"),
        ),
        Prompt(
            "weighing.gain_again",
            "Further readings of the gain",
            "Bubbles and a soaking body show as readings that drift.",
            "Lift it out, wipe, zero, hold it under again; a semicolon between readings.",
            sketch="dunk",
            unit="g",
            optional=True,
            when=_thorough("gain_again", after="gain"),
        ),
    ),
    shows=("body_volume",),
)
