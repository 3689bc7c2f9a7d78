"""Density of wood from samples, with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, measured, total
from wizard.certainty.readings import deviation, variance_between
from wizard.certainty.readings import mean as plain_mean
from wizard.certainty.student import t_factor

MUCH = 3.0
"""Samples whose uncertainties differ by more than this factor are weighted: a judgement."""


def resolution_u(step: float) -> float:
    """Standard uncertainty of a reading to a digital step, d / sqrt(12).

    Source: JCGM 100:2008, F.2.2.1.
    """
    return step / math.sqrt(12.0)


def accuracy_u(limit: float) -> float:
    """Standard uncertainty of a stated accuracy +- a, a / sqrt(3).

    Source: JCGM 100:2008, 4.3.7, eq. 7 (rectangular).
    """
    return limit / math.sqrt(3.0)


def block_volume(length: Uncertain, width: Uncertain, thickness: Uncertain) -> Uncertain:
    """Volume of a squared block [m3]."""
    return length * width * thickness


def cylinder_volume(diameter: Uncertain, length: Uncertain) -> Uncertain:
    """Volume of a dowel or a plug-cutter's core [m3]."""
    return math.pi / 4.0 * diameter * diameter * length


def dunk_volume(gain: Uncertain, density: float) -> Uncertain:
    """Volume held under water on a scale, V = gain / rho [m3].

    Args:
        gain: what the scale gained [kg].
        density: buoyant density of the water, rho_w - rho_a [kg/m3].

    Source: Archimedes.
    """
    return gain / density


@dataclass(frozen=True, slots=True)
class Mean:
    """Several samples of one board, as one density.

    Attributes:
        density: [kg/m3], with the scatter in it.
        weighted: whether samples counted by their certainty.
        scatter: relative standard deviation between samples; None with one.
    """

    density: Uncertain
    weighted: bool
    scatter: float | None


def mean_density(samples: Sequence[Uncertain], where: str) -> Mean:
    """The plain mean of the samples' densities, weighted only if they differ much in certainty.

    The scatter enters as t(68.27 %, n - 1) s / sqrt(n), in quadrature with
    what the instruments contribute. What each says of the board is as uncertain as its
    own measurement and the board's scatter together: a piece measured ten times as
    finely counts no more where the board scatters more than either measurement.

    Args:
        samples: density of each sample [kg/m3], at least one.
        where: the answer to name as the cause of the scatter.

    Source: JCGM 100:2008, 4.2.3 (mean), G.3 (Student's t), 5.1.2 (combination); weights
    as in Paule and Mandel (1982), J. Res. NBS 87, 377.
    """
    n = len(samples)
    if n == 1:
        return Mean(samples[0], weighted=False, scatter=None)
    plain = [s.value for s in samples]
    own = [sample.u for sample in samples]
    between = variance_between(plain, own) if min(own) > 0 else math.inf
    variances = [u * u + between for u in own]
    weighted = max(variances) > MUCH**2 * min(variances)
    weights = [1.0 / v if weighted else 1.0 for v in variances]
    whole = sum(weights)
    mean = total(w * s for w, s in zip(weights, samples, strict=True)) / whole
    spread = sum(w * (s.value - mean.value) ** 2 for w, s in zip(weights, samples, strict=True))
    u_mean = math.sqrt(spread / ((n - 1) * whole))
    u_scatter = t_factor(n - 1) * u_mean
    scatter = deviation(plain) / plain_mean(plain)
    seen = measured(0.0, u_scatter, Cause(where, "scatter", n - 1))
    return Mean(mean + seen, weighted, scatter)


def with_board_scatter(density: Uncertain, scatter: float, where: str) -> Uncertain:
    """One sample's density, with the scatter of its board taken from elsewhere [kg/m3]."""
    return density + measured(0.0, scatter * density.value, Cause(where, "scatter"))


Dimensions = Sequence[tuple[float, int]]
"""Lengths [m] that make a volume, each with the power in which it counts."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What a piece of wood is measured and weighed with.

    Attributes:
        step: caliper's resolution [m].
        accuracy: caliper's stated accuracy [m], common to all sides.
        scale_u: standard uncertainty of one reading of the scale [kg].
    """

    step: float
    accuracy: float
    scale_u: float


def block_dimensions(length: float, width: float, thickness: float) -> Dimensions:
    """The dimensions of a squared block [m]."""
    return ((length, 1), (width, 1), (thickness, 1))


def cylinder_dimensions(diameter: float, length: float) -> Dimensions:
    """The dimensions of a dowel or core [m]; the diameter counts twice."""
    return ((diameter, 2), (length, 1))


def relative_u(dimensions: Dimensions, mass: float, bench: Bench) -> float:
    """Relative standard uncertainty of a piece's density that its measurement alone leaves [1].

    Args:
        dimensions: of the piece [m].
        mass: of the piece [kg].
        bench: its instruments.

    Source: JCGM 100:2008, 5.1.6 eq. 12; the caliper's own error is common to all
    dimensions, so its parts add before they are squared (5.2.2 eq. 16).
    """
    read = resolution_u(bench.step)
    apart = math.fsum((power * read / side) ** 2 for side, power in dimensions)
    shared = accuracy_u(bench.accuracy) * math.fsum(power / side for side, power in dimensions)
    return math.sqrt(apart + shared**2 + (bench.scale_u / mass) ** 2)


def sides_needed(
    dimensions: Dimensions,
    mass: float,
    bench: Bench,
    wanted: float,
    limits: Sequence[float] = (),
) -> tuple[float, ...] | None:
    """Sides of a piece whose density would be known to a relative standard uncertainty [m].

    The piece at hand is made larger or smaller in proportion; a side that reaches its
    limit stays there while the others grow on.

    Args:
        dimensions: of the piece at hand [m].
        mass: of the piece at hand [kg].
        bench: its instruments.
        wanted: u(rho) / rho [1], above zero.
        limits: how long each side may become [m]; none when empty.

    Returns:
        The sides in the order of the dimensions; None where no piece within the limits
        would do.
    """
    most = limits or [math.inf] * len(dimensions)

    def grown(growth: float) -> tuple[float, ...]:
        return tuple(
            min(side * growth, limit) for (side, _), limit in zip(dimensions, most, strict=True)
        )

    def doubt(growth: float) -> float:
        sides = grown(growth)
        larger = [(side, power) for side, (_, power) in zip(sides, dimensions, strict=True)]
        shares = ((new / old) ** power for new, (old, power) in zip(sides, dimensions, strict=True))
        return relative_u(larger, mass * math.prod(shares), bench)

    low, high = 1e-6, 1e6
    if doubt(high) > wanted:
        return None
    for _ in range(80):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if doubt(middle) > wanted else (low, middle)
    return grown(high)


def length_needed(
    wood_density: float, wanted: float, step: float, accuracy: float, scale_u: float
) -> float:
    """Side of a cube whose density would be known to a relative standard uncertainty [m].

    Args:
        wood_density: about what is expected [kg/m3].
        wanted: u(rho) / rho [1].
        step: caliper's resolution [m].
        accuracy: caliper's stated accuracy [m], common to the three sides.
        scale_u: standard uncertainty of one reading of the scale [kg].

    Raises:
        ValueError: wanted is zero or less.
    """
    cube, bench = block_dimensions(1.0, 1.0, 1.0), Bench(step, accuracy, scale_u)
    sides = sides_needed(cube, wood_density, bench, wanted)
    if sides is None:
        raise ValueError("the wanted uncertainty must be above zero")
    return sides[0]


def samples_needed(scatter: float, wanted: float, at_most: int = 12) -> int | None:
    """How many pieces of a board hold its mean within a relative half-width, 95 times in 100.

    Args:
        scatter: relative standard deviation between pieces, s [1].
        wanted: t95(n - 1) s / sqrt(n) [1].
        at_most: more than this many nobody cuts.

    Returns:
        The number of pieces; None where more than `at_most` are needed.

    Source: JCGM 100:2008, G.3.2.
    """
    for n in range(2, at_most + 1):
        if t_factor(n - 1, 0.95) * scatter / math.sqrt(n) <= wanted:
            return n
    return None
