"""The drawn body: stations along it, and what their integrals give.

At each station stand the top line, the bottom line and the half-breadth; between
stations each follows a shape-preserving cubic. A section is two superellipse
halves (`section`) that meet at the widest level z_w = z_bot + w (z_top - z_bot).
Areas and moments of a section are closed forms, and along the body they are
polynomials between two stations, so that Gauss-Legendre sums are exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wizard.physics import skin
from wizard.physics.curve import Curve, Numbers, highest, shape_preserving
from wizard.physics.section import Half, gauss

_ORDER = 7  # exact up to the twelfth degree, b c3
_TOP, _BOTTOM, _BREADTH = range(3)
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
        return Half(self.upper, 1.0 - self.flat_back)

    @cached_property
    def lower_half(self) -> Half:
        """The half below the widest level."""
        return Half(self.lower)


class Centre(NamedTuple):
    """A point on the centre plane: x aft of the nose, z above the baseline [m]."""

    x: float
    z: float


class SecondMoments(NamedTuple):
    """Second moments of volume about axes through the centroid [m5].

    `roll` is about x (integral of y2 + z2), `pitch` about y, `yaw` about z.
    """

    roll: float
    pitch: float
    yaw: float


class Cuts(NamedTuple):
    """Sections at several places: levels, half heights and half-breadths [m]."""

    x: Numbers
    bottom: Numbers
    widest: Numbers
    top: Numbers
    below: Numbers
    above: Numbers
    half_breadth: Numbers


@dataclass(frozen=True)
class Body:
    """A body through stations; make one with `Body.through`."""

    stations: tuple[Station, ...]
    section: Section

    @classmethod
    def through(cls, stations: Sequence[Station], section: Section | None = None) -> Body:
        """The body through at least two stations in order from nose to tail.

        Raises:
            ShapeError: fewer than two stations, stations out of order or
                repeated, top under bottom, a negative breadth, a number that is
                not finite, or no volume at all.
        """
        _refuse_the_impossible(stations)
        return cls(tuple(stations), section or Section())

    def scaled(self, girth: float) -> Body:
        """The body with every height above the baseline and every breadth times `girth`.

        The length stays; the volume goes with the square.
        """
        return replace(
            self,
            stations=tuple(
                Station(s.x, s.top * girth, s.bottom * girth, s.half_breadth * girth)
                for s in self.stations
            ),
        )

    # Lines ----------------------------------------------------------------

    @cached_property
    def curve(self) -> Curve:
        """Top line, bottom line and half-breadth over x, in that order [m]."""
        rows = np.array([(s.x, s.top, s.bottom, s.half_breadth) for s in self.stations])
        return shape_preserving(rows[:, 0], rows[:, 1:])

    @property
    def nose(self) -> float:
        """Where the first station stands [m]."""
        return self.stations[0].x

    @property
    def tail(self) -> float:
        """Where the last station stands [m]."""
        return self.stations[-1].x

    @property
    def length(self) -> float:
        """From the first station to the last [m]."""
        return self.tail - self.nose

    def top(self, x: ArrayLike) -> Numbers:
        """Height of the top line above the baseline at x [m]."""
        return np.asarray(self.curve(x)[..., _TOP])

    def bottom(self, x: ArrayLike) -> Numbers:
        """Height of the bottom line above the baseline at x [m]."""
        return np.asarray(self.curve(x)[..., _BOTTOM])

    def half_breadth(self, x: ArrayLike) -> Numbers:
        """Half of the widest breadth at x [m]."""
        return np.asarray(self.curve(x)[..., _BREADTH])

    @cached_property
    def height(self) -> float:
        """The greatest height from bottom to top [m]."""
        c = self.curve.coefficients
        return highest(c[..., _TOP] - c[..., _BOTTOM], np.diff(self.curve.knots))

    @cached_property
    def breadth(self) -> float:
        """The greatest breadth, both sides [m]."""
        return 2.0 * max(s.half_breadth for s in self.stations)

    # Sections -------------------------------------------------------------

    def cuts(self, x: ArrayLike) -> Cuts:
        """The sections at x."""
        at = np.asarray(x, dtype=float)
        return self.cuts_of(at, self.curve(at))

    def cuts_of(self, x: Numbers, lines: Numbers) -> Cuts:
        """Sections whose top, bottom and half-breadth are known, shape (..., 3)."""
        top, bottom, half_breadth = lines[..., _TOP], lines[..., _BOTTOM], lines[..., _BREADTH]
        below = self.section.widest * (top - bottom)
        widest = bottom + below
        return Cuts(x, bottom, widest, top, below, top - widest, half_breadth)

    def section_area(self, x: ArrayLike) -> Numbers:
        """Area of the whole section at x, 0 beyond the ends [m2]."""
        at = np.asarray(x, dtype=float)
        beyond = (at < self.nose) | (at > self.tail)
        return np.where(beyond, 0.0, self._area(self.cuts(at)))

    def half_breadth_at(self, x: ArrayLike, z: ArrayLike) -> Numbers:
        """From the centre line to the skin at x and height z, 0 where there is no wood [m]."""
        at, level = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(z, dtype=float))
        breadth = self.breadth_of(self.cuts(at), level)
        return np.where((at < self.nose) | (at > self.tail), 0.0, breadth)

    def inside(self, x: ArrayLike, y: ArrayLike, z: ArrayLike) -> NDArray[np.bool_]:
        """Whether points lie in the wood or on its skin."""
        at, side, level = (np.asarray(v, dtype=float) for v in (x, y, z))
        cut = self.cuts(at)
        within = (at >= self.nose) & (at <= self.tail)
        within &= (level >= cut.bottom) & (level <= cut.top)
        return np.asarray(within & (np.abs(side) <= self.breadth_of(cut, level)))

    def breadth_of(self, cut: Cuts, level: Numbers) -> Numbers:
        """Half-breadths of sections at a level of each, 0 above and below them [m]."""
        down, up = fractions(cut, level)
        y = np.where(
            level < cut.widest,
            self.section.lower_half.breadth(down),
            self.section.upper_half.breadth(up),
        )
        wood = (level >= cut.bottom) & (level <= cut.top)
        return np.where(wood, cut.half_breadth * y, 0.0)

    # Integrals ------------------------------------------------------------

    @cached_property
    def volume(self) -> float:
        """Volume of the drawn body [m3]."""
        cut, w = self._gauss_cuts
        return float(np.sum(w * self._area(cut)))

    @cached_property
    def centroid(self) -> Centre:
        """Centroid of the volume."""
        cut, w = self._gauss_cuts
        x = np.sum(w * self._area(cut) * cut.x) / self.volume
        z = np.sum(w * (self._area(cut) * cut.widest + self._moment(cut))) / self.volume
        return Centre(float(x), float(z))

    @cached_property
    def second_moments(self) -> SecondMoments:
        """Second moments of the volume about its centroid; times the density, inertia."""
        cut, w = self._gauss_cuts
        lower, upper = self.section.lower_half, self.section.upper_half
        area, b = self._area(cut), cut.half_breadth
        x, arm = cut.x - self.centroid.x, cut.widest - self.centroid.z
        yy = 2 * b**3 * (cut.above * upper.second_breadth + cut.below * lower.second_breadth)
        zz = 2 * b * (cut.above**3 * upper.second_height + cut.below**3 * lower.second_height)
        zz += 2 * arm * self._moment(cut) + arm**2 * area
        xx = x**2 * area
        total = [float(np.sum(w * v)) for v in (yy + zz, xx + zz, xx + yy)]
        return SecondMoments(*total)

    @property
    def area(self) -> float:
        """Area of the skin, slant and flat end faces included [m2]."""
        return self._skin[0]

    @property
    def skin_centroid(self) -> Centre:
        """Centroid of the skin: where an even coat has its weight."""
        return Centre(*self._skin[1:])

    @cached_property
    def _skin(self) -> tuple[float, float, float]:
        area, x_moment, z_moment = skin.integrals(self)
        return area, x_moment / area, z_moment / area

    @cached_property
    def _gauss_cuts(self) -> tuple[Cuts, Numbers]:
        x, w = self.abscissae(_ORDER)
        return self.cuts(x), w

    def abscissae(self, order: int) -> tuple[Numbers, Numbers]:
        """Places and weights for integrals along the body, `order` between two stations [m]."""
        s, w = gauss(order)
        knots = self.curve.knots
        half = np.diff(knots)[:, np.newaxis] / 2
        middle = (knots[1:] + knots[:-1])[:, np.newaxis] / 2
        return (middle + half * s).ravel(), (half * w).ravel()

    def _area(self, cut: Cuts) -> Numbers:
        lower, upper = self.section.lower_half, self.section.upper_half
        return 2 * cut.half_breadth * (cut.above * upper.area + cut.below * lower.area)

    def _moment(self, cut: Cuts) -> Numbers:
        """First moment of sections about their widest level, up positive [m3]."""
        lower, upper = self.section.lower_half, self.section.upper_half
        return 2 * cut.half_breadth * (cut.above**2 * upper.moment - cut.below**2 * lower.moment)

    # Surface --------------------------------------------------------------

    def mesh(self, n_along: int = 200, n_around: int = 96) -> tuple[Numbers, skin.Indices]:
        """The skin as triangles, watertight and facing outward.

        Args:
            n_along: intervals along the body, closer towards its ends.
            n_around: points around a section, at least 8; a few more where the
                halves differ or the back is flat.

        Returns:
            Vertices (n, 3) as x, y, z [m], y to port, and faces (m, 3) as
            indices of vertices.
        """
        return skin.mesh(self, n_along, n_around)


def fractions(cut: Cuts, level: Numbers) -> tuple[Numbers, Numbers]:
    """How far a level lies down the lower and up the upper half, each 0 to 1."""
    rise = level - cut.widest
    down = np.clip(-rise / np.maximum(cut.below, 1e-300), 0.0, 1.0)
    up = np.clip(rise / np.maximum(cut.above, 1e-300), 0.0, 1.0)
    return down, up


def _refuse_the_impossible(stations: Sequence[Station]) -> None:
    if len(stations) < 2:
        raise ShapeError(None, "stations", "a body needs at least two stations")
    for i, station in enumerate(stations):
        for field in ("x", "top", "bottom", "half_breadth"):
            if not math.isfinite(getattr(station, field)):
                raise ShapeError(i, field, f"station {i + 1}: a finite number is expected")
        if i and station.x == stations[i - 1].x:
            raise ShapeError(i, "x", f"station {i + 1} repeats the x of the station before it")
        if i and station.x < stations[i - 1].x:
            raise ShapeError(i, "x", f"station {i + 1} lies ahead of the station before it")
        if station.top < station.bottom:
            raise ShapeError(i, "top", f"station {i + 1}: the top line is below the bottom line")
        if station.half_breadth < 0:
            raise ShapeError(i, "half_breadth", f"station {i + 1}: the half-breadth is negative")
    if all(s.half_breadth == 0 for s in stations):
        raise ShapeError(None, "half_breadth", "no station has any breadth")
    if all(s.top == s.bottom for s in stations):
        raise ShapeError(None, "top", "no station has any height")
