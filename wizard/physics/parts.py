"""Everything is a part: the list from which every number comes.

A part has a mass, an outside volume (the water that it pushes aside) and a
place. Mass, displaced volume, centre of gravity (CG) and centre of buoyancy
(CB) are sums over the list.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from wizard.certainty import Uncertain, exact, total, weighted

Stage = Literal["bare", "ballasted", "sealed", "coated", "finished", "mended"]
ORDER: tuple[Stage, ...] = ("bare", "ballasted", "sealed", "coated", "finished", "mended")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a part's mass and volume act: x aft of the nose, z above the baseline [m]."""

    x: float
    z: float
    y: float = 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the finished plug.

    Attributes:
        name: what it is, for the eye.
        sort: body, hole, ballast, backfill, hardware, coat, mend or weighing.
        mass: [kg], scale reading in air; negative for wood taken out; None if unknown.
        volume: outside volume [m3]; None if unknown.
        place: None if unknown.
        stage: the first stage at which it is on the plug.
    """

    name: str
    sort: str
    mass: Uncertain | None
    volume: Uncertain | None
    place: Place | None
    stage: Stage


def mass(parts: Iterable[Part]) -> Uncertain | None:
    """Total mass [kg]; None if any part's mass is unknown."""
    masses = [part.mass for part in parts]
    return None if any(m is None for m in masses) else total(m for m in masses if m is not None)


def volume(parts: Iterable[Part]) -> Uncertain | None:
    """Total outside volume [m3]; None if any part's volume is unknown."""
    volumes = [part.volume for part in parts]
    return None if any(v is None for v in volumes) else total(v for v in volumes if v is not None)


def _centre(weights: Sequence[Uncertain | None], places: Sequence[Place | None]) -> Point | None:
    """Weighted mean place; a part of no weight may be anywhere."""
    pairs: list[tuple[Uncertain, Place]] = []
    for weight, place in zip(weights, places, strict=True):
        if weight is None:
            return None
        if weight.value == 0 and weight.u == 0:
            continue
        if place is None:
            return None
        pairs.append((weight, place))
    whole = total(weight for weight, _ in pairs)
    if whole.value == 0:
        return None
    return Point(
        weighted((weight, place.x) for weight, place in pairs) / whole,
        weighted((weight, place.z) for weight, place in pairs) / whole,
        weighted((weight, place.y) for weight, place in pairs) / whole,
    )


@dataclass(frozen=True, slots=True)
class Point:
    """A centre with its doubt: x aft, z up, y to port [m]."""

    x: Uncertain
    z: Uncertain
    y: Uncertain


def centre_of_gravity(parts: Sequence[Part]) -> Point | None:
    """CG; None if any part's mass or place is unknown."""
    return _centre([p.mass for p in parts], [p.place for p in parts])


def centre_of_buoyancy(parts: Sequence[Part]) -> Point | None:
    """CB of the whole plug under water; None if any part's volume or place is unknown."""
    return _centre([p.volume for p in parts], [p.place for p in parts])


def weighed(parts: Sequence[Part], stage: Stage, reading: Uncertain) -> tuple[Part, ...]:
    """The list corrected so that all on the plug at a stage weighs what the scale said.

    The difference enters as a part of its own without outside volume, at the
    CG of what was on the plug; parts that came later add to it. A part whose
    mass was not known is in the reading.
    """
    on_then = [p for p in parts if ORDER.index(p.stage) <= ORDER.index(stage)]
    later = [p for p in parts if ORDER.index(p.stage) > ORDER.index(stage)]
    predicted = mass(on_then)
    if predicted is None:
        known = [p for p in on_then if p.mass is not None]
        predicted = mass(known)
        on_then = [
            p
            if p.mass is not None
            else Part(p.name, p.sort, exact(0.0), p.volume, p.place, p.stage)
            for p in on_then
        ]
    assert predicted is not None
    centre = centre_of_gravity(on_then)
    place = None if centre is None else Place(centre.x.value, centre.z.value, centre.y.value)
    gap = Part("weighed difference", "weighing", reading - predicted, exact(0.0), place, stage)
    return (*on_then, gap, *later)
