"""A plan as a pencil and a drill stop can be set to it, with its walls measured again."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, islice, product

from wizard.physics.clearance import Capsule, hole_gap, least_gap
from wizard.physics.drill_order import Group, Order
from wizard.physics.holes import Hole, drilled
from wizard.physics.layout import Proposal
from wizard.physics.stacking import stack
from wizard.plug.ballast.drill_checks import HAIR, wall_of
from wizard.plug.rule import FINEST, Rule

_CLOSE = 0.05e-3  # m: aims met closer than this are equal
_LOOKED_AT = 400  # settings whose gaps are looked at, at most
_MEASURED = 24  # of these, settings whose walls are measured
_STOP = 1e-6  # m


@dataclass(frozen=True, slots=True)
class Setting:
    """Holes that a bench can drill.

    Attributes:
        holes: from nose to tail.
        wall: the thinnest wall of all [m].
        gap: the least wood between holes, and to screws and wires [m]; infinite if none.
        away: how far aft of the aim the ballast acts [m].
    """

    holes: tuple[Hole, ...]
    wall: float
    gap: float
    away: float

    def short(self, order: Order) -> float:
        """By how much wood is missing [m]; 0 within what the measuring is good to."""
        missing = max(self.lacking(order))
        return missing if missing > HAIR else 0.0

    def lacking(self, order: Order) -> tuple[float, float]:
        """Wood that is missing to the skin, and to other holes and screws [m]."""
        return order.wall - self.wall, order.gap - self.gap


def pull(order: Order, hole: Hole, group: Group) -> float:
    """What the contents of one hole add to the moment about the aim [kg m].

    Source: one term of the sum that `physics.drill_order.Aim` defines.
    """
    held = stack(hole, group)
    weights = [
        (held.mass, held.place),
        (order.filler_density * held.backfill_volume, held.backfill_place),
        (-order.wood_density * hole.volume, hole.centroid),
    ]
    aim = order.aim
    return sum(w * (p.x - aim.slope * p.z - aim.lever) for w, p in weights if p is not None)


def acting(order: Order, holes: Sequence[Hole], groups: Sequence[Group]) -> float:
    """How far aft of the aim the contents of the holes act, on the ballast's mass [m]."""
    pairs = list(zip(holes, groups, strict=True))
    moment = sum(pull(order, hole, group) for hole, group in pairs) - order.aim.moment
    return moment / sum(one.mass * one.count for group in groups for one in group)


def setting(order: Order, proposal: Proposal, rule: Rule, closing: float) -> Setting:
    """The drawable setting nearest to a proposal that keeps its walls and meets its aim.

    Each hole may go to the line on either side and be a step deeper or less deep. Of the
    settings that lack no wood the one that meets the aim best is taken, else the one
    that lacks least.

    Args:
        order: what was asked.
        proposal: holes as the formulas have them.
        rule: which rule and drill stop lie on the bench.
        closing: what must stay free over the last piece [m].
    """
    mass = sum(held.mass for held in proposal.stacks)
    choices = [
        [(made, pull(order, made, group)) for made in _clear(order, hole, rule, group, closing)]
        for hole, group in zip(proposal.holes, proposal.pieces, strict=True)
    ]
    ways = [
        (tuple(hole for hole, _ in row), (sum(p for _, p in row) - order.aim.moment) / mass)
        for row in product(*choices)
    ]
    as_proposed = ways[:1]
    ways.sort(key=lambda way: math.floor(abs(way[1]) / _CLOSE))
    apart = (way for way in ways[:_LOOKED_AT] if order.gap - _between(way[0]) <= HAIR)
    best: Setting | None = None
    for holes, away in chain(islice(apart, _MEASURED), as_proposed):
        found = _measured(order, holes, away)
        if best is None or found.short(order) < best.short(order):
            best = found
        if best.short(order) == 0.0:
            return best
    return best or _measured(order, proposal.holes, proposal.away or 0.0)


def _clear(order: Order, hole: Hole, rule: Rule, group: Group, closing: float) -> list[Hole]:
    """The settings of one hole that keep clear of screws and wires; all where none does."""
    made = list(_settings(order, hole, rule, group, closing))
    clear = [one for one in made if order.gap - _gap_to(one, order.obstacles) <= HAIR]
    return clear or made


def _between(holes: Sequence[Hole]) -> float:
    return min((hole_gap(a, b) for n, a in enumerate(holes) for b in holes[:n]), default=math.inf)


@lru_cache(maxsize=512)
def _gap_to(hole: Hole, obstacles: tuple[Capsule, ...]) -> float:
    return least_gap(hole, obstacles)


def _measured(order: Order, holes: tuple[Hole, ...], away: float) -> Setting:
    walls = [found.thickness for hole in holes if (found := wall_of(hole, order.body))]
    gaps = [_between(holes), *(_gap_to(hole, order.obstacles) for hole in holes)]
    wall = min(walls) if len(walls) == len(holes) else -math.inf
    return Setting(holes, wall, min(gaps), away)


def _settings(order: Order, hole: Hole, rule: Rule, group: Group, closing: float) -> Iterator[Hole]:
    """The drawable holes around one that take its pieces, the nearest first."""
    step = FINEST[rule]
    nearest = round(hole.x / step)
    lines = sorted((nearest - 1, nearest, nearest + 1), key=lambda n: abs(n * step - hole.x))
    for line in lines:
        for depth in _depths(order, hole, step):
            made = _drilled(order, hole, line * step, depth, step)
            if made is not None and takes(made, group, closing):
                yield made


def _depths(order: Order, hole: Hole, step: float) -> Iterator[float]:
    """Depths of a drill stop around one: deeper first, unless it is as deep as can be."""
    above, below = math.ceil(hole.depth / step - _STOP), math.floor(hole.depth / step + _STOP)
    ordered = (below, above) if order.height == "high" else (above, below)
    yield from (steps * step for steps in dict.fromkeys((*ordered, above + 1)) if steps > 0)


def _drilled(order: Order, hole: Hole, x: float, depth: float, step: float) -> Hole | None:
    z = round(hole.z / step) * step if hole.axis == "across" else None
    if not order.body.nose < x < order.body.tail:
        return None
    try:
        return drilled(
            order.body,
            hole.axis,
            x,
            hole.diameter,
            depth,
            y=hole.y,
            z=z,
            point_angle=hole.point_angle,
        )
    except ValueError:
        return None


def takes(hole: Hole, group: Group, closing: float) -> bool:
    """Whether the pieces go in and enough stays free over them."""
    held = stack(hole, group)
    return held.fits and held.free_depth >= closing - _STOP
