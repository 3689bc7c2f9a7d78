"""What is impossible in a build, and what is only odd.

The impossible is refused where it stands. The odd is a warning that a maker
may keep; where a slip of the hand is likely, it is named.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from wizard.plug.ballast.parts import DEFAULT_METAL, density_of_metal
from wizard.plug.body.blank import blank_findings
from wizard.plug.body.drawing import body_height, drawn_length, shape_findings
from wizard.plug.coats.schedule_checks import schedule_oddities, schedule_refusals
from wizard.plug.doubts import drift_refusals
from wizard.plug.fields import Spec, specs
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build, Sample
from wizard.plug.tank.trial_checks import trial_refusals
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain

DENSEST_WOOD = 1500.0
"""kg/m3: the cell wall itself, which no wood exceeds (Wood Handbook FPL-GTR-190, chapter 4)."""

LIGHTEST = 1.2
"""kg/m3: the air round the scale, in which a piece still weighs something."""

AIMS = ("margin", "sink_rate", "freeboard_fraction")
SLIPS = {10.0: "one place", 0.1: "one place", 100.0: "two places", 0.01: "two places"}


def impossible(build: Build) -> tuple[Finding, ...]:
    """What can't be, answer by answer; each a refusal."""
    return (
        *_aim(build),
        *_wood(build),
        *drift_refusals(build),
        *shape_findings(build),
        *_holes(build),
        *_pieces(build),
        *trial_refusals(build),
        *schedule_refusals(build),
    )


def _refuse(path: Path, wrong: str, remedy: str) -> Finding:
    return Finding("refusal", path, wrong, remedy)


def _aim(build: Build) -> Iterator[Finding]:
    aim = build.aim
    given = [key for key in AIMS if getattr(aim, key) is not None]
    if len(given) > 1:
        yield _refuse(
            ("aim", given[1]),
            f"The aim has both {given[0]} and {given[1]}.",
            "Expected one of margin, sink_rate and freeboard_fraction.",
        )
    belongs = {"margin": ("floats", "sinks"), "sink_rate": ("sinks",)}
    for key in given:
        fitting = belongs.get(key, ("floats",))
        zero = getattr(aim, key).value == 0
        if aim.behaviour and aim.behaviour not in fitting and not zero:
            yield _refuse(
                ("aim", key),
                f"A plug that {aim.behaviour} has no {key}.",
                f"Expected it only with {' or '.join(fitting)}.",
            )
    if aim.margin is not None and aim.behaviour in ("floats", "sinks"):
        signed = aim.margin.text.lstrip()[:1]
        wrong_sign = "-" if aim.behaviour == "sinks" else "+"
        if signed == wrong_sign:
            yield _refuse(
                ("aim", "margin"),
                f"The sign of {aim.margin.text} contradicts that the plug {aim.behaviour}.",
                "Type the margin without a sign: the behaviour gives it.",
            )
        elif aim.behaviour == "floats" and abs(aim.margin.value) >= 1.0:
            yield _refuse(
                ("aim", "margin"),
                f"A plug can't float with a margin of {aim.margin.text}: it would weigh nothing.",
                "Expected less than 100 %.",
            )
    if aim.freeboard_fraction is not None and aim.freeboard_fraction.value >= 1.0:
        yield _refuse(
            ("aim", "freeboard_fraction"),
            f"A plug with {aim.freeboard_fraction.text} above water would weigh nothing.",
            "Expected less than 100 %.",
        )


def sample_density(sample: Sample) -> float | None:
    """A rough density of a sample [kg/m3], for judging it; None while incomplete."""
    if sample.method == "known":
        return sample.density.value if sample.density else None
    if sample.mass is None:
        return None
    volume: float | None = None
    if sample.method == "block" and sample.length and sample.width and sample.thickness:
        volume = sample.length.value * sample.width.value * sample.thickness.value
    elif sample.method == "cylinder" and sample.diameter and sample.length:
        volume = 0.7854 * sample.diameter.value**2 * sample.length.value
    elif sample.method == "dunk" and sample.gain:
        volume = sample.gain.value / 1000.0
    return sample.mass.value / volume if volume else None


def blank_density(build: Build) -> float | None:
    """A rough density of the squared blank [kg/m3]; None while incomplete."""
    stock = build.stock
    if stock.mass and stock.length and stock.width and stock.thickness:
        return stock.mass.value / (stock.length.value * stock.width.value * stock.thickness.value)
    return None


def _pieces_of_wood(build: Build) -> Iterator[tuple[Path, float | None]]:
    """Every piece of the wood that was tested: where its answer stands, its rough density."""
    for i, sample in enumerate(build.density.sample):
        key = "density" if sample.method == "known" else "mass"
        yield ("density", "sample", i, key), sample_density(sample)
    yield ("stock", "mass"), blank_density(build)


def _wood(build: Build) -> Iterator[Finding]:
    for path, density in _pieces_of_wood(build):
        if density is not None and density > DENSEST_WOOD:
            yield _refuse(
                path,
                f"This makes the wood {plain(density / 1000, 3)} g/mL, denser than any wood."
                f"{_slip(density)}",
                "Expected less than 1.5 g/mL: look at the mass, the sides and their units.",
            )
        elif density is not None and density < LIGHTEST:
            yield _refuse(
                path,
                f"This makes the wood {plain(density / 1000, 3)} g/mL, lighter than air."
                f"{_slip(density)}",
                "Expected some 0.1 g/mL or more: look at the mass, the sides and their units.",
            )


def _holes(build: Build) -> Iterator[Finding]:
    if build.ballast is None:
        return
    length = drawn_length(build)
    for i, hole in enumerate(build.ballast.hole):
        path: Path = ("ballast", "hole", i)
        if hole.x and length is not None and hole.x.value > length:
            yield _refuse(
                (*path, "x"),
                f"The hole at {hole.x.text} lies beyond the tail.",
                f"Expected at most {_like(length, hole.x)}.",
            )
        elif hole.depth and hole.axis in (None, "up", "down"):
            height = body_height(build, hole.x.value if hole.x else None)
            if height is not None and hole.depth.value > height * (1 + 1e-9):
                yield _refuse(
                    (*path, "depth"),
                    f"The hole is {hole.depth.text} deep, deeper than the body.",
                    f"Expected less than {_like(height, hole.depth)}, the height there.",
                )


def _like(value: float, quantity: Quantity) -> str:
    return f"{plain(units.from_core(value, quantity.unit), 3)} {quantity.unit}"


def _pieces(build: Build) -> Iterator[Finding]:
    if build.ballast is None:
        return
    count = len(build.ballast.hole)
    for i, piece in enumerate(build.ballast.piece):
        if piece.hole is not None and piece.hole > count:
            yield _refuse(
                ("ballast", "piece", i, "hole"),
                f"There is no hole {piece.hole}.",
                f"Expected a number from 1 to {count}."
                if count
                else "Lay out the holes first, or leave the key out.",
            )


def odd(build: Build) -> tuple[Finding, ...]:
    """What is implausible, answer by answer; each a warning."""
    from wizard.plug.density.readings import reading_findings

    found = (*_out_of_the_common(build, ()), *_slipped(build), *_shavings(build), *_far_aft(build))
    found = (*found, *_unlike_its_metal(build))
    found = (*found, *blank_findings(build), *reading_findings(build))
    return (*found, *schedule_oddities(build))


def _out_of_the_common(record: Any, path: Path) -> Iterator[Finding]:
    for field in fields(record):
        value = getattr(record, field.name)
        here = (*path, field.name)
        if is_dataclass(value) and not isinstance(value, Quantity | type):
            yield from _out_of_the_common(value, here)
        elif isinstance(value, tuple):
            for i, row in enumerate(value):
                if isinstance(row, Quantity):
                    yield from _unusual(row, specs(type(record))[field.name], (*here, i))
                elif is_dataclass(row):
                    yield from _out_of_the_common(row, (*here, i))
        elif isinstance(value, Quantity):
            yield from _unusual(value, specs(type(record))[field.name], here)


def _unusual(value: Quantity, spec: Spec, path: Path) -> Iterator[Finding]:
    plausible = spec.plausible
    if plausible and not plausible[0] <= value.value <= plausible[1]:
        low, high = (_bound(limit, value) for limit in plausible)
        yield Finding(
            "warning",
            path,
            f"{value.text} is unusual: {low} to {high} is common.",
            "Look again, or keep it.",
        )


def _bound(limit: float, quantity: Quantity) -> str:
    return _like(limit, quantity) if quantity.unit else plain(limit)


def _slipped(build: Build) -> Iterator[Finding]:
    """Densities that no light wood has, and the slip that would explain them."""
    for path, density in _pieces_of_wood(build):
        if density is None or path[-1] == "density" or 60.0 <= density <= 1000.0:
            continue
        yield Finding(
            "warning",
            path,
            f"This makes the wood {plain(density / 1000, 3)} g/mL; "
            f"carving woods have 0.1 to 0.8.{_slip(density)}",
            "Look at the mass, the sides and their units, or keep it.",
        )


def _slip(density: float) -> str:
    """The slip that would explain a density of wood [kg/m3], as a further sentence."""
    for factor, places in SLIPS.items():
        if 100.0 <= density * factor <= 700.0:
            return f" A decimal slipped by {places} would explain it."
    return ""


def _shavings(build: Build) -> Iterator[Finding]:
    body, blank = build.weighing.mass, _blank_mass(build)
    if body and blank and body.value > blank[0]:
        yield Finding(
            "warning",
            ("weighing", "mass"),
            f"The body weighs {body.text}, more than the blank that it came from ({blank[1]}).",
            "Look at both weighings and their units, or keep them.",
        )


def _unlike_its_metal(build: Build) -> Iterator[Finding]:
    """A ballast that is far from the density of the metal that it is called.

    Source: none; alloys stay within a tenth, a quarter is a judgement.
    """
    ballast = build.ballast
    if ballast is None or ballast.density is None:
        return
    metal = ballast.metal or DEFAULT_METAL
    known = density_of_metal(metal)
    if known is not None and not known / 1.25 <= ballast.density.value <= known * 1.25:
        yield Finding(
            "warning",
            ("ballast", "density"),
            f"{ballast.density.text} is far from {metal}, which has {plain(known / 1000, 3)} g/mL.",
            "Look again, or name the metal that it is.",
        )


def _far_aft(build: Build) -> Iterator[Finding]:
    """Hardware far behind the tail: an eye, its ring and its hook may stand out a little.

    Source: none; that a tenth of the length is little is a judgement.
    """
    length = drawn_length(build)
    for i, row in enumerate(build.hardware or ()):
        if row.x is not None and length is not None and row.x.value > 1.1 * length:
            yield Finding(
                "warning",
                ("hardware", i, "x"),
                f"{row.x.text} lies behind the tail: the body ends at {_like(length, row.x)}.",
                "Look again, or keep it.",
            )


def _blank_mass(build: Build) -> tuple[float, str] | None:
    """Mass of the squared blank [kg] and in words: as weighed, else by sides and samples."""
    stock = build.stock
    if stock.mass:
        return stock.mass.value, stock.mass.text
    found = [sample_density(sample) for sample in build.density.sample]
    known = [density for density in found if density is not None]
    if not known or not (stock.length and stock.width and stock.thickness):
        return None
    volume = stock.length.value * stock.width.value * stock.thickness.value
    mass = max(known) * volume
    return mass, f"{plain(1000 * mass, 3)} g by its sides and the density test"
