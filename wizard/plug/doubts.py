"""Readings with the doubt of the instrument that took them.

A resolution belongs to each reading alone. A stated accuracy is one error of
the instrument, common to every reading taken with it, so it is one cause.
"""

from __future__ import annotations

from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, exact, measured
from wizard.physics.density import accuracy_u, resolution_u
from wizard.plug.paths import Path, words
from wizard.plug.record import Build
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

    def reading(self, quantity: Quantity, path: Path) -> Uncertain:
        """A reading with all its doubt."""
        own = measured(0.0, resolution_u(self.step), Cause(words(path), "resolution"))
        return quantity.value + own + self.bias


def instrument(
    resolution: Quantity | None, accuracy: Quantity | None, accuracy_path: Path
) -> Instrument:
    """An instrument as far as it was described; what nobody stated counts as zero."""
    limit = _value(accuracy)
    bias = measured(0.0, accuracy_u(limit), Cause(words(accuracy_path), "accuracy"))
    return Instrument(_value(resolution), bias if limit else exact(0.0))


def bench_scale(build: Build) -> Instrument:
    """The scale that weighed the body."""
    at = build.weighing
    return instrument(at.resolution, at.accuracy, ("weighing", "accuracy"))


def sample_scale(build: Build) -> Instrument:
    """The scale that weighed the samples."""
    at = build.density
    return instrument(at.mass_resolution, at.mass_accuracy, ("density", "mass_accuracy"))


def caliper(build: Build) -> Instrument:
    """What measured the samples."""
    at = build.density
    return instrument(at.length_resolution, at.length_accuracy, ("density", "length_accuracy"))
