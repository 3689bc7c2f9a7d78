"""Which pieces from the drawer, in which holes: a drill plan for a build, or what keeps it.

The holes change what the ballast must weigh, because wood comes out and filler goes in,
so pieces and holes are sought in turn until they agree. The plan is then put into the
build and every number of it comes from the build, as for any other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace

from wizard.physics.choice import LONGEST_CUT, STEP, Choice, ChoiceLimit, choice
from wizard.physics.drill_order import PLUG, Group, Order
from wizard.physics.holes import Axis, Hole
from wizard.physics.layout import Proposal, propose
from wizard.physics.pieces import CUT_FORMS, PieceSet
from wizard.physics.pieces import Piece as Solid
from wizard.physics.remedies import Remedy, remedies
from wizard.physics.stacking import stack
from wizard.plug import ballast_parts
from wizard.plug.bench import Bench
from wizard.plug.derive import Derived, derive
from wizard.plug.drawer import Drawer, drawer, portions, typed_piece
from wizard.plug.drill_checks import least_wall
from wizard.plug.drilling import drill_diameter, typed_diameter, typed_length, usual_drills
from wizard.plug.obstacles import obstacles
from wizard.plug.plan_goal import PITCH_TOLERANCE, Goal, goal, waits_for
from wizard.plug.plan_setting import Setting, acting, setting, takes
from wizard.plug.record import Ballast, Build, Resin
from wizard.plug.record import Hole as TypedHole
from wizard.plug.rule import Rule, rule_of
from wizard.quantity import units
from wizard.quantity.reading import Quantity, Refusal, read
from wizard.quantity.showing import plain
from wizard.tables.reading import plain as plain_name

POINT = math.radians(118.0)
"""Point of a twist drill, where nobody says otherwise [rad]: from memory."""

_ROUNDS = 6
_LEFT_OUT = 3  # kinds of piece that are left out at most where they do not fit
_NEAR = 0.15  # share by which drilling may change what is wanted
_SETS = 4  # sets of pieces that are laid out, at most, in one round
_AXES: dict[str, Axis] = {"up": "up", "down": "down", "across": "across"}


@dataclass(frozen=True, slots=True)
class PlanLimit:
    """What keeps a plan from what was asked.

    Attributes:
        kind: which limit binds; those of `physics.choice` and `physics.layout`, and
            "mass" when pieces and holes don't agree, "wall" when the rule and the drill
            stop are too coarse, "pitch", and "turns over".
        by: by how much, in the unit.
        unit: kg, m or rad.
        below: the nearest ballast below what is wanted that can be made [kg], or None.
        above: the nearest above it [kg], or None.
    """

    kind: str
    by: float
    unit: str
    below: float | None = None
    above: float | None = None


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
    search = _Search(build, asked, bench, stock)
    found = search.best()
    return _finished(blank, found, search)


@dataclass(frozen=True, slots=True)
class _Found:
    """What one round of the search came to.

    Attributes:
        wanted: ballast wanted with these holes [kg].
        mass: what the pieces are worth [kg].
        limits: from the drawer, or from laying out.
        order: what was asked of the layout; None if the drawer did not get that far.
        proposal: what the layout said.
        set: the holes as drawn; None where nothing fits.
        groups: what goes into each hole.
    """

    wanted: float
    mass: float
    limits: tuple[PlanLimit, ...]
    order: Order | None = None
    proposal: Proposal | None = None
    set: Setting | None = None
    groups: tuple[Group, ...] = ()

    @property
    def off(self) -> float:
        """How far the pieces are off what is wanted [kg]."""
        return abs(self.mass - self.wanted)


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to choose pieces.

    Attributes:
        solids: what may be taken, as equivalents.
        longest_cut: the longest piece of wire [m].
        most: sets to lay out.
        is_varied: whether it is another way than the maker's drawer asks for.
    """

    solids: tuple[Solid, ...]
    longest_cut: float
    most: int
    is_varied: bool = False


class _Search:
    """Pieces and holes sought in turn."""

    def __init__(self, build: Build, asked: Goal, bench: Bench, stock: Drawer) -> None:
        self.build, self.goal, self.bench, self.stock = build, asked, bench, stock
        self.ballast = build.ballast or Ballast()
        self.rule: Rule = rule_of(build)

    def best(self) -> _Found:
        """The first round in which pieces and holes agree, else the one that comes closest.

        Holes come in steps, so what is wanted may jump to and fro: later rounds go half way.
        """
        wanted, tried = self.goal.first_guess(), list[_Found]()
        for number in range(_ROUNDS):
            rounds = self._round(max(wanted, self.goal.tolerance / 10.0))
            tried += rounds
            last = rounds[-1]
            if last.set is None or last.off <= self.goal.tolerance:
                break
            wanted = last.wanted if number == 0 else (wanted + last.wanted) / 2.0
        return min(tried, key=self._badness)

    def _meets(self, found: _Found) -> bool:
        return found.set is not None and not found.limits and found.off <= self.goal.tolerance

    def _badness(self, found: _Found) -> tuple[bool, float, bool, float]:
        """Lower is better: laid out, mass met, no limit, the aim met; else the least missing."""
        if found.set is None:
            return True, 0.0, True, min((one.by for one in found.limits), default=0.0)
        off = max(found.off - self.goal.tolerance, 0.0)
        return False, round(off, 6), bool(found.limits), abs(found.set.away)

    def _round(self, wanted: float) -> list[_Found]:
        """Sets of pieces for an amount, laid out until one agrees; the best of them last."""
        if not any(one.count for one in self.stock.solids):
            return [self._laid_out(portions(self.goal, wanted), wanted)]
        laid_out: list[_Found] = []
        for way in self._ways():
            chosen = self._chosen(wanted, self.goal.tolerance, way)
            limit = chosen.limit
            if limit is not None and way.is_varied:
                continue
            sets = chosen.sets if limit is None else self._nearest(wanted, limit, way)
            for one in sets:
                laid_out.append(self._laid_out(self.stock.taken(one), wanted))
                if self._meets(laid_out[-1]):
                    return laid_out
            if limit is not None:
                said = PlanLimit(limit.kind, limit.by, "kg", limit.below, limit.above)
                return [_Found(wanted, 0.0, (said,))]
            if any(found.set is not None for found in laid_out):
                break
        return sorted(laid_out, key=self._badness, reverse=True)

    def _ways(self) -> Iterator[_Way]:
        """Ways to choose, tried while nothing fits: as asked, cut shorter, without the bulkiest."""
        deepest = max(self.goal.body.height - least_wall(self.ballast) - PLUG, 1e-3)
        longest = min(LONGEST_CUT, deepest)
        whole = self.stock.equivalents
        yield _Way(whole, longest, _SETS)
        if any(one.form in CUT_FORMS for one in whole):
            yield _Way(whole, longest / 2.0, _SETS // 2, is_varied=True)
        by_bulk = sorted(whole, key=lambda one: one.volume)
        for out in range(1, min(len(by_bulk), _LEFT_OUT + 1)):
            yield _Way(tuple(by_bulk[:-out]), longest / 2.0, _SETS // 2, is_varied=True)

    def _chosen(self, wanted: float, tolerance: float, way: _Way) -> Choice:
        return choice(
            way.solids, wanted, tolerance, longest_cut=way.longest_cut, alternatives=way.most
        )

    def _nearest(self, wanted: float, limit: ChoiceLimit, way: _Way) -> Iterator[PieceSet]:
        """Sets that just miss an amount: with their holes drilled they may be what is wanted."""
        for mass in (limit.below, limit.above):
            if mass is not None and abs(mass - wanted) <= _NEAR * wanted:
                yield from self._chosen(mass, 2.0 * STEP, way).sets

    def _laid_out(self, solids: tuple[Solid, ...], wanted: float) -> _Found:
        order = self.order(solids, wanted)
        proposal = propose(order)
        if proposal.place is not None:
            # How sharp the aim is hangs on how high the ballast came to lie.
            _, tolerance = self.goal.aim(wanted, proposal.place.z)
            if abs(proposal.away or 0.0) > tolerance:
                order = replace(order, tolerance=tolerance)
                proposal = propose(order)
        limits = tuple(PlanLimit(limit.kind, limit.by, "m") for limit in proposal.binding)
        mass = self.stock.equivalent_mass(solids)
        if not proposal.holes:
            return _Found(wanted, mass, limits, order, proposal)
        hollow = ballast_parts.is_hollow(self.ballast)
        closing = order.plug if hollow else order.plug / 2.0
        found = setting(order, proposal, self.rule, closing)
        volume = sum(hole.volume for hole in found.holes)
        wanted = self.goal.wanted(volume, sum(self.dowel(hole) for hole in found.holes))
        groups = self._cut(order, found, proposal.pieces, wanted - mass, closing)
        if groups != proposal.pieces:
            mass = self.stock.equivalent_mass(tuple(one for group in groups for one in group))
            found = replace(found, away=acting(order, found.holes, groups))
        short = found.short(order)
        if short:
            limits = (*limits, PlanLimit("wall", short, "m"))
        return _Found(wanted, mass, limits, order, proposal, found, groups)

    def _cut(
        self,
        order: Order,
        found: Setting,
        groups: tuple[Group, ...],
        lacking: float,
        closing: float,
    ) -> tuple[Group, ...]:
        """The pieces with one that is cut anyway cut for what is wanted with these holes.

        They stay as they are where that would not fit its hole or would spoil the trim.

        Args:
            order: what was asked.
            found: the holes.
            groups: what goes into each.
            lacking: ballast to add, or below zero to leave out [kg].
            closing: what must stay free over the last piece [m].
        """
        for number, (hole, group) in enumerate(zip(found.holes, groups, strict=True)):
            for place, one in enumerate(group):
                other = self.stock.recut(one, lacking)
                if other is None:
                    continue
                own = (*group[:place], other, *group[place + 1 :])
                changed = (*groups[:number], own, *groups[number + 1 :])
                away = abs(acting(order, found.holes, changed))
                if away <= max(order.tolerance, abs(found.away)) and takes(hole, own, closing):
                    return changed
        return groups

    def dowel(self, hole: Hole) -> float:
        """Volume of the dowel in a hole's mouth [m3]; none where it is filled."""
        if not ballast_parts.is_hollow(self.ballast):
            return 0.0
        return math.pi * hole.radius**2 * min(self._closing, hole.depth)

    @property
    def _closing(self) -> float:
        """What must stay free over the last piece [m]."""
        if not ballast_parts.is_hollow(self.ballast):
            return PLUG
        return self.ballast.dowel.value if self.ballast.dowel else ballast_parts.DOWEL

    def order(self, solids: tuple[Solid, ...], wanted: float) -> Order:
        """What is asked of the layout."""
        aim, tolerance = self.goal.aim(wanted)
        wall = self.ballast.wall or self.bench.drills.wall
        least = wall.value if wall else least_wall(None)
        ways = [capsule for thing in obstacles(self.build) for capsule in thing.capsules]
        height = self.ballast.height
        return Order(
            self.goal.body,
            solids,
            self.drills(),
            aim,
            wall=least,
            gap=least,
            obstacles=tuple(ways),
            height="high" if height == "high" else "low" if height == "low" else None,
            axis=_AXES.get(self.ballast.drilled or "up", "up"),
            point_angle=self.point(),
            plug=self._closing,
            most_holes=self.ballast.most_holes or 4,
            tolerance=tolerance,
            wood_density=self.goal.wood,
            filler_density=self.goal.filler,
        )

    def drills(self) -> tuple[float, ...]:
        """Diameters of the drills at hand [m]: the owned ones, else those of a common set."""
        owned = [d for size in self.bench.drills.owned if (d := drill_diameter(size)) is not None]
        return tuple(sorted(set(owned))) or usual_drills(self.rule)

    def point(self) -> float | None:
        """Included angle of the drill's point [rad]; None for a flat end."""
        typed = self.bench.drills.point
        angle = POINT if typed is None else min(typed.value, math.pi)
        return None if angle > math.pi - 1e-3 else angle


def _finished(blank: DrillPlan, found: _Found, search: _Search) -> DrillPlan:
    """The plan that a search came to, put into its build and worked out there."""
    asked = search.goal
    named = replace(blank, wanted=found.wanted, mass=found.mass, limits=found.limits)
    if found.set is None or found.proposal is None or found.order is None:
        return replace(named, remedies=_remedies(found))
    holes = tuple(
        PlannedHole(hole, _merged(group), stack(hole, group).free_depth)
        for hole, group in zip(found.set.holes, found.groups, strict=True)
    )
    build = _applied(search, holes)
    derived = derive(build)
    limits = (*_of_mass(found, asked), *found.limits)
    limits = (*limits, *_of_trim(derived, asked, limits))
    return replace(
        named,
        mass=search.stock.worth(build.ballast.piece if build.ballast else ()),
        build=build,
        derived=derived,
        holes=holes,
        wall=found.set.wall,
        gap=found.set.gap,
        limits=limits,
        remedies=_remedies(found) if limits else (),
    )


def _remedies(found: _Found) -> tuple[Remedy, ...]:
    if found.order is None or found.proposal is None:
        return ()
    return remedies(found.order, found.proposal)


def _of_mass(found: _Found, asked: Goal) -> Iterator[PlanLimit]:
    if found.off > asked.tolerance * (1.0 + 1e-9):
        yield PlanLimit("mass", found.off - asked.tolerance, "kg")


def _of_trim(derived: Derived, asked: Goal, known: Sequence[PlanLimit]) -> Iterator[PlanLimit]:
    """What is wrong with how the plug will lie, where nothing said so yet."""
    pitch = derived.value("rest_pitch")
    gravity, buoyancy = derived.value("cg_z"), derived.value("cb_z")
    if asked.trim is None:
        return
    if pitch is None:
        if gravity is not None and buoyancy is not None:
            yield PlanLimit("turns over", max(gravity.value - buoyancy.value, 0.0), "m")
        return
    off = abs(pitch.value - asked.trim.pitch)
    if asked.trim.asked and off > PITCH_TOLERANCE:
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


def _applied(search: _Search, holes: Sequence[PlannedHole]) -> Build:
    build, ballast, rule = search.build, search.ballast, search.rule
    unit = units.find(build.build.units.get("mass", "g"))
    label = unit.label if unit else "g"
    pieces = [
        typed_piece(piece, number, search.stock, label, rule)
        for number, one in enumerate(holes, start=1)
        for piece in one.pieces
    ]
    typed = tuple(_typed_hole(one.hole, rule, search.bench) for one in holes)
    return replace(
        build,
        ballast=replace(
            ballast,
            metal=ballast.metal or (None if ballast.density else ballast_parts.DEFAULT_METAL),
            resin=ballast.resin or _tin(ballast, search.bench),
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
    found = read(f"{plain(math.degrees(hole.point_angle), 5)} deg", "angle")
    assert not isinstance(found, Refusal)
    return found
