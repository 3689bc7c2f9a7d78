"""The wood of a build: its density from the samples, or from the squared blank."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, measured
from wizard.physics.density import (
    block_volume,
    cylinder_volume,
    dunk_volume,
    mean_density,
    with_board_scatter,
)
from wizard.plug.doubts import caliper, sample_scale
from wizard.plug.findings import Finding
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, Sample
from wizard.plug.waters import water_under_scale


@dataclass(frozen=True, slots=True)
class SampleDensity:
    """One sample's density.

    Attributes:
        path: where the sample stands.
        density: [kg/m3].
    """

    path: Path
    density: Uncertain


@dataclass(frozen=True, slots=True)
class WoodTest:
    """What is known of the wood.

    Attributes:
        density: [kg/m3]; None while no sample and no blank is complete.
        samples: what each sample says.
        basis: samples or blank.
        findings: what to say about it.
    """

    density: Uncertain | None
    samples: tuple[SampleDensity, ...]
    basis: str
    findings: tuple[Finding, ...]


def _sample(
    build: Build, sample: Sample, path: Path
) -> tuple[Uncertain | None, tuple[Finding, ...]]:
    """Density of one sample [kg/m3]; None while it is incomplete."""
    if sample.method == "known":
        if sample.density is None:
            return None, ()
        u = sample.uncertainty.value if sample.uncertainty else 0.0
        where = words((*path, "uncertainty"))
        return measured(sample.density.value, u, Cause(where, "stated")), ()
    if sample.mass is None:
        return None, ()
    sides, scale = caliper(build), sample_scale(build)
    mass = scale.reading(sample.mass, (*path, "mass"))
    if sample.method == "block" and sample.length and sample.width and sample.thickness:
        volume = block_volume(
            sides.reading(sample.length, (*path, "length")),
            sides.reading(sample.width, (*path, "width")),
            sides.reading(sample.thickness, (*path, "thickness")),
        )
        return mass / volume, ()
    if sample.method == "cylinder" and sample.diameter and sample.length:
        volume = cylinder_volume(
            sides.reading(sample.diameter, (*path, "diameter")),
            sides.reading(sample.length, (*path, "length")),
        )
        return mass / volume, ()
    if sample.method == "dunk" and sample.gain:
        water, findings = water_under_scale(build, sample, path)
        if water is None:
            return None, findings
        volume = dunk_volume(scale.reading(sample.gain, (*path, "gain")), water.buoyant)
        return mass / volume, findings
    return None, ()


def _blank(build: Build) -> Uncertain | None:
    """Density of the squared blank [kg/m3]; None while it is incomplete."""
    stock = build.stock
    if not (stock.mass and stock.length and stock.width and stock.thickness):
        return None
    sides, scale = caliper(build), sample_scale(build)
    volume = block_volume(
        sides.reading(stock.length, ("stock", "length")),
        sides.reading(stock.width, ("stock", "width")),
        sides.reading(stock.thickness, ("stock", "thickness")),
    )
    return scale.reading(stock.mass, ("stock", "mass")) / volume


def wood_test(build: Build) -> WoodTest:
    """The wood's density with its uncertainty, and what to say about it."""
    known: list[SampleDensity] = []
    findings: list[Finding] = []
    for i, sample in enumerate(build.density.sample):
        path: Path = ("density", "sample", i)
        density, said = _sample(build, sample, path)
        findings.extend(said)
        if density is not None:
            known.append(SampleDensity(path, density))
    if not known:
        blank = _blank(build)
        return WoodTest(blank, (), "blank", (*findings, *_against_table(build, blank)))
    mean = mean_density([s.density for s in known], "density.sample")
    density = mean.density
    if len(known) == 1:
        scatter = build.density.board_scatter
        if scatter is not None:
            density = with_board_scatter(density, scatter.value, "density.board_scatter")
        elif build.density.sample[int(known[0].path[2])].method != "known":
            findings.append(_lone_sample())
    if mean.weighted:
        findings.append(
            Finding(
                "note",
                ("density", "sample"),
                "The samples differ much in certainty, so each counts by its own.",
            )
        )
    return WoodTest(density, tuple(known), "samples", (*findings, *_against_table(build, density)))


def _lone_sample() -> Finding:
    return Finding(
        "warning",
        ("density", "sample"),
        "With one sample the scatter of the board is unknown, not zero.",
        "Test a second piece, or state board_scatter (a few per cent, from memory).",
    )


def _against_table(build: Build, density: Uncertain | None) -> tuple[Finding, ...]:
    if density is None or not build.stock.wood:
        return ()
    from wizard.tables import find_wood

    row = find_wood(build.stock.wood)
    if row is None or row.density.low <= density.value <= row.density.high:
        return ()
    low, high = row.density.low / 1000, row.density.high / 1000
    return (
        Finding(
            "warning",
            ("density", "sample"),
            f"The test says {density.value / 1000:.3f} g/mL; "
            f"{row.name} is commonly {low:.2f} to {high:.2f}.",
            "Look at the sides, the mass and their units; if they hold, the test wins.",
        ),
    )
