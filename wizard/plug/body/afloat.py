"""A finished plug on the water, at any mass: what a mark at the waterline says of its weight."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from wizard.certainty import Uncertain, total
from wizard.physics.parts import Part, Point, centre_of_gravity
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.drawing import drawn_body
from wizard.plug.record import Build

if TYPE_CHECKING:
    from wizard.physics.flotation import Appendage, Flotation
    from wizard.physics.shape import Body

HUNG = ("hardware", "ballast", "mend")
"""Sorts of parts that push water aside where they hang, not along the skin."""


@dataclass(frozen=True, slots=True)
class Floater:
    """What floats.

    Attributes:
        body: as drawn.
        body_volume: of the real body [m3].
        films: volume of all coats [m3].
        hung: what hangs on it.
        gravity: CG.
    """

    body: Body
    body_volume: Uncertain
    films: float
    hung: tuple[Appendage, ...]
    gravity: Point

    def at(
        self,
        mass: float,
        buoyant: float,
        body_volume: float | None = None,
        gravity: tuple[float, float] | None = None,
        near: Flotation | None = None,
    ) -> Flotation | None:
        """How it rests; None if it does not float.

        Args:
            mass: [kg].
            buoyant: water less air [kg/m3].
            body_volume: of the real body, where it is not as summed [m3].
            gravity: x and z of CG, where it is not as summed [m].
            near: how it rests with other numbers that differ but little.
        """
        volume = self.body_volume.value if body_volume is None else body_volume
        x, z = gravity or (self.gravity.x.value, self.gravity.z.value)
        return _rest(self.body, volume, self.films, self.hung, mass, x, z, buoyant, near)

    def above(
        self, mass: float, buoyant: float, mark: float | None, body_volume: float | None = None
    ) -> float:
        """What stands above the water at a mark, or of its highest point for None [m].

        Args:
            mass: [kg].
            buoyant: water less air [kg/m3].
            mark: aft of the nose [m].
            body_volume: of the real body, where it is not as summed [m3].

        Raises:
            OutsideValidity: it does not float.
        """
        rest = self.at(mass, buoyant, body_volume)
        if rest is None:
            raise OutsideValidity("mass afloat", mass, 0.0, buoyant * self.most, "kg")
        if mark is None:
            return rest.freeboard
        return float(self.body.top(mark)) - rest.waterline(mark)

    @property
    def most(self) -> float:
        """All that it can push aside [m3]."""
        return self.body_volume.value + self.films + sum(a.volume for a in self.hung)


@lru_cache(maxsize=256)
def _rest(
    body: Body,
    body_volume: float,
    films: float,
    hung: tuple[Appendage, ...],
    mass: float,
    x: float,
    z: float,
    buoyant: float,
    near: Flotation | None,
) -> Flotation | None:
    """The rest of one floater; kept, since a build is summed again at every answer."""
    from wizard.physics.flotation import float_at_rest

    return float_at_rest(body, body_volume, films, hung, mass, x, z, buoyant, near)


def floater(build: Build, parts: tuple[Part, ...]) -> Floater | None:
    """The plug as something that floats; None while its shape or a place is not known."""
    from wizard.physics.flotation import Appendage

    body, gravity = drawn_body(build), centre_of_gravity(parts)
    if body is None or gravity is None:
        return None
    body_volume = total(p.volume for p in parts if p.sort == "body" and p.volume is not None)
    films = sum(p.volume.value for p in parts if p.sort == "coat" and p.volume is not None)
    hung = tuple(
        Appendage(p.volume.value, p.place.x, p.place.z)
        for p in parts
        if p.sort in HUNG and p.volume and p.place and p.volume.value != 0
    )
    return Floater(body, body_volume, films, hung, gravity)
