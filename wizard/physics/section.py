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
Powers = tuple[tuple[int, int], ...]

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

    def up_to(self, height: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """One side from 0 up to a height fraction from 0 to 1.

        Returns:
            Its area [b c], first moment about the widest level [b c2], and the
            half-breadth there [b].
        """
        full = height >= 1.0
        area, moment = np.where(full, self.area, 0.0), np.where(full, self.moment, 0.0)
        y = np.where(full, self._end, 1.0)
        partly = (height > 0.0) & ~full
        t = self.kept * height[partly]
        if t.size:
            y[partly] = (1.0 - t**self.exponent) ** (1.0 / self.exponent)
            part = _ellipse(t, y[partly]) if self.exponent == 2.0 else self._part(t)
            area[partly], moment[partly] = part[0] / self.kept, part[1] / self.kept**2
        return area, moment, y

    def _part(self, t: Numbers) -> list[Numbers]:
        return integrals(self.exponent, ((0, 1), (1, 1)), t)

    @cached_property
    def _end(self) -> float:
        """Half-breadth where the half ends: that of the flat back [b]."""
        return float((1.0 - self.kept**self.exponent) ** (1.0 / self.exponent))

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
        powers = ((height_power, breadth_power),)
        (whole,) = integrals(self.exponent, powers, np.array(self.kept))
        return float(whole) / self.kept ** (height_power + 1)

    @cached_property
    def arc(self) -> Numbers:
        """Points of the outline for integrals along it, shape (4, points).

        Rows: height h, half-breadth y, and the steps dh and dy that belong to
        each point, so that the sum of hypot(c dh, b dy) is the length of one side.
        """
        n, kept = self.exponent, self.kept
        corner = 0.5 ** (1.0 / n)
        end = self._end
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
        return np.concatenate([(1.0 - u**n) ** (1.0 / n), u, [self._end]])

    def height_at(self, breadth: Numbers) -> Numbers:
        """Height fraction of the outline over a half-breadth from 0 to 1."""
        n = self.exponent
        return np.asarray(np.minimum((1.0 - breadth**n) ** (1.0 / n), self.kept) / self.kept)


def integrals(exponent: float, powers: Powers, height: Numbers) -> list[Numbers]:
    """Integrals of h^j y^p dh from 0 up to a height, with y^n + h^n = 1.

    Args:
        exponent: n >= 1.
        powers: pairs j >= 0, p >= 1.
        height: upper limits, 0 to 1.

    The binomial series in q = h^n serves where q <= 1/2. Above, what is missing
    from the whole is the same kind of integral J seen from the other axis,

        integral of h^j y^p dh from t to 1 = (p J(p-1, j+1; y(t)) - t^(j+1) y(t)^p) / (j+1),

    which again has q <= 1/2.

    Source: incomplete beta function, NIST DLMF 8.17; the exchange of axes is
    Fubini's theorem.
    """
    n = exponent
    q = height**n
    y = (1.0 - q) ** (1.0 / n)
    low = q <= 0.5
    variable = 4.0 * np.minimum(q, 1.0 - q) - 1.0
    powers_of_it = np.ones((_DEGREE + 1, variable.size))
    powers_of_it[1:] = variable.ravel()
    series = _polynomials(n, powers) @ np.multiply.accumulate(powers_of_it)
    results = []
    for k, (j, p) in enumerate(powers):
        here, exchanged = series[2 * k : 2 * k + 2].reshape(2, *height.shape)
        rise = height ** (j + 1)
        tail = y**p * (p * exchanged - rise) / (j + 1)
        results.append(np.where(low, rise * here, _complete(n, j, p) - tail))
    return results


def _ellipse(t: Numbers, y: Numbers) -> tuple[Numbers, Numbers]:
    """Area and first moment in closed form, for the exponent that most plugs have."""
    return (t * y + np.arcsin(t)) / 2.0, (1.0 - y**3) / 3.0


@cache
def _polynomials(n: float, powers: Powers) -> Numbers:
    """Rows of coefficients in 4 q - 1, lowest power first: two series for each pair."""
    return np.array(
        [row for j, p in powers for row in (_polynomial(n, j, p), _polynomial(n, p - 1, j + 1))]
    )


@cache
def _polynomial(n: float, j: int, p: int) -> Numbers:
    """J(j, p; t) / t^(j+1) for q = t^n in [0, 1/2] as a polynomial in 4 q - 1."""
    k = np.arange(_TERMS)
    ratios = (k[:-1] - p / n) / (k[:-1] + 1.0)
    terms = np.concatenate([[1.0], np.cumprod(ratios)]) / (n * k + j + 1)
    return np.asarray(_shortened() @ terms)


@cache
def _shortened() -> Numbers:
    """Turns a power series in q on [0, 1/2] into a polynomial in x = 4 q - 1, both lowest first.

    The series is summed at Chebyshev points; the values become Chebyshev
    coefficients, and those the coefficients of powers by T_(k+1) = 2 x T_k - T_(k-1).
    """
    count = _DEGREE + 1
    angle = np.pi * (np.arange(count) + 0.5) / count
    sums = ((np.cos(angle) + 1.0) / 4.0)[:, np.newaxis] ** np.arange(_TERMS)
    transform = np.cos(np.outer(np.arange(count), angle)) * 2.0 / count
    transform[0] /= 2.0
    powers = np.eye(count)
    for k in range(1, count - 1):
        powers[k + 1] = 2.0 * np.roll(powers[k], 1) - powers[k - 1]
    return np.asarray(powers.T @ (transform @ sums))


@cache
def _complete(n: float, j: int, p: int) -> float:
    """The whole integral, split where h = y; 4 q - 1 is 1 there, so coefficients just add."""
    corner = 0.5 ** (1.0 / n)
    below = corner ** (j + 1) * _polynomial(n, j, p).sum()
    above = corner**p * (p * _polynomial(n, p - 1, j + 1).sum() - corner ** (j + 1)) / (j + 1)
    return float(below + above)


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
    """Gauss-Legendre abscissae and weights on [-1, 1].

    Newton's steps to the roots of the Legendre polynomial: numpy's own asks a library of
    linear algebra that nothing else here needs, and takes 2 MB for it.

    Source: NIST DLMF 3.5(v), 18.9.1 (three terms) and 18.9.17 (derivative); first guesses
    from memory.
    """
    k = np.arange(order, 0, -1)
    abscissae = np.cos(np.pi * (k - 0.25) / (order + 0.5))
    for _ in range(6):
        before, here = np.ones(order), abscissae
        for n in range(2, order + 1):
            before, here = here, ((2 * n - 1) * abscissae * here - (n - 1) * before) / n
        slope = order * (before - abscissae * here) / (1.0 - abscissae**2)
        abscissae = abscissae - here / slope
    weights = 2.0 / ((1.0 - abscissae**2) * slope**2)
    abscissae.flags.writeable = weights.flags.writeable = False
    return abscissae, weights
