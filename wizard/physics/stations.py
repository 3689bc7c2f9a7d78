"""What a drawing is made of: stations, how a section is filled, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wizard.physics.section import Half

_APART = 1e-6  # of the length; nearer stations are one
_SQUAREST = 1e9  # beyond it the powers of a section lose their digits


class ShapeError(ValueError):
    """A shape that no body can have.

    Attributes:
        station_index: which station, counted from 0, or None for the whole body.
        field: the field of `Station` or `Section` that is wrong, or "stations".
        message: what is wrong and what is expected, for the maker.
    """

    def __init__(self, station_index: int | None, field: str, message: str) -> None:
        super().__init__(station_index, field, message)
        self.station_index = station_index
        self.field = field
        self.message = message

    def __str__(self) -> str:
        return self.message


@dataclass(frozen=True)
class Station:
    """One cut across the body.

    Attributes:
        x: aft of the nose [m].
        top: top line above the baseline [m].
        bottom: bottom line above the baseline [m].
        half_breadth: half of the widest breadth [m].
    """

    x: float
    top: float
    bottom: float
    half_breadth: float


@dataclass(frozen=True)
class Section:
    """How a section is filled between its top, bottom and half-breadth.

    Attributes:
        widest: height of the widest level as a fraction from bottom to top, 0 < w < 1.
        upper: superellipse exponent of the upper half, >= 1 (2 is an ellipse).
        lower: of the lower half.
        flat_back: fraction of the upper half's full height that is planed off
            flat, 0 <= f < 1. The top line is where the flat lies.
    """

    widest: float = 0.45
    upper: float = 2.0
    lower: float = 2.0
    flat_back: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 < self.widest < 1.0:
            raise ShapeError(None, "widest", "the widest level lies between bottom and top: 0 to 1")
        for field in ("upper", "lower"):
            if not 1.0 <= getattr(self, field) <= _SQUAREST:
                raise ShapeError(None, field, "an exponent is 1 (a wedge), 2 (an ellipse) or more")
        if not 0.0 <= self.flat_back < 1.0:
            raise ShapeError(None, "flat_back", "a flat back takes 0 to less than 1 of the half")

    @cached_property
    def upper_half(self) -> Half:
        """The half above the widest level."""
        from wizard.physics.section import Half

        return Half(self.upper, 1.0 - self.flat_back)

    @cached_property
    def lower_half(self) -> Half:
        """The half below the widest level."""
        from wizard.physics.section import Half

        return Half(self.lower)


def misplaced(index: int, before: float, x: float, least: float = 0.0) -> ShapeError | None:
    """What is wrong with where a station stands, after the one before it; None if nothing.

    Args:
        index: which station, counted from 0.
        before: x of the station before it [m].
        x: of this one [m].
        least: how far apart two stations must be [m].
    """
    if x < before:
        text = f"station {index + 1} lies ahead of the station before it"
    elif x - before <= least:
        text = f"station {index + 1} repeats the x of the station before it"
    else:
        return None
    return ShapeError(index, "x", text)


def crossed(index: int, top: float, bottom: float) -> ShapeError | None:
    """What is wrong with the lines at a station; None if nothing."""
    if top >= bottom:
        return None
    return ShapeError(index, "top", f"station {index + 1}: the top line is below the bottom line")


def refuse_the_impossible(stations: Sequence[Station]) -> None:
    """Raise the `ShapeError` of the first station that cannot be."""
    if len(stations) < 2:
        raise ShapeError(None, "stations", "a body needs at least two stations")
    least = _APART * abs(stations[-1].x - stations[0].x)
    for i, station in enumerate(stations):
        for field in ("x", "top", "bottom", "half_breadth"):
            if not math.isfinite(getattr(station, field)):
                raise ShapeError(i, field, f"station {i + 1}: a finite number is expected")
        wrong = misplaced(i, stations[i - 1].x, station.x, least) if i else None
        wrong = wrong or crossed(i, station.top, station.bottom)
        if wrong is not None:
            raise wrong
        if station.half_breadth < 0:
            raise ShapeError(i, "half_breadth", f"station {i + 1}: the half-breadth is negative")
    if all(s.half_breadth == 0 for s in stations):
        raise ShapeError(None, "half_breadth", "no station has any breadth")
    if all(s.top == s.bottom for s in stations):
        raise ShapeError(None, "top", "no station has any height")
