"""The ballast holes as they are drawn, and what is in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.physics.curve import Numbers
from wizard.physics.holes import Hole
from wizard.plug.ballast.parts import contents, drilled_hole
from wizard.plug.record import Build

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


def bores(build: Build, answered: float | None = None) -> tuple[Bore | None, ...]:
    """The ballast holes in the order of the profile; None where one can't be drawn.

    Args:
        build: the record.
        answered: the full answer for the ballast [kg], where no pieces are laid out.
    """
    if build.ballast is None:
        return ()
    holes = [drilled_hole(build, hole) for hole in build.ballast.hole]
    begins = {c.number: max(c.held.free_depth, 0.0) for c in contents(build, answered) if c}
    return tuple(
        None if hole is None else Bore(number, hole, begins.get(number))
        for number, hole in enumerate(holes, start=1)
    )
