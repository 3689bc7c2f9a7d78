"""Density of wood from samples, with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, measured, total
from wizard.certainty.student import t_factor

MUCH = 3.0
"""Own uncertainties that differ by more than this factor are weighted: a judgement."""


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
    what the instruments contribute.

    Args:
        samples: density of each sample [kg/m3], at least one.
        where: the answer to name as the cause of the scatter.

    Source: JCGM 100:2008, 4.2.3 (mean), G.3 (Student's t), 5.1.2 (combination).
    """
    n = len(samples)
    if n == 1:
        return Mean(samples[0], weighted=False, scatter=None)
    own = [sample.u for sample in samples]
    weighted = min(own) > 0 and max(own) > MUCH * min(own)
    weights = [1.0 / u**2 if weighted else 1.0 for u in own]
    whole = sum(weights)
    mean = total(w * s for w, s in zip(weights, samples, strict=True)) / whole
    spread = sum(w * (s.value - mean.value) ** 2 for w, s in zip(weights, samples, strict=True))
    u_mean = math.sqrt(spread / ((n - 1) * whole))
    u_scatter = t_factor(n - 1) * u_mean
    plain = [s.value for s in samples]
    centre = sum(plain) / n
    scatter = math.sqrt(sum((x - centre) ** 2 for x in plain) / (n - 1)) / centre
    return Mean(mean + measured(0.0, u_scatter, Cause(where, "scatter")), weighted, scatter)


def with_board_scatter(density: Uncertain, scatter: float, where: str) -> Uncertain:
    """One sample's density, with the scatter of its board taken from elsewhere [kg/m3]."""
    return density + measured(0.0, scatter * density.value, Cause(where, "scatter"))


def length_needed(
    wood_density: float, relative_u: float, step: float, accuracy: float, scale_u: float
) -> float:
    """Side of a cube whose density would be known to a relative standard uncertainty [m].

    Args:
        wood_density: about what is expected [kg/m3].
        relative_u: wanted u(rho) / rho [1].
        step: caliper's resolution [m].
        accuracy: caliper's stated accuracy [m], common to the three sides.
        scale_u: standard uncertainty of one reading of the scale [kg].

    Source: JCGM 100:2008, 5.1.6 eq. 12, with the caliper's own error shared.
    """

    def doubt(side: float) -> float:
        sides = 3.0 * (resolution_u(step) / side) ** 2 + 9.0 * (accuracy_u(accuracy) / side) ** 2
        return math.sqrt(sides + (scale_u / (wood_density * side**3)) ** 2)

    low, high = 1e-4, 10.0
    for _ in range(100):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if doubt(middle) > relative_u else (low, middle)
    return high
