"""The value type and the few operations on it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from uncertainties import ufloat
from uncertainties.core import AffineScalarFunc


@dataclass(frozen=True, slots=True)
class Cause:
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


class Uncertain:
    """A number with its standard uncertainty and the causes of it."""

    __slots__ = ("_inner",)

    def __init__(self, inner: Any) -> None:
        self._inner = inner

    @property
    def value(self) -> float:
        """Best estimate."""
        return float(self._inner.nominal_value)

    @property
    def u(self) -> float:
        """Standard uncertainty (k = 1)."""
        return float(self._inner.std_dev)

    def contributions(self) -> tuple[Contribution, ...]:
        """Causes in order of their share, largest first; shares add in squares."""
        ordered = sorted(self.sources().items(), key=lambda pair: -abs(pair[1]))
        return tuple(Contribution(cause, abs(u)) for cause, u in ordered if u != 0)

    def sources(self) -> Mapping[Cause, float]:
        """What one standard uncertainty of each cause does to the value, with its sign."""
        derivatives = self._inner.derivatives
        return {v.tag: float(slope * v.std_dev) for v, slope in derivatives.items()}

    def without(self, causes: Iterable[Cause]) -> Uncertain:
        """The same best estimate, as if these causes of doubt were none."""
        gone = set(causes)
        kept = ((cause, slope) for cause, slope in self.sources().items() if cause not in gone)
        return self.value + total(slope * _unit(cause) for cause, slope in kept)

    def given(self) -> Uncertain:
        """The same best estimate, taken as exactly known."""
        return exact(self.value)

    def __repr__(self) -> str:
        return f"Uncertain({self.value!r} ± {self.u!r})"

    def __add__(self, other: Uncertain | float) -> Uncertain:
        return Uncertain(self._inner + _bare(other))

    def __sub__(self, other: Uncertain | float) -> Uncertain:
        return Uncertain(self._inner - _bare(other))

    def __mul__(self, other: Uncertain | float) -> Uncertain:
        return Uncertain(self._inner * _bare(other))

    def __truediv__(self, other: Uncertain | float) -> Uncertain:
        return Uncertain(self._inner / _bare(other))

    def __radd__(self, other: float) -> Uncertain:
        return Uncertain(other + self._inner)

    def __rsub__(self, other: float) -> Uncertain:
        return Uncertain(other - self._inner)

    def __rmul__(self, other: float) -> Uncertain:
        return Uncertain(other * self._inner)

    def __rtruediv__(self, other: float) -> Uncertain:
        return Uncertain(other / self._inner)

    def __neg__(self) -> Uncertain:
        return Uncertain(-self._inner)


def _bare(value: Uncertain | float) -> Any:
    return value._inner if isinstance(value, Uncertain) else value


def _constant(value: float) -> AffineScalarFunc:
    from uncertainties.core import LinearCombination

    return AffineScalarFunc(float(value), LinearCombination({}))


def _unit(cause: Cause) -> Uncertain:
    """A cause's deviation of zero mean and standard uncertainty 1."""
    return Uncertain(_variable(cause))


def exact(value: float) -> Uncertain:
    """A value without doubt."""
    return Uncertain(_constant(value))


def measured(value: float, u: float, cause: Cause) -> Uncertain:
    """A value with one cause of doubt, shared with every other value that names it.

    Args:
        value: best estimate.
        u: standard uncertainty, >= 0.
        cause: where the doubt comes from.
    """
    return Uncertain(value + u * _variable(cause)) if u > 0 else exact(value)


@cache
def _variable(cause: Cause) -> Any:
    """The one variable of zero mean and unit deviation that stands for a cause."""
    return ufloat(0.0, 1.0, cause)


def total(values: Iterable[Uncertain]) -> Uncertain:
    """The sum; zero for none."""
    inner: Any = _constant(0.0)
    for value in values:
        inner = inner + _bare(value)
    return Uncertain(inner)


def apply(function: Callable[..., float], *arguments: Uncertain | float) -> Uncertain:
    """A plain function of numbers, with the doubt of its arguments carried along.

    The derivatives are central differences over plus and minus one standard
    uncertainty, as JCGM 100:2008, 5.1.3 note 2 allows; one-sided where the
    function is not defined on the other side.

    Raises:
        ValueError: the function is not defined at the best estimates.
    """
    at = [a.value if isinstance(a, Uncertain) else float(a) for a in arguments]
    middle = function(*at)
    result: Any = _constant(middle)
    for i, argument in enumerate(arguments):
        u = argument.u if isinstance(argument, Uncertain) else 0.0
        if u > 0:
            result = result + _slope(function, at, i, u, middle) * (_bare(argument) - at[i])
    return Uncertain(result)


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
