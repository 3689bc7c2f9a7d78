"""Several ways to one positive quantity: do they agree, and if not, which one stands alone?

All is done on a scale of ratios, since slips of the hand are factors and
uncertainties at a bench are shares.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass

APART = 2.5
"""Standard uncertainties of a gap from which two claims disagree: a judgement.

Two (JCGM 100:2008, 6.3.3) would call one honest comparison in twenty a slip, and
here several are made at once.
"""

_LEFT = 1e-6  # of all weight


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


class Together:
    """Claims with their sums, so that some can be left out or mended without adding up again."""

    def __init__(self, claims: Sequence[Claim]) -> None:
        self._weights = [1.0 / claim.relative_u**2 for claim in claims]
        self._logs = [math.log(claim.value) for claim in claims]
        self._whole = math.fsum(self._weights)
        self._moment = math.fsum(map(math.prod, zip(self._weights, self._logs, strict=True)))

    def mended(self, touched: Iterable[int], factor: float) -> Together:
        """The same with some values times a factor."""
        other = copy(self)
        other._logs = list(self._logs)
        for i in touched:
            other._logs[i] += math.log(factor)
            other._moment += self._weights[i] * math.log(factor)
        return other

    def without(self, *out: int) -> Claim:
        """The consensus of all claims but some; one at least must be left."""
        log, weight = self._rest(out)
        return Claim(math.exp(log), 1.0 / math.sqrt(weight))

    def apart(self, i: int, *out: int) -> float:
        """How far a claim lies from the consensus of the others but some [1]."""
        log, weight = self._rest((i, *out))
        return abs(self._logs[i] - log) / math.sqrt(1.0 / self._weights[i] + 1.0 / weight)

    def farthest_first(self) -> list[int]:
        """The claims by their distance from all others."""
        apart = [self.apart(i) for i in range(len(self._logs))]
        return sorted(range(len(apart)), key=lambda i: -apart[i])

    def agree(self, order: Iterable[int], *out: int) -> bool:
        """Whether no claim is apart from the others, some left out.

        Args:
            order: all claims; those that are likely apart had better come first.
            out: which of them do not count.
        """
        if len(self._logs) - len(out) < 2:
            return True
        return all(self.apart(i, *out) <= APART for i in order if i not in out)

    def _rest(self, out: Sequence[int]) -> tuple[float, float]:
        """Mean logarithm and weight of all but some."""
        weight = self._whole - math.fsum(self._weights[i] for i in out)
        moment = self._moment - math.fsum(self._weights[i] * self._logs[i] for i in out)
        if weight < _LEFT * self._whole:
            # So little is left that the difference is mostly rounding: added up instead.
            left = [i for i in range(len(self._logs)) if i not in out]
            weight = math.fsum(self._weights[i] for i in left)
            moment = math.fsum(self._weights[i] * self._logs[i] for i in left)
        return moment / weight, weight


def distances(claims: Sequence[Claim]) -> tuple[float, ...]:
    """How far each claim lies from the consensus of all others [1]; two claims at least."""
    together = Together(claims)
    return tuple(together.apart(i) for i in range(len(claims)))


def agree(claims: Sequence[Claim]) -> bool:
    """Whether no claim is apart from the consensus of the others."""
    return Together(claims).agree(range(len(claims)))


def odd_one(claims: Sequence[Claim]) -> int | None:
    """The one claim without which the others agree; None if there is none, or no telling.

    With two claims that disagree nothing says which is wrong. Where leaving out either
    of several would do, it is the one farthest from the others.
    """
    together = Together(claims)
    if len(claims) < 3 or together.agree(range(len(claims))):
        return None
    order = together.farthest_first()
    return next((i for i in order if together.agree(order, i)), None)
