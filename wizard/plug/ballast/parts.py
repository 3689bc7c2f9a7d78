"""The ballast of a build: its holes, what lies in them, and how they are closed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.certainty import Uncertain, exact
from wizard.physics.parts import Part, Place
from wizard.plug.body.drawing import drawn_body
from wizard.plug.record import Ballast, Build, Hole, Piece

if TYPE_CHECKING:
    from wizard.physics import holes, pieces, stacking

DEFAULT_METAL = "lead"
DEFAULT_FILLER = "epoxy"
DEFAULT_DOWEL = "birch plug"
HOLLOW = "hollow"
"""The filler of a hole that is left empty behind a dowel."""

DOWEL = 5e-3
"""Thickness of a dowel [m] where none is typed: common practice, no source."""

FORMS: dict[str, pieces.Form] = {
    "ball": "ball",
    "cone": "bullet",
    "egg": "egg",
    "cylinder": "cylinder",
    "wire": "wire",
    "sheet": "sheet",
    "putty": "putty",
}


def ballast_density(ballast: Ballast) -> float | None:
    """Density of the ballast metal: as typed, else from the table, else None [kg/m3]."""
    if ballast.density:
        return ballast.density.value
    return density_of_metal(ballast.metal or DEFAULT_METAL)


SAME_METAL = 2e-3
"""Share by which a typed density may differ from a metal's in the table: its rounding."""


def density_of_metal(name: str | None) -> float | None:
    """Density of a metal of the table [kg/m3]; None for another."""
    from wizard.tables import find_metal

    row = find_metal(name) if name else None
    return row.density.typical if row else None


def metal_of_piece(piece: Piece, ballast: Ballast) -> str:
    """What a piece is of: the ballast's metal, unless its own density says another."""
    from wizard.tables import metals

    own, usual = piece.density, ballast.metal or DEFAULT_METAL
    if own is None or own.value == ballast_density(ballast):
        return usual
    nearest = min(metals().values(), key=lambda row: abs(row.density.typical - own.value))
    is_it = abs(nearest.density.typical - own.value) <= SAME_METAL * own.value
    return nearest.name if is_it else f"metal of {own.text}"


def is_hollow(ballast: Ballast) -> bool:
    """Whether holes are left empty behind a dowel."""
    return (ballast.filler or "").strip().casefold() == HOLLOW


def filler_density(ballast: Ballast) -> float | None:
    """Density of the backfill: as typed, else from the table, else None [kg/m3]; 0 if hollow."""
    if is_hollow(ballast):
        return 0.0
    if ballast.filler_density:
        return ballast.filler_density.value
    from wizard.tables import find_filler

    row = find_filler(ballast.filler or DEFAULT_FILLER)
    return row.density.typical if row else None


def dowel_density(ballast: Ballast) -> float | None:
    """Density of the dowels of hollow holes: as typed, else from the table, else None [kg/m3]."""
    if ballast.filler_density:
        return ballast.filler_density.value
    from wizard.tables import find_filler

    row = find_filler(ballast.dowel_wood or DEFAULT_DOWEL)
    return row.density.typical if row else None


def dowels_mass(ballast: Ballast) -> float | None:
    """Mass of the dowels that close hollow holes [kg]: none without; None while unknown."""
    if not is_hollow(ballast):
        return 0.0
    density = dowel_density(ballast)
    return None if density is None else density * sum(_dowel(ballast, h) for h in ballast.hole)


def _dowel(ballast: Ballast, hole: Hole) -> float:
    """Volume of the dowel in a hole's mouth [m3]."""
    if hole.diameter is None or hole.depth is None:
        return 0.0
    thick = min(ballast.dowel.value if ballast.dowel else DOWEL, hole.depth.value)
    return math.pi / 4.0 * hole.diameter.value**2 * thick


def hole_volume(hole: Hole) -> float | None:
    """Volume of a drilled hole [m3]; None while its size is not answered."""
    if hole.diameter is None or hole.depth is None:
        return None
    if hole.point is None:
        return math.pi / 4.0 * hole.diameter.value**2 * hole.depth.value
    from wizard.physics import holes

    point = min(hole.point.value, math.pi)
    return holes.Hole(0, 0, 0, "up", hole.diameter.value, hole.depth.value, point).volume


def hole_volumes(ballast: Ballast) -> list[float | None]:
    """Volume of each ballast hole as it really gets [m3]: by plan, times the maker's factor."""
    factor = ballast.hole_factor.value if ballast.hole_factor else 1.0
    planned = [hole_volume(hole) for hole in ballast.hole]
    return [None if volume is None else factor * volume for volume in planned]


def holes_volume(ballast: Ballast) -> float | None:
    """Volume of all ballast holes [m3]; None while none is laid out or one is incomplete."""
    volumes = hole_volumes(ballast)
    if not volumes or any(v is None for v in volumes):
        return None
    return sum(v for v in volumes if v is not None)


def pieces_mass(ballast: Ballast) -> float | None:
    """Mass of the pieces laid out [kg]; None while there are none or one is incomplete."""
    if not ballast.piece or any(p.mass is None for p in ballast.piece):
        return None
    return sum(p.count * p.mass.value for p in ballast.piece if p.mass)


def pieces_volume(ballast: Ballast) -> float | None:
    """Volume of the pieces laid out [m3]; None while it can't be known."""
    metal = ballast_density(ballast)
    if pieces_mass(ballast) is None or metal is None:
        return None
    return sum(_mass(p) / _density(p, metal) for p in ballast.piece)


def hole_ratio(ballast: Ballast) -> float:
    """Hole volume per ballast volume, q [1]: as typed, else 1, ballast that fills its hole."""
    return ballast.hole_ratio.value if ballast.hole_ratio else 1.0


@dataclass(frozen=True, slots=True)
class Fill:
    """What goes into one hole: mass [kg] and volume [m3] of its ballast."""

    mass: float
    volume: float


def _fills(ballast: Ballast, volumes: list[float], mass: float, density: float) -> list[Fill]:
    """Ballast hole by hole: named pieces in theirs, the rest shared by volume."""
    own: list[list[Piece]] = [[] for _ in volumes]
    loose_mass, loose_volume = mass, mass / density
    for piece in ballast.piece if pieces_mass(ballast) is not None else ():
        if piece.hole is not None and piece.mass is not None:
            own[piece.hole - 1].append(piece)
    if pieces_mass(ballast) is not None:
        loose = [p for p in ballast.piece if p.hole is None]
        loose_mass = sum(_mass(p) for p in loose)
        loose_volume = sum(_mass(p) / _density(p, density) for p in loose)
    whole = sum(volumes)
    return [
        Fill(
            sum(_mass(p) for p in pieces) + loose_mass * v / whole,
            sum(_mass(p) / _density(p, density) for p in pieces) + loose_volume * v / whole,
        )
        for pieces, v in zip(own, volumes, strict=True)
    ]


def _mass(piece: Piece) -> float:
    return piece.count * piece.mass.value if piece.mass else 0.0


def _density(piece: Piece, default: float) -> float:
    return piece.density.value if piece.density else default


def fills_of_holes(ballast: Ballast, answered: float | None) -> list[Fill] | None:
    """What goes into each hole, the pieces laid out or else the answer [kg]; None if unknown."""
    metal, laid_out = ballast_density(ballast), pieces_mass(ballast)
    mass = laid_out if laid_out is not None else None if ballast.piece else answered
    volumes = [v for v in hole_volumes(ballast) if v is not None]
    if mass is None or metal is None or not volumes or len(volumes) != len(ballast.hole):
        return None
    return _fills(ballast, volumes, mass, metal)


def drilled_hole(build: Build, hole: Hole) -> holes.Hole | None:
    """A hole as it is drilled, its mouth on the drawn skin; None while that is unknown.

    It runs straight up from the bottom line at its x on the centre line unless said
    otherwise, across at half height, with a flat end unless the drill's point is given.
    """
    body = drawn_body(build)
    if body is None or hole.x is None or hole.diameter is None or hole.depth is None:
        return None
    from wizard.physics import holes

    axis: holes.Axis = (
        "down" if hole.axis == "down" else "across" if hole.axis == "across" else "up"
    )
    x = hole.x.value
    try:
        return holes.drilled(
            body,
            axis,
            x,
            hole.diameter.value,
            hole.depth.value,
            y=hole.y.value if hole.y else 0.0,
            z=hole.z.value if hole.z else float(body.top(x) + body.bottom(x)) / 2.0,
            point_angle=min(hole.point.value, math.pi) if hole.point else None,
        )
    except ValueError:
        return None


def place_in_hole(build: Build, hole: Hole, height: float) -> Place | None:
    """The point on a hole's axis at a height from its mouth [m]; None while that is unknown."""
    found = drilled_hole(build, hole)
    return None if found is None else found.at(height)


def pieces_in_hole(ballast: Ballast, number: int, fill: Fill) -> tuple[pieces.Piece, ...]:
    """What lies in a hole, the first piece at the blind end.

    Pieces that name no hole, and those of unknown form, lie together in the hole's own
    form on top of the others.

    Args:
        ballast: the record.
        number: of the hole, counted from one.
        fill: all that goes into it.
    """
    from wizard.physics.pieces import Piece as Solid

    metal = ballast_density(ballast)
    formed = [p for p in ballast.piece if p.hole == number and p.form and p.mass is not None]
    solid = [solid_of(p, metal) for p in formed if metal is not None]
    mass = fill.mass - sum(p.count * p.mass for p in solid)
    volume = fill.volume - sum(p.count * p.volume for p in solid)
    if mass > 1e-9 * fill.mass and volume > 0:
        solid.append(Solid("shared", mass, 1, mass / volume, "putty"))
    return tuple(solid)


def solid_of(piece: Piece, metal: float) -> pieces.Piece:
    """A piece of known form and mass as the formulas have it.

    Args:
        piece: as typed.
        metal: density of the ballast metal, where the piece has none of its own [kg/m3].
    """
    from wizard.physics.pieces import Piece as Solid

    assert piece.mass is not None
    assert piece.form is not None
    return Solid(
        piece.name or piece.mass.text,
        piece.mass.value,
        piece.count,
        _density(piece, metal),
        FORMS[piece.form],
        piece.diameter.value if piece.diameter else None,
        piece.length.value if piece.length else None,
    )


def lying_in(hole: holes.Hole, contents: tuple[pieces.Piece, ...]) -> stacking.Stack:
    """How pieces lie in a hole; those wider than it count as if they took its form."""
    from dataclasses import replace

    from wizard.physics.stacking import size, stack

    def fitting(piece: pieces.Piece) -> pieces.Piece:
        known = size(piece)
        wide = known is not None and known[0] > hole.diameter + 1e-9
        return replace(piece, form="putty") if wide else piece

    return stack(hole, [fitting(piece) for piece in contents])


@dataclass(frozen=True, slots=True)
class Contents:
    """A hole on the drawn body with what is in it.

    Attributes:
        number: of the hole, counted from one.
        hole: as it is drilled.
        held: how its ballast lies in it.
    """

    number: int
    hole: holes.Hole
    held: stacking.Stack


def contents(build: Build, answered: float | None) -> tuple[Contents | None, ...]:
    """Every hole with what is in it; None for one whose shape or ballast is not known.

    Args:
        build: the record.
        answered: the full answer for the ballast [kg], where no pieces are laid out.
    """
    ballast = build.ballast
    fills = None if ballast is None else fills_of_holes(ballast, answered)
    if ballast is None or fills is None:
        return ()
    found = []
    for number, fill in enumerate(fills, start=1):
        hole = drilled_hole(build, ballast.hole[number - 1])
        lying = hole and lying_in(hole, pieces_in_hole(ballast, number, fill))
        found.append(Contents(number, hole, lying) if hole and lying else None)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Places:
    """Where a hole's wood, ballast and backfill are; None while that is unknown."""

    wood: Place | None = None
    ballast: Place | None = None
    fill: Place | None = None


def _places(build: Build, ballast: Ballast, number: int, fill: Fill) -> _Places:
    """Ballast lies at the blind end, filler at the mouth."""
    hole = drilled_hole(build, ballast.hole[number - 1])
    if hole is None:
        return _Places()
    wood = hole.centroid
    if fill.volume >= hole.volume * (1.0 - 1e-9):
        return _Places(wood, wood, wood)
    held = lying_in(hole, pieces_in_hole(ballast, number, fill))
    return _Places(wood, held.place or wood, held.backfill_place or wood)


def ballast_parts(
    build: Build, ballast: Ballast, wood: Uncertain | None, answered: float | None
) -> Iterator[Part]:
    """Holes, ballast and what closes them, with the pieces laid out or else the answer.

    Args:
        build: the record.
        ballast: its ballast.
        wood: density of its wood [kg/m3], if known.
        answered: the full answer for the ballast [kg], if there is one.
    """
    metal = ballast_density(ballast)
    laid_out = pieces_mass(ballast)
    incomplete = bool(ballast.piece) and laid_out is None
    mass = laid_out if laid_out is not None else None if incomplete else answered
    volumes = hole_volumes(ballast)
    if mass is None or metal is None or wood is None or any(v is None for v in volumes):
        yield Part("ballast", "ballast", None, exact(0.0), None, "ballasted")
        return
    if not volumes:
        loose = pieces_volume(ballast)
        fill = Fill(mass, mass / metal if loose is None else loose)
        room = hole_ratio(ballast) * fill.volume
        yield from _parts_of_hole("holes", room, fill, wood, filler_density(ballast), _Places())
        return
    known = [v for v in volumes if v is not None]
    for number, fill in enumerate(_fills(ballast, known, mass, metal), start=1):
        name, places = f"hole {number}", _places(build, ballast, number, fill)
        filler = filler_density(ballast)
        yield from _parts_of_hole(name, known[number - 1], fill, wood, filler, places)
        if is_hollow(ballast):
            yield _dowel_part(build, ballast, number)


def _parts_of_hole(
    name: str,
    volume: float,
    fill: Fill,
    wood: Uncertain,
    filler: float | None,
    places: _Places,
) -> Iterator[Part]:
    room = volume - fill.volume
    zero = exact(0.0)
    yield Part(f"wood out of {name}", "hole", -1.0 * wood * volume, zero, places.wood, "ballasted")
    # What does not fit is warned of; the maker drills more, so nothing of it sticks out.
    lead = exact(fill.mass)
    yield Part(f"ballast in {name}", "ballast", lead, zero, places.ballast, "ballasted")
    if room > 1e-6 * volume and filler != 0.0:
        mass = None if filler is None else exact(filler * room)
        yield Part(f"backfill in {name}", "backfill", mass, zero, places.fill, "ballasted")


def _dowel_part(build: Build, ballast: Ballast, number: int) -> Part:
    """The dowel that closes a hollow hole."""
    hole, density = ballast.hole[number - 1], dowel_density(ballast)
    found = drilled_hole(build, hole)
    thick = min(ballast.dowel.value if ballast.dowel else DOWEL, found.depth if found else math.inf)
    mass = None if density is None else exact(density * _dowel(ballast, hole))
    place = None if found is None else found.at(thick / 2.0)
    return Part(f"dowel in hole {number}", "backfill", mass, exact(0.0), place, "ballasted")
