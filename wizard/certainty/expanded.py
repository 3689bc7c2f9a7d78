"""Expanded uncertainty: the interval that holds 95 of 100 cases, also from few readings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wizard.certainty.student import t_factor
from wizard.certainty.values import Cause, Uncertain

COVERAGE = 0.95
PLAIN_FACTOR = 2.0
"""The factor k for about 95 % when nothing rests on few readings: JCGM 100:2008, 6.3.3."""


@dataclass(frozen=True, slots=True)
class Expanded:
    """A value's expanded uncertainty.

    Attributes:
        half_width: U, in the unit of the value.
        factor: k [1].
        freedom: effective degrees of freedom; infinite when nothing rests on few readings.
    """

    half_width: float
    factor: float
    freedom: float


def effective_freedom(parts: Iterable[tuple[float, float]]) -> float:
    """Effective degrees of freedom of a sum in squares, nu_eff = u_c^4 / sum(u_i^4 / nu_i).

    Args:
        parts: standard uncertainties u_i, each in the unit of the result, with their
            degrees of freedom nu_i, which may be infinite.

    Source: Welch and Satterthwaite, JCGM 100:2008, G.4.1, eq. G.2b.

    >>> effective_freedom([(2.0, 4), (1.0, math.inf)])
    6.25
    """
    known = list(parts)
    total = math.fsum(u * u for u, _ in known) ** 2
    share = math.fsum(u**4 / freedom for u, freedom in known)
    return total / share if share > 0 else math.inf


def coverage_factor(freedom: float) -> float:
    """Factor k = t95 of the effective degrees of freedom, rounded down; never below 2 [1].

    Source: JCGM 100:2008, G.4.1 and G.6.4; 6.3.3 for k = 2.
    """
    if freedom > 1000.0:
        return PLAIN_FACTOR
    return max(PLAIN_FACTOR, t_factor(max(int(freedom), 1), COVERAGE))


def expanded(value: Uncertain) -> Expanded:
    """The expanded uncertainty of a value, for a coverage of 95 %."""
    return expanded_share(value.sources())


def expanded_share(sources: Mapping[Cause, float]) -> Expanded:
    """The expanded uncertainty that some causes of a value bring, for a coverage of 95 %.

    A scatter is taken as its readings showed it, without the widening that it has at
    k = 1: here k itself allows for the few readings.

    Args:
        sources: what one standard uncertainty of each cause does to the value.

    Source: JCGM 100:2008, G.4.
    """
    parts = [_plain(cause, abs(u)) for cause, u in sources.items()]
    freedom = effective_freedom(parts)
    k = coverage_factor(freedom)
    return Expanded(k * math.sqrt(math.fsum(u * u for u, _ in parts)), k, freedom)


def _plain(cause: Cause, u: float) -> tuple[float, float]:
    if cause.freedom is None:
        return u, math.inf
    return u / t_factor(cause.freedom), cause.freedom
