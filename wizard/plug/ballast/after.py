"""After the ballast is in: why the plug weighs other than planned, and what remains to be done.

Each cause is worked out alone, as if it were the only one; each remedy likewise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from wizard.certainty import Uncertain
from wizard.plug.account import coat_density, coat_stage, hardware_density
from wizard.plug.ballast.parts import (
    ballast_density,
    filler_density,
    hole_volumes,
    holes_volume,
    is_hollow,
    pieces_mass,
    pieces_volume,
)
from wizard.plug.body.drawing import drawn_body
from wizard.plug.chances import hanging_band
from wizard.plug.derived import Derived
from wizard.plug.record import Ballast, Build
from wizard.plug.weightlog import LogLine, weight_log

CauseKind = Literal["more filler", "void", "deeper", "shallower", "piece", "pieces", "wood lost"]
RemedyKind = Literal["hardware", "coat", "ballast in", "ballast out"]

SLIP_OF_DEPTH = 2e-3
"""Depth that a hole is easily off by hand [m]: a judgement."""

SLIP_OF_PIECES = 0.05
"""Share by which weights are easily off their nominal mass [1]: from memory."""

SAME_PIECE = 0.15
"""Share of a piece within which a difference is taken for one piece more or less [1]."""

THICKEST_CHANGE = 0.3e-3
"""Film by which a coat can sensibly be changed [m]: a judgement."""


@dataclass(frozen=True, slots=True)
class Because:
    """One thing that would explain the difference by itself.

    Attributes:
        kind: which.
        amount: volume of filler, of void or of wood [m3], depth of every hole [m], how many
            pieces, or share of their mass [1].
        likely: whether that is within what happens at a bench.
    """

    kind: CauseKind
    amount: float
    likely: bool


@dataclass(frozen=True, slots=True)
class Remains:
    """One thing that would bring the plug back to its aim.

    Attributes:
        kind: which.
        name: of the coat; empty for the others.
        amount: mass to add, below zero to save [kg]; of a coat, film to add [m].
        sensible: whether it can be done.
    """

    kind: RemedyKind
    name: str
    amount: float
    sensible: bool


@dataclass(frozen=True, slots=True)
class AfterBallast:
    """What the scale says once the ballast is in.

    Attributes:
        planned: what the plug should have weighed [kg].
        actual: what it weighs [kg].
        gap: the difference [kg].
        agrees: whether that is within the doubt of both (k = 2).
        because: what would explain it, the likely first; empty where it agrees.
        lacking: how much heavier in water the finished plug would have to be [kg]; None
            where that is not known.
        band: how far off it may be [kg].
        remains: what would make up for it; empty where nothing need be done.
    """

    planned: Uncertain
    actual: Uncertain
    gap: Uncertain
    agrees: bool
    because: tuple[Because, ...]
    lacking: float | None
    band: float
    remains: tuple[Remains, ...]

    @property
    def on_course(self) -> bool:
        """Whether the plug will do what was asked if the rest goes as planned."""
        return self.lacking is not None and abs(self.lacking) <= self.band


def after_ballast(build: Build, derived: Derived) -> AfterBallast | None:
    """What the weighing with the ballast in says; None while there is none."""
    line = _weighing(build, derived)
    if line is None or line.planned is None or build.ballast is None:
        return None
    gap = line.actual - line.planned
    agrees = abs(gap.value) <= 2.0 * gap.u
    target = derived.value("target_mass")
    lacking = _lacking(derived)
    return AfterBallast(
        line.planned,
        line.actual,
        gap,
        agrees,
        () if agrees else tuple(_causes(build.ballast, derived, gap.value)),
        lacking,
        0.0 if target is None else hanging_band(build, target.value),
        () if lacking is None else tuple(_remedies(build, derived, lacking)),
    )


def _weighing(build: Build, derived: Derived) -> LogLine | None:
    lines = [one for one in weight_log(build, derived) if one.stage == "ballasted"]
    return lines[-1] if lines else None


def _lacking(derived: Derived) -> float | None:
    """N that the aim asks for less N as it will be [kg]."""
    target, neutral = derived.value("target_mass"), derived.value("neutral_mass")
    net = derived.value("net_in_water")
    if target is None or neutral is None or net is None:
        return None
    return target.value - neutral.value - net.value


# Why


def _causes(ballast: Ballast, derived: Derived, gap: float) -> Iterator[Because]:
    found = (*_filling(ballast, derived, gap), *_drilling(ballast, derived, gap))
    found = (*found, *_weights(ballast, gap))
    if gap < 0 and derived.wood.density is not None:
        found = (*found, Because("wood lost", -gap / derived.wood.density.value, False))
    yield from sorted(found, key=lambda one: not one.likely)


def _filling(ballast: Ballast, derived: Derived, gap: float) -> Iterator[Because]:
    """More filler than fits flush, or a void in it."""
    filler, holes, metal = filler_density(ballast), holes_volume(ballast), pieces_volume(ballast)
    if is_hollow(ballast) or not filler:
        return
    volume = gap / filler
    room = None if holes is None or metal is None else max(holes - metal, 0.0)
    if gap > 0:
        yield Because("more filler", volume, room is None or volume <= room)
    elif room is None or -volume <= room:
        yield Because("void", -volume, True)


def _drilling(ballast: Ballast, derived: Derived, gap: float) -> Iterator[Because]:
    """All holes deeper or less deep than planned, filled flush all the same."""
    filler, wood = filler_density(ballast), derived.wood.density
    widths = [hole.diameter.value for hole in ballast.hole if hole.diameter]
    if filler is None or wood is None or not widths or None in hole_volumes(ballast):
        return
    area = sum(math.pi / 4.0 * width**2 for width in widths)
    gained = (filler - wood.value) * area
    if abs(gained) < 1e-9:
        return
    depth = gap / gained
    yield Because("deeper" if depth > 0 else "shallower", abs(depth), abs(depth) <= SLIP_OF_DEPTH)


def _weights(ballast: Ballast, gap: float) -> Iterator[Because]:
    """A piece more or less than planned, or all of them off their mass."""
    whole, filler = pieces_mass(ballast), filler_density(ballast) or 0.0
    metal = ballast_density(ballast)
    if not whole or metal is None:
        return
    for piece in ballast.piece:
        density = piece.density.value if piece.density else metal
        each = piece.mass.value * (1.0 - filler / density) if piece.mass else 0.0
        if each and abs(abs(gap) - each) <= SAME_PIECE * each:
            yield Because("piece", math.copysign(1.0, gap), True)
            break
    share = gap / (whole * (1.0 - filler / metal))
    yield Because("pieces", share, abs(share) <= SLIP_OF_PIECES)


# What remains


def _remedies(build: Build, derived: Derived, lacking: float) -> Iterator[Remains]:
    target, water = derived.value("target_mass"), derived.water
    if target is None or water is None:
        return
    if abs(lacking) <= hanging_band(build, target.value):
        return
    rho = water.buoyant
    yield from _of_hardware(build, lacking, rho)
    yield from _of_coats(build, lacking, rho)
    ballast = build.ballast
    wood = derived.wood.density
    metal = None if ballast is None else ballast_density(ballast)
    if ballast is None or metal is None or wood is None:
        return
    if lacking > 0:
        yield Remains("ballast in", "", lacking / (1.0 - wood.value / metal), True)
        return
    filler = filler_density(ballast) or 0.0
    there = pieces_mass(ballast) or 0.0
    out = lacking / (1.0 - filler / metal)
    yield Remains("ballast out", "", out, -out <= there)


def _of_hardware(build: Build, lacking: float, rho: float) -> Iterator[Remains]:
    """Heavier or lighter hooks and rings: those that hang outside."""
    hung = [
        item
        for item in build.hardware or ()
        if item.mass and hardware_density(item) and not (item.outside and item.outside.value < 1.0)
    ]
    if not hung:
        return
    there = sum(item.count * item.mass.value for item in hung if item.mass)
    density = sum(hardware_density(item) or 0.0 for item in hung) / len(hung)
    change = lacking / (1.0 - rho / density)
    yield Remains("hardware", "", change, -0.5 * there <= change <= there)


def _of_coats(build: Build, lacking: float, rho: float) -> Iterator[Remains]:
    """A thicker or thinner film of each coat that is still to come and stays on the surface."""
    body = drawn_body(build)
    for coat in build.coat or ():
        density = coat_density(coat)
        if body is None or density is None or coat.thickness is None or coat.mass is not None:
            continue
        gained = body.area * (density - rho)
        if coat_stage(coat) == "ballasted" or abs(gained) < 1e-9:
            continue
        film = lacking / gained
        thin_enough = -coat.thickness.value <= film <= THICKEST_CHANGE
        yield Remains("coat", coat.name or "coat", film, thin_enough)
