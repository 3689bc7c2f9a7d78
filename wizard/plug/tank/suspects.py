"""What the weight in water rests on, part by part: how far each may be off, and what that does.

A doubt that the maker stated is in the numbers already. What nobody states, films, drilled
holes, hardware off the shelf, is assumed here, each with the reason beside it; it counts when
sum and tank are laid side by side, and is named as assumed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from wizard.certainty import Cause, Uncertain, exact, measured, total
from wizard.physics.parts import mass, volume
from wizard.plug.account import account, body_mass, whole_plug
from wizard.plug.ballast.parts import hole_ratio, holes_volume, pieces_mass
from wizard.plug.density.witnesses import BOARD
from wizard.plug.density.wood import WoodTest
from wizard.plug.doubts import bench_scale
from wizard.plug.paths import Path, words
from wizard.plug.record import Ballast, Build
from wizard.quantity.reading import Quantity

COAT, HOLE, HARDWARE, BALLAST = 0.30, 0.05, 0.03, 0.01
"""Relative standard uncertainties where none can be stated [1]: judgements, no source."""

SCALE = 0.03e-3
"""Standard uncertainty of a weighing where nothing is stated of the scale [kg]: a judgement."""

_NUDGE = 1e-4


@dataclass(frozen=True, slots=True)
class Suspect:
    """One thing that the weight in water rests on.

    Attributes:
        what: in words.
        path: where it stands.
        unit: to show it in, a key of `numbers.SCALE`.
        value: as taken, in the core's SI unit.
        doubt: its standard uncertainty, stated and assumed together.
        assumed: the part of that doubt which nobody stated.
        because: the reason for that part; empty where all is stated.
        mass: what one unit more of it does to M [kg per unit].
        volume: what it does to V [m3 per unit].
        larger: the record and the wood's density [kg/m3] with it larger by a share.
    """

    what: str
    path: Path
    unit: str
    value: float
    doubt: float
    assumed: float
    because: str
    mass: float
    volume: float
    larger: Callable[[float], tuple[Build, float]] | None = None

    def slope_of(self, answer: Callable[[Build, float], float | None]) -> float:
        """What one unit more of it does to any answer of a record and a wood; 0 if unknown."""
        if self.larger is None:
            return 0.0
        now, after = answer(*self.larger(0.0)), answer(*self.larger(_NUDGE))
        return 0.0 if now is None or after is None else (after - now) / (_NUDGE * self.value)

    def net(self, buoyant: float) -> float:
        """What one unit more of it does to N, in water less air [kg per unit]."""
        return self.mass - buoyant * self.volume


@dataclass(frozen=True, slots=True)
class _Doubt:
    """A suspect before it is known what it does: how to make it larger by a share."""

    what: str
    path: Path
    unit: str
    value: float
    stated: float
    assumed: float
    because: str
    larger: Callable[[float], tuple[Build, float]]


def suspects(build: Build, wood: WoodTest, answered: float | None) -> tuple[Suspect, ...]:
    """All that M and V of the finished plug rest on; empty while they are not known.

    Args:
        build: the record.
        wood: the density test.
        answered: the full answer for the ballast [kg], where no pieces are laid out.
    """
    if wood.density is None:
        return ()
    now = _balance(build, wood.density.value, answered)
    if now is None:
        return ()
    return tuple(_weighed_up(doubt, now, answered) for doubt in _doubts(build, wood, answered))


def assumed_part(found: tuple[Suspect, ...], slope: Callable[[Suspect], float]) -> Uncertain:
    """The assumed doubts of all suspects as one value of zero, each by its own slope."""
    return total(
        measured(0.0, slope(s) * s.assumed, Cause(words(s.path), "assumed"))
        if slope(s) > 0
        else -measured(0.0, -slope(s) * s.assumed, Cause(words(s.path), "assumed"))
        for s in found
    )


def _balance(build: Build, wood: float, answered: float | None) -> tuple[float, float] | None:
    """M [kg] and V [m3] of the finished plug."""
    if build.ballast is None:
        return None
    parts = whole_plug(build, account(build, exact(wood)), answered)
    M, V = mass(parts), volume(parts)
    return None if M is None or V is None else (M.value, V.value)


def _weighed_up(doubt: _Doubt, now: tuple[float, float], answered: float | None) -> Suspect:
    changed, wood = doubt.larger(_NUDGE)
    ballast = answered
    if doubt.path == ("ballast",) and answered is not None:
        ballast = answered * (1.0 + _NUDGE)
    after = _balance(changed, wood, ballast)
    assert after is not None
    step = _NUDGE * doubt.value
    return Suspect(
        doubt.what,
        doubt.path,
        doubt.unit,
        doubt.value,
        math.hypot(doubt.stated, doubt.assumed),
        doubt.assumed,
        doubt.because,
        (after[0] - now[0]) / step,
        (after[1] - now[1]) / step,
        doubt.larger,
    )


def _doubts(build: Build, wood: WoodTest, answered: float | None) -> Iterator[_Doubt]:
    assert wood.density is not None
    rho = wood.density.value
    yield _of_wood(build, wood, wood.density)
    weighed = body_mass(build)
    if weighed is not None:
        yield _of_scale(build, wood, rho, weighed)
    coats = _coats_mass(build, rho)
    if coats:
        yield _of_coats(build, rho, coats)
    if build.ballast is not None:
        yield from _of_holes(build, build.ballast, rho, answered)
    hung = sum(i.count * i.mass.value for i in build.hardware or () if i.mass)
    if hung:
        yield _Doubt(
            "all hardware", ("hardware",), "g", hung, 0.0, HARDWARE * hung,
            "hooks of one make differ by a few per cent", lambda h: (_heavier(build, h), rho),
        )  # fmt: skip


def _of_wood(build: Build, wood: WoodTest, density: Uncertain) -> _Doubt:
    """Density of the wood; one sample says nothing of the board's scatter."""
    rho = density.value
    of_the_body = any(s.method == "body" for s in build.density.sample)
    lone = len(wood.samples) < 2 and build.density.board_scatter is None and not of_the_body
    known = wood.basis == "samples" and wood.samples
    carried = known and all(
        build.density.sample[int(s.path[2])].method == "known" for s in wood.samples
    )
    scatter = BOARD * rho if lone and not carried else 0.0
    because = "one piece says nothing of the rest of its board" if scatter else ""
    return _Doubt(
        "density of the wood", ("density", "sample"), "g/mL", rho, density.u, scatter, because,
        lambda h: (build, rho * (1.0 + h)),
    )  # fmt: skip


def _of_scale(build: Build, wood: WoodTest, rho: float, weighed: Uncertain) -> _Doubt:
    """All weighings of body and plug on one scale."""
    stated = bench_scale(build).reading(Quantity("", weighed.value, "mass", "g"), ("weighing",)).u
    of_the_body = any(s.method == "body" for s in build.density.sample)

    def larger(h: float) -> tuple[Build, float]:
        step = h * weighed.value
        at = build.weighing
        rows = tuple(replace(row, mass=_more(row.mass, step)) for row in build.weight)
        heavier = replace(build, weighing=replace(at, mass=_more(at.mass, step)), weight=rows)
        return heavier, rho * (1.0 + h) if of_the_body else rho

    assumed = 0.0 if stated > 0 else SCALE
    because = "nothing is stated of the scale" if assumed else ""
    path: Path = ("weighing", "mass")
    return _Doubt("the scale", path, "g", weighed.value, stated, assumed, because, larger)


def _more(quantity: Quantity | None, step: float) -> Quantity | None:
    return None if quantity is None else replace(quantity, value=quantity.value + step)


def _times(quantity: Quantity | None, factor: float) -> Quantity | None:
    return None if quantity is None else replace(quantity, value=quantity.value * factor)


def _coats_mass(build: Build, rho: float) -> float:
    films = account(build, exact(rho)).of("coat")
    return sum(p.mass.value for p in films if p.mass is not None)


def _of_coats(build: Build, rho: float, whole: float) -> _Doubt:
    """All films; a weighed one is as good as the scale, before and after."""
    films = account(build, exact(rho)).of("coat")
    pairs = list(zip(films, build.coat or (), strict=True))
    planned = sum(p.mass.value for p, coat in pairs if p.mass and coat.mass is None)
    weighed = sum(1 for _, coat in pairs if coat.mass is not None)
    step = math.sqrt(2.0 * weighed) * (bench_scale(build).step / math.sqrt(12.0) or SCALE)
    assumed = math.hypot(COAT * planned, step)

    def larger(h: float) -> tuple[Build, float]:
        thicker = tuple(
            replace(c, mass=_times(c.mass, 1.0 + h), thickness=_times(c.thickness, 1.0 + h))
            for c in build.coat or ()
        )
        return replace(build, coat=thicker), rho

    because = "a film is met to about a third" if planned else "each weighed before and after"
    return _Doubt("all coats", ("coat",), "g", whole, 0.0, assumed, because, larger)


def _of_holes(
    build: Build, ballast: Ballast, rho: float, answered: float | None
) -> Iterator[_Doubt]:
    laid_out, metal = pieces_mass(ballast), answered
    drilled = holes_volume(ballast)
    if drilled:

        def wider(h: float) -> tuple[Build, float]:
            factor = ballast.hole_factor.value if ballast.hole_factor else 1.0
            new = Quantity("", factor * (1.0 + h), "number", "")
            return replace(build, ballast=replace(ballast, hole_factor=new)), rho

        yield _Doubt(
            "drilled holes", ("ballast", "hole"), "mL", drilled, 0.0, HOLE * drilled,
            "a drill wanders and breaks out", wider,
        )  # fmt: skip
    elif hole_ratio(ballast) != 1.0:

        def roomier(h: float) -> tuple[Build, float]:
            new = Quantity("", hole_ratio(ballast) * (1.0 + h), "number", "")
            return replace(build, ballast=replace(ballast, hole_ratio=new)), rho

        q = hole_ratio(ballast)
        yield _Doubt(
            "hole volume per ballast volume", ("ballast", "hole_ratio"), "1", q, 0.0, HOLE * q,
            "a drill wanders and breaks out", roomier,
        )  # fmt: skip
    lead = laid_out if laid_out is not None else metal
    if lead:

        def heavier(h: float) -> tuple[Build, float]:
            pieces = tuple(replace(p, mass=_times(p.mass, 1.0 + h)) for p in ballast.piece)
            return replace(build, ballast=replace(ballast, piece=pieces)), rho

        yield _Doubt(
            "the ballast", ("ballast",), "g", lead, 0.0, BALLAST * lead,
            "pieces are weighed together or one for all", heavier,
        )  # fmt: skip


def _heavier(build: Build, h: float) -> Build:
    items = tuple(replace(i, mass=_times(i.mass, 1.0 + h)) for i in build.hardware or ())
    return replace(build, hardware=items)
