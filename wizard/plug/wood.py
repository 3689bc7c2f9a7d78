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
            return None, findings or (_unknown_water(path),)
        volume = dunk_volume(scale.reading(sample.gain, (*path, "gain")), water.buoyant)
        return mass / volume, findings
    return None, ()


def _unknown_water(path: Path) -> Finding:
    wrong = "The water of this dunk is not known, so the sample does not count."
    return Finding("warning", (*path, "temperature"), wrong, "Give its temperature.")


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
        if density is not None:
            known.append(SampleDensity(path, density))
        findings.extend(said if said or density is not None else (_incomplete(path),))
    if not known:
        blank = _blank(build)
        if blank is None:
            return WoodTest(None, (), "blank", tuple(findings))
        density, said = _of_one_piece(build, blank, ("stock", "mass"), tested=False)
        return WoodTest(density, (), "blank", (*findings, *said))
    mean = mean_density([s.density for s in known], "density.sample")
    density = mean.density
    if len(known) == 1:
        row = known[0].path
        tested = build.density.sample[int(row[2])].method == "known"
        density, said = _of_one_piece(build, density, row[:2], tested=tested)
    else:
        said = _against_table(build, density)
    findings.extend(said)
    if mean.weighted:
        findings.append(_weighted())
    return WoodTest(density, tuple(known), "samples", tuple(findings))


def _incomplete(path: Path) -> Finding:
    return Finding(
        "warning",
        path,
        "This sample is not complete, so it does not count.",
        "Measure and weigh what its method asks for.",
    )


def _weighted() -> Finding:
    return Finding(
        "warning",
        ("density", "sample"),
        "The samples differ much in certainty, so each counts by its own.",
        "Remove the poor ones, or keep them: they count for little.",
    )


def _of_one_piece(
    build: Build, density: Uncertain, path: Path, *, tested: bool
) -> tuple[Uncertain, tuple[Finding, ...]]:
    """A density from one piece of wood, with what is known of its board's scatter.

    Args:
        build: the record.
        density: of the piece [kg/m3].
        path: where the piece stands.
        tested: whether an earlier test of the board has the scatter in it.
    """
    scatter = build.density.board_scatter
    said = _against_table(build, density)
    if scatter is not None:
        return with_board_scatter(density, scatter.value, "density.board_scatter"), said
    if tested:
        return density, said
    lone = Finding(
        "warning",
        path,
        "With one sample the scatter of the board is unknown, not zero.",
        "Test a second piece, or state board_scatter (a few per cent, from memory).",
    )
    return density, (lone, *said)


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
