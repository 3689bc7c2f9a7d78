"""Ballast: how much, of what, in which holes."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _no_holes_yet(build: Build, row: Any) -> bool:
    return build.ballast is None or not build.ballast.hole


HOLES = Group(
    "ballast.hole",
    one="hole",
    none="",
    prompts=(
        Prompt("x", "Aft of the nose", "Forward sinks the nose.", unit="mm"),
        Prompt(
            "diameter",
            "Diameter",
            "3/8 in is a usual belly hole (common practice, no source).",
            unit="mm",
        ),
        Prompt(
            "depth", "Depth", "From the belly straight up; leave a wall at the back.", unit="mm"
        ),
    ),
)

PIECES = Group(
    "ballast.piece",
    one="piece",
    none="",
    prompts=(
        Prompt("mass", "Mass of one", "Weigh it: nominal sizes are often 5 % off.", unit="g"),
        Prompt("count", "How many", "Of the same size.", optional=True),
        Prompt(
            "hole",
            "In hole number",
            "Leave it empty to share them over the holes.",
            optional=True,
        ),
    ),
)

STEP = Step(
    id="ballast",
    title="Ballast",
    phase="ballast",
    hands=(
        "Do not drill before hardware and coats are answered: the amount is provisional.",
        "Tape the ballast on outside and float the body with all hardware: the cheapest proof.",
        "Clamp the body in a jig, drill from the belly on the centre line, slowly.",
        "Press the ballast to the blind end, fill flush with resin, let it cure, sand flush.",
    ),
    items=(
        Prompt(
            "ballast.metal",
            "Ballast metal",
            "Its density says how much room it takes.",
            "lead, tungsten, tin, bismuth, brass, steel; lead is restricted in some waters.",
            offer="lead",
        ),
        Prompt(
            "ballast.density",
            "Its density, if you know better",
            "Cast pieces with voids are lighter than the table.",
            unit="g/mL",
            optional=True,
        ),
        Prompt(
            "ballast.filler",
            "Filled flush with",
            "What fills the rest of the hole weighs too.",
            "epoxy, polyester, epoxy with microballoons, ...",
            offer="epoxy",
        ),
        Prompt(
            "ballast.filler_density",
            "Its density, if you know better",
            "Cast a small cylinder, weigh and measure it.",
            unit="g/mL",
            optional=True,
        ),
        Prompt(
            "ballast.hole_ratio",
            "Hole volume per ballast volume",
            "1 when the ballast fills its hole; 1.3 for round shot. Until holes are laid out.",
            "Leave it empty for 1.",
            optional=True,
            when=_no_holes_yet,
        ),
        HOLES,
        PIECES,
    ),
    shows=("neutral_mass", "target_mass", "bench_ballast", "ballast_mass", "chance_aim"),
)
