"""Several ways to one positive quantity: do they agree, and if not, which one stands alone?

All is done on a scale of ratios, since slips of the hand are factors and
uncertainties at a bench are shares.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

APART = 2.5
"""Standard uncertainties of a gap from which two claims disagree: a judgement.

Two (JCGM 100:2008, 6.3.3) would call one honest comparison in twenty a slip, and
here several are made at once.
"""


@dataclass(frozen=True, slots=True)
class Claim:
    """What one way says.

    Attributes:
        value: above zero, in any unit that all claims share.
        relative_u: relative standard uncertainty [1], above zero.
    """

    value: float
    relative_u: float


def consensus(claims: Iterable[Claim]) -> Claim:
    """The weighted mean of claims that stand for one value.

    Source: weights 1 / u^2, as in JCGM 100:2008, 5.1.2 for independent values; on
    logarithms, so that ratios count.
    """
    known = list(claims)
    weights = [1.0 / claim.relative_u**2 for claim in known]
    whole = math.fsum(weights)
    middle = math.fsum(w * math.log(c.value) for w, c in zip(weights, known, strict=True)) / whole
    return Claim(math.exp(middle), 1.0 / math.sqrt(whole))


def distance(claim: Claim, other: Claim) -> float:
    """How far two claims lie apart, in standard uncertainties of their gap [1]."""
    gap = math.log(claim.value / other.value)
    return abs(gap) / math.hypot(claim.relative_u, other.relative_u)


def distances(claims: Sequence[Claim]) -> tuple[float, ...]:
    """How far each claim lies from the consensus of all others [1]; two claims at least."""
    return tuple(
        distance(claim, consensus(c for j, c in enumerate(claims) if j != i))
        for i, claim in enumerate(claims)
    )


def agree(claims: Sequence[Claim]) -> bool:
    """Whether no claim is apart from the consensus of the others."""
    return len(claims) < 2 or max(distances(claims)) <= APART


def odd_one(claims: Sequence[Claim]) -> int | None:
    """The one claim without which the others agree; None if there is none, or no telling.

    With two claims that disagree nothing says which is wrong. Where leaving out either
    of several would do, it is the one farthest from the others.
    """
    if len(claims) < 3 or agree(claims):
        return None
    apart = distances(claims)
    for i in sorted(range(len(claims)), key=lambda i: -apart[i]):
        if agree([c for j, c in enumerate(claims) if j != i]):
            return i
    return None
