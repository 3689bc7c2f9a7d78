"""What keeps a drill plan from what was asked, and what would do, in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from wizard.physics.remedies import Remedy
from wizard.plug.ballast.drill_checks import measured
from wizard.plug.ballast.drilling import drill_name
from wizard.plug.ballast.plan import DrillPlan
from wizard.plug.ballast.plan_found import PlanLimit
from wizard.plug.rule import Rule, rule_of
from wizard.report.showing import amount


@dataclass(frozen=True, slots=True)
class Speaker:
    """The units in which a plan speaks.

    Attributes:
        chosen: the maker's units by kind.
        rule: which rule lies on the bench.
        owned: names of the drills at hand.
    """

    chosen: Mapping[str, str]
    rule: Rule
    owned: tuple[str, ...] = ()

    @classmethod
    def of(cls, plan: DrillPlan, owned: tuple[str, ...] = ()) -> Speaker:
        """The units of a plan's build."""
        return cls(plan.before.build.units, rule_of(plan.before), owned)

    def mass(self, value: float | None) -> str:
        """A mass to a hundredth of a gram."""
        return "-" if value is None else amount(round(value, 5), "g", self.chosen)

    def length(self, value: float) -> str:
        """A measured length."""
        return measured(value, self.rule)

    def drill(self, diameter: float) -> str:
        """A drill by its name."""
        return drill_name(diameter, self.rule, self.owned)


Words = Callable[[DrillPlan, PlanLimit, Speaker], str]


def limit_words(plan: DrillPlan, limit: PlanLimit, speaker: Speaker) -> str:
    """Which limit binds and by how much, in a sentence or two."""
    return _LIMITS[limit.kind](plan, limit, speaker)


def _nothing_wanted(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        f"Without any ballast it is already {say.mass(limit.by)} too heavy for its aim. "
        "Take lighter wood or hardware, fewer coats, or another aim."
    )


def _too_heavy(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        f"{say.mass(plan.wanted)} is wanted, and the lightest piece of the drawer is "
        f"{say.mass(limit.above)}: {say.mass(limit.by)} too much. Add smaller pieces, or wire "
        "to cut."
    )


def _too_light(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        f"{say.mass(plan.wanted)} is wanted, and all of the drawer comes to "
        f"{say.mass(limit.below)}: {say.mass(limit.by)} short. Add pieces."
    )


def _between(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    near = [say.mass(one) for one in (limit.below, limit.above) if one is not None]
    margins = [
        f"{100 * margin:+.1f} %"
        for one in (limit.below, limit.above)
        if one is not None and (margin := _margin(plan, one)) is not None
    ]
    lead = f", a margin of {' or '.join(margins)}" if margins else ""
    return (
        f"{say.mass(plan.wanted)} is wanted, and the pieces of the drawer make "
        f"{' or '.join(near)}{lead}: {say.mass(limit.by)} beyond the tolerance. Wire to cut, "
        "sheet or small shot would close the gap."
    )


def _margin(plan: DrillPlan, ballast: float) -> float | None:
    """The margin that another amount of ballast leads to [1]."""
    if plan.goal is None or plan.wanted is None:
        return None
    off = (ballast - plan.wanted) * plan.goal.share
    return (plan.goal.target + off) / plan.goal.neutral - 1.0


def _narrow(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return f"The widest piece is {say.length(limit.by)} wider than the widest drill at hand."


def _wide(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        "The drill that the pieces need is wider than the body leaves room for with its walls: "
        f"{say.length(max(limit.by, 0.0))} too wide."
    )


def _depth(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return f"The pieces need holes {say.length(limit.by)} deeper than the walls allow."


def _length(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return f"The holes need {say.length(limit.by)} more length to stand side by side."


def _obstacle(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    if limit.by > 0.0:
        return f"Screws or wires are in the way: {say.length(limit.by)} is missing."
    return "Screws or wires keep it from its trim: without them it would do."


def _aim(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    pitch = plan.derived.value("rest_pitch") if plan.holes else None
    lies = f", so that it lies at {_degrees(pitch.value)}" if pitch is not None else ""
    return (
        "The ballast can't act where the trim needs it: "
        f"{say.length(limit.by)} beyond what the trim allows{lies}."
    )


def _mass(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        "Pieces and holes don't agree: with these holes "
        f"{say.mass(plan.wanted)} is wanted and the pieces are {say.mass(plan.mass)}, "
        f"{say.mass(limit.by)} beyond the tolerance. Wire to cut, sheet or small shot would "
        "close the gap."
    )


def _wall(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        f"Set to the lines of the rule, {say.length(limit.by)} of wood is missing: "
        "accept a thinner wall, or drill to finer lines."
    )


def _pitch(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    pitch = plan.derived.value("rest_pitch")
    asked = plan.goal.trim.pitch if plan.goal and plan.goal.trim else 0.0
    lies = "-" if pitch is None else _degrees(pitch.value)
    return (
        f"It lies at {lies} for {_degrees(asked)} asked, "
        f"{_degrees(limit.by)} more than is taken as met."
    )


def _turns_over(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> str:
    return (
        "It turns over in the water: its centre of gravity lies "
        f"{say.length(limit.by)} above its centre of buoyancy or too near to it. "
        f"{_lower(plan)}"
    )


def _lower(plan: DrillPlan) -> str:
    asked = plan.before.ballast
    if asked is not None and asked.drilled == "down":
        return "Drill from the belly."
    return "Ask for the ballast low, or for a denser metal."


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.1f} deg"


_LIMITS: Mapping[str, Words] = {
    "nothing wanted": _nothing_wanted,
    "pieces too heavy": _too_heavy,
    "drawer too light": _too_light,
    "between two sums": _between,
    "no pieces": lambda plan, limit, say: "There are no pieces in the drawer.",
    "no drills": lambda plan, limit, say: "There are no drills at hand.",
    "drill too narrow": _narrow,
    "drill too wide": _wide,
    "depth": _depth,
    "length": _length,
    "obstacle": _obstacle,
    "aim": _aim,
    "mass": _mass,
    "wall": _wall,
    "pitch": _pitch,
    "turns over": _turns_over,
}


# What would do


def remedy_words(plan: DrillPlan, remedy: Remedy, speaker: Speaker) -> str | None:
    """One change that would do, in a sentence; None for one that nobody can make."""
    say = speaker
    if remedy.kind == "larger drill":
        return f"A drill of {say.drill(_next_drill(remedy.value))} would do."
    if remedy.kind == "denser metal":
        return _metal(remedy.value)
    if remedy.kind in ("thicker blank", "wider blank"):
        way = "from belly to back" if remedy.kind == "thicker blank" else "from side to side"
        return f"A body {say.length(remedy.value)} thicker {way} would do."
    margin = _margin(plan, remedy.value)
    lead = (
        "" if margin is None else f": a margin of {100 * margin:+.1f} %{_other_way(plan, margin)}"
    )
    return f"{say.mass(remedy.value)} of these pieces would fit{lead}."


def _other_way(plan: DrillPlan, margin: float) -> str:
    """What a margin does that is not what was asked."""
    asked = plan.before.aim.behaviour
    if asked == "sinks" and margin < 0.0:
        return ", with which it floats"
    return ", with which it sinks" if asked == "floats" and margin > 0.0 else ""


def _next_drill(diameter: float) -> float:
    """The least drill of the table that is as wide [m]."""
    from wizard.tables import drills

    return min(
        (d.diameter for d in drills().values() if d.diameter >= diameter - 1e-9), default=diameter
    )


def _metal(density: float) -> str | None:
    """Metals that are dense enough; None where none is sold."""
    from wizard.plug.ballast.other_metals import OFFERED
    from wizard.tables import metals

    rows = [metals()[one] for one in OFFERED]
    names = [row.name for row in rows if row.density.typical >= density * (1 - 1e-6)]
    if not names:
        return None
    return f"Pieces of the same mass in a denser metal would do: {' or '.join(names)}."
