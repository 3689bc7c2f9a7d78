"""Shape: proportions, or stations read with a caliper; then saw and sand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step


def _by_form(build: Build, row: Any) -> bool:
    return not _by_stations(build, row)


def _by_stations(build: Build, row: Any) -> bool:
    return build.shape.way == "stations" or bool(build.shape.station)


def _changed(key: str) -> Callable[[Build, Any], bool]:
    """Asked of those who change a form's proportions, and where it is answered already."""

    def asked(build: Build, row: Any) -> bool:
        at = build.shape
        return _by_form(build, row) and (at.way == "proportions" or getattr(at, key) is not None)

    return asked


def _fullness(key: str) -> Callable[[Build, Any], bool]:
    """The same for how full the sections are, which stations don't tell either."""

    def asked(build: Build, row: Any) -> bool:
        at = build.shape
        wanted = at.way == "proportions" or _by_stations(build, row)
        return wanted or getattr(at.section, key) is not None

    return asked


def _has_line_tie(build: Build, row: Any) -> bool:
    """Asked of a body whose line tie is not at its nose, and of those who go beyond sizes."""
    from wizard.plug.body.drawing import usual_line_tie

    at = build.shape
    beyond = at.way == "proportions" or _by_stations(build, row)
    return beyond or at.line_tie is not None or usual_line_tie(build) is not None


SIZES = (
    Prompt(
        "shape.length",
        "Length of the body",
        "With height and thickness it says what the blank must hold.",
        "Nose to tail, without line tie and hooks. Caliper readings instead: see Drawn by.",
        sketch="sizes",
        unit="mm",
        when=_by_form,
    ),
    Prompt(
        "shape.height",
        "Height of the body",
        "Belly to back at the deepest place.",
        "Common practice, no source: no less than a quarter of the length.",
        sketch="sizes",
        unit="mm",
        when=_by_form,
    ),
    Prompt(
        "shape.thickness",
        "Thickness of the body",
        "Side to side at the widest place.",
        "Common practice, no source: near half length and just under mid-height.",
        sketch="sizes",
        unit="mm",
        when=_by_form,
    ),
    Prompt(
        "shape.form",
        "Body form",
        "With a form the volume, the room for ballast and how it will lie are known early.",
        "Its proportions are common practice, no source; every one can be changed.",
        optional=True,
        listed=True,
        when=_by_form,
    ),
)

PROPORTIONS = (
    Prompt(
        "shape.widest_at",
        "Widest point, of the length",
        "Where along the body it is deepest and broadest.",
        "From the nose, such as 45 %.",
        unit="%",
        optional=True,
        when=_changed("widest_at"),
    ),
    Prompt(
        "shape.nose",
        "Flat nose, of the widest",
        "Height and breadth of a nose that is cut square.",
        "0 % for a point.",
        unit="%",
        optional=True,
        when=_changed("nose"),
    ),
    Prompt(
        "shape.tail",
        "Flat tail, of the widest",
        "Height and breadth of a tail that is cut square.",
        "0 % for a point.",
        unit="%",
        optional=True,
        when=_changed("tail"),
    ),
    Prompt(
        "shape.face",
        "Slanted face, of the length",
        "How far aft a face slants up to the back.",
        "0 % for none; a third is usual (common practice, no source).",
        unit="%",
        optional=True,
        when=_changed("face"),
    ),
)

FULLNESS = (
    Prompt(
        "shape.section.widest",
        "Widest level, of the height",
        "Where the sides stand furthest out, from the belly (0) to the back (1).",
        "Just under the middle: 0.45.",
        optional=True,
        when=_fullness("widest"),
    ),
    Prompt(
        "shape.section.upper",
        "Fullness of the upper half",
        "How square a section is above its widest level: it decides the volume.",
        "1 a wedge, 2 an ellipse, 3 nearly a rounded box.",
        optional=True,
        when=_fullness("upper"),
    ),
    Prompt(
        "shape.section.lower",
        "Fullness of the lower half",
        "The same below it.",
        "1 a wedge, 2 an ellipse, 3 nearly a rounded box.",
        optional=True,
        when=_fullness("lower"),
    ),
    Prompt(
        "shape.section.flat_back",
        "Flat back, of the upper half",
        "The part of the upper half that is planed off flat.",
        "0 for a round back, 0.35 for a broad flat one.",
        optional=True,
        when=_fullness("flat_back"),
    ),
)

LINE_TIE = (
    Prompt(
        "shape.line_tie.x",
        "Line tie, aft of the nose",
        "Where the eye for the line stands; it is marked out and drawn.",
        "0 at the nose; on a slanted face a third of the length (common practice, no source).",
        sketch="place",
        unit="mm",
        optional=True,
        when=_has_line_tie,
    ),
    Prompt(
        "shape.line_tie.z",
        "Line tie, above the baseline",
        "The baseline lies under the belly at its lowest.",
        "Steel rule from the flat that the body lies on up to the eye.",
        sketch="place",
        unit="mm",
        optional=True,
        when=_has_line_tie,
    ),
)

STATIONS = Group(
    "shape.station",
    one="station",
    none="",
    prompts=(
        Prompt(
            "x",
            "Aft of the nose",
            "Where along the body; from nose to tail, each further aft.",
            "Closer where the lines bend; a forgotten one goes behind the one that is open.",
            sketch="station",
            unit="mm",
        ),
        Prompt(
            "top",
            "Top line above the baseline",
            "Height of the back.",
            "Lay the body on its belly on a flat board: the board is the baseline.",
            sketch="station",
            unit="mm",
        ),
        Prompt(
            "bottom",
            "Bottom line above the baseline",
            "Height of the belly.",
            "Height of the back less what the caliper shows from belly to back.",
            sketch="station",
            unit="mm",
        ),
        Prompt(
            "half_breadth",
            "Half-breadth",
            "From the centre line to the side at the widest level.",
            "Half of what the caliper shows from side to side; 0 at a point.",
            sketch="station",
            unit="mm",
        ),
    ),
    when=_by_stations,
    least=2,
    ordered=True,
)

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
            "shape.way",
            "Drawn by",
            "Two ways lead to a body: a form drawn to size, or a caliper along a carved one.",
            "Enter without choosing goes on with the sizes.",
            words=(
                ("sizes", "a body form by length, height and thickness"),
                ("proportions", "the same, and its proportions changed at will"),
                ("stations", "caliper readings down a body that is carved"),
            ),
            optional=True,
        ),
        *SIZES,
        *PROPORTIONS,
        STATIONS,
        *FULLNESS,
        *LINE_TIE,
        Prompt(
            "shape.allowance",
            "Allowance for saw and sander",
            "Added to each side of the blank.",
            "Common practice, no source: 3 mm a side.",
            unit="mm",
            optional=True,
            offer="3 mm",
        ),
    ),
    shows=("shape_volume", "shape_area", "girth"),
)
