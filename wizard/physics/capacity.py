"""The most that holes straight up from the belly can hold: whether there is room at all.

No aim is looked at: where the ballast has to be is a matter of the drill plan.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wizard.physics.curve import Numbers
from wizard.physics.drill_order import LEAST_WALL
from wizard.physics.room import room
from wizard.physics.shape import Body

MOST_HOLES = 4
STEP = 1e-3
"""Of the places that are tried [m]: room for a plan, not the plan."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """The holes that hold most.

    Attributes:
        diameter: of the drill [m].
        count: of holes.
        volume: of all of them, flat at the end [m3].
    """

    diameter: float
    count: int
    volume: float


def capacity(
    body: Body,
    drills: Sequence[float],
    wall: float = LEAST_WALL,
    most: int = MOST_HOLES,
) -> Capacity | None:
    """The holes of one drill that hold most with their walls kept; None where none fits.

    Args:
        body: as drawn.
        drills: diameters at hand [m].
        wall: least wood around a hole and between two [m].
        most: holes at most.
    """
    space = room(body, "up", wall, wall, (), STEP)
    found = []
    for diameter in drills:
        least, greatest, _ = space.depths(diameter / 2, 0.0)
        depths = np.where(greatest >= least, np.maximum(greatest, 0.0), 0.0)
        apart = math.ceil((diameter + wall) / space.step)
        count, depth = _deepest(depths, apart, most)
        if depth > 0.0:
            found.append(Capacity(diameter, count, math.pi / 4 * diameter**2 * depth))
    return max(found, key=lambda c: c.volume, default=None)


def _deepest(depths: Numbers, apart: int, most: int) -> tuple[int, float]:
    """How many holes, and their depths together, of the best choice so many places apart."""
    best, count = np.zeros(len(depths) + apart), 0
    for n in range(most):
        # best[i + apart]: the most that so many holes reach up to place i.
        added = np.maximum.accumulate(depths + best[: len(depths)])
        if added[-1] <= best[-1] + 1e-9:
            break
        best[apart:], count = added, n + 1
    return count, float(best[-1])
