"""Values with correlated standard uncertainty.

Every value carries what each independent cause of doubt does to it, so that an error
shared by two values cancels or adds as it should (JCGM 100:2008, 5.2.2 eq. 16).
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
    weighted,
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
    "weighted",
]
