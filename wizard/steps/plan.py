"""Plan: what it is called, which water, what it is asked to do."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Prompt, Step


def _sinks_by_margin(build: Build, row: Any) -> bool:
    return build.aim.behaviour == "sinks" and build.aim.sink_rate is None


def _floats_by_margin(build: Build, row: Any) -> bool:
    return build.aim.behaviour == "floats" and build.aim.freeboard_fraction is None


def _takes_speed(build: Build, row: Any) -> bool:
    return build.aim.behaviour == "sinks" and build.aim.margin is None


def _takes_freeboard(build: Build, row: Any) -> bool:
    return build.aim.behaviour == "floats" and build.aim.margin is None


def _hangs(build: Build, row: Any) -> bool:
    return build.aim.behaviour == "suspends"


STEP = Step(
    id="plan",
    title="Plan",
    phase="plan",
    hands=(
        "Decide where it will be fished and what it should do there.",
        "Tap water is no sea: a plug that hangs in the tank floats in salt water.",
    ),
    items=(
        Prompt(
            "build.name",
            "Name of the build",
            "To find it again, and for the template and the sheet.",
            "Any words: “Pier herring 95”.",
        ),
        Prompt(
            "water.temperature",
            "Temperature of the fishing water",
            "Cold water is denser and carries more.",
            "A thermometer a rod's length down, or the season's usual.",
            unit="degC",
            offer="15 degC",
        ),
        Prompt(
            "water.salinity",
            "Salinity of the fishing water",
            "Salt water carries 2.6 % more: several grams on a plug.",
            "Lake and river 0; open ocean about 35; brackish in between.",
            unit="g/kg",
            offer="0 g/kg",
        ),
        Prompt(
            "aim.behaviour",
            "In the water it",
            "Everything is worked out from this.",
            words=(
                ("floats", "rests at the surface"),
                ("suspends", "hangs where it is stopped"),
                ("sinks", "goes down by itself"),
            ),
        ),
        Prompt(
            "aim.margin",
            "Margin from neutral",
            "How far from hanging: as a share of the weight at which it would hang.",
            "Common practice, no source: about 15 % starts a sinker down for sure.",
            unit="%",
            offer="15 %",
            when=_sinks_by_margin,
        ),
        Prompt(
            "aim.margin",
            "Margin from neutral",
            "How far from hanging: as a share of the weight at which it would hang.",
            "As much of its volume stays dry: 20 % is lively, 5 % nearly awash.",
            unit="%",
            when=_floats_by_margin,
        ),
        Prompt(
            "aim.sink_rate",
            "or: speed of sinking",
            "Instead of a margin. It needs the drawn shape, and is known to a third at best.",
            "A slow sinker goes down 10 cm in a second.",
            unit="cm/s",
            optional=True,
            when=_takes_speed,
        ),
        Prompt(
            "aim.freeboard_fraction",
            "or: share of it above water",
            "Instead of a margin: the share of its volume that stays dry.",
            "A fifth is lively; a twentieth is nearly awash.",
            unit="%",
            optional=True,
            when=_takes_freeboard,
        ),
        Prompt(
            "aim.tolerance",
            "Counts as hanging within",
            "No plug hangs exactly: within this share of its weight it counts as hanging.",
            "Common practice, no source: 0.5 %.",
            unit="%",
            optional=True,
            offer="0.5 %",
            when=_hangs,
        ),
        Prompt(
            "aim.pitch",
            "Wanted nose-down angle at rest",
            "Decides how far forward the ballast goes.",
            "Level is 0; a few degrees are usual. Tail down is typed with a minus.",
            sketch="pitch",
            unit="deg",
            optional=True,
        ),
    ),
    shows=("water_density",),
)
