"""Repeated readings of one thing: their mean, its scatter, and one that stands apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.certainty.student import t_factor


def mean(readings: Sequence[float]) -> float:
    """Arithmetic mean, in the unit of the readings. Source: JCGM 100:2008, 4.2.1, eq. 3."""
    return math.fsum(readings) / len(readings)


def deviation(readings: Sequence[float]) -> float:
    """Experimental standard deviation s of two readings or more, in their unit.

    Source: JCGM 100:2008, 4.2.2, eq. 4.
    """
    centre = mean(readings)
    return math.sqrt(math.fsum((x - centre) ** 2 for x in readings) / (len(readings) - 1))


def scatter_u(readings: Sequence[float]) -> float:
    """Standard uncertainty of the mean that the readings' own scatter shows, in their unit.

    t(68.27 %, n - 1) s / sqrt(n): Student's t widens what few readings show, so
    that it may be combined with the rest at k = 1. Zero for one reading.

    Source: JCGM 100:2008, 4.2.3 eq. 5 and G.3.
    """
    n = len(readings)
    if n < 2:
        return 0.0
    return t_factor(n - 1) * deviation(readings) / math.sqrt(n)


def variance_between(readings: Sequence[float], own_u: Sequence[float]) -> float:
    """How much more readings scatter than their own uncertainties explain, as a variance.

    Args:
        readings: one of each thing, at least two.
        own_u: standard uncertainty of each, above zero, in the readings' unit.

    Returns:
        The v at which sum (x - mean)^2 / (u^2 + v) = n - 1, with the mean weighted by
        1 / (u^2 + v); zero where their own uncertainties explain it all [unit squared].

    Source: Paule and Mandel (1982), J. Res. NBS 87, 377; solved by Newton's steps on the
    reciprocal, which is nearly a straight line.
    """
    spare = len(readings) - 1
    found = 0.0
    for _ in range(100):
        weights = [1.0 / (u * u + found) for u in own_u]
        centre = math.fsum(w * x for w, x in zip(weights, readings, strict=True))
        centre /= math.fsum(weights)
        parts = [w * (x - centre) ** 2 for w, x in zip(weights, readings, strict=True)]
        seen = math.fsum(parts)
        if seen <= spare * (1.0 + 1e-12):
            break
        slope = math.fsum(w * part for w, part in zip(weights, parts, strict=True))
        found += (seen - spare) / slope * seen / spare
    return found


def critical_distance(n: int, significance: float = 0.05) -> float:
    """Largest distance from the mean, in deviations s, that n normal readings show by chance.

    Args:
        n: how many readings, >= 3.
        significance: chance of naming one wrongly [1].

    Returns:
        (n - 1) / sqrt(n) sqrt(t^2 / (n - 2 + t^2)) with t at significance / (2 n), n - 2 [1].

    Source: Grubbs's test, two-sided, as in the NIST/SEMATECH e-Handbook of
    Statistical Methods, 1.3.5.17.1.
    """
    t = t_factor(n - 2, 1.0 - significance / n)
    return (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))


@dataclass(frozen=True, slots=True)
class Apart:
    """The reading farthest from the mean.

    Attributes:
        index: which one, counted from zero.
        distance: G, from the mean in deviations s [1].
        limit: what chance alone reaches in 1 of 20 cases [1].
    """

    index: int
    distance: float
    limit: float


def standing_apart(readings: Sequence[float]) -> Apart | None:
    """The one reading of three or more that chance hardly explains; None if none is.

    Source: Grubbs's test at 5 %, NIST/SEMATECH e-Handbook, 1.3.5.17.1.
    """
    n = len(readings)
    if n < 3:
        return None
    s = deviation(readings)
    centre = mean(readings)
    if s <= 1e-12 * abs(centre):
        return None
    index = max(range(n), key=lambda i: abs(readings[i] - centre))
    distance = abs(readings[index] - centre) / s
    limit = critical_distance(n)
    return Apart(index, distance, limit) if distance > limit else None
