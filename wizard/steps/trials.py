"""Trials of the plug in water: what is asked of each by its kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt


def of_kind(*kinds: str) -> Callable[[Build, Any], bool]:
    """Asked of rows of these kinds."""

    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.kind in kinds

    return asked


def _answered(key: str, *kinds: str) -> Callable[[Build, Any], bool]:
    """Asked once another answer of the row stands, or where it is answered itself."""

    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.kind in kinds and getattr(row, key) is not None

    return asked


def _held(key: str) -> Callable[[Build, Any], bool]:
    """Shown where a profile has it; asked of nobody else, since the tank says it for all."""

    def asked(build: Build, row: Any) -> bool:
        return row is not None and getattr(row, key) is not None

    return asked


def _weighs(build: Build, row: Any) -> bool:
    """Something was hung on: to take it under, or to take it under as taped."""
    return row is not None and (
        row.kind == "float" or (row.kind == "taped" and row.result == "floats")
    )


def _spares(build: Build, row: Any) -> bool:
    return row is not None and row.kind == "taped" and row.result == "sinks"


def mends_so_far(build: Build) -> int | None:
    """How many mends a new row comes after; None for none, as in a build without mends."""
    return len(build.mend) or None


TRIALS = Group(
    "trial",
    one="trial",
    none="",
    start=(("kind", "look"), ("mends", mends_so_far)),
    prompts=(
        Prompt(
            "kind",
            "Kind of trial",
            "Any of them tells something; a weight, a weighing or a timed run tells how much.",
            words=(
                ("look", "does it do what was asked"),
                ("sink", "time it over a known depth"),
                ("float", "weights hung on until it just goes under"),
                ("weigh", "hung from the scale by a thread, all of it under water"),
                ("rise", "time a floater on its way up"),
                ("freeboard", "how much stands out, by a mark at the waterline"),
                ("attitude", "how it lies, by eye or protractor"),
                ("heel", "move a weight across a floater, read its heel"),
                ("soak", "weigh it before and after an hour under water"),
                ("taped", "before drilling: float it with the ballast taped on"),
            ),
        ),
        Prompt(
            "as_asked",
            "Did it do what was asked",
            "The answer that counts.",
            words=(("yes", "as asked"), ("no", "not as asked")),
            when=of_kind("look"),
        ),
        Prompt(
            "depth",
            "Way from release to the end",
            "Down to the bottom, or up to the surface; the longer the better.",
            "Depth of the water less the plug's own height.",
            unit="cm",
            when=of_kind("sink", "rise"),
        ),
        Prompt(
            "time",
            "Time it took",
            "A fast one has much weight left in the water, a slow one little.",
            "Let go from rest, just under the surface; a floater from the bottom.",
            unit="s",
            when=of_kind("sink", "rise"),
        ),
        Prompt(
            "time_again",
            "Further runs over the same way",
            "Their scatter shows how well it can be timed.",
            "A semicolon between times, like 2.1; 2.3.",
            unit="s",
            optional=True,
            when=_answered("time", "sink", "rise"),
        ),
        Prompt(
            "time_accuracy",
            "How far off the watch may be",
            "Your reaction at start and stop.",
            "0.2 s by hand, 0.05 s from a film (from memory).",
            unit="s",
            optional=True,
            offer="0.2 s",
            when=_answered("time", "sink", "rise"),
        ),
        Prompt(
            "result",
            "With hardware and ballast on, it",
            "Sealed body, all hooks hung, ballast taped to the belly where it will go.",
            words=(("floats", "floats"), ("sinks", "sinks")),
            when=of_kind("taped"),
        ),
        Prompt(
            "ballast",
            "Ballast taped on",
            "Outside it pushes water aside, which the sum allows for.",
            "Empty for the amount that the program gave.",
            unit="g",
            optional=True,
            when=of_kind("taped"),
        ),
        Prompt(
            "weight",
            "Trial weight",
            "What just takes it under is what it lacked.",
            "Weigh all that hangs on it when it just goes under, thread included.",
            unit="g",
            when=_weighs,
        ),
        Prompt(
            "weight",
            "What the scale shows",
            "The weight that is left in the water.",
            "Tare with the thread hanging in the water alone.",
            unit="g",
            when=of_kind("weigh"),
        ),
        Prompt(
            "weight",
            "Weight that was moved",
            "Put on the back, then moved across.",
            "A tenth of the plug or less.",
            unit="g",
            when=of_kind("heel"),
        ),
        Prompt(
            "density",
            "Density of that weight",
            "The weight is carried by the water too, the more the lighter it is.",
            "Lead 11.34, steel 7.85 g/mL.",
            unit="g/mL",
            when=_weighs,
        ),
        Prompt(
            "weight_step",
            "The last piece hung on",
            "A smaller one might have done: half of it is taken off, the rest is doubt.",
            "Weigh the last one that you added.",
            unit="g",
            optional=True,
            when=_answered("weight", "float"),
        ),
        Prompt(
            "spare",
            "Ballast taken off until it just hung",
            "What it had to spare is what the holes need not hold.",
            "Take off piece by piece until it just hangs, then weigh those.",
            unit="g",
            when=_spares,
        ),
        Prompt(
            "tape",
            "Mass of the tape",
            "It weighs and floats too.",
            "Peel it off, dry, and weigh it; or weigh as much from the roll.",
            unit="g",
            optional=True,
            when=of_kind("taped"),
        ),
        Prompt(
            "height",
            "Highest point above the water",
            "Of the body, hooks not counted.",
            "From a mark, plug dry; look along the water, not at the rim it climbs.",
            sketch="freeboard",
            unit="mm",
            optional=True,
            when=of_kind("freeboard"),
        ),
        Prompt(
            "share",
            "or share of its height that stands out",
            "Tells the weight left, if the highest point can't be measured.",
            "At the middle of its length, by a pencil mark at the water.",
            unit="%",
            optional=True,
            when=lambda build, row: of_kind("freeboard")(build, row) and row.height is None,
        ),
        Prompt(
            "moved",
            "Moved across by",
            "How far a weight tips it says how stiffly it stands.",
            "Rule straight across, from centre to centre of the weight.",
            sketch="heel",
            unit="mm",
            when=of_kind("heel"),
        ),
        Prompt(
            "angle",
            "Heel that it made",
            "Two to five degrees are best.",
            "A straw across the back and a protractor.",
            sketch="heel",
            unit="deg",
            when=of_kind("heel"),
        ),
        Prompt(
            "angle",
            "Nose-down pitch",
            "Nose up is typed with a minus.",
            "By eye it is good to about 3 degrees.",
            sketch="pitch",
            unit="deg",
            when=of_kind("attitude"),
        ),
        Prompt(
            "angle",
            "Nose-down pitch as taped",
            "It tells where the ballast belongs.",
            "Nose up is typed with a minus.",
            sketch="pitch",
            unit="deg",
            optional=True,
            when=of_kind("taped"),
        ),
        Prompt(
            "angle_accuracy",
            "How far off that angle may be",
            "Says how much the angle may be trusted.",
            "By eye about 3 degrees; from a level photograph about 1 (from memory).",
            unit="deg",
            optional=True,
            when=_answered("angle", "heel", "attitude"),
        ),
        Prompt(
            "before",
            "Mass before",
            "What it gains in the water is what leaks in.",
            "Dry, all coats cured, hooks on or off both times.",
            unit="g",
            when=of_kind("soak"),
        ),
        Prompt(
            "after",
            "Mass after",
            "What it gains in the water is what leaks in.",
            "Wiped dry, shaken out of hangers and holes, on the same scale.",
            unit="g",
            when=of_kind("soak"),
        ),
        Prompt(
            "soaked",
            "Time under water",
            "A leak is told by grams in an hour.",
            "From putting in to taking out. An hour unless typed.",
            unit="h",
            optional=True,
            when=of_kind("soak"),
        ),
        Prompt(
            "temperature",
            "Temperature of this trial's water",
            "Cold water is denser and carries more.",
            "Only if it is another water than the tank's.",
            unit="degC",
            optional=True,
            when=_held("temperature"),
        ),
        Prompt(
            "salinity",
            "Salinity of this trial's water",
            "Salt water carries more.",
            "Only if it is another water than the tank's; tap water is 0.",
            unit="g/kg",
            optional=True,
            when=_held("salinity"),
        ),
        Prompt(
            "salt",
            "Table salt in this trial's water",
            "Salt water carries more.",
            "To each kg of water, as weighed; only if it is not the tank's.",
            unit="g/kg",
            optional=True,
            when=_held("salt"),
        ),
        Prompt(
            "notes",
            "Notes",
            "A number can't tell what you saw.",
            "How it lay, how it went down, what was changed.",
            optional=True,
        ),
    ),
)
