"""The drawn body: stations along it, and what their integrals give.

At each station stand the top line, the bottom line and the half-breadth; between
stations each follows a shape-preserving cubic. A section is two superellipse
halves (`section`) that meet at the widest level z_w = z_bot + w (z_top - z_bot).
Areas and moments of a section are closed forms, and along the body they are
polynomials between two stations, so that Gauss-Legendre sums are exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wizard.physics import skin
from wizard.physics.curve import Curve, Numbers, highest, shape_preserving
from wizard.physics.section import gauss
from wizard.physics.stations import Section, ShapeError, Station, refuse_the_impossible

__all__ = [
    "Body",
    "Centre",
    "Cuts",
    "SecondMoments",
    "Section",
    "ShapeError",
    "Station",
    "fractions",
]

_ORDER = 7  # exact up to the twelfth degree, b c3
_TOP, _BOTTOM, _BREADTH = range(3)


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

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:  # what is kept for a body is asked for at every cut
        return hash((self.stations, self.section))

    @classmethod
    def through(cls, stations: Sequence[Station], section: Section | None = None) -> Body:
        """The body through at least two stations in order from nose to tail.

        Raises:
            ShapeError: fewer than two stations, stations out of order or
                repeated, top under bottom, a negative breadth, a number that is
                not finite, or no volume at all.
        """
        refuse_the_impossible(stations)
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

    @cached_property
    def patches(self) -> skin.Patches:
        """The skin in small pieces; see `skin.patches`."""
        return skin.patches(self)

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
    down = -rise / np.maximum(cut.below, 1e-300)
    up = rise / np.maximum(cut.above, 1e-300)
    return np.minimum(np.maximum(down, 0.0), 1.0), np.minimum(np.maximum(up, 0.0), 1.0)
