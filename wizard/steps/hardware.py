"""Hardware deduction: what hangs on the plug weighs, and pushes water aside."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _hangs(build: Build, row: Any) -> bool:
    return row is not None and "hook" in (row.name or "").casefold()


def _is_let_in(build: Build, row: Any) -> bool:
    from wizard.plug.ballast.obstacles import goes_through, has_shank

    return row is not None and has_shank(row) and not goes_through(row)


HARDWARE = Group(
    "hardware",
    one="piece of hardware",
    none="no hardware at all",
    prompts=(
        Prompt("name", "What it is", "treble hook, split ring, screw eye, through-wire, lip, ..."),
        Prompt("count", "How many", "Of the same kind at the same place.", optional=True),
        Prompt("mass", "Mass of one", "Weigh ten and divide: makers differ twofold.", unit="g"),
        Prompt(
            "density",
            "Density of its material",
            "Says how much water it pushes aside: steel 7.85, brass 8.5, glass 2.5 g/mL.",
            unit="g/mL",
            optional=True,
        ),
        Prompt(
            "outside",
            "Fraction of it outside the body",
            "1 for hooks and rings; a shank in the wood counts as inside.",
            optional=True,
            offer="1",
        ),
        Prompt(
            "x",
            "Aft of the nose",
            "Where it hangs: for a hook its hanger. Needed for how the plug lies.",
            unit="mm",
            optional=True,
        ),
        Prompt(
            "z",
            "Above the baseline",
            "Below the belly is typed with a minus.",
            unit="mm",
            optional=True,
        ),
        Prompt(
            "reach",
            "Reach of a hook",
            "Two hooks that can meet catch each other, or the line tie.",
            "From its hanger to the farthest point, rings included. Empty for other hardware.",
            unit="mm",
            optional=True,
            when=_hangs,
        ),
        Prompt(
            "shank",
            "Length of its shank in the wood",
            "A drill keeps clear of it. Empty: 20 mm is taken for a screw eye (from memory).",
            unit="mm",
            optional=True,
            when=_is_let_in,
        ),
    ),
)

STEP = Step(
    id="hardware",
    title="Hardware deduction",
    phase="ballast",
    hands=(
        "Lay out everything that will hang on the plug: hooks, rings, eyes, wire, swivels, lip.",
        "Weigh each kind; cap the hook points while you handle them.",
    ),
    items=(HARDWARE,),
    shows=("hardware_mass", "neutral_mass", "bench_ballast", "ballast_mass"),
)
