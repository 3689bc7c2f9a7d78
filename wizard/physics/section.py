"""One half of a section: a superellipse standing on the widest level.

A half is drawn in units of its own height c and half-breadth b: at the height
fraction h (0 at the widest level, 1 at the end of the half) it is y wide to each
side of the centre line, y^n + h^n = 1. The exponent n is 1 for a straight-sided
wedge, 2 for an ellipse, and squarer the larger it is.

A flat back planes off the fraction f of the full height of an upper half. What
is left is stretched so that the flat lies at h = 1, because the top line of a
plug is measured where the wood ends: the half is then the lower 1 - f of a
superellipse 1 / (1 - f) times as high.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

_TERMS = 60
_DEGREE = 14
_ARC_ORDER = 12
_NEARLY_STRAIGHT = 0.01  # h^n up to which the outline has hardly turned


@dataclass(frozen=True)
class Half:
    """The upper or lower half of a section, per unit of its height and half-breadth.

    Attributes:
        exponent: n of the superellipse, at least 1.
        kept: share of the full height that was not planed off, 1 - f.
    """

    exponent: float
    kept: float = 1.0

    def breadth(self, height: Numbers) -> Numbers:
        """Half-breadth y [b] at height fractions from 0 to 1."""
        n = self.exponent
        return np.asarray((1.0 - (self.kept * height) ** n) ** (1.0 / n))

    def area_up_to(self, height: Numbers) -> Numbers:
        """Area between the centre line and one side, from 0 up to a height fraction [b c]."""
        return integral(self.exponent, 0, 1, self.kept * height) / self.kept

    def moment_up_to(self, height: Numbers) -> Numbers:
        """First moment of that area about the widest level [b c2]."""
        return integral(self.exponent, 1, 1, self.kept * height) / self.kept**2

    @cached_property
    def area(self) -> float:
        """Area of one side of the half [b c]."""
        return self._whole(0, 1)

    @cached_property
    def moment(self) -> float:
        """First moment about the widest level [b c2]."""
        return self._whole(1, 1)

    @cached_property
    def second_height(self) -> float:
        """Integral of h2 over one side of the half [b c3]."""
        return self._whole(2, 1)

    @cached_property
    def second_breadth(self) -> float:
        """Integral of y2 over one side of the half [b3 c]."""
        return self._whole(0, 3) / 3.0

    def _whole(self, height_power: int, breadth_power: int) -> float:
        whole = integral(self.exponent, height_power, breadth_power, np.array(self.kept))
        return float(whole) / self.kept ** (height_power + 1)

    @cached_property
    def arc(self) -> Numbers:
        """Points of the outline for integrals along it, shape (4, points).

        Rows: height h, half-breadth y, and the steps dh and dy that belong to
        each point, so that the sum of hypot(c dh, b dy) is the length of one side.
        """
        n, kept = self.exponent, self.kept
        corner = 0.5 ** (1.0 / n)
        end = (1.0 - kept**n) ** (1.0 / n)
        h, y, dh, dy = _outline(n, 0.0, min(kept, corner))
        pieces = [np.stack([h, y, dh, dy])]
        if kept > corner:
            y, h, dy, dh = _outline(n, end, corner)
            pieces.append(np.stack([h, y, -dh, -dy]))
        if end > 0.0:
            s, w = gauss(_ARC_ORDER)
            pieces.append(np.stack([0 * s + kept, end * (1 - s) / 2, 0 * s, -end * w / 2]))
        whole = np.concatenate(pieces, axis=1)
        whole[[0, 2]] /= kept
        return whole

    def perimeter(self, height: float, half_breadth: float) -> float:
        """Length of one side of the outline, a flat back included [unit of the arguments]."""
        _, _, dh, dy = self.arc
        return float(np.sum(np.hypot(height * dh, half_breadth * dy)))

    def corners(self, count: int) -> Numbers:
        """Half-breadths at which to draw the outline, from 1 inwards, close where it turns."""
        n = self.exponent
        turn = np.sin(np.linspace(0.0, np.pi / 4, count // 2 + 1)) * np.sqrt(2.0)
        u = 0.5 ** (1.0 / n) * turn
        end = (1.0 - self.kept**n) ** (1.0 / n)
        return np.concatenate([(1.0 - u**n) ** (1.0 / n), u, [end]])

    def height_at(self, breadth: Numbers) -> Numbers:
        """Height fraction of the outline over a half-breadth from 0 to 1."""
        n = self.exponent
        return np.asarray(np.minimum((1.0 - breadth**n) ** (1.0 / n), self.kept) / self.kept)


def integral(exponent: float, height_power: int, breadth_power: int, height: Numbers) -> Numbers:
    """Integral of h^j y^p dh from 0 to a height, with y^n + h^n = 1.

    Args:
        exponent: n >= 1.
        height_power: j >= 0.
        breadth_power: p >= 1.
        height: upper limits, 0 to 1.

    The binomial series in q = h^n serves where q <= 1/2. Above, what is missing
    from the whole is the same kind of integral seen from the other axis,
    integral of h^j y^p dh from t to 1
    = (p J(p-1, j+1; y(t)) - t^(j+1) y(t)^p) / (j+1), which again has q <= 1/2.

    Source: incomplete beta function, NIST DLMF 8.17; the exchange of axes is
    Fubini's theorem.
    """
    n, j, p = exponent, height_power, breadth_power
    q = height**n
    low = q <= 0.5
    y = (1.0 - q) ** (1.0 / n)
    below = _series(n, j, p, np.where(low, height, 0.0), np.minimum(q, 0.5))
    if low.all():
        return below
    above = p * _series(n, p - 1, j + 1, y, np.minimum(1.0 - q, 0.5))
    tail = (above - height ** (j + 1) * y**p) / (j + 1)
    return np.where(low, below, _complete(n, j, p) - tail)


def _series(n: float, j: int, p: int, t: Numbers, q: Numbers) -> Numbers:
    variable = 4.0 * q - 1.0
    result = np.zeros_like(variable)
    for coefficient in _polynomial(n, j, p):
        result *= variable
        result += coefficient
    return np.asarray(t ** (j + 1) * result)


@cache
def _polynomial(n: float, j: int, p: int) -> tuple[float, ...]:
    """The series for q in [0, 1/2] as a polynomial in 4 q - 1, highest power first."""
    k = np.arange(_TERMS)
    ratios = (k[:-1] - p / n) / (k[:-1] + 1.0)
    terms = np.concatenate([[1.0], np.cumprod(ratios)]) / (n * k + j + 1)
    chebyshev = np.polynomial.chebyshev
    at = chebyshev.chebpts1(_DEGREE + 1)
    sums = np.polynomial.polynomial.polyval((at + 1.0) / 4.0, terms)
    economised = chebyshev.cheb2poly(chebyshev.chebfit(at, sums, _DEGREE))
    return tuple(economised[::-1].tolist())


@cache
def _complete(n: float, j: int, p: int) -> float:
    corner = np.array(0.5 ** (1.0 / n))
    half = np.array(0.5)
    below = _series(n, j, p, corner, half)
    above = p * _series(n, p - 1, j + 1, corner, half)
    return float(below + (above - corner ** (j + 1 + p)) / (j + 1))


def _outline(n: float, start: float, end: float) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Points u, (1 - u^n)^(1/n) from start to end <= 2^(-1/n), and their steps.

    Past the straight part the logarithm of u^n is the variable, so that even a
    corner (a large exponent) is smooth in it.
    """
    s, w = gauss(_ARC_ORDER)
    s, w = (s + 1) / 2, w / 2
    turn = min(max(_NEARLY_STRAIGHT ** (1.0 / n), start), end)
    straight = start + (turn - start) * s**2
    straight_step = (turn - start) * 2 * s * w
    logs = n * np.log([turn, end])
    bent = np.exp((logs[0] + (logs[1] - logs[0]) * s) / n)
    bent_step = bent * (logs[1] - logs[0]) * w / n
    u = np.concatenate([straight, bent])
    du = np.concatenate([straight_step, bent_step])
    v = (1.0 - u**n) ** (1.0 / n)
    return u, v, du, -((u / v) ** (n - 1.0)) * du


@cache
def gauss(order: int) -> tuple[Numbers, Numbers]:
    """Gauss-Legendre abscissae and weights on [-1, 1]."""
    abscissae, weights = np.polynomial.legendre.leggauss(order)
    abscissae.flags.writeable = weights.flags.writeable = False
    return abscissae, weights
