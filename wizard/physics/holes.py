"""Holes drilled for ballast: their volume, their place, and where they open."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from wizard.physics.parts import Place
from wizard.physics.validity import OutsideValidity, require_positive

if TYPE_CHECKING:
    from wizard.physics.shape import Body

Axis = Literal["up", "down", "across"]

POINT_ANGLES: tuple[float, float] = (math.radians(118.0), math.radians(135.0))
"""Point angles of common twist drills [rad], from memory."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole drilled square to the centre line.

    Attributes:
        x: of the mouth's centre, aft of the nose [m].
        y: of the mouth's centre, to port [m].
        z: of the mouth's centre, above the baseline [m].
        axis: "up" from the belly, "down" from the back, "across" from the side on which
            the mouth lies to the other (from port when y = 0).
        diameter: [m].
        depth: of the full diameter, from the mouth's centre, as on an engineer's
            drawing; the drill's point goes deeper [m].
        point_angle: included angle of the drill's point [rad]; None for a flat end.
    """

    x: float
    y: float
    z: float
    axis: Axis
    diameter: float
    depth: float
    point_angle: float | None = None

    def __post_init__(self) -> None:
        require_positive("diameter of the hole", self.diameter, "m")
        require_positive("depth of the hole", self.depth, "m")
        angle = self.point_angle
        if angle is not None and not 0.0 < angle <= math.pi:
            raise OutsideValidity("point angle of the drill", angle, 0.0, math.pi, "rad")

    @property
    def radius(self) -> float:
        """Half of the diameter [m]."""
        return self.diameter / 2.0

    @property
    def direction(self) -> tuple[float, float, float]:
        """Unit vector along the drilling, as x, y, z."""
        if self.axis == "across":
            return 0.0, -1.0 if self.y >= 0.0 else 1.0, 0.0
        return 0.0, 0.0, 1.0 if self.axis == "up" else -1.0

    @property
    def slope(self) -> float:
        """Radius of the point's cone for each unit of its height [1]; infinite if flat."""
        if self.point_angle is None or self.point_angle == math.pi:
            return math.inf
        return math.tan(self.point_angle / 2.0)

    @property
    def point_height(self) -> float:
        """Height of the cone that the drill's point leaves [m]."""
        return self.radius / self.slope

    @property
    def length(self) -> float:
        """From the mouth's centre to the deepest point [m]."""
        return self.depth + self.point_height

    @property
    def volume(self) -> float:
        """Volume of the wood taken out, the mouth taken as flat [m3].

        Source: cylinder pi d2 / 4 h and cone of the same base, a third of that.
        """
        return math.pi * self.radius**2 * (self.depth + self.point_height / 3.0)

    @property
    def centroid(self) -> Place:
        """Centroid of the wood taken out.

        Source: a cylinder's lies at half its height, a cone's at a quarter from its base.
        """
        cylinder, cone = self.depth, self.point_height / 3.0
        moment = cylinder * self.depth / 2.0 + cone * (self.depth + self.point_height / 4.0)
        return self.at(moment / (cylinder + cone))

    def at(self, distance: float) -> Place:
        """The point on the axis at a distance from the mouth's centre [m]."""
        dx, dy, dz = self.direction
        return Place(x=self.x + distance * dx, y=self.y + distance * dy, z=self.z + distance * dz)

    def volume_behind(self, height: float) -> float:
        """Volume of the hole within a height of its deepest point [m3]."""
        return self._integral(height, 0)

    def moment_behind(self, height: float) -> float:
        """First moment of that volume about the deepest point [m4]."""
        return self._integral(height, 1)

    def _integral(self, height: float, power: int) -> float:
        """Integral of u^power times the section over u, the height above the deepest point."""
        cone = min(height, self.point_height)
        total = math.pi * self.slope**2 * cone ** (power + 3) / (power + 3) if cone > 0 else 0.0
        above = max(height, self.point_height)
        straight = above ** (power + 1) - self.point_height ** (power + 1)
        return total + math.pi * self.radius**2 * straight / (power + 1)


def skin_levels(body: Body, x: float, y: float) -> tuple[float, float] | None:
    """Heights of belly and back at a distance from the centre line [m]; None beside the body."""
    if not body.nose <= x <= body.tail:
        return None
    cut = body.cuts(x)
    breadth = float(cut.half_breadth)
    if abs(y) > breadth or float(cut.top) <= float(cut.bottom):
        return None
    import numpy as np

    share = np.array(abs(y) / breadth if breadth else 0.0)
    down = float(cut.below) * float(body.section.lower_half.height_at(share))
    up = float(cut.above) * float(body.section.upper_half.height_at(share))
    return float(cut.widest) - down, float(cut.widest) + up


def drilled(
    body: Body,
    axis: Axis,
    x: float,
    diameter: float,
    depth: float,
    *,
    y: float = 0.0,
    z: float | None = None,
    point_angle: float | None = None,
) -> Hole:
    """A hole with its mouth on the skin.

    Args:
        body: the drawn body.
        axis: as for `Hole`.
        x: aft of the nose [m].
        diameter: [m].
        depth: of the full diameter [m].
        y: of a hole up or down, to port; across, its sign names the side of the mouth [m].
        z: of a hole across, above the baseline; the widest level if None [m].
        point_angle: [rad]; None for a flat end.

    Raises:
        ValueError: if there is no wood at that place.
    """
    if axis == "across":
        level = float(body.cuts(x).widest) if z is None else z
        breadth = float(body.half_breadth_at(x, level))
        if breadth <= 0.0:
            raise ValueError("there is no wood to drill at that place")
        side = breadth if y >= 0.0 else -breadth
        return Hole(x, side, level, axis, diameter, depth, point_angle)
    levels = skin_levels(body, x, y)
    if levels is None:
        raise ValueError("there is no wood to drill at that place")
    mouth = levels[0] if axis == "up" else levels[1]
    return Hole(x, y, mouth, axis, diameter, depth, point_angle)
