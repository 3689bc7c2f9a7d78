"""Before anything is cut: what the body will weigh, the ballast it will take, and room for it.

An estimate for planning, from the drawing and from tables where nothing is measured.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from wizard.certainty import Uncertain
from wizard.plug.account import body_mass
from wizard.plug.ballast.drill_checks import least_wall
from wizard.plug.ballast.drilling import usual_drills
from wizard.plug.ballast.parts import ballast_density, hole_ratio
from wizard.plug.body.drawing import drawn_body
from wizard.plug.onward.expecting import expected
from wizard.plug.paths import put
from wizard.plug.record import Ballast, Build
from wizard.plug.rule import Rule, rule_of

if TYPE_CHECKING:
    from wizard.physics.capacity import Capacity
    from wizard.physics.shape import Body


@dataclass(frozen=True, slots=True)
class Planned:
    """What the drawing promises.

    Attributes:
        assumed: what was taken where nothing is measured, in words.
        volume: of the drawn body [m3].
        body: its weight [kg].
        ballast: to meet the aim [kg]; None while water or aim are not answered.
        metal: what the ballast is of.
        takes: room that the ballast takes in its holes [m3]; None as for `ballast`.
        capacity: the holes that hold most; None where no drill leaves its walls.
    """

    assumed: tuple[str, ...]
    volume: float
    body: Uncertain
    ballast: Uncertain | None
    metal: str
    takes: float | None
    capacity: Capacity | None

    @property
    def fits(self) -> bool | None:
        """Whether there is room for the ballast; None while that can't be said."""
        if self.takes is None:
            return None
        return self.capacity is not None and self.takes <= self.capacity.volume


def planned(build: Build) -> Planned | None:
    """The estimate; None without a drawn body and a wood, and once the body is weighed."""
    body = drawn_body(build)
    if body is None or build.weighing.mass is not None:
        return None
    begun = build if build.ballast is not None else put(build, ("ballast",), Ballast())
    to_come = expected(begun)
    if to_come is None or begun.ballast is None:
        return None
    mass = body_mass(to_come.build)
    density = to_come.derived.wood.density
    assert mass is not None
    assert density is not None
    found = to_come.derived.value("ballast_mass")
    metal = ballast_density(begun.ballast)
    takes = None
    if found is not None and metal is not None:
        takes = hole_ratio(begun.ballast) * max(found.value, 0.0) / metal
    return Planned(
        to_come.assumed,
        body.volume,
        density * body.volume,
        found,
        begun.ballast.metal or "lead",
        takes,
        _capacity(body, least_wall(begun.ballast), rule_of(build)),
    )


@lru_cache(maxsize=8)
def _capacity(body: Body, wall: float, rule: Rule) -> Capacity | None:
    from wizard.physics.capacity import capacity

    return capacity(body, usual_drills(rule), wall)
