"""Readings with the doubt of the instrument that took them.

A resolution belongs to each reading alone. A stated accuracy is one error of
the instrument, common to every reading taken with it, so it is one cause. What
a check weight shows counts as accuracy where it is more than what is stated: a
coin is no standard, so nothing is corrected by it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, exact, measured
from wizard.certainty.readings import mean, scatter_u
from wizard.physics.density import accuracy_u, resolution_u
from wizard.plug.findings import Finding
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, DensityTest, PlugWeighing, Sample, Weighing
from wizard.quantity.reading import Quantity


def _value(quantity: Quantity | None) -> float:
    return 0.0 if quantity is None else quantity.value


@dataclass(frozen=True, slots=True)
class Instrument:
    """A caliper, rule or scale.

    Attributes:
        step: resolution, its smallest step [m or kg].
        bias: its own error, zero with the doubt of its stated accuracy.
    """

    step: float
    bias: Uncertain

    def reading(self, quantity: Quantity, path: Path, again: Sequence[Quantity] = ()) -> Uncertain:
        """A reading, or the mean of several, with all its doubt.

        Several readings bring their own scatter; the resolution stays whole beside
        it, since a rounding that all of them share does not average out.

        Source: JCGM 100:2008, 4.2.3 and F.2.2.1.
        """
        values = [quantity.value, *(q.value for q in again)]
        own = measured(0.0, resolution_u(self.step), Cause(words(path), "resolution"))
        scattered = Cause(words(path), "scatter", len(values) - 1)
        return mean(values) + measured(0.0, scatter_u(values), scattered) + own + self.bias


def without_drift(reading: Uncertain, zero: Quantity | None, path: Path) -> Uncertain:
    """A weighing with what the empty scale had drifted by afterwards taken half out.

    The scale stood at zero before and at `zero` after; when the reading was taken it
    was anywhere between.

    Args:
        reading: [kg].
        zero: what the scale showed when empty again.
        path: where that stands.

    Source: JCGM 100:2008, 3.2.4 (correct what is known) and 4.3.7 (rectangular limits).
    """
    if zero is None or zero.value == 0:
        return reading
    half = zero.value / 2.0
    doubt = measured(0.0, abs(half) / math.sqrt(3.0), Cause(words(path), "drift"))
    return reading - half + doubt


def drift_refusals(build: Build) -> Iterator[Finding]:
    """Weighings of which nothing is left once the drift of the scale is taken off."""
    weighed: list[tuple[Path, Weighing | Sample | PlugWeighing]] = [(("weighing",), build.weighing)]
    weighed += [(("density", "sample", i), row) for i, row in enumerate(build.density.sample)]
    weighed += [(("weight", i), row) for i, row in enumerate(build.weight)]
    for path, at in weighed:
        if at.mass is None or at.zero is None:
            continue
        values = [at.mass.value, *(q.value for q in at.mass_again)]
        if at.zero.value / 2.0 >= mean(values):
            yield Finding(
                "refusal",
                (*path, "zero"),
                f"The empty scale can't show {at.zero.text} after a reading of {at.mass.text}: "
                "half of that is taken off, and nothing would be left.",
                "Expected what it showed with nothing on it; weigh again if something lay there.",
            )


def instrument(
    resolution: Quantity | None,
    accuracy: Quantity | None,
    accuracy_path: Path,
    check: float = 0.0,
) -> Instrument:
    """An instrument as far as it was described; what nobody stated counts as zero.

    Args:
        resolution: its smallest step.
        accuracy: the limit stated for its own error.
        accuracy_path: where that stands.
        check: how far it was off with a check weight [kg].
    """
    limit = max(_value(accuracy), abs(check))
    bias = measured(0.0, accuracy_u(limit), Cause(words(accuracy_path), "accuracy"))
    return Instrument(_value(resolution), bias if limit else exact(0.0))


def check_error(at: Weighing | DensityTest) -> float | None:
    """How much more the scale showed than the check weight's nominal mass [kg]; None unchecked."""
    if at.check_mass is None or at.check_reading is None:
        return None
    return at.check_reading.value - at.check_mass.value


def bench_scale(build: Build) -> Instrument:
    """The scale that weighed the body."""
    at = build.weighing
    path: Path = ("weighing", "accuracy")
    return instrument(at.resolution, at.accuracy, path, check_error(at) or 0.0)


def sample_scale(build: Build) -> Instrument:
    """The scale that weighed the samples."""
    at = build.density
    path: Path = ("density", "mass_accuracy")
    return instrument(at.mass_resolution, at.mass_accuracy, path, check_error(at) or 0.0)


def caliper(build: Build) -> Instrument:
    """What measured the samples."""
    at = build.density
    return instrument(at.length_resolution, at.length_accuracy, ("density", "length_accuracy"))
