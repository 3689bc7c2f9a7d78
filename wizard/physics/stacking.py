"""How pieces of ballast really lie in a hole, and what is left for the backfill.

The first piece lies at the blind end, in the drill's point as far as its form lets
it. Balls narrower than the hole lie zigzag against its wall; wires and slugs that
fit side by side stand in bundles; sheet and putty take the hole's own form. All
else stands on the axis, each on the one before, bullets point first.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from wizard.physics.holes import Hole
from wizard.physics.parts import Place
from wizard.physics.pieces import MOULDED, Form, Piece

_STANDING: frozenset[Form] = frozenset({"wire", "cylinder"})
_HAIR = 1e-9  # m

BUNDLES: dict[int, float] = {
    1: 1.0,
    2: 2.0,
    3: 1.0 + 2.0 / math.sqrt(3.0),
    4: 1.0 + math.sqrt(2.0),
    5: 1.0 + 1.0 / math.sin(math.pi / 5.0),
    7: 3.0,
    8: 1.0 + 1.0 / math.sin(math.pi / 7.0),
    9: 1.0 + 1.0 / math.sin(math.pi / 8.0),
    13: 2.0 + math.sqrt(5.0),
    19: 1.0 + math.sqrt(2.0) + math.sqrt(6.0),
}
"""Diameter of a circle that n equal circles fit into, of one circle's [1].

Source: rings that touch, geometry; Graham, Lubachevsky, Nurmela and Ostergard 1998
list them as the best known. Numbers between are counted as the next lower.
"""


@dataclass(frozen=True, slots=True)
class Seated:
    """One piece where it lies.

    Attributes:
        piece: the piece, its count 1.
        place: of its centre of gravity; a piece off the axis counts as on it.
        near: distance of its end from the mouth's centre [m].
    """

    piece: Piece
    place: Place
    near: float


@dataclass(frozen=True, slots=True)
class Stack:
    """All pieces in one hole, and what is left.

    Attributes:
        seated: the pieces from the blind end to the mouth.
        height: from the deepest point to the end of the last piece [m].
        free_depth: from there to the mouth's centre; negative if it stands out [m].
        mass: of the pieces [kg].
        volume: of the pieces' metal [m3].
        place: of their centre of gravity; None without pieces.
        backfill_volume: of the hole less the metal, gaps beside the pieces included [m3].
        backfill_place: its centroid; None if nothing is left.
        too_wide: pieces that do not go in, not counted above.
        unsized: pieces of unknown size, counted as if they filled the hole's width.
    """

    seated: tuple[Seated, ...]
    height: float
    free_depth: float
    mass: float
    volume: float
    place: Place | None
    backfill_volume: float
    backfill_place: Place | None
    too_wide: tuple[Piece, ...]
    unsized: tuple[Piece, ...]

    @property
    def fits(self) -> bool:
        """Whether every piece goes in and none stands out of the mouth."""
        return not self.too_wide and self.free_depth >= -_HAIR


@dataclass(slots=True)
class _Top:
    """Where the stack ends so far, above the deepest point [m].

    `balls` are those since the last other piece, as height and side of the centre and
    radius; `floor` is what they lie on.
    """

    end: float = 0.0
    floor: float = 0.0
    balls: list[tuple[float, float, float]] = field(default_factory=list)

    def flat(self, end: float) -> None:
        """Ends with a piece that is no ball."""
        self.end, self.floor, self.balls = end, end, []


def size(piece: Piece) -> tuple[float, float] | None:
    """Diameter and length of a piece [m]; None if they cannot be known.

    What is not given follows from the volume of the full form: sphere pi d3 / 6, cone
    pi d2 l / 12, spheroid pi d2 l / 6, cylinder pi d2 l / 4.
    """
    d, l, volume = piece.diameter, piece.length, piece.volume
    if piece.form in MOULDED:
        return None
    if piece.form == "ball":
        d = d or (6.0 * volume / math.pi) ** (1.0 / 3.0)
        return d, d
    share = {"bullet": 12.0, "egg": 6.0}.get(piece.form, 4.0)
    if d and not l:
        l = share * volume / (math.pi * d**2)
    if l and not d:
        d = math.sqrt(share * volume / (math.pi * l))
    return (d, l) if d and l else None


def bundle(hole_diameter: float, diameter: float) -> int:
    """How many equal wires stand side by side in a hole, of the numbers in `BUNDLES`."""
    ratio = (hole_diameter + _HAIR) / diameter
    return max((n for n, least in BUNDLES.items() if least <= ratio), default=0)


def stack(hole: Hole, pieces: Iterable[Piece]) -> Stack:
    """The pieces in a hole, the first at the blind end.

    Args:
        hole: the hole.
        pieces: in the order in which they go in; each counts `count` times.
    """
    single = [replace(piece, count=1) for piece in pieces for _ in range(piece.count)]
    wide = tuple(p for p in single if (s := size(p)) and s[0] > hole.diameter + _HAIR)
    going_in = [piece for piece in single if piece not in wide]
    top, seated = _Top(), []
    for key, group in groupby(going_in, key=_together):
        members = list(group)
        if key is None:
            seated += [_seat(hole, piece, top) for piece in members]
            continue
        most = bundle(hole.diameter, key[1])
        for start in range(0, len(members), most):
            seated += _stand(hole, members[start : start + most], top)
    return _stack(hole, seated, top.end, wide)


def hollow(hole: Hole, held: Stack, plug: float) -> tuple[float, Place, float]:
    """A hole left hollow behind a plug, in place of a backfill.

    Args:
        hole: the hole.
        held: the pieces in it.
        plug: thickness of the plug at the mouth [m], cut down to the free depth.

    Returns:
        Volume of the plug [m3], its place, and the volume of the void behind it [m3].
    """
    thickness = min(plug, max(held.free_depth, 0.0))
    volume = math.pi * hole.radius**2 * thickness
    return volume, hole.at(thickness / 2.0), held.backfill_volume - volume


def _together(piece: Piece) -> tuple[Form, float] | None:
    """What pieces that may stand side by side have in common."""
    known = size(piece)
    return ("wire", known[0]) if known and piece.form in _STANDING else None


def _stand(hole: Hole, members: Sequence[Piece], top: _Top) -> list[Seated]:
    """A bundle of wires or slugs, all on one level."""
    sizes = [known for piece in members if (known := size(piece))]
    round_it = sizes[0][0] / 2.0 * min(r for n, r in BUNDLES.items() if n >= len(members))
    start = max(top.end, min(round_it, hole.radius) / hole.slope)
    top.flat(start + max(l for _, l in sizes))
    return [
        Seated(piece, hole.at(hole.length - start - l / 2.0), hole.length - start - l)
        for piece, (_, l) in zip(members, sizes, strict=True)
    ]


def _seat(hole: Hole, piece: Piece, top: _Top) -> Seated:
    known = size(piece)
    if known is None:
        return _mould(hole, piece, top)
    d, l = known
    if piece.form == "ball":
        gravity = _ball_centre(hole, d / 2.0, top)
        end = gravity + d / 2.0
    else:
        start = max(top.end, _seat_in_point(hole, piece.form, d, l))
        gravity = start + (0.75 if piece.form == "bullet" else 0.5) * l
        end = start + l
        top.flat(end)
    return Seated(piece, hole.at(hole.length - gravity), hole.length - end)


def _seat_in_point(hole: Hole, form: Form, d: float, l: float) -> float:
    """How far the leading end stays off the deepest point when its flank meets the cone [m].

    A form of radius rho(t) at t from its end meets a cone of slope s where
    max over t of rho(t) / s - t is: for a ball r / sin a - r, for a spheroid
    sqrt(l2 / 4 + d2 / 4 s2) - l / 2, for a cone d / 2 s - l (or 0), s = tan a.
    """
    r, s = d / 2.0, hole.slope
    if form == "egg" or form == "ball":
        return math.hypot(l / 2.0, r / s) - l / 2.0
    return max(0.0, r / s - l)


def _ball_centre(hole: Hole, r: float, top: _Top) -> float:
    """Height of the next ball's centre above the deepest point; adds it to the stack.

    It lies against the wall opposite the last one, as deep as all before it let it.
    """
    wall = hole.radius - r
    side = -wall if top.balls and top.balls[-1][1] > 0.0 else wall
    centre = _resting(top, r, side)
    if centre < hole.point_height + r:
        # The drill's point is too narrow for it there: it stays on the axis.
        on_axis = r + _seat_in_point(hole, "ball", 2.0 * r, 2.0 * r)
        side, centre = 0.0, max(on_axis, _resting(top, r, 0.0))
    top.balls.append((centre, side, r))
    top.end = max(top.end, centre + r)
    return centre


def _resting(top: _Top, r: float, side: float) -> float:
    """Height of a ball's centre that touches the floor or a ball below it."""
    heights = [top.floor + r]
    for centre, other_side, other in top.balls:
        rise = (r + other) ** 2 - (side - other_side) ** 2
        heights.append(centre + math.sqrt(max(rise, 0.0)))
    return max(heights)


def _mould(hole: Hole, piece: Piece, top: _Top) -> Seated:
    """Sheet, putty, or a piece of unknown size: the hole's own form from where the stack ends."""
    start, volume = top.end, piece.volume
    filled = hole.volume_behind(start) + volume
    cone = hole.volume_behind(hole.point_height)
    if filled < cone:
        end = (3.0 * filled / (math.pi * hole.slope**2)) ** (1.0 / 3.0)
    else:
        end = hole.point_height + (filled - cone) / (math.pi * hole.radius**2)
    gravity = (hole.moment_behind(end) - hole.moment_behind(start)) / volume
    top.flat(end)
    return Seated(piece, hole.at(hole.length - gravity), hole.length - end)


def _stack(hole: Hole, seated: Sequence[Seated], height: float, wide: tuple[Piece, ...]) -> Stack:
    mass = sum(one.piece.mass for one in seated)
    volume = sum(one.piece.volume for one in seated)
    left = hole.volume - volume
    place = _mean([(one.piece.mass, one.place) for one in seated])
    wood = [(hole.volume, hole.centroid)]
    metal = [(-one.piece.volume, one.place) for one in seated]
    return Stack(
        seated=tuple(seated),
        height=height,
        free_depth=hole.length - height,
        mass=mass,
        volume=volume,
        place=place,
        backfill_volume=max(left, 0.0),
        backfill_place=_mean(wood + metal) if left > 1e-6 * hole.volume else None,
        too_wide=wide,
        unsized=tuple(
            one.piece for one in seated if size(one.piece) is None and one.piece.form not in MOULDED
        ),
    )


def _mean(weighted: Sequence[tuple[float, Place]]) -> Place | None:
    whole = sum(weight for weight, _ in weighted)
    if not whole:
        return None
    return Place(
        x=sum(weight * place.x for weight, place in weighted) / whole,
        y=sum(weight * place.y for weight, place in weighted) / whole,
        z=sum(weight * place.z for weight, place in weighted) / whole,
    )
