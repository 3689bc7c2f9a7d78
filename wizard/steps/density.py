"""Density test: pieces of the same board, measured and weighed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _method(*methods: str) -> Callable[[Build, Any], bool]:
    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.method in methods

    return asked


SAMPLES = Group(
    "density.sample",
    one="sample",
    none="",
    start=(("method", "block"),),
    prompts=(
        Prompt(
            "method",
            "Kind of sample",
            "How its volume is found.",
            words=(
                ("block", "squared: three sides"),
                ("cylinder", "dowel or core"),
                ("dunk", "held under water on the scale"),
                ("known", "from an earlier test of this board"),
            ),
        ),
        Prompt("length", "Length", "Longer is better.", unit="mm", when=_method("block")),
        Prompt("width", "Width", "Across the grain.", unit="mm", when=_method("block")),
        Prompt(
            "thickness",
            "Thickness",
            "The smallest side decides how well the density is known.",
            unit="mm",
            when=_method("block"),
        ),
        Prompt("diameter", "Diameter", "Counts twice.", unit="mm", when=_method("cylinder")),
        Prompt("length", "Length", "Along the core.", unit="mm", when=_method("cylinder")),
        Prompt(
            "mass",
            "Mass",
            "A small piece on a coarse scale is no test.",
            unit="g",
            when=_method("block", "cylinder", "dunk"),
        ),
        Prompt(
            "gain",
            "Gain of the scale",
            "What the beaker's scale shows more while the sealed sample is held just under.",
            unit="g",
            when=_method("dunk"),
        ),
        Prompt(
            "temperature",
            "Temperature of that water",
            "Only if it is not the fishing water.",
            unit="degC",
            optional=True,
            when=_method("dunk"),
        ),
        Prompt("density", "Density", "As tested before.", unit="g/mL", when=_method("known")),
        Prompt(
            "uncertainty",
            "Its standard uncertainty",
            "At k = 1; half of what holds in 95 of 100 cases.",
            unit="g/mL",
            optional=True,
            when=_method("known"),
        ),
    ),
)


def _one_sample(build: Build, row: Any) -> bool:
    return len(build.density.sample) <= 1


STEP = Step(
    id="density",
    title="Density test",
    phase="measure",
    hands=(
        "Square two samples or more from the same board, next to the body.",
        "As large as the board gives: a 10 mm cube on a pocket scale tells nothing.",
        "Measure each side at its middle, then weigh. Scale at zero before each.",
    ),
    items=(
        Prompt(
            "density.length_resolution",
            "Smallest step of the caliper",
            "Rounding of each side.",
            "0.02 mm vernier, 0.01 mm digital, 0.5 mm rule.",
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
            "Rounding of each weighing.",
            unit="g",
            offer="0.01 g",
        ),
        Prompt(
            "density.mass_accuracy",
            "Accuracy stated for the scale",
            "Its own error, common to all samples.",
            unit="g",
            optional=True,
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
