"""Shape-preserving cubics for many places at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wizard.physics.lines import Line

Numbers = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Curve:
    """Several lines over the same knots, each a piecewise cubic.

    Attributes:
        knots: strictly increasing abscissae, shape (n,).
        coefficients: shape (4, n - 1, lines), highest power first, in the
            distance from the knot on the left.
        end: the values at the last knot, shape (lines,).
    """

    knots: Numbers
    coefficients: Numbers
    end: Numbers

    def __call__(self, x: ArrayLike) -> Numbers:
        """Values at x, shape (..., lines); outside the knots, those of the nearest end."""
        interval, step = self._place(x)
        c = self.coefficients[:, interval]
        values = ((c[0] * step + c[1]) * step + c[2]) * step + c[3]
        # Exact at the tail, where a point or an edge must close.
        return np.where(np.asarray(x)[..., np.newaxis] >= self.knots[-1], self.end, values)

    def slope(self, x: ArrayLike) -> Numbers:
        """First derivatives at x, shape (..., lines)."""
        interval, step = self._place(x)
        c = self.coefficients[:, interval]
        return np.asarray((3 * c[0] * step + 2 * c[1]) * step + c[2])

    def _place(self, x: ArrayLike) -> tuple[NDArray[np.intp], Numbers]:
        inside = np.clip(np.asarray(x, dtype=float), self.knots[0], self.knots[-1])
        interval = np.searchsorted(self.knots[1:-1], inside, side="right")
        return interval, (inside - self.knots[interval])[..., np.newaxis]


def shape_preserving(knots: Numbers, values: Numbers) -> Curve:
    """Several lines (`lines.Line`) over the same knots.

    Args:
        knots: strictly increasing abscissae, shape (n,), n >= 2.
        values: ordinates, shape (n, lines).
    """
    at = knots.tolist()
    pieces = [Line.through(at, line).pieces for line in values.T.tolist()]
    return Curve(knots, np.array(pieces).transpose(2, 1, 0), values[-1])


def distinct(values: Numbers) -> Numbers:
    """The values in order, each once; numpy's own loads its masked arrays for this."""
    ordered = np.sort(values)
    return np.asarray(ordered[np.concatenate([[True], ordered[1:] != ordered[:-1]])])


def highest(coefficients: Numbers, widths: Numbers) -> float:
    """The highest value that piecewise cubics reach.

    Args:
        coefficients: shape (4, n), highest power first, of one line.
        widths: of the intervals, shape (n,).
    """
    a, b, c, _ = coefficients
    # The derivative 3 a s2 + 2 b s + c, solved in the form that survives a -> 0.
    half = np.sqrt(np.maximum(b * b - 3 * a * c, 0.0))
    q = -(b + np.copysign(half, b))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        turns = np.stack([q / (3 * a), c / q])
    steps = np.clip(np.nan_to_num(turns, posinf=0.0, neginf=0.0), 0.0, widths)
    steps = np.concatenate([steps, np.zeros((1, len(widths))), widths[np.newaxis]])
    a, b, c, d = coefficients
    return float(np.max(((a * steps + b) * steps + c) * steps + d))
