"""What is asked of a drill plan, and the ways to deal the pieces out to holes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from wizard.physics.clearance import Capsule
from wizard.physics.holes import Axis
from wizard.physics.parts import Place
from wizard.physics.pieces import Piece
from wizard.physics.shape import Body
from wizard.physics.stacking import size

LEAST_WALL = 3e-3  # m; common practice, no source
PLUG = 2e-3  # m of backfill over the last piece; common practice, no source

Height = Literal["high", "low"]
Group = tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Aim:
    """Where the contents of the holes should act.

    With lever l = x - slope z and weights w, the sum of w (l - lever) is to be `moment`.

    Attributes:
        lever: [m].
        slope: [1]; 0 when only x counts.
        moment: [kg m].
    """

    lever: float
    slope: float = 0.0
    moment: float = 0.0


@dataclass(frozen=True)
class Order:
    """What is asked of a drill plan.

    Attributes:
        body: the drawn body.
        pieces: all that must go in.
        drills: diameters at hand [m].
        aim: where the ballast should act; see `at_x` and `at_pitch`.
        wall: least wall to the skin [m].
        gap: least wood between holes, and to obstacles [m].
        obstacles: hanger and line-tie screws, a through-wire.
        height: "high" for a wide roll, "low" for steadiness; None for the fewest holes.
        axis: the way of drilling, one for all holes.
        point_angle: of the drill's point [rad]; None for a flat end.
        plug: least backfill over the last piece [m].
        most_holes: at most this many.
        tolerance: how far the ballast may act from the aim [m].
        wood_density: of the wood taken out [kg/m3]; 0 to count the metal alone.
        filler_density: of the backfill [kg/m3]; 0 to count the metal alone.
        volume: the least and the most wood that the holes had better take out, so that
            these pieces are the mass wanted with these holes [m3].
    """

    body: Body
    pieces: tuple[Piece, ...]
    drills: tuple[float, ...]
    aim: Aim
    wall: float = LEAST_WALL
    gap: float = LEAST_WALL
    obstacles: tuple[Capsule, ...] = ()
    height: Height | None = None
    axis: Axis = "up"
    point_angle: float | None = None
    plug: float = PLUG
    most_holes: int = 4
    tolerance: float = 0.5e-3
    wood_density: float = 0.0
    filler_density: float = 0.0
    volume: tuple[float, float] = (0.0, math.inf)


def at_x(x: float) -> Aim:
    """The ballast is to weigh at x aft of the nose [m]."""
    return Aim(lever=x)


def at_pitch(pitch: float, buoyancy: Place, others_mass: float, others: Place) -> Aim:
    """The plug is to hang submerged at a pitch.

    Args:
        pitch: nose down positive [rad].
        buoyancy: CB of the finished plug.
        others_mass: mass of all that does not go into the holes [kg]; the wood that is
            drilled out still in it, if the order gives densities.
        others: its CG.

    Source: at rest tan(pitch) = (x_CB - x_CG) / (z_CB - z_CG), so that with levers
    l = x - tan(pitch) z the whole plug weighs at the lever of its CB.
    """
    slope = math.tan(pitch)
    lever = buoyancy.x - slope * buoyancy.z
    return Aim(lever, slope, others_mass * (lever - others.x + slope * others.z))


def dealings(order: Order) -> Iterator[tuple[tuple[Group, ...], tuple[float, ...]]]:
    """Pieces dealt out to holes with the drill of each, fewest holes and narrowest drills first.

    None where a piece is wider than all drills.
    """
    single = [replace(piece, count=1) for piece in order.pieces for _ in range(piece.count)]
    single.sort(key=lambda piece: (-piece.mass, piece.id))
    drills = sorted(set(order.drills))
    for holes in range(1, min(order.most_holes, len(single)) + 1):
        for groups in _groups(single, holes):
            fitting = [_fitting(group, drills) for group in groups]
            if not all(fitting):
                continue
            for level in range(max(len(own) for own in fitting)):
                yield groups, tuple(own[min(level, len(own) - 1)] for own in fitting)


def _groups(single: Sequence[Piece], holes: int) -> list[tuple[Group, ...]]:
    """Ways to deal pieces out: evenly by bulk, evenly by mass, and like widths together."""
    by_width = sorted(single, key=lambda piece: -(size(piece) or (0.0, 0.0))[0])
    dealt = [
        _evenly(single, holes, [piece.volume for piece in single]),
        _evenly(single, holes, [piece.mass for piece in single]),
        _in_runs(by_width, holes),
    ]
    unique = {tuple(sorted(tuple(p.id for p in g) for g in groups)): groups for groups in dealt}
    return list(unique.values())


def _evenly(single: Sequence[Piece], holes: int, weights: Sequence[float]) -> tuple[Group, ...]:
    """Each piece, heaviest first, to the hole that has least so far."""
    groups: list[list[Piece]] = [[] for _ in range(holes)]
    sums = [0.0] * holes
    for weight, piece in sorted(zip(weights, single, strict=True), key=lambda pair: -pair[0]):
        least = sums.index(min(sums))
        groups[least].append(piece)
        sums[least] += weight
    return tuple(tuple(group) for group in groups)


def _in_runs(single: Sequence[Piece], holes: int) -> tuple[Group, ...]:
    """Consecutive pieces together, each run about the same in volume, none empty."""
    groups: list[list[Piece]] = [[] for _ in range(holes)]
    share, at = sum(piece.volume for piece in single) / holes, 0
    filled = 0.0
    for n, piece in enumerate(single):
        left = len(single) - n
        full = groups[at] and filled + piece.volume / 2 > share * (at + 1)
        if at < holes - 1 and (full or left < holes - at):
            at += 1
        groups[at].append(piece)
        filled += piece.volume
    return tuple(tuple(group) for group in groups)


def _fitting(group: Sequence[Piece], drills: Sequence[float]) -> list[float]:
    """Drills that take every piece of a group."""
    widest = max((known[0] for piece in group if (known := size(piece))), default=0.0)
    return [drill for drill in drills if drill >= widest - 1e-9]
