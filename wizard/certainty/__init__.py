"""Values with correlated standard uncertainty.

A thin typed door to the `uncertainties` package, which carries the derivative
of every value to each independent cause of doubt, so that an error shared by
two values cancels or adds as it should (JCGM 100:2008, 5.2.2 eq. 16).
"""

from wizard.certainty.values import (
    Cause,
    Contribution,
    Uncertain,
    apply,
    chance_above,
    exact,
    measured,
    total,
)

__all__ = [
    "Cause",
    "Contribution",
    "Uncertain",
    "apply",
    "chance_above",
    "exact",
    "measured",
    "total",
]
