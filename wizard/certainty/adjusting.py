"""What a measurement of one thing says about another that shares causes with it.

Two ways to one value leave a gap that should be zero. Knowing how large it really is
moves every value that shares a cause with the gap, and narrows it: the two ways
themselves meet at their mean weighted by certainty.
"""

from __future__ import annotations

import math

from wizard.certainty.values import Cause, Uncertain, measured

FACTOR = 2.0
"""Gaps up to k = 2 are taken for chance: JCGM 100:2008, 6.3.3."""


def covariance(a: Uncertain, b: Uncertain) -> float:
    """Covariance of two values, in the product of their units.

    Source: JCGM 100:2008, F.1.2.3, eq. F.2, for causes of unit deviation.
    """
    theirs = b.sources()
    return math.fsum(u * theirs[cause] for cause, u in a.sources().items() if cause in theirs)


def adjusted(value: Uncertain, gap: Uncertain) -> Uncertain:
    """A value, once it is known that a difference which should be zero is `gap`.

    Args:
        value: what was known before.
        gap: the difference found, with all its causes; in any unit.

    Returns:
        value - cov(value, gap) / var(gap) gap. With the gap of two independent ways to
        one value it is their mean, each weighted by 1 / u^2.

    Source: conditional mean and variance of jointly normal values, in any text of
    multivariate statistics; equal to the least-squares adjustment.
    """
    variance = gap.u**2
    return value - covariance(value, gap) / variance * gap if variance > 0 else value


def agrees(gap: Uncertain, hair: float = 0.0) -> bool:
    """Whether a gap that should be zero is no more than chance, or a hair, explains."""
    return abs(gap.value) <= max(FACTOR * gap.u, hair)


def widened(value: Uncertain, gap: Uncertain, where: str) -> Uncertain:
    """A value whose doubt also covers that the ways to it disagree.

    Up to k = 2 nothing is added; beyond, the standard uncertainty grows with the gap, so
    that for two ways of equal certainty the interval at k = 2 just reaches both.

    Args:
        value: the mean of both ways.
        gap: between them.
        where: what the disagreement is about, to name the cause.

    Source: the ratio of Birge (1932), Phys. Rev. 40, 207, taken against k = 2.
    """
    excess = abs(gap.value) / (FACTOR * gap.u) if gap.u > 0 else 0.0
    if excess <= 1.0:
        return value
    more = value.u * math.sqrt(excess**2 - 1.0)
    return value + measured(0.0, more, Cause(where, "disagreement"))
