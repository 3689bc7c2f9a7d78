"""Density test: pieces of the same board, measured and weighed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Prompt, Step
from wizard.steps.samples import SAMPLES


def _of_test(key: str, after: str = "") -> Callable[[Build, Any], bool]:
    """The same of the test as a whole."""

    def asked(build: Build, row: Any) -> bool:
        at = build.density
        wanted = build.weighing.thorough == "yes" and bool(not after or getattr(at, after))
        return wanted or bool(getattr(at, key))

    return asked


def _one_sample(build: Build, row: Any) -> bool:
    return len(build.density.sample) <= 1


STEP = Step(
    id="density",
    title="Density test",
    phase="measure",
    hands=(
        "Square two samples or more from the same board, next to the body.",
        "As large as the board gives: a 10 mm cube on a pocket scale tells nothing.",
        "Let them lie beside the body until tested; no paint, no glue, no pencilled template.",
        "Measure each side at its middle, then weigh. Scale at zero (tare) before each.",
    ),
    items=(
        Prompt(
            "density.length_resolution",
            "Smallest step of the caliper",
            "Rounding of each side.",
            "0.02 or 0.05 mm vernier, 0.01 mm digital, 0.5 mm rule.",
            unit="mm",
            offer="0.02 mm",
        ),
        Prompt(
            "density.length_accuracy",
            "Accuracy stated for the caliper",
            "Its own error, common to all sides.",
            "From its papers; 0.03 mm is usual (from memory).",
            unit="mm",
            optional=True,
        ),
        Prompt(
            "density.mass_resolution",
            "Smallest step of the scale",
            "Says how much each weighing can be off by rounding.",
            "0.01 g if it shows two decimals.",
            unit="g",
            offer="0.01 g",
        ),
        Prompt(
            "density.mass_accuracy",
            "Accuracy stated for the scale",
            "Its own error, common to all samples.",
            "From its papers, or what a check weight shows.",
            unit="g",
            optional=True,
        ),
        Prompt(
            "density.check_mass",
            "A check weight's nominal mass",
            "Shows whether this scale is off by more than it should be.",
            "A check weight or an unworn coin about as heavy as a sample.",
            unit="g",
            optional=True,
            when=_of_test("check_mass"),
        ),
        Prompt(
            "density.check_reading",
            "What the scale shows for it",
            "If it is off by more than the stated accuracy, that counts instead.",
            "Zero, check weight on the middle of the pan, read when it stands still.",
            unit="g",
            optional=True,
            when=_of_test("check_reading", after="check_mass"),
        ),
        Prompt(
            "density.mass_maximum",
            "Most that the scale takes",
            "Beyond it a scale shows anything; a beaker of water counts too.",
            "Only if it is not the scale that weighed the body.",
            unit="g",
            optional=True,
            when=_of_test("mass_maximum"),
        ),
        Prompt(
            "density.moisture_accuracy",
            "Accuracy of the moisture meter",
            "Its own error, common to body and samples.",
            "2 % is usual for a pin meter (from memory).",
            unit="%",
            optional=True,
            when=_of_test("moisture_accuracy"),
        ),
        SAMPLES,
        Prompt(
            "density.board_scatter",
            "Scatter of such boards",
            "With one sample nobody knows how the board varies; several samples show it.",
            "A few per cent (from memory). Leave it empty if you test more samples.",
            unit="%",
            optional=True,
            when=_one_sample,
        ),
    ),
    shows=("wood_density", "body_volume"),
)
