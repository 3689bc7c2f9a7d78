"""What a build needs before it is begun: to buy, to cut and to lay out on the bench.

Amounts follow from the same list of parts as every other number; where nothing is
weighed yet, from what the build is expected to come to.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from wizard.plug.ballast.backfill import WASTE, backfill
from wizard.plug.ballast.parts import (
    DEFAULT_FILLER,
    DEFAULT_METAL,
    ballast_density,
    metal_of_piece,
    pieces_mass,
)
from wizard.plug.body.blank import Box, blank
from wizard.plug.coats.amounts import Amount, amount
from wizard.plug.coats.proposing import with_every_coat
from wizard.plug.derived import Derived
from wizard.plug.onward.expecting import Expectation
from wizard.plug.record import Ballast, Build, Hardware, Piece
from wizard.quantity.reading import Quantity

SAW_CUT = 3e-3
"""Wood that one saw cut takes [m]: common practice, no source."""

VOLATILE_DENSITY = 900.0
"""Of what leaves a drying coat [kg/m3]: solvents 800 to 900, water 1000; from memory."""

PAPERS = (
    ("120, then 180", "to shape and fair the body"),
    ("240", "before the sealer"),
    ("320 to 400", "between coats, only where a coat must be keyed"),
)
"""Grits of abrasive paper and what for: common practice, no source."""

Kind = Literal["board", "ballast", "backfill", "drill", "hardware", "coat", "paper"]


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that a build needs.

    Attributes:
        kind: which shelf of the shop it is from.
        what: its name, as typed or from the table.
        count: how many, of things that are counted; else 1.
        sides: of a board: the block to square for one plug, and the length to cut for all.
        mass: how much of it [kg]; of hardware, of one; None if unknown or not weighed.
        volume: how much of it as poured [m3]; None if unknown or not poured.
        size: diameter of a drill, as typed.
        parts: resin and hardener [kg], where the tin's ratio is known.
        note: what to mind.
    """

    kind: Kind
    what: str
    count: int = 1
    sides: tuple[Box, float] | None = None
    mass: float | None = None
    volume: float | None = None
    size: Quantity | None = None
    parts: tuple[float, float] | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Needs:
    """All that so many plugs of one plan need.

    Attributes:
        copies: how many plugs.
        items: in the order of the bench.
        assumed: what was not measured yet, in words.
        unknown: what can't be told yet, in words.
    """

    copies: int
    items: tuple[Need, ...]
    assumed: tuple[str, ...]
    unknown: tuple[str, ...]


def needs(build: Build, derived: Derived, to_come: Expectation | None, copies: int = 1) -> Needs:
    """What a build needs.

    Args:
        build: the record.
        derived: what follows from it.
        to_come: what it is expected to come to; None where that is not known.
        copies: how many plugs are made to this plan.
    """
    reckoned = to_come.derived if to_come is not None else derived
    assumed = to_come.assumed if to_come is not None else ()
    items = (
        *_board(build, copies),
        *_ballast(build, reckoned, copies),
        *_drills(build),
        *_hardware(build, copies),
        *_coats(build, copies),
        *(Need("paper", grit, note=why) for grit, why in PAPERS),
    )
    return Needs(copies, items, assumed, tuple(_unknown(build, items)))


def _board(build: Build, copies: int) -> Iterator[Need]:
    squared = blank(build)
    if squared is None:
        return
    sides = squared.sides
    length = copies * sides.length + max(copies - 1, 0) * SAW_CUT
    note = "" if squared.allowance is not None else "no allowance for saw and sander is counted"
    yield Need("board", build.stock.wood or "wood", copies, (sides, length), note=note)


def _ballast(build: Build, derived: Derived, copies: int) -> Iterator[Need]:
    ballast = build.ballast
    if ballast is None:
        return
    metal = ballast.metal or DEFAULT_METAL
    if pieces_mass(ballast) is not None:
        alike: dict[tuple[str, float], int] = {}
        for piece in ballast.piece:
            if piece.mass is not None:
                kind = _piece_words(piece, ballast), piece.mass.value
                alike[kind] = alike.get(kind, 0) + copies * piece.count
        for (what, mass), count in alike.items():
            yield Need("ballast", what, count, mass=mass)
    else:
        answer = derived.value("ballast_mass")
        if answer is not None and answer.value > 0:
            density = ballast_density(ballast)
            volume = None if density is None else copies * answer.value / density
            yield Need("ballast", metal, mass=copies * answer.value, volume=volume)
    yield from _backfill(build, ballast, derived, copies)


def _piece_words(piece: Piece, ballast: Ballast) -> str:
    """A piece's metal, which may be another than the build's, and what the maker calls it."""
    metal = metal_of_piece(piece, ballast)
    return f"{metal}, {piece.name}" if piece.name else metal


def _backfill(build: Build, ballast: Ballast, derived: Derived, copies: int) -> Iterator[Need]:
    found = backfill(build)
    if found is not None and found.hollow:
        yield Need("backfill", found.filler, copies * len(ballast.hole), note="dowels over hollows")
        return
    poured = [p.mass.value for p in derived.parts if p.sort == "backfill" and p.mass is not None]
    mass = found.mass if found is not None and found.mass is not None else sum(poured)
    if mass <= 0:
        return
    waste = found.waste if found is not None else WASTE
    mixed = None
    if found is not None and found.resin_mass is not None and found.hardener_mass is not None:
        mixed = (copies * found.resin_mass, copies * found.hardener_mass)
    yield Need(
        "backfill",
        ballast.filler or DEFAULT_FILLER,
        mass=copies * mass * (1 + waste),
        parts=mixed,
        note=f"{100 * waste:.0f} % more than it fills, for the cup",
    )


def _drills(build: Build) -> Iterator[Need]:
    """Each drill once, from small to large."""
    holes = build.ballast.hole if build.ballast else ()
    sizes = {hole.diameter.value: hole.diameter for hole in holes if hole.diameter}
    for _, diameter in sorted(sizes.items()):
        yield Need("drill", "drill", size=diameter)


def _hardware(build: Build, copies: int) -> Iterator[Need]:
    """Each kind once; where those of a kind were weighed, what one weighs on the mean."""
    kinds: dict[str, list[Hardware]] = {}
    for row, item in enumerate(build.hardware or ()):
        kinds.setdefault(item.name or f"hardware {row + 1}", []).append(item)
    for name, items in kinds.items():
        count = sum(item.count for item in items)
        weighed = [item.count * item.mass.value for item in items if item.mass is not None]
        mass = sum(weighed) / count if len(weighed) == len(items) else None
        yield Need("hardware", name, copies * count, mass=mass)


def _coats(build: Build, copies: int) -> Iterator[Need]:
    """Each coat as the timetable has it mixed, its operation or else the one it would get."""
    planned = with_every_coat(build)
    laying = {row.coat: row for row in reversed(planned.operation)}
    for n, coat in enumerate(build.coat or (), start=1):
        name = coat.name or f"coat {n}"
        found = amount(planned, laying[n]) if n in laying else None
        yield Need("coat", name) if found is None else _liquid(name, found, copies / found.plugs)


def _liquid(name: str, found: Amount, times: float) -> Need:
    """What of the tin becomes that film, with what is lost beside it."""
    mass, mixed = found.liquid_mass, found.batch
    if mass is None and found.film_mass is not None:
        volatile = found.skin.area * (found.wet_film - found.dry_film)
        one = found.film_mass + VOLATILE_DENSITY * volatile
        mass = found.plugs * one * (1 + found.loss)
    told = [f"lost beside the plug: {100 * found.loss:.0f} % of what stays on"]
    told += [f"skin estimated from {found.skin.basis}"] if found.skin.estimated else []
    told += ["typical: the tin wins"] if found.typical else []
    return Need(
        "coat",
        name,
        mass=None if mass is None else times * mass,
        volume=times * found.liquid_volume,
        parts=None if mixed is None else (times * mixed.resin_mass, times * mixed.hardener_mass),
        note="; ".join(told),
    )


def _unknown(build: Build, items: tuple[Need, ...]) -> Iterator[str]:
    kinds = {item.kind for item in items}
    if "board" not in kinds:
        yield "the board: length, height and thickness of the body are not given"
    if build.ballast is None:
        yield "the ballast: its step is not begun"
    elif "ballast" not in kinds:
        yield "the weight of the ballast: it waits for wood, water, aim, hardware and coats"
    if build.hardware is None:
        yield "the hardware: not answered"
    if build.coat is None:
        yield "the coats: not answered"
    elif any(item.kind == "coat" and item.mass is None for item in items):
        yield "grams of every coat: the size of the body is needed"
