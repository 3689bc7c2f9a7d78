"""Review: all numbers on one page, and weighings of the whole plug."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step
from wizard.steps.trials import mends_so_far


def _between_coats(build: Build, row: Any) -> bool:
    return row is not None and row.stage in ("sealed", "coated")


WEIGHINGS = Group(
    "weight",
    one="weighing of the whole plug",
    none="",
    start=(("mends", mends_so_far),),
    prompts=(
        Prompt(
            "stage",
            "When",
            "It replaces the weight of all that was on the plug then.",
            words=(
                ("ballasted", "ballast in, holes filled"),
                ("sealed", "sealed"),
                ("coated", "all coats on"),
                ("finished", "finished, hooks on"),
            ),
        ),
        Prompt(
            "mass",
            "Mass",
            "The whole plug on the same scale.",
            "On it all that stays at this stage; off it drying hooks, tape and hook caps. Zero "
            "the scale first.",
            unit="g",
        ),
        Prompt(
            "coats",
            "Coats on it so far",
            "For a weighing between coats: the later ones still add to it.",
            "Empty when all are on.",
            optional=True,
            when=_between_coats,
        ),
    ),
)

STEP = Step(
    id="review",
    title="Review",
    phase="finish",
    hands=("Weigh the finished plug: a weighing beats every prediction.",),
    items=(
        WEIGHINGS,
        Prompt(
            "build.notes",
            "Notes",
            "The best teacher of the next build is this one.",
            "A few words: what to do otherwise next time.",
            optional=True,
        ),
    ),
    shows=(
        "finished_mass",
        "displaced_volume",
        "net_in_water",
        "chance_aim",
        "sink_rate",
        "rest_pitch",
    ),
)
