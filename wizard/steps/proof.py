"""Tank proof: what the finished plug does in water."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _kind(*kinds: str) -> Callable[[Build, Any], bool]:
    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.kind in kinds

    return asked


TRIALS = Group(
    "trial",
    one="trial",
    none="",
    start=(("kind", "look"),),
    prompts=(
        Prompt(
            "kind",
            "Kind of trial",
            "Any of them tells something; a timed sink or a trial weight tells how much.",
            words=(
                ("look", "does it do what was asked"),
                ("sink", "time it over a known depth"),
                ("float", "weights hung on until it just goes under"),
            ),
        ),
        Prompt(
            "as_asked",
            "Did it do what was asked",
            "The answer that counts.",
            words=(("yes", "as asked"), ("no", "not as asked")),
            when=_kind("look"),
        ),
        Prompt("depth", "Depth it sank", "From release to the bottom.", unit="cm",
               when=_kind("sink")),
        Prompt("time", "Time it took", "Let go from rest, just under the surface.", unit="s",
               when=_kind("sink")),
        Prompt("weight", "Trial weight", "What just took it under.", unit="g",
               when=_kind("float")),
        Prompt("density", "Density of that weight", "Lead 11.34, steel 7.85 g/mL.", unit="g/mL",
               when=_kind("float")),
        Prompt("temperature", "Temperature of the tank", "If it is not the fishing water.",
               unit="degC", optional=True),
        Prompt("salinity", "Salinity of the tank", "Sea salt; tap water is 0.", unit="g/kg",
               optional=True),
        Prompt("notes", "Notes", "How it lay, how it went down, what was changed.",
               optional=True),
    ),
)  # fmt: skip

STEP = Step(
    id="proof",
    title="Tank proof",
    phase="finish",
    hands=(
        "Only after full cure. Cap the hook points.",
        "Hold it under, let the bubbles go, release it just under the surface.",
        "Watch it rest, then time it, three times if it sinks.",
    ),
    items=(TRIALS,),
    shows=("net_in_water", "chance_aim", "proof_net", "sink_rate", "rest_pitch"),
)
