"""Coating schedule: each coat's film, or its mass once weighed; then its operations, if begun."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from wizard.plug.account import coat_density
from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step
from wizard.steps.scheduling import OPERATIONS, SCHEDULE


def _not_weighed(build: Build, row: Any) -> bool:
    return row is None or row.mass is None


def _is_of_no_table(build: Build, row: Any) -> bool:
    """Whether a coat has a name that says nothing of its density."""
    return row is not None and bool(row.name) and coat_density(replace(row, density=None)) is None


def _is_typical(build: Build, row: Any) -> bool:
    return not _is_of_no_table(build, row)


_DENSITY = Prompt(
    "density",
    "Density of the dry film",
    "With the film it gives the mass, with the mass the volume.",
    "Clear coats 1.05 to 1.2, paint to 1.5, primer to 1.8 g/mL (from memory).",
    unit="g/mL",
    when=_is_of_no_table,
)


COATS = Group(
    "coat",
    one="coat",
    none="no coat at all",
    prompts=(
        Prompt(
            "name",
            "What it is",
            "To find what is typical of it, and for the timetable.",
            "clear sealer, primer, paint, epoxy topcoat, ... or any other name.",
        ),
        Prompt(
            "thickness",
            "Dry film",
            "Its mass is predicted from the skin of the drawn shape.",
            "0.01 mm a pass of airbrush paint, 0.1 to 0.2 mm a brushed epoxy (from memory).",
            unit="mm",
            when=_not_weighed,
        ),
        Prompt(
            "mass",
            "or weighed: what it added",
            "It replaces the prediction: a weighing beats it.",
            "Weigh the plug before and after, dry both times; type the difference.",
            unit="g",
            optional=True,
        ),
        _DENSITY,
        replace(_DENSITY, optional=True, when=_is_typical),
        Prompt(
            "outside",
            "Fraction left on the surface",
            "What soaks in weighs, but pushes no more water aside.",
            "1 for paint and clear coats; less for a thin sealer.",
            optional=True,
            offer="1",
        ),
    ),
)

STEP = Step(
    id="coating",
    title="Coating schedule",
    phase="finish",
    hands=(
        "Round every edge and wipe off the dust before the first coat.",
        "Seal, let it cure, scuff; paint; then the clear coats, each within its recoat window.",
        "Weigh the plug after each coat, on the same scale.",
        "Full cure before water; hang the hooks last.",
    ),
    items=(COATS, OPERATIONS, *SCHEDULE),
    shows=("neutral_mass", "ballast_mass", "finished_mass", "net_in_water"),
)
