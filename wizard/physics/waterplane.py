"""What a pitched waterplane cuts off a body, section by section.

Seen in the axes of the body, the water is a plane whose upward normal is
(sin p, 0, cos p) for a nose-down pitch p: a point's height is h = x sin p + z cos p,
and what lies under the level h = d is immersed. Every upright section is cut by
one level line, z = (d - x sin p) / cos p, so its immersed area is a closed form
(`section`), and only the sum along the body is left to quadrature. The sum is
split where the water meets the bottom, the widest and the top line, the only
places where it is not smooth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from wizard.physics.curve import Numbers
from wizard.physics.section import gauss
from wizard.physics.shape import Body, Cuts, fractions

UPRIGHT = math.pi / 2 - 1e-6
"""The steepest pitch: just short of 90 degrees, where a level line would be a section."""

_ORDER = 5
_ORDER_OF_MANY = 4
_ORDER_EASED = 10
_MANY = 40  # intervals from which the lower order is plenty
_WATCHED = 4  # parts of an interval in which the water may cross a line once


@dataclass(frozen=True, slots=True)
class Appendage:
    """Something small outside the body that pushes water aside where it hangs.

    Attributes:
        volume: outside volume [m3].
        x: aft of the nose [m].
        z: above the baseline [m].
    """

    volume: float
    x: float
    z: float


def hanging(appendages: Sequence[Appendage]) -> Numbers:
    """Volumes, x and z of appendages, shape (3, n)."""
    return np.array([(a.volume, a.x, a.z) for a in appendages], dtype=float).reshape(-1, 3).T


def under_water(depth: Numbers, body: Body) -> tuple[Numbers, Numbers]:
    """How much of a small part at a depth counts, 0 to 1, and its growth with the depth [1/m].

    It counts in full under the water and not at all above; it passes from one to
    the other over 2 % of the body's height, so that there is always a level that
    carries the plug.
    """
    passage = body.height / 50
    share = np.clip(0.5 + depth / passage, 0.0, 1.0)
    return share, np.where((share > 0.0) & (share < 1.0), 1.0 / passage, 0.0)


@dataclass(frozen=True, slots=True)
class Immersed:
    """The part of a body under a waterplane, and the waterplane itself.

    Attributes:
        volume: immersed volume [m3].
        x: centroid of that volume, aft of the nose [m].
        z: above the baseline [m].
        waterplane: area of the waterplane [m2], the volume's growth with the level.
        first: first moment of the waterplane along the water, about its point
            nearest the origin of the body's axes, aft positive [m3].
        across: second moment of the waterplane about its centre line [m4].
        second: about the level line across through the same point [m4].
    """

    volume: float
    x: float
    z: float
    waterplane: float
    first: float
    across: float
    second: float

    @property
    def along(self) -> float:
        """Second moment about the level line across, through its own centroid [m4]."""
        return self.second - self.first**2 / self.waterplane if self.waterplane else 0.0


@dataclass(frozen=True, eq=False)
class Hull:
    """A body made ready for many cuts; make one with `Hull.of`.

    Attributes:
        body: the body.
        levels: cubics of the bottom, widest and top line, shape (4, intervals, 3).
        watch: places between which a line is crossed at most once [m].
        watched: heights of the three lines there, shape (places, 3) [m].
    """

    body: Body
    levels: Numbers
    watch: Numbers
    watched: Numbers

    @classmethod
    @lru_cache(maxsize=8)
    def of(cls, body: Body) -> Hull:
        """The body, made ready; kept, since one body is set afloat many times."""
        c = body.curve.coefficients
        top, bottom = c[..., 0], c[..., 1]
        widest = bottom + body.section.widest * (top - bottom)
        knots = body.curve.knots
        parts = np.arange(_WATCHED) / _WATCHED
        watch = np.append((knots[:-1, np.newaxis] + np.outer(np.diff(knots), parts)), knots[-1])
        cut = body.cuts(watch)
        watched = np.stack([cut.bottom, cut.widest, cut.top], axis=-1)
        return cls(body, np.stack([bottom, widest, top], axis=-1), watch, watched)

    @lru_cache(maxsize=64)  # noqa: B019 - small, and bodies are few
    def immersed(self, pitch: float, level: float) -> Immersed:
        """What lies under a waterplane; kept, since each doubt is tried from the same rest.

        Args:
            pitch: nose down positive, up to `UPRIGHT` either way [rad].
            level: height of the water along its own normal, x sin p + z cos p [m].
        """
        s, c = math.sin(pitch), math.cos(pitch)
        cut, w = self._cuts(s, c, level)
        z = (level - cut.x * s) / c
        area, moment, y = immersed_sections(self.body, cut, z)
        volume = float(np.dot(w, area))
        strip = 2.0 * w * y / c
        distance = (cut.x - s * level) / c
        return Immersed(
            volume,
            float(np.dot(w, area * cut.x)) / volume if volume else 0.0,
            float(np.dot(w, area * cut.widest + moment)) / volume if volume else 0.0,
            float(strip.sum()),
            float(np.dot(strip, distance)),
            float(np.dot(strip, y * y)) / 3.0,
            float(np.dot(strip, distance * distance)),
        )

    def _cuts(self, s: float, c: float, level: float) -> tuple[Cuts, Numbers]:
        """Sections and weights for sums along the body that end where the water does."""
        knots = self.body.curve.knots
        ends = np.concatenate([knots, self._crossings(s, c, level)])
        order = np.argsort(ends, kind="stable")
        ends = np.stack([ends[order[:-1]], ends[order[1:]]])
        at_crossing = order >= len(knots)
        interval = np.minimum(np.cumsum(~at_crossing)[:-1], len(knots) - 1) - 1
        eased = at_crossing[1:] | at_crossing[:-1]
        plain = _ORDER if len(knots) <= _MANY else _ORDER_OF_MANY
        x, w, lines = [], [], []
        for which, places in ((~eased, plain), (eased, _ORDER_EASED)):
            at, weight = _pieces(ends[:, which], places, places == _ORDER_EASED)
            step = (at - knots[interval[which], np.newaxis])[..., np.newaxis]
            a = self.body.curve.coefficients[:, interval[which], np.newaxis]
            value = ((a[0] * step + a[1]) * step + a[2]) * step + a[3]
            x.append(at.ravel())
            w.append(weight.ravel())
            lines.append(value.reshape(-1, 3))
        return self.body.cuts_of(np.concatenate(x), np.concatenate(lines)), np.concatenate(w)

    def _crossings(self, s: float, c: float, level: float) -> Numbers:
        """Where the water meets the bottom, widest and top line [m]."""
        height = self.watched * c + (self.watch * s - level)[:, np.newaxis]
        part, line = np.nonzero((height[:-1] < 0.0) != (height[1:] < 0.0))
        near, far = height[part, line], height[part + 1, line]
        interval = part // _WATCHED
        start = self.body.curve.knots[interval]
        low, high = self.watch[part] - start, self.watch[part + 1] - start
        step = low + (high - low) * near / (near - far)
        a0, a1, a2, a3 = self.levels[:, interval, line] * c
        a2, a3 = a2 + s, a3 + start * s - level
        for _ in range(2):
            value = ((a0 * step + a1) * step + a2) * step + a3
            slope = (3 * a0 * step + 2 * a1) * step + a2
            step = np.clip(step - value / np.where(slope == 0.0, np.inf, slope), low, high)
        return np.asarray(start + step)


def _pieces(ends: Numbers, order: int, eased: bool) -> tuple[Numbers, Numbers]:
    """Places and weights in pieces given by their two ends, shape (2, pieces).

    Towards a crossing an integrand may go like a square root; eased places are
    drawn there so that it is smooth in the new variable, s (3 - s^2) / 2.
    """
    s, w = gauss(order)
    if eased:
        s, w = s * (3 - s * s) / 2, w * (1 - s * s) * 1.5
    half = ((ends[1] - ends[0]) / 2)[:, np.newaxis]
    middle = ((ends[1] + ends[0]) / 2)[:, np.newaxis]
    return middle + half * s, half * w


def immersed_sections(body: Body, cut: Cuts, level: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Sections below a level of each.

    Returns:
        Areas [m2], their first moments about the widest level [m3], and the
        half-breadths at the level [m].
    """
    lower, upper = body.section.lower_half, body.section.upper_half
    b, c_l, c_u = cut.half_breadth, cut.below, cut.above
    down, up = fractions(cut, level)
    dry, dry_moment, y_l = lower.up_to(down)
    wet, wet_moment, y_u = upper.up_to(up)
    area = 2 * b * (c_l * (lower.area - dry) + c_u * wet)
    moment = 2 * b * (c_u**2 * wet_moment - c_l**2 * (lower.moment - dry_moment))
    y = np.where(level < cut.widest, y_l, y_u) * (level <= cut.top)
    return area, moment, b * y
