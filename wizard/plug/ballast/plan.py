"""Which pieces from the drawer, in which holes: a drill plan for a build, or what keeps it.

The plan is put into the build, and every number of it comes from the build, as for any
other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace

from wizard.physics.drill_order import Group
from wizard.physics.holes import Hole
from wizard.physics.pieces import Piece as Solid
from wizard.physics.remedies import Remedy, remedies
from wizard.physics.stacking import stack
from wizard.plug.ballast import parts as ballast_parts
from wizard.plug.ballast.drawer import drawer, typed_piece
from wizard.plug.ballast.drilling import typed_diameter, typed_length
from wizard.plug.ballast.plan_found import Found, PlanLimit
from wizard.plug.ballast.plan_goal import PITCH_TOLERANCE, Goal, goal, waits_for
from wizard.plug.ballast.plan_laying import Laying
from wizard.plug.ballast.plan_search import Search
from wizard.plug.bench import Bench
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Ballast, Build, Resin
from wizard.plug.record import Hole as TypedHole
from wizard.plug.rule import Rule
from wizard.quantity import units
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity
from wizard.tables.reading import plain as plain_name


@dataclass(frozen=True, slots=True)
class PlannedHole:
    """One hole of a plan.

    Attributes:
        hole: as it is drilled.
        pieces: what goes in, the first at the blind end.
        free_depth: from the last piece to the mouth [m].
    """

    hole: Hole
    pieces: tuple[Solid, ...]
    free_depth: float


@dataclass(frozen=True)
class DrillPlan:
    """A drill plan, or why there is none.

    Attributes:
        before: the build that it was made for.
        build: the same with the plan in it; as before where there is none.
        derived: what follows from that.
        goal: what was asked; None while the plan waits.
        wanted: ballast that is asked for with these holes [kg]; None while unknown.
        mass: ballast that the pieces are worth [kg].
        holes: from nose to tail.
        wall: the thinnest wall [m]; None without holes.
        gap: the least wood between holes and to screws [m]; infinite where nothing is near.
        limits: what keeps it from what was asked; empty when it meets all.
        remedies: changes that would do, each by itself.
        waits: what must be answered first, in words.
        drawer_is_empty: whether metal in the form of its holes stands for the pieces.
        unusable: names of drawer rows that could not be taken, with the reason.
    """

    before: Build
    build: Build
    derived: Derived
    goal: Goal | None = None
    wanted: float | None = None
    mass: float = 0.0
    holes: tuple[PlannedHole, ...] = ()
    wall: float | None = None
    gap: float = math.inf
    limits: tuple[PlanLimit, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    waits: tuple[str, ...] = ()
    drawer_is_empty: bool = False
    unusable: tuple[tuple[str, str], ...] = ()

    @property
    def meets_all(self) -> bool:
        """Whether there is a plan and no limit binds."""
        return bool(self.holes) and not self.limits

    def applied(self, build: Build) -> Build:
        """A build with the holes and pieces of this plan in place of its own."""
        planned = self.build.ballast
        if not self.holes or planned is None:
            return build
        taken = ("hole", "piece", "metal", "resin")
        own = build.ballast or Ballast()
        return replace(build, ballast=replace(own, **{k: getattr(planned, k) for k in taken}))


def ballast_plan(build: Build, derived: Derived, bench: Bench) -> DrillPlan:
    """The best drill plan for a build, or what keeps it. Takes seconds at most.

    Args:
        build: the record; what is laid out already does not matter.
        derived: what follows from it.
        bench: drawer and drills.
    """
    blank = DrillPlan(build, build, derived)
    asked = goal(build, derived)
    if asked is None:
        return replace(blank, waits=waits_for(build, derived))
    stock = drawer(bench, asked)
    blank = replace(
        blank,
        goal=asked,
        drawer_is_empty=not any(one.count for one in stock.solids),
        unusable=stock.unusable,
    )
    if asked.wanted(0.0) <= 0.0:
        over = PlanLimit("nothing wanted", -asked.wanted(0.0), "kg")
        return replace(blank, wanted=asked.wanted(0.0), limits=(over,))
    laying = Laying(build, asked, bench, stock)
    search = Search(laying)
    found = search.best()
    blank = replace(blank, unusable=(*stock.unusable, *search.left_out))
    return _finished(blank, found, laying)


def _finished(blank: DrillPlan, found: Found, laying: Laying) -> DrillPlan:
    """The plan that a search came to, put into its build and worked out there."""
    asked = laying.goal
    named = replace(blank, wanted=found.wanted, mass=found.mass, limits=found.limits)
    if found.set is None or found.proposal is None or found.order is None:
        return replace(named, remedies=_remedies(found))
    holes = tuple(
        PlannedHole(hole, _merged(group), stack(hole, group).free_depth)
        for hole, group in zip(found.set.holes, found.groups, strict=True)
    )
    build = _applied(laying, holes)
    derived = derive(build)
    limits = (*_of_mass(found, asked), *_standing(found.limits, derived, asked))
    limits = (*limits, *_of_trim(derived, asked))
    return replace(
        named,
        mass=laying.stock.worth(build.ballast.piece if build.ballast else ()),
        build=build,
        derived=derived,
        holes=holes,
        wall=found.set.wall,
        gap=found.set.gap,
        limits=limits,
        remedies=_remedies(found) if limits else (),
    )


def _remedies(found: Found) -> tuple[Remedy, ...]:
    if found.order is None or found.proposal is None:
        return ()
    return remedies(found.order, found.proposal)


def _of_mass(found: Found, asked: Goal) -> Iterator[PlanLimit]:
    if found.off > asked.tolerance * (1.0 + 1e-9):
        yield PlanLimit("mass", found.off - asked.tolerance, "kg")


def _standing(limits: Sequence[PlanLimit], derived: Derived, asked: Goal) -> tuple[PlanLimit, ...]:
    """The limits of the layout, those of the trim only where the plug does not lie as asked."""
    off = _off_pitch(derived, asked)
    if off is None or off > PITCH_TOLERANCE:
        return tuple(limits)
    return tuple(one for one in limits if one.kind != "aim" and one.by > 0.0)


def _off_pitch(derived: Derived, asked: Goal) -> float | None:
    """How far it lies from the pitch asked for [rad]; None where none is asked or known."""
    pitch = derived.value("rest_pitch")
    if pitch is None or asked.trim is None or not asked.trim.asked:
        return None
    return abs(pitch.value - asked.trim.pitch)


def _of_trim(derived: Derived, asked: Goal) -> Iterator[PlanLimit]:
    """What is wrong with how the plug will lie."""
    gravity, buoyancy = derived.value("cg_z"), derived.value("cb_z")
    if asked.trim is None:
        return
    if derived.value("rest_pitch") is None:
        if gravity is not None and buoyancy is not None:
            yield PlanLimit("turns over", max(gravity.value - buoyancy.value, 0.0), "m")
        return
    off = _off_pitch(derived, asked)
    if off is not None and off > PITCH_TOLERANCE:
        yield PlanLimit("pitch", off - PITCH_TOLERANCE, "rad")


# Putting it into the build


def _merged(group: Group) -> tuple[Solid, ...]:
    """Pieces of one hole, those alike that lie next to each other counted together."""
    rows: list[Solid] = []
    for one in group:
        last = rows[-1] if rows else None
        if one.form == "putty" and not one.id and last is not None:
            rows[-1] = replace(last, mass=last.mass + one.mass)
        elif last is not None and replace(last, count=one.count) == one:
            rows[-1] = replace(last, count=last.count + one.count)
        else:
            rows.append(one)
    return tuple(rows)


def _applied(laying: Laying, holes: Sequence[PlannedHole]) -> Build:
    build, ballast, rule = laying.build, laying.ballast, laying.rule
    unit = units.find(build.build.units.get("mass", "g"))
    label = unit.label if unit else "g"
    pieces = [
        typed_piece(piece, number, laying.stock, label, rule)
        for number, one in enumerate(holes, start=1)
        for piece in one.pieces
    ]
    typed = tuple(_typed_hole(one.hole, rule, laying.bench) for one in holes)
    return replace(
        build,
        ballast=replace(
            ballast,
            metal=ballast.metal or (None if ballast.density else ballast_parts.DEFAULT_METAL),
            resin=ballast.resin or _tin(ballast, laying.bench),
            hole=typed,
            piece=tuple(pieces),
        ),
    )


def _tin(ballast: Ballast, bench: Bench) -> Resin | None:
    """What the bench knows of the resin that this filler is mixed from."""
    if ballast_parts.is_hollow(ballast):
        return None
    name = plain_name(ballast.filler or ballast_parts.DEFAULT_FILLER)
    tin = next((t for t in bench.resin if t.name and plain_name(t.name) == name), None)
    return None if tin is None else Resin(**{f.name: getattr(tin, f.name) for f in fields(Resin)})


def _typed_hole(hole: Hole, rule: Rule, bench: Bench) -> TypedHole:
    """A hole as a maker would type it."""
    across = hole.axis == "across"
    return TypedHole(
        x=typed_length(hole.x, rule),
        z=typed_length(hole.z, rule) if across else None,
        axis=None if hole.axis == "up" else hole.axis,
        diameter=typed_diameter(hole.diameter, rule, bench.drills.owned),
        depth=typed_length(hole.depth, rule),
        point=_typed_point(hole, bench),
    )


def _typed_point(hole: Hole, bench: Bench) -> Quantity | None:
    if hole.point_angle is None:
        return None
    if bench.drills.point is not None:
        return bench.drills.point
    return made(hole.point_angle, "deg", math.radians(0.01))
