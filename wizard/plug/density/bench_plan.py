"""What a piece or a dunk would give, before it is cut or made."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.certainty.expanded import PLAIN_FACTOR
from wizard.physics.density import (
    Bench,
    Dimensions,
    accuracy_u,
    block_dimensions,
    cylinder_dimensions,
    relative_u,
    resolution_u,
)
from wizard.plug.density.dunk import MENISCUS
from wizard.plug.density.quality import WANTED
from wizard.plug.derived import Derived
from wizard.plug.doubts import caliper, sample_scale
from wizard.plug.record import Build, Sample

GUESS = 400.0
"""Density taken for a wood that nobody names [kg/m3]: a middling carving wood, from memory."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What a piece would give before it is cut or weighed.

    Attributes:
        mass: about what it would weigh [kg].
        relative: relative expanded uncertainty of its density [1], the board's scatter apart.
        good: whether its measurement alone would leave the volume trusted.
    """

    mass: float
    relative: float
    good: bool


def bench_of(build: Build) -> Bench:
    """The instruments that the samples are measured with."""
    sides, scale = caliper(build), sample_scale(build)
    own = math.hypot(resolution_u(scale.step), scale.bias.u)
    return Bench(sides.step, sides.bias.u * math.sqrt(3.0), own)


def guessed_density(build: Build, derived: Derived) -> float:
    """About what the wood has [kg/m3]: as tested so far, else by its name, else a usual one."""
    if derived.wood.density is not None:
        return derived.wood.density.value
    from wizard.tables import find_wood

    row = find_wood(build.stock.wood) if build.stock.wood else None
    return row.density.typical if row else GUESS


def dimensions_of(sample: Sample) -> Dimensions | None:
    """The sides of a piece, as far as they make a volume; None while one is missing."""
    if sample.method == "block" and sample.length and sample.width and sample.thickness:
        return block_dimensions(sample.length.value, sample.width.value, sample.thickness.value)
    if sample.method == "cylinder" and sample.diameter and sample.length:
        return cylinder_dimensions(sample.diameter.value, sample.length.value)
    return None


def _volume(sample: Sample, dimensions: Dimensions) -> float:
    shape = math.pi / 4.0 if sample.method == "cylinder" else 1.0
    return shape * math.prod(side**power for side, power in dimensions)


def expected(build: Build, derived: Derived, row: int) -> Expected | None:
    """What a sample would give of which only the size is typed so far.

    None while its size is not complete, or once it is weighed.
    """
    sample = build.density.sample[row]
    dimensions = dimensions_of(sample)
    if dimensions is None or sample.mass is not None:
        return None
    mass = guessed_density(build, derived) * _volume(sample, dimensions)
    relative = PLAIN_FACTOR * relative_u(dimensions, mass, bench_of(build))
    return Expected(mass, relative, relative <= WANTED)


def expected_dunk(build: Build, derived: Derived) -> float | None:
    """Relative expanded uncertainty that a dunk of the sealed body would give [1]."""
    volume, water = derived.value("body_volume"), derived.water
    if volume is None or water is None:
        return None
    at = build.weighing
    step = at.resolution.value if at.resolution else 0.0
    own = accuracy_u(at.accuracy.value) if at.accuracy else 0.0
    read = math.hypot(resolution_u(step), own) / (volume.value * water.buoyant)
    return PLAIN_FACTOR * math.hypot(read, MENISCUS)
