"""The operations of the coating schedule and the hours they are planned in.

They are begun from the timetable, which proposes them; until then nothing is asked about
them, so that the short path through the coating step stays short.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import COATING, Build
from wizard.steps.prompts import Group, Prompt


def _scheduled(build: Build, row: Any) -> bool:
    return bool(build.operation)


def _lays(build: Build, row: Any) -> bool:
    """Asked of what lays a coat."""
    return row is None or row.kind in COATING


def _lays_and(key: str) -> Callable[[Build, Any], bool]:
    """Asked of what lays a coat once another answer of it stands."""

    def asked(build: Build, row: Any) -> bool:
        return _lays(build, row) and row is not None and getattr(row, key) is not None

    return asked


def _has(key: str) -> Callable[[Build, Any], bool]:
    """Asked where it is answered already, to be put right."""

    def asked(build: Build, row: Any) -> bool:
        return row is not None and getattr(row, key) is not None

    return asked


OPERATIONS = Group(
    "operation",
    one="operation",
    none="",
    when=_scheduled,
    prompts=(
        Prompt(
            "name",
            "What it is called",
            "So that you know it in the timetable and the calendar.",
            "A few words, such as: second white coat.",
            optional=True,
        ),
        Prompt(
            "kind",
            "Kind of work",
            "Says what it waits for, and what is typical where the tin says nothing.",
            words=(
                ("degrease", "wipe off dust and grease"),
                ("seal", "a sealer"),
                ("fill", "grain and dents"),
                ("sand", "or scuff: ends the window beneath"),
                ("glue", "eyes, hangers, fin, lip"),
                ("base", "primer or base coat"),
                ("colour", "a pass of colour"),
                ("eyes", "glued or painted on"),
                ("clear", "a clear coat"),
                ("cure", "the wait for the last coat"),
                ("hang", "hooks and rings"),
            ),
        ),
        Prompt(
            "coat",
            "Number of the coat that it lays",
            "Its film is the one that counts in the weights.",
            "Number of the coat in the list above.",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "note",
            "Note",
            "What you would have forgotten by then.",
            "Template, mesh, which side.",
            optional=True,
        ),
        Prompt(
            "hands_on",
            "Time at the bench, one plug",
            "So much must fit into an evening, without a break.",
            "Mixing, brushing and cleaning up; time it once.",
            unit="min",
            optional=True,
        ),
        Prompt(
            "pot_life",
            "Pot life or open time",
            "How long the mix can be worked.",
            "As the tin says it, usually for 23 °C.",
            unit="min",
            optional=True,
        ),
        Prompt(
            "touch_dry",
            "Dry to the touch after",
            "From then on it may be handled.",
            "On the tin. Left empty, it is typical of the coat.",
            unit="h",
            optional=True,
        ),
        Prompt(
            "recoat_earliest",
            "Next coat not before",
            "Too early it wrinkles. Left empty, it is typical of the coat.",
            "The tin in your hand wins.",
            unit="h",
            optional=True,
        ),
        Prompt(
            "recoat_latest",
            "Next coat not after",
            "Later it doesn't bond without a scuff, which the timetable then plans.",
            "The tin in your hand wins.",
            unit="h",
            optional=True,
        ),
        Prompt(
            "full_cure",
            "Cured for the water after",
            "Dry to the touch is not cured: in the water it would go soft.",
            "On the tin or its data sheet. Left empty, it is typical of the coat.",
            unit="h",
            optional=True,
        ),
        Prompt(
            "covers",
            "Covers all that is beneath",
            "A pass on one side leaves the windows beneath open.",
            words=(("yes", "a whole coat"), ("no", "a pass on one side, stripes, an eye")),
            optional=True,
            when=_lays,
        ),
        Prompt(
            "applied",
            "How it goes on",
            "Says how much is lost beside the plug.",
            words=(("brush", "brushed"), ("spray", "sprayed"), ("dip", "dipped")),
            optional=True,
            when=_lays,
        ),
        Prompt(
            "loss",
            "Lost, over what stays on",
            "Brush and cup, or mist: that much more is mixed.",
            "20 % brushed; sprayed more than stays on (from memory).",
            unit="%",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "volume_solids",
            "Solids by volume",
            "What of the wet film stays when it has dried.",
            "From the data sheet: about 100 % for epoxy, 15 to 35 % for airbrush paint.",
            unit="%",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "liquid_density",
            "Density in the tin",
            "To weigh the amount out instead of measuring it.",
            "From the data sheet, or weigh 10 mL in a syringe.",
            unit="g/mL",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "resin_parts",
            "Two parts: parts of resin",
            "For what is mixed of two; leave it empty for one part.",
            "As the tin says it: 2 of 2 : 1, or 100 of 100 : 47.",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "hardener_parts",
            "Parts of hardener",
            "The other part of the ratio.",
            "As the tin says it: 1 of 2 : 1, or 47 of 100 : 47.",
            when=_lays_and("resin_parts"),
        ),
        Prompt(
            "parts_by",
            "Parts by",
            "1 : 1 by volume is not 1 : 1 by mass.",
            words=(("volume", "syringes or cups"), ("mass", "the scale")),
            when=_lays_and("resin_parts"),
        ),
        Prompt(
            "resin_density",
            "Density of the resin",
            "Turns a ratio by volume into grams.",
            "From its data sheet.",
            unit="g/mL",
            optional=True,
            when=_lays_and("resin_parts"),
        ),
        Prompt(
            "hardener_density",
            "Density of the hardener",
            "Turns a ratio by volume into grams.",
            "From its data sheet.",
            unit="g/mL",
            optional=True,
            when=_lays_and("resin_parts"),
        ),
        Prompt(
            "temperature_low",
            "Not colder than",
            "Colder, it may never cure; the timetable then warns.",
            "On the tin or its data sheet.",
            unit="degC",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "temperature_high",
            "Not warmer than",
            "Warmer, it sets before it has levelled; the timetable then warns.",
            "On the tin or its data sheet.",
            unit="degC",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "humidity_low",
            "Not drier than",
            "What cures by moisture needs some.",
            "On the tin or its data sheet.",
            unit="%",
            optional=True,
            when=_lays_and("humidity_low"),
        ),
        Prompt(
            "humidity_high",
            "Not damper than",
            "Damper, it may turn cloudy; the timetable then warns.",
            "On the tin or its data sheet.",
            unit="%",
            optional=True,
            when=_lays,
        ),
        Prompt(
            "before",
            "Before it",
            "What must have been rounded, wiped or masked.",
            "A semicolon between them.",
            optional=True,
        ),
        Prompt(
            "started",
            "Begun",
            "Times in the tin count from here.",
            "Put it right here if the mark came late: 2026-04-02 18:30.",
            optional=True,
            when=_has("started"),
        ),
        Prompt(
            "finished",
            "Finished",
            "Drying counts from here.",
            "Put it right here if the mark came late: 2026-04-02 18:30.",
            optional=True,
            when=_has("finished"),
        ),
    ),
)

SCHEDULE = (
    Prompt(
        "schedule.hours",
        "Hours at the bench",
        "The timetable plans within them.",
        "Such as Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00.",
        optional=True,
        when=_scheduled,
    ),
    Prompt(
        "schedule.start",
        "Plan from",
        "Nothing is planned before it; left empty it is now.",
        "Such as 2026-04-02 18:30.",
        optional=True,
        when=_scheduled,
    ),
    Prompt(
        "schedule.plugs",
        "Plugs in the same session",
        "They go through the same hands one after the other, and are mixed for together.",
        "Count them, this one included.",
        optional=True,
        when=_scheduled,
    ),
    Prompt(
        "schedule.temperature",
        "Temperature of the shop",
        "Held against what the tins want.",
        "A thermometer at the bench, at the coldest hour of curing.",
        unit="degC",
        optional=True,
        when=_scheduled,
    ),
    Prompt(
        "schedule.humidity",
        "Humidity of the shop",
        "Held against what the tins want.",
        "A room's hygrometer, at the dampest hour of curing.",
        unit="%",
        optional=True,
        when=_scheduled,
    ),
    Prompt(
        "schedule.zone",
        "Time zone of the bench",
        "Only if it isn't that of the computer.",
        "Such as Europe/Paris.",
        optional=True,
        when=_scheduled,
    ),
)
