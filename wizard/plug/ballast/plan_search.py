"""Pieces and holes sought in turn until they agree: the holes change what the pieces must weigh."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from wizard.physics.choice import LONGEST_CUT, STEP, Choice, ChoiceLimit, choice
from wizard.physics.drill_order import PLUG, Group, Order
from wizard.physics.holes import Axis, Hole
from wizard.physics.layout import Proposal, propose
from wizard.physics.pieces import CUT_FORMS, PieceSet
from wizard.physics.pieces import Piece as Solid
from wizard.plug.ballast import parts as ballast_parts
from wizard.plug.ballast.drawer import Drawer, portions
from wizard.plug.ballast.drill_checks import least_wall
from wizard.plug.ballast.drilling import drill_diameter, usual_drills
from wizard.plug.ballast.obstacles import obstacles
from wizard.plug.ballast.plan_goal import Goal
from wizard.plug.ballast.plan_setting import Setting, acting, setting, takes
from wizard.plug.bench import Bench
from wizard.plug.record import Ballast, Build
from wizard.plug.rule import Rule, rule_of

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
class Found:
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


class Search:
    """Pieces and holes sought in turn."""

    def __init__(self, build: Build, asked: Goal, bench: Bench, stock: Drawer) -> None:
        self.build, self.goal, self.bench, self.stock = build, asked, bench, stock
        self.ballast = build.ballast or Ballast()
        self.rule: Rule = rule_of(build)

    def best(self) -> Found:
        """The first round in which pieces and holes agree, else the one that comes closest.

        Holes come in steps, so what is wanted may jump to and fro: later rounds go half way.
        """
        wanted, tried = self.goal.first_guess(), list[Found]()
        for number in range(_ROUNDS):
            rounds = self._round(max(wanted, self.goal.tolerance / 10.0))
            tried += rounds
            last = rounds[-1]
            if last.set is None or last.off <= self.goal.tolerance:
                break
            wanted = last.wanted if number == 0 else (wanted + last.wanted) / 2.0
        return min(tried, key=self._badness)

    def _meets(self, found: Found) -> bool:
        return found.set is not None and not found.limits and found.off <= self.goal.tolerance

    def _badness(self, found: Found) -> tuple[bool, float, bool, float]:
        """Lower is better: laid out, mass met, no limit, the aim met; else the least missing."""
        if found.set is None:
            return True, 0.0, True, min((one.by for one in found.limits), default=0.0)
        off = max(found.off - self.goal.tolerance, 0.0)
        return False, round(off, 6), bool(found.limits), abs(found.set.away)

    def _round(self, wanted: float) -> list[Found]:
        """Sets of pieces for an amount, laid out until one agrees; the best of them last."""
        if not any(one.count for one in self.stock.solids):
            return [self._laid_out(portions(self.goal, wanted), wanted)]
        laid_out: list[Found] = []
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
                return [Found(wanted, 0.0, (said,))]
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

    def _laid_out(self, solids: tuple[Solid, ...], wanted: float) -> Found:
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
            return Found(wanted, mass, limits, order, proposal)
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
        return Found(wanted, mass, limits, order, proposal, found, groups)

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
