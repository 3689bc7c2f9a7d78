"""The ballast holes as they are drawn, and what is in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.physics.curve import Numbers
from wizard.physics.holes import Axis, Hole, drilled
from wizard.physics.shape import Body
from wizard.plug.record import Build
from wizard.plug.record import Hole as TypedHole

Role = Literal["outline", "hole", "lead", "fill"]


@dataclass(frozen=True, eq=False)
class Bore:
    """A drilled hole and how much of it the ballast fills from its blind end.

    Attributes:
        number: of the hole in the profile, from 1.
        hole: the hole, its mouth on the skin.
        lead_from: distance from the mouth at which the ballast begins [m]; None
            while the ballast is unknown.
    """

    number: int
    hole: Hole
    lead_from: float | None = None

    def pieces(self) -> tuple[tuple[Role, float, float], ...]:
        """Role and reach of each stretch along the hole, from the mouth [m]."""
        whole = self.hole.length
        stretches: list[tuple[Role, float, float]] = []
        if self.lead_from is not None:
            if self.lead_from > 0.01 * whole:
                stretches.append(("fill", 0.0, self.lead_from))
            if self.lead_from < 0.99 * whole:
                stretches.append(("lead", self.lead_from, whole))
        return (*stretches, ("hole", 0.0, whole))

    def profile(self, start: float, end: float, half_width: float) -> Numbers:
        """A stretch cut along the axis: across it and away from the mouth, shape (n, 2) [m]."""
        r, full = half_width, self.hole.depth
        if end <= full or self.hole.point_height <= 0.0:
            return np.array([(-r, start), (r, start), (r, end), (-r, end)])
        blunt = max(end - r / self.hole.slope, full)  # off the axis the cone is less deep
        deep = [(r, blunt), (0.0, end), (-r, blunt)]
        return np.array([(-r, start), (r, start), *deep])


def bores(build: Build, body: Body) -> tuple[Bore | None, ...]:
    """The ballast holes in the order of the profile; None where one can't be drawn."""
    typed = build.ballast.hole if build.ballast is not None else ()
    return tuple(_bore(n, hole, body) for n, hole in enumerate(typed, start=1))


def _bore(number: int, typed: TypedHole, body: Body) -> Bore | None:
    if typed.x is None or typed.diameter is None or typed.depth is None:
        return None
    axis: Axis = "down" if typed.axis == "down" else "across" if typed.axis == "across" else "up"
    try:
        hole = drilled(
            body,
            axis,
            typed.x.value,
            typed.diameter.value,
            typed.depth.value,
            y=typed.y.value if typed.y else 0.0,
            z=typed.z.value if typed.z else None,
            point_angle=typed.point.value if typed.point else None,
        )
    except ValueError:
        return None
    return Bore(number, hole)
