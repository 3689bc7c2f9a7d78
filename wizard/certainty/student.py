"""Student's t for a whole number of degrees of freedom."""

from __future__ import annotations

import math
from functools import cache

ONE_SIGMA = 0.6827  # the coverage that JCGM 100:2008 gives to k = 1


def coverage(t: float, freedom: int) -> float:
    """Probability that |T| stays below t.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions (1964),
    eq. 26.7.3 and 26.7.4 (finite sums).
    """
    theta = math.atan(t / math.sqrt(freedom))
    sine, cosine = math.sin(theta), math.cos(theta)
    odd = freedom % 2 == 1
    term, series = (cosine, 0.0) if odd else (1.0, 0.0)
    for k in range(2 if odd else 1, freedom, 2):
        series += term
        term *= cosine * cosine * k / (k + 1)
    return 2 / math.pi * (theta + sine * series) if odd else sine * series


@cache
def t_factor(freedom: int, probability: float = ONE_SIGMA) -> float:
    """The t that holds |T| with a probability, by bisection.

    Raises:
        ValueError: freedom < 1.
    """
    if freedom < 1:
        raise ValueError("one reading has no degrees of freedom")
    low, high = 0.0, 1.0
    while coverage(high, freedom) < probability:
        high *= 2
    while high - low > 1e-13 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if coverage(middle, freedom) < probability else (low, middle)
    return (low + high) / 2
