"""Random trials where straight lines no longer do: propagation of whole distributions.

A tenth of doubt in a thickness is too much for derivatives. Then every cause is
drawn at random many thousand times, and the result is read off the trials.
The trials begin from a fixed seed: the same answers give the same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from wizard.certainty.values import Uncertain

TRIALS = 100_000
SEED = 20080101
EVEN = frozenset({"resolution", "accuracy", "drift"})
"""Doubts stated by their limits, any value within as likely; all others are taken as normal."""

STEEP = 0.1
"""Relative standard uncertainty of a factor beyond which derivatives are not trusted: a judgement.

At a tenth, the second-order term of 1/x is a hundredth of the first (JCGM 100:2008, 5.1.2 note).
"""


@dataclass(frozen=True, slots=True)
class Spread:
    """What the trials showed, in the unit of the result.

    Attributes:
        mean: their mean.
        u: their standard deviation.
        low: 2.5 % of them lie below.
        high: 2.5 % of them lie above.
    """

    mean: float
    u: float
    low: float
    high: float


def is_steep(factor: Uncertain) -> bool:
    """Whether a factor is too uncertain for derivatives."""
    return factor.u > STEEP * abs(factor.value)


def spread(
    function: Callable[..., Any], *factors: Uncertain, trials: int = TRIALS, seed: int = SEED
) -> Spread:
    """Propagate the distributions of positive factors through a function.

    A cause that two factors share is drawn once for both. Trials in which a factor
    falls to zero or below are left out: no length or mass does.

    Args:
        function: of as many factors; must take numpy arrays.
        factors: best estimates with their causes, each more than zero.
        trials: how many.
        seed: where the random numbers begin.

    Source: JCGM 101:2008, 5.9 (procedure), 6.4.2 (rectangular), 6.4.7 (normal), 7.7
    (interval, probabilistically symmetric).
    """
    import numpy as np

    generator = np.random.default_rng(seed)
    sources = [factor.sources() for factor in factors]
    causes = dict.fromkeys(cause for source in sources for cause in source)
    draws = {
        cause: generator.uniform(-math.sqrt(3.0), math.sqrt(3.0), trials)
        if cause.what in EVEN
        else generator.standard_normal(trials)
        for cause in causes
    }
    drawn = [
        sum((u * draws[cause] for cause, u in source.items()), np.full(trials, factor.value))
        for factor, source in zip(factors, sources, strict=True)
    ]
    real = np.logical_and.reduce([values > 0.0 for values in drawn])
    results = function(*(values[real] for values in drawn))
    low, high = np.quantile(results, (0.025, 0.975))
    return Spread(float(results.mean()), float(results.std(ddof=1)), float(low), float(high))
