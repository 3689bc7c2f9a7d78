"""Shape: proportions, or stations read with a caliper; then saw and sand."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _by_proportions(build: Build, row: Any) -> bool:
    return not build.shape.station


STEP = Step(
    id="shape",
    title="Shape",
    phase="plan",
    hands=(
        "Draw the centre line on all four sides of the blank before anything is cut.",
        "Saw the side outline first, while the blank still lies flat; then the plan outline.",
        "Round the edges: no coat holds on a sharp one (common practice, no source).",
        "Drill for line tie, hangers and through-wire before the body is round.",
        "Sand to shape, then mark face, line tie and hangers.",
    ),
    items=(
        Prompt(
            "shape.length",
            "Length of the body",
            "With height and thickness it says what the blank must hold.",
            "Nose to tail, without line tie and hooks.",
            unit="mm",
            when=_by_proportions,
        ),
        Prompt(
            "shape.height",
            "Height of the body",
            "Belly to back at the deepest place.",
            "Common practice, no source: no less than a quarter of the length.",
            unit="mm",
            when=_by_proportions,
        ),
        Prompt(
            "shape.thickness",
            "Thickness of the body",
            "Side to side at the widest place.",
            "Common practice, no source: near half length and just under mid-height.",
            unit="mm",
            when=_by_proportions,
        ),
        Prompt(
            "shape.form",
            "Body form",
            "With a form the volume, the room for ballast and how it will lie are known early.",
            "Leave it empty to draw by stations, or not at all.",
            optional=True,
            when=_by_proportions,
        ),
        Prompt(
            "shape.allowance",
            "Allowance for saw and sander",
            "Added to each side of the blank.",
            "Common practice, no source: 3 mm a side.",
            unit="mm",
            optional=True,
            offer="3 mm",
        ),
        Group(
            "shape.station",
            one="station",
            none="",
            prompts=(
                Prompt("x", "Aft of the nose", "Where along the body.", unit="mm"),
                Prompt("top", "Top line above the baseline", "Height of the back.", unit="mm"),
                Prompt("bottom", "Bottom line above it", "Height of the belly.", unit="mm"),
                Prompt("half_breadth", "Half-breadth", "Half of the widest there.", unit="mm"),
            ),
        ),
    ),
    shows=("shape_volume", "shape_area"),
)
