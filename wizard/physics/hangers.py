"""Hook hangers far enough apart: hooks that cannot reach each other or the line tie."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from wizard.physics.parts import Place


@dataclass(frozen=True, slots=True)
class Hanger:
    """Where a hook hangs.

    Attributes:
        name: for the eye.
        place: of the eye in which it swings.
        reach: from there to the farthest point of its hook, rings included [m].
    """

    name: str
    place: Place
    reach: float


@dataclass(frozen=True, slots=True)
class Foul:
    """Two that can meet.

    Attributes:
        first: name of a hanger.
        second: name of the other hanger or of the line tie.
        distance: between them [m].
        needed: least distance at which they cannot meet [m].
    """

    first: str
    second: str
    distance: float
    needed: float

    @property
    def short(self) -> float:
        """By how much they are too close [m]."""
        return self.needed - self.distance


def fouls(
    hangers: Sequence[Hanger], line_tie: Place | None, tie_name: str = "line tie"
) -> tuple[Foul, ...]:
    """Pairs of hooks that can meet, and hooks that can reach the line tie.

    A hook may swing to any side, so two meet if their reaches together exceed the
    distance of the hangers; the body between them is not counted as a stop.

    Source: geometry, spheres of the reaches; that they should not meet is common
    practice, no source.
    """
    pairs = [
        Foul(a.name, b.name, distance(a.place, b.place), a.reach + b.reach)
        for a, b in combinations(hangers, 2)
    ]
    if line_tie is not None:
        pairs += [
            Foul(one.name, tie_name, distance(one.place, line_tie), one.reach) for one in hangers
        ]
    return tuple(pair for pair in pairs if pair.short > 0.0)


def distance(a: Place, b: Place) -> float:
    """Distance of two places [m]."""
    return math.dist((a.x, a.y, a.z), (b.x, b.y, b.z))
