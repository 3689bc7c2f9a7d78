"""A way to mend a finished plug, and the row of the record that it leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wizard.certainty import exact
from wizard.physics.parts import Part, Place
from wizard.plug.ballast.drilling import typed_length
from wizard.plug.body.drawing import drawn_body
from wizard.plug.record import MendDone
from wizard.plug.rule import rule_of
from wizard.plug.tank.mend_goal import Goal, station_for
from wizard.plug.tank.suspects import SCALE
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity

Kind = Literal["swap", "wire", "putty", "nail", "hole in", "take off", "drill out"]

LEAST = 0.02e-3
"""Mass below which nothing is worth doing [kg]: two steps of a bench scale."""


@dataclass(frozen=True, slots=True)
class Way:
    """One thing that may be done.

    Attributes:
        kind: which.
        row: as it is written down once it is done.
        doubt: of the mass that it adds, beside the weighing [kg].
        breaks_coat: whether the coat must be opened.
        length: of the wire or nail to cut [m]; 0 for none.
        through: backfill to be drilled out first [m]; 0 for none.
        sizes: names of stock that weighs about what is needed.
    """

    kind: Kind
    row: MendDone
    doubt: float
    breaks_coat: bool
    length: float = 0.0
    through: float = 0.0
    sizes: tuple[str, ...] = ()


def weighed_out(goal: Goal, value: float) -> Quantity:
    """A mass as it is weighed out: to a step of the scale, at most a hundredth of a gram."""
    step = goal.build.weighing.resolution
    finest = max(step.value, 1e-6) if step else 1e-5
    unit = goal.build.build.units.get("mass", "g")
    return made(value, unit, min(finest, 1e-5))


def metal_density(name: str) -> float:
    """Density of a metal of the table [kg/m3]."""
    from wizard.tables import metals

    return metals()[name].density.typical


def typed_density(density: float) -> Quantity:
    """A density as it is written down."""
    return made(density, "g/mL", min(1.0, density / 100.0))  # never written as nothing


def unstated(goal: Goal) -> float:
    """Doubt of a weighing of which nothing is stated [kg]; 0 where the scale speaks for itself."""
    at = goal.build.weighing
    return 0.0 if at.resolution or at.accuracy else SCALE


def on_the_belly(goal: Goal, kind: str, mass: float, density: float, height: float) -> MendDone:
    """A row for something at the belly, at the station that keeps the pitch.

    Args:
        goal: the plug.
        kind: add or inside.
        mass: [kg].
        density: [kg/m3].
        height: of its middle over the belly line [m].
    """
    body = drawn_body(goal.build)
    weighed, typed = weighed_out(goal, mass), typed_density(density)
    if body is None:
        return MendDone(kind, weighed, density=typed)
    rule = rule_of(goal.build)
    push = mass / density if kind == "add" else 0.0
    gain = mass if kind == "add" or goal.wood is None else mass * (1.0 - goal.wood.value / density)

    def part_at(x: float) -> Part:
        place = Place(x, float(body.bottom(x)) + height)
        return Part("mend", "mend", exact(gain), exact(push), place, "mended")

    low, high = body.nose + 0.1 * body.length, body.nose + 0.9 * body.length
    x = station_for(goal, part_at, low, high)
    if x is None:
        return MendDone(kind, weighed, density=typed)
    at = typed_length(x, rule)
    z = made(float(body.bottom(at.value)) + height, rule, 1e-4)
    return MendDone(kind, weighed, density=typed, x=at, z=z)
