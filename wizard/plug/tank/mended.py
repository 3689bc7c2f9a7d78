"""Mends that were done to the finished plug, as parts of it: one part each, in their order."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from wizard.certainty import Cause, Uncertain, exact, measured
from wizard.physics.density import accuracy_u
from wizard.physics.parts import Part, Place
from wizard.plug.account import hardware_part
from wizard.plug.ballast.parts import (
    ballast_density,
    drilled_hole,
    filler_density,
    fills_of_holes,
    lying_in,
    pieces_in_hole,
    place_in_hole,
)
from wizard.plug.doubts import bench_scale
from wizard.plug.paths import Path, words
from wizard.plug.record import Ballast, Build, Hole, MendDone

DEPTH_LIMITS = 0.5e-3
"""How far a depth drilled by hand may be off [m]: a judgement, no source."""

LOST = 0.05
"""Share of the chips up to which they are not found again [1]: a judgement, no source."""

NAMES = {"add": "put on", "inside": "put in", "remove": "taken out", "swap": "swapped"}


def mend_parts(build: Build, wood: Uncertain | None, answered: float | None) -> tuple[Part, ...]:
    """Every mend as a part, in the order in which they were done.

    Args:
        build: the record.
        wood: density of its wood [kg/m3], if known.
        answered: the full answer for the ballast [kg], where no pieces are laid out.
    """
    return tuple(mend_part(build, i, wood, answered) for i in range(len(build.mend)))


def mend_part(build: Build, index: int, wood: Uncertain | None, answered: float | None) -> Part:
    """One mend as the part that the plug gained or, with a minus, lost.

    Put on outside: + m, + m / rho. Put in: + m - rho_wood V, or - rho_fill V where it
    takes the place of backfill. Taken out of the ballast and filled: - (rho_L - rho_fill) V.

    Args:
        build: the record.
        index: which mend, counted from zero.
        wood: density of its wood [kg/m3], if known.
        answered: the full answer for the ballast [kg], where no pieces are laid out.
    """
    row, path = build.mend[index], ("mend", index)
    mass, volume, place = _change(build, row, path, wood, answered)
    name = f"mend {index + 1}: {NAMES.get(row.kind or '', 'not complete')}"
    return Part(name, "mend", mass, volume, place, "mended")


Change = tuple[Uncertain | None, Uncertain | None, Place | None]


def _change(
    build: Build, row: MendDone, path: Path, wood: Uncertain | None, answered: float | None
) -> Change:
    if row.kind == "swap":
        return _swapped(build, row, path, wood)
    if row.kind == "remove" and row.hole is not None:
        return _out_of_hole(build, row, path, answered)
    if row.kind == "inside":
        return _put_inside(build, row, path, wood, answered)
    if row.kind not in ("add", "remove"):
        return exact(0.0), exact(0.0), None
    mass = _weighed(build, row, path)
    if mass is None or row.density is None:
        return None, None, None
    own = -mass if row.kind == "remove" else mass
    return own, own / row.density.value, _typed_place(row)


def _weighed(build: Build, row: MendDone, path: Path) -> Uncertain | None:
    return None if row.mass is None else bench_scale(build).reading(row.mass, (*path, "mass"))


def _typed_place(row: MendDone) -> Place | None:
    if row.x is None or row.z is None:
        return None
    return Place(row.x.value, row.z.value, row.y.value if row.y else 0.0)


def _put_inside(
    build: Build, row: MendDone, path: Path, wood: Uncertain | None, answered: float | None
) -> Change:
    mass, hole = _weighed(build, row, path), hole_of(build, row)
    metal = row.density.value if row.density else ballast_density(build.ballast or Ballast())
    replaced: Uncertain | None = wood
    place = _typed_place(row)
    if hole is not None and build.ballast is not None:
        filler = filler_density(build.ballast)
        replaced = None if filler is None else exact(filler)
        place = place or _against_the_ballast(build, row, hole, answered)
    if mass is None or metal is None or replaced is None:
        return None, exact(0.0), place
    return mass - replaced * mass / metal, exact(0.0), place


def _out_of_hole(build: Build, row: MendDone, path: Path, answered: float | None) -> Change:
    hole, ballast = hole_of(build, row), build.ballast
    if hole is None or ballast is None:
        return None, exact(0.0), None
    metal = row.density.value if row.density else ballast_density(ballast)
    filler = row.filler_density.value if row.filler_density else filler_density(ballast)
    found = None if row.hole is None else bed(build, row.hole, answered)
    volume = _volume_out(build, row, path, hole, metal)
    if volume is not None and row.mass is None and found is not None:
        volume = found.packing * volume
    place = _typed_place(row) or _against_the_ballast(build, row, hole, answered)
    if metal is None or filler is None or volume is None:
        return None, exact(0.0), place
    return (filler - metal) * volume, exact(0.0), place


def _volume_out(
    build: Build, row: MendDone, path: Path, hole: Hole, metal: float | None
) -> Uncertain | None:
    """Volume that came out [m3]: of the metal by the weighed chips, else of the drill's way."""
    chips = _weighed(build, row, path)
    if chips is not None:
        # Between none and all of that share is missing (JCGM 100:2008, 4.3.7).
        lost = measured(
            LOST / 2.0, LOST / math.sqrt(12.0), Cause(words((*path, "mass")), "assumed")
        )
        return None if metal is None else chips * (1.0 + lost) / metal
    width = row.diameter or hole.diameter
    if row.depth is None or width is None:
        return None
    off = Cause(words((*path, "depth")), "assumed")
    depth = measured(row.depth.value, accuracy_u(DEPTH_LIMITS), off)
    return math.pi / 4.0 * width.value**2 * depth


def hole_of(build: Build, row: MendDone) -> Hole | None:
    """The hole that a mend names; None for none."""
    holes = build.ballast.hole if build.ballast is not None else ()
    return holes[row.hole - 1] if row.hole is not None and row.hole <= len(holes) else None


@dataclass(frozen=True, slots=True)
class Bed:
    """How the ballast lies in one hole.

    Attributes:
        face: from the mouth to the ballast's end towards it [m].
        height: of the ballast over the deepest point [m].
        packing: share of the metal in the room that it takes up [1].
        volume: of the metal [m3].
    """

    face: float
    height: float
    packing: float
    volume: float


def bed(build: Build, number: int, answered: float | None) -> Bed | None:
    """How the ballast lies in a hole; None while that is not known.

    Args:
        build: the record.
        number: of the hole, counted from one.
        answered: the full answer for the ballast [kg], where no pieces are laid out.
    """
    ballast = build.ballast
    fills = None if ballast is None else fills_of_holes(ballast, answered)
    if fills is None or ballast is None or not 1 <= number <= len(fills):
        return None
    hole, fill = drilled_hole(build, ballast.hole[number - 1]), fills[number - 1]
    if hole is None or fill.volume <= 0:
        return None
    held = lying_in(hole, pieces_in_hole(ballast, number, fill))
    height = min(held.height, hole.length)
    taken = hole.volume_behind(height)
    return Bed(hole.length - height, height, min(fill.volume / taken, 1.0), fill.volume)


def _against_the_ballast(
    build: Build, row: MendDone, hole: Hole, answered: float | None
) -> Place | None:
    """Where metal is put on the ballast's face towards the mouth, or taken from it."""
    found = None if row.hole is None else bed(build, row.hole, answered)
    if found is None:
        return None
    thick = row.depth.value if row.depth else 0.0
    inward = thick / 2.0 if row.kind == "remove" else -thick / 2.0
    return place_in_hole(build, hole, found.face + inward)


def _swapped(build: Build, row: MendDone, path: Path, wood: Uncertain | None) -> Change:
    items = build.hardware or ()
    number = row.hardware
    if number is None or number > len(items) or row.mass is None:
        return None, None, None
    old = items[number - 1]
    if row.off is not None:
        old = replace(old, mass=row.off)
    new = replace(old, mass=row.mass, density=row.density or old.density)
    before, after = (hardware_part(item, number - 1, wood) for item in (old, new))
    if before.mass is None or after.mass is None or before.volume is None or after.volume is None:
        return None, None, before.place
    doubt = bench_scale(build).reading(row.mass, (*path, "mass")) - row.mass.value
    if row.off is not None:
        doubt = doubt - (bench_scale(build).reading(row.off, (*path, "off")) - row.off.value)
    gained = after.mass - before.mass + old.count * doubt
    return gained, after.volume - before.volume, before.place
