"""Chosen pieces laid out in a build: the holes as a bench can drill them, wire cut to match."""

from __future__ import annotations

import math
from dataclasses import replace

from wizard.physics.drill_order import PLUG, Group, Order
from wizard.physics.holes import Axis, Hole
from wizard.physics.layout import propose
from wizard.physics.pieces import Piece as Solid
from wizard.plug.ballast import parts as ballast_parts
from wizard.plug.ballast.drawer import Drawer
from wizard.plug.ballast.drill_checks import HAIR, least_wall
from wizard.plug.ballast.drilling import drill_diameter, usual_drills
from wizard.plug.ballast.obstacles import obstacles
from wizard.plug.ballast.plan_found import Found, PlanLimit
from wizard.plug.ballast.plan_goal import OF_IT, Goal
from wizard.plug.ballast.plan_setting import Setting, acting, setting, takes
from wizard.plug.bench import Bench
from wizard.plug.record import Ballast, Build
from wizard.plug.rule import FINEST, Rule, rule_of

POINT = math.radians(118.0)
"""Point of a twist drill, where nobody says otherwise [rad]: from memory."""

_AXES: dict[str, Axis] = {"up": "up", "down": "down", "across": "across"}


class Laying:
    """Lays pieces out in one build, as often as it is asked.

    Attributes:
        count: how often it was asked so far; each takes a tenth of a second or so.
    """

    def __init__(self, build: Build, asked: Goal, bench: Bench, stock: Drawer) -> None:
        self.build, self.goal, self.bench, self.stock = build, asked, bench, stock
        self.ballast = build.ballast or Ballast()
        self.rule: Rule = rule_of(build)
        self.count = 0

    def meets(self, found: Found) -> bool:
        """Whether all that was asked is met."""
        return found.set is not None and not found.limits and found.off <= self.goal.tolerance

    def badness(self, found: Found) -> tuple[bool, float, bool, float]:
        """Lower is better: laid out, mass met, no limit, the aim met; else the least missing."""
        if found.set is None:
            return True, 0.0, True, min((one.by for one in found.limits), default=0.0)
        off = max(found.off - self.goal.tolerance, 0.0)
        return False, round(off, 6), bool(found.limits), abs(found.set.away)

    def laid_out(self, solids: tuple[Solid, ...], wanted: float) -> Found:
        """Pieces laid out; where the lines of the rule cost wood, once more with that to spare."""
        self.count += 1
        order = self.order(solids, wanted)
        found = self._set_out(order, order, wanted)
        if found.set is not None and found.set.short(order):
            spare = FINEST[self.rule] / 2.0
            wall, gap = (spare if lack > HAIR else 0.0 for lack in found.set.lacking(order))
            roomy = replace(order, wall=order.wall + wall, gap=order.gap + gap)
            found = min(found, self._set_out(order, roomy, wanted), key=self.badness)
        return found

    def _set_out(self, order: Order, roomy: Order, wanted: float) -> Found:
        """Pieces laid out once.

        Args:
            order: what is asked.
            roomy: the same, with wood to spare for the lines of the rule.
            wanted: ballast wanted before holes are laid out [kg].
        """
        proposal = propose(roomy)
        if proposal.place is not None:
            # How sharp the aim is hangs on how high the ballast came to lie.
            _, tolerance = self.goal.aim(wanted, proposal.place.z)
            order, roomy = (replace(one, tolerance=tolerance) for one in (order, roomy))
            if abs(proposal.away or 0.0) > tolerance:
                proposal = propose(roomy)
        limits = tuple(PlanLimit(limit.kind, limit.by, "m") for limit in proposal.binding)
        mass = self.stock.equivalent_mass(order.pieces)
        if not proposal.holes:
            return Found(wanted, mass, limits, order, proposal)
        if not self.goal.asks_for_trim:
            limits = ()
        hollow = ballast_parts.is_hollow(self.ballast)
        closing = order.plug if hollow else order.plug / 2.0
        found = setting(order, proposal, self.rule, closing)
        volume = sum(hole.volume for hole in found.holes)
        wanted = self.goal.wanted(volume, sum(self.dowel(hole) for hole in found.holes))
        fewer = self._fewer(order.pieces, wanted - mass)
        if fewer:
            without = self.laid_out(fewer, wanted)
            if self.meets(without):
                return without
        groups = self._cut(order, found, proposal.pieces, wanted - mass, closing)
        if groups != proposal.pieces:
            mass = self.stock.equivalent_mass(tuple(one for group in groups for one in group))
            found = replace(found, away=acting(order, found.holes, groups))
        missed = abs(found.away) - order.tolerance / OF_IT
        if missed > 0.0 and not limits and self.goal.asks_for_trim:
            limits = (PlanLimit("aim", missed, "m"),)
        short = found.short(order)
        if short:
            limits = (*limits, PlanLimit("wall", short, "m"))
        return Found(wanted, mass, limits, order, proposal, found, groups)

    def _is_needless(self, one: Solid, lacking: float) -> bool:
        """Whether the tolerance lets a cut be left out."""
        single = replace(one, count=1)
        if not one.id or self.stock.recut(single, 0.0) is None:
            return False
        return abs(lacking + self.stock.equivalent_mass((single,))) <= self.goal.tolerance

    def _fewer(self, solids: tuple[Solid, ...], lacking: float) -> tuple[Solid, ...]:
        """The pieces without a cut that is needless; none where there is no such cut."""
        for number, one in enumerate(solids):
            if self._is_needless(one, lacking):
                left = (replace(one, count=one.count - 1),) if one.count > 1 else ()
                return (*solids[:number], *left, *solids[number + 1 :])
        return ()

    def _cut(
        self,
        order: Order,
        found: Setting,
        groups: tuple[Group, ...],
        lacking: float,
        closing: float,
    ) -> tuple[Group, ...]:
        """The pieces with one that is cut anyway left out, or cut for what these holes want.

        They stay as they are where that would not fit its hole or would spoil the trim.

        Args:
            order: what was asked.
            found: the holes.
            groups: what goes into each.
            lacking: ballast to add, or below zero to leave out [kg].
            closing: what must stay free over the last piece [m].
        """
        cuts = [
            (number, place, one)
            for number, group in enumerate(groups)
            for place, one in enumerate(group)
        ]
        ways: list[tuple[int, int, Group]] = [
            (number, place, ()) for number, place, one in cuts if self._is_needless(one, lacking)
        ]
        for number, place, one in cuts:
            other = self.stock.recut(one, lacking)
            if other is not None:
                ways.append((number, place, (other,)))
        for number, place, instead in ways:
            group = groups[number]
            own = (*group[:place], *instead, *group[place + 1 :])
            changed = (*groups[:number], own, *groups[number + 1 :])
            if not own or not takes(found.holes[number], own, closing):
                continue
            if abs(acting(order, found.holes, changed)) <= max(order.tolerance, abs(found.away)):
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
            volume=self.goal.holes_for(self.stock.equivalent_mass(solids)),
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
