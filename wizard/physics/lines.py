"""Shape-preserving cubics through given points: no bulge that nobody measured.

Source: Fritsch and Butland, A method for constructing local monotone piecewise cubic
interpolants, SIAM J. Sci. Stat. Comput. 5 (1984) 300: the slope at a knot is the weighted
harmonic mean of the two secants, or nothing at a turn (PCHIP). Ends: the three-point
formula, limited as in Moler, Numerical Computing with MATLAB (2004), section 3.6.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Cubic = tuple[float, float, float, float]
"""Coefficients of a piece, highest power first, in the distance from the knot on the left."""


@dataclass(frozen=True)
class Line:
    """A piecewise cubic with no new highs or lows between its knots; make one with `through`.

    Attributes:
        knots: strictly increasing abscissae, two at least.
        pieces: one between each two knots.
        end: the value at the last knot.
    """

    knots: tuple[float, ...]
    pieces: tuple[Cubic, ...]
    end: float

    @classmethod
    def through(cls, knots: Sequence[float], values: Sequence[float]) -> Line:
        """The line through values at strictly increasing knots."""
        widths = [right - left for left, right in pairwise(knots)]
        secants = [(b - a) / w for (a, b), w in zip(pairwise(values), widths, strict=True)]
        slopes = _slopes(widths, secants)
        pieces = tuple(
            (
                (left + right - 2 * secant) / width**2,
                (3 * secant - 2 * left - right) / width,
                left,
                value,
            )
            for (left, right), secant, width, value in zip(
                pairwise(slopes), secants, widths, values[:-1], strict=True
            )
        )
        return cls(tuple(knots), pieces, values[-1])

    def __call__(self, x: float) -> float:
        """The value at x; outside the knots, that of the nearest end."""
        if x >= self.knots[-1]:
            return self.end
        at = max(x, self.knots[0])
        piece = bisect_right(self.knots, at) - 1
        a, b, c, d = self.pieces[piece]
        step = at - self.knots[piece]
        return ((a * step + b) * step + c) * step + d


def _slopes(widths: Sequence[float], secants: Sequence[float]) -> list[float]:
    if len(secants) == 1:
        return [secants[0]] * 2
    inner = [
        _between(*two_widths, *two_secants)
        for two_widths, two_secants in zip(pairwise(widths), pairwise(secants), strict=True)
    ]
    first = _at_the_end(widths[0], widths[1], secants[0], secants[1])
    last = _at_the_end(widths[-1], widths[-2], secants[-1], secants[-2])
    return [first, *inner, last]


def _between(width_before: float, width_after: float, before: float, after: float) -> float:
    if _sign(before) * _sign(after) <= 0:
        return 0.0
    w_before, w_after = width_before + 2 * width_after, 2 * width_before + width_after
    return (w_before + w_after) / (w_before / before + w_after / after)


def _at_the_end(h0: float, h1: float, near: float, next_one: float) -> float:
    slope = ((2 * h0 + h1) * near - h0 * next_one) / (h0 + h1)
    if _sign(slope) != _sign(near):
        return 0.0
    if _sign(near) != _sign(next_one) and abs(slope) > 3 * abs(near):
        return 3 * near
    return slope


def _sign(number: float) -> float:
    return 0.0 if number == 0 else math.copysign(1.0, number)
