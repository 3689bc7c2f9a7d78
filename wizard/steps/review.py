"""Review: all numbers on one page, and weighings of the whole plug."""

from __future__ import annotations

from wizard.steps.prompts import Group, Prompt, Step

WEIGHINGS = Group(
    "weight",
    one="weighing of the whole plug",
    none="",
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
        Prompt("mass", "Mass", "The whole plug on the same scale.", unit="g"),
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
            "What to do otherwise next time.",
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
