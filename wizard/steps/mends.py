"""What was mended after a trial, and how the plug swam in the end."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt
from wizard.steps.trials import of_kind


def _in_a_hole(build: Build, row: Any) -> bool:
    holes = build.ballast.hole if build.ballast else ()
    return row is not None and row.kind in ("inside", "remove") and bool(holes)


def _drilled_out(build: Build, row: Any) -> bool:
    return row is not None and row.kind == "remove" and row.hole is not None


def _placed(build: Build, row: Any) -> bool:
    return row is not None and row.kind in ("add", "inside", "remove") and row.hole is None


def _proved(build: Build, row: Any) -> bool:
    """A mend comes after a trial."""
    return bool(build.trial or build.mend)


def _swum(build: Build, row: Any) -> bool:
    return bool(build.trial or build.swim)


MENDS = Group(
    "mend",
    one="mend",
    none="",
    start=(("kind", "add"),),
    when=_proved,
    prompts=(
        Prompt(
            "kind",
            "What was done",
            "Write down what was really done, weighed: the sum goes on from there.",
            words=(
                ("add", "put on outside: wire, putty"),
                ("inside", "put in: a nail, ballast for backfill"),
                ("remove", "taken off, or drilled out of the ballast"),
                ("swap", "hooks or rings of another mass"),
            ),
        ),
        Prompt(
            "hole",
            "In hole number",
            "Where it lies says how the plug tips.",
            "Number of the ballast hole. Empty if it was not in one.",
            optional=True,
            when=_in_a_hole,
        ),
        Prompt(
            "hardware",
            "Which hardware",
            "The sum takes the old ones off at their place.",
            "Its number in the list of hardware.",
            when=of_kind("swap"),
        ),
        Prompt(
            "mass",
            "Mass",
            "The sum goes on from there.",
            "Weigh what was put on or in, before it goes there.",
            unit="g",
            when=of_kind("add", "inside"),
        ),
        Prompt(
            "mass",
            "Mass",
            "The sum goes on from there.",
            "Weigh what came off or out; catch the chips on paper.",
            unit="g",
            when=of_kind("remove"),
        ),
        Prompt(
            "mass",
            "Mass of each new one",
            "The sum puts the new ones in their place.",
            "Weigh them together and divide.",
            unit="g",
            when=of_kind("swap"),
        ),
        Prompt(
            "off",
            "Mass of each that came off",
            "As weighed now is better than as typed once.",
            "Weigh those that came off together and divide.",
            unit="g",
            optional=True,
            when=of_kind("swap"),
        ),
        Prompt(
            "density",
            "Its density",
            "Says how much water it pushes aside.",
            "Tin 7.3, brass 8.5, lead 11.3, putty about 8 g/mL.",
            unit="g/mL",
            when=lambda build, row: _placed(build, row),
        ),
        Prompt(
            "diameter",
            "Drilled with",
            "With the depth it says what was drilled out.",
            "The size on the drill; only where the chips were not weighed.",
            unit="mm",
            optional=True,
            when=_drilled_out,
        ),
        Prompt(
            "depth",
            "Drilled into the ballast by",
            "With the diameter it says what was drilled out.",
            "Set the drill stop; count from under the backfill.",
            unit="mm",
            optional=True,
            when=_drilled_out,
        ),
        Prompt(
            "x",
            "Aft of the nose",
            "Says how the plug lies.",
            "Steel rule from the tip of the nose.",
            sketch="place",
            unit="mm",
            optional=True,
            when=_placed,
        ),
        Prompt(
            "z",
            "Above the baseline",
            "Says how steady it lies.",
            "Rule from the flat it lies on; below the belly with a minus.",
            sketch="place",
            unit="mm",
            optional=True,
            when=_placed,
        ),
        Prompt(
            "notes",
            "Notes",
            "For the next one like it.",
            "Sealed and touched up with what.",
            optional=True,
        ),
    ),
)

SWIMS = Group(
    "swim",
    one="swim",
    none="",
    when=_swum,
    prompts=(
        Prompt("on", "Day", "To tell swims apart.", "Like 2026-04-02.", optional=True),
        Prompt(
            "water",
            "Where",
            "A plug that swims in still water may not in a current.",
            "A few words: still, river, surf.",
            optional=True,
        ),
        Prompt(
            "line",
            "Line and leader",
            "Thick line holds a plug up.",
            "Breaking strain or diameter, as on the spool.",
            optional=True,
        ),
        Prompt(
            "speed",
            "Speed of the retrieve",
            "Deeper or shallower by speed is not predicted: this tells it.",
            "Metres of line in a second; count turns of the reel.",
            unit="m/s",
            optional=True,
        ),
        Prompt(
            "depth",
            "How deep it ran",
            "The one figure of a swim that others can use.",
            "As seen against a rod in the water, or counted down.",
            unit="m",
            optional=True,
        ),
        Prompt(
            "action",
            "Action seen",
            "To compare builds by more than numbers.",
            "A few words: roll, wobble, sway, does it blow out.",
            optional=True,
        ),
        Prompt(
            "tuning",
            "Tuning done",
            "So that the next one starts with it.",
            "A few words: line tie bent, hooks changed.",
            optional=True,
        ),
    ),
)
