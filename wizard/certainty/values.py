"""The value type and the few operations on it: first order, each cause of doubt kept apart.

A value is its best estimate and what one standard uncertainty of each cause does to
it. Shares of one cause add with their signs, those of different causes in squares
(JCGM 100:2008, 5.1.2 and 5.2.2).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple


class Cause(NamedTuple):
    """One independent cause of doubt; two values that name the same cause share it.

    Attributes:
        where: the answer it belongs to, as a path in the record.
        what: resolution, accuracy, scatter, stated, correlation, drift, moisture or curvature.
        freedom: degrees of freedom of a scatter that few readings showed; its standard
            uncertainty is then widened by t(68.27 %). None for a doubt that needs no widening.
    """

    where: str
    what: str
    freedom: int | None = None


@dataclass(frozen=True, slots=True)
class Contribution:
    """How much of a value's standard uncertainty comes from one cause."""

    cause: Cause
    u: float


Shares = Mapping[Cause, float]
"""What one standard uncertainty of each cause does to a value, with its sign."""

_NONE: Shares = MappingProxyType({})


class Uncertain:
    """A number with its standard uncertainty and the causes of it.

    Args:
        value: best estimate.
        shares: what one standard uncertainty of each cause does to it.
    """

    __slots__ = ("_shares", "_value")

    def __init__(self, value: float, shares: Shares = _NONE) -> None:
        self._value = value
        self._shares = shares

    @property
    def value(self) -> float:
        """Best estimate."""
        return self._value

    @property
    def u(self) -> float:
        """Standard uncertainty (k = 1)."""
        return math.hypot(*self._shares.values())

    def contributions(self) -> tuple[Contribution, ...]:
        """Causes in order of their share, largest first; shares add in squares."""
        ordered = sorted(self._shares.items(), key=lambda pair: -abs(pair[1]))
        return tuple(Contribution(cause, abs(u)) for cause, u in ordered if u != 0)

    def sources(self) -> Shares:
        """What one standard uncertainty of each cause does to the value, with its sign."""
        return MappingProxyType(self._shares)

    def without(self, causes: Iterable[Cause]) -> Uncertain:
        """The same best estimate, as if these causes of doubt were none."""
        gone = set(causes)
        return Uncertain(self._value, {c: u for c, u in self._shares.items() if c not in gone})

    def given(self) -> Uncertain:
        """The same best estimate, taken as exactly known."""
        return exact(self._value)

    def __reduce__(self) -> tuple[type[Uncertain], tuple[float, dict[Cause, float]]]:
        return Uncertain, (self._value, dict(self._shares))  # a view of them can't be pickled

    def __repr__(self) -> str:
        return f"Uncertain({self.value!r} ± {self.u!r})"

    def __add__(self, other: Uncertain | float) -> Uncertain:
        if isinstance(other, Uncertain):
            return Uncertain(self._value + other._value, _sum(self._shares, other._shares, 1.0))
        return Uncertain(self._value + float(other), self._shares)

    def __sub__(self, other: Uncertain | float) -> Uncertain:
        if isinstance(other, Uncertain):
            return Uncertain(self._value - other._value, _sum(self._shares, other._shares, -1.0))
        return Uncertain(self._value - float(other), self._shares)

    def __mul__(self, other: Uncertain | float) -> Uncertain:
        if isinstance(other, Uncertain):
            a, b = self._value, other._value
            return Uncertain(a * b, _sum(_times(self._shares, b), other._shares, a))
        return Uncertain(self._value * float(other), _times(self._shares, float(other)))

    def __truediv__(self, other: Uncertain | float) -> Uncertain:
        if isinstance(other, Uncertain):
            quotient, b = self._value / other._value, other._value
            return Uncertain(
                quotient, _sum(_times(self._shares, 1.0 / b), other._shares, -quotient / b)
            )
        return Uncertain(self._value / float(other), _times(self._shares, 1.0 / float(other)))

    def __radd__(self, other: float) -> Uncertain:
        return self + other

    def __rsub__(self, other: float) -> Uncertain:
        return other + -self

    def __rmul__(self, other: float) -> Uncertain:
        return self * other

    def __rtruediv__(self, other: float) -> Uncertain:
        return exact(other) / self

    def __neg__(self) -> Uncertain:
        return Uncertain(-self._value, _times(self._shares, -1.0))


def _times(shares: Shares, factor: float) -> Shares:
    return {cause: factor * u for cause, u in shares.items()} if shares else _NONE


def _sum(shares: Shares, others: Shares, factor: float) -> Shares:
    """The first shares and so many times the others."""
    if not others:
        return shares
    summed = dict(shares)
    _add(summed, others, factor)
    return summed


def _add(shares: dict[Cause, float], others: Shares, factor: float) -> None:
    for cause, u in others.items():
        shares[cause] = shares.get(cause, 0.0) + factor * u


def exact(value: float) -> Uncertain:
    """A value without doubt."""
    return Uncertain(float(value))


def measured(value: float, u: float, cause: Cause) -> Uncertain:
    """A value with one cause of doubt, shared with every other value that names it.

    Args:
        value: best estimate.
        u: standard uncertainty, >= 0.
        cause: where the doubt comes from.
    """
    return Uncertain(float(value), {cause: float(u)}) if u > 0 else exact(value)


def total(values: Iterable[Uncertain]) -> Uncertain:
    """The sum; zero for none."""
    return weighted((value, 1.0) for value in values)


def weighted(values: Iterable[tuple[Uncertain, float]]) -> Uncertain:
    """The sum of values, each so many times."""
    value, shares = 0.0, dict[Cause, float]()
    for each, times in values:
        if times:
            value += times * each._value
            _add(shares, each._shares, times)
    return Uncertain(value, shares)


def apply(function: Callable[..., float], *arguments: Uncertain | float) -> Uncertain:
    """A plain function of numbers, with the doubt of its arguments carried along.

    The derivatives are central differences over plus and minus one standard
    uncertainty, as JCGM 100:2008, 5.1.3 note 2 allows; one-sided where the
    function is not defined on the other side.

    Raises:
        ValueError: the function is not defined at the best estimates.
    """
    at = [a.value if isinstance(a, Uncertain) else float(a) for a in arguments]
    middle = float(function(*at))
    shares = dict[Cause, float]()
    for i, argument in enumerate(arguments):
        if isinstance(argument, Uncertain) and (u := argument.u) > 0:
            _add(shares, argument.sources(), _slope(function, at, i, u, middle))
    return Uncertain(middle, shares)


def _slope(
    function: Callable[..., float], at: list[float], i: int, u: float, middle: float
) -> float:
    """Difference quotient in the i-th argument over the sides that exist."""
    ends = []
    for shift in (u, -u):
        try:
            ends.append((shift, function(*at[:i], at[i] + shift, *at[i + 1 :])))
        except ValueError:
            ends.append((0.0, middle))
    (high, above), (low, below) = ends
    return (above - below) / (high - low) if high > low else 0.0


def chance_above(value: Uncertain, threshold: float = 0.0) -> float | None:
    """Probability that a normally distributed value exceeds a threshold.

    None when no doubt was stated: then the chance is not known either.
    """
    if value.u == 0:
        return None
    return 0.5 * math.erfc((threshold - value.value) / (value.u * math.sqrt(2)))
