"""Weighing: the bare body on the scale."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Prompt, Step


def _dunked(build: Build, row: Any) -> bool:
    return build.weighing.gain is not None


STEP = Step(
    id="weighing",
    title="Weighing",
    phase="measure",
    hands=(
        "Let the body and the scale come to the room's temperature.",
        "Brush off the dust; peel off the paper template; no hardware, no filler on it.",
        "Zero the scale, weigh the body, take it off, see zero again.",
    ),
    items=(
        Prompt(
            "weighing.mass",
            "Mass of the bare body",
            "With the density it gives the body's volume: the heart of the sum.",
            "The whole body, sanded, before sealer and hardware.",
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
            unit="g",
            optional=True,
        ),
        Prompt(
            "weighing.temperature",
            "Temperature of that water",
            "If the water in the beaker is not the fishing water.",
            unit="degC",
            optional=True,
            when=_dunked,
        ),
    ),
    shows=("body_volume",),
)
