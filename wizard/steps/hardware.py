"""Hardware deduction: what hangs on the plug weighs, and pushes water aside."""

from __future__ import annotations

from typing import Any

from wizard.plug.ballast.let_in import goes_through, has_shank
from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _hangs(build: Build, row: Any) -> bool:
    return row is not None and "hook" in (row.name or "").casefold()


def _is_let_in(build: Build, row: Any) -> bool:
    return row is not None and has_shank(row) and not goes_through(row)


HARDWARE = Group(
    "hardware",
    one="piece of hardware",
    none="no hardware at all",
    prompts=(
        Prompt(
            "name",
            "What it is",
            "To find its density in the table, and for the sheet.",
            "treble hook, split ring, screw eye, through-wire, lip, ... or any other name.",
        ),
        Prompt(
            "count",
            "How many",
            "All of one kind at one place are counted in one row.",
            "Count them; 1 if it stays empty.",
            optional=True,
        ),
        Prompt(
            "mass",
            "Mass of one",
            "Every gram that hangs on it is a gram of ballast less.",
            "Weigh ten and divide: makers differ twofold (common practice, no source).",
            unit="g",
        ),
        Prompt(
            "density",
            "Density of its material",
            "Says how much water it pushes aside, which carries part of it.",
            "Steel 7.85, brass 8.5, glass 2.5 g/mL.",
            unit="g/mL",
            optional=True,
        ),
        Prompt(
            "outside",
            "Fraction of it outside the body",
            "What stands in the wood pushes no water aside: it takes wood's place.",
            "1 for hooks and rings; for an eye about the part that you can see.",
            optional=True,
            offer="1",
        ),
        Prompt(
            "x",
            "Aft of the nose",
            "Says how the plug lies: a hook far back sinks the tail.",
            "Steel rule from the tip of the nose; for a hook to its hanger.",
            sketch="place",
            unit="mm",
            optional=True,
        ),
        Prompt(
            "z",
            "Above the baseline",
            "Says how steady it lies: hooks that hang low hold it upright.",
            "Rule from the flat it lies on; below the belly is typed with a minus.",
            sketch="place",
            unit="mm",
            optional=True,
        ),
        Prompt(
            "reach",
            "Reach of a hook",
            "Two hooks that can meet catch each other, or the line tie.",
            "From its hanger to the farthest point, rings included. Empty for other hardware.",
            sketch="reach",
            unit="mm",
            optional=True,
            when=_hangs,
        ),
        Prompt(
            "shank",
            "Length of its shank in the wood",
            "A drill keeps clear of it.",
            "Caliper, the part that is screwed in. Empty: 20 mm for an eye (from memory).",
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
