"""What another ballast metal would cost in volume."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from wizard.plug.ballast.parts import DEFAULT_METAL
from wizard.plug.ballast.plan_goal import Goal, goal
from wizard.plug.derived import Derived
from wizard.plug.record import Build

OFFERED = ("lead", "tungsten", "tungsten-alloy", "bismuth", "brass", "steel", "tin")
"""Ids of the metals that are set side by side: those that are sold as weights or as rod."""


@dataclass(frozen=True, slots=True)
class MetalCost:
    """One metal in place of the build's own.

    Attributes:
        name: of the metal.
        density: [kg/m3].
        mass: ballast of it [kg].
        volume: room that it takes [m3].
        more: room beyond that of the build's own metal [m3]; below zero for less.
        cautions: names of the cautions that come with it.
        chosen: whether it is the build's own.
    """

    name: str
    density: float
    mass: float
    volume: float
    more: float
    cautions: tuple[str, ...]
    chosen: bool

    def depth_more(self, diameter: float) -> float:
        """How much more hole of a diameter the change takes [m]."""
        return self.more / (math.pi / 4.0 * diameter**2)


def metal_costs(build: Build, derived: Derived) -> tuple[MetalCost, ...]:
    """The metals side by side, densest first; none while no ballast is wanted or known."""
    asked = goal(build, derived)
    if asked is None or asked.first_guess() <= 0.0:
        return ()
    from wizard.tables import cautions, find_metal, metals

    own = asked.first_guess() / asked.metal
    name = (build.ballast.metal if build.ballast else None) or DEFAULT_METAL
    mine = find_metal(name)
    rows = [metals()[one] for one in OFFERED]
    found = [
        _cost(
            asked,
            row.name,
            row.density.typical,
            own,
            tuple(cautions()[one].name for one in row.cautions),
            mine is not None and mine.id == row.id,
        )
        for row in rows
        if row.density.typical > asked.filler
    ]
    if not any(one.chosen for one in found):
        warned = () if mine is None else tuple(cautions()[c].name for c in mine.cautions)
        found.append(_cost(asked, name, asked.metal, own, warned, True))
    return tuple(sorted(found, key=lambda one: -one.density))


def _cost(
    asked: Goal, name: str, density: float, own: float, warned: tuple[str, ...], chosen: bool
) -> MetalCost:
    mass = replace(asked, metal=density).first_guess()
    return MetalCost(name, density, mass, mass / density, mass / density - own, warned, chosen)
