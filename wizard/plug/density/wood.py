"""The wood of a build: its density from the samples, or from the squared blank."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.certainty import Uncertain
from wizard.certainty.readings import standing_apart
from wizard.physics.density import mean_density, with_board_scatter
from wizard.plug.density.moisture import SAME, moisture_of, moved
from wizard.plug.density.samples import Factors, factors_of, factors_of_blank, piece_density
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build, Sample, Stock
from wizard.quantity.showing import plain


@dataclass(frozen=True, slots=True)
class SampleDensity:
    """One sample's density.

    Attributes:
        path: where the sample stands.
        density: [kg/m3], at the moisture of the body where both moistures are known.
        as_tested: [kg/m3], at its own moisture.
        moisture: of the sample and of the body [1], where it was moved from one to the other.
    """

    path: Path
    density: Uncertain
    as_tested: Uncertain
    moisture: tuple[Uncertain, Uncertain] | None = None


@dataclass(frozen=True, slots=True)
class WoodTest:
    """What is known of the wood.

    Attributes:
        density: [kg/m3]; None while no sample and no blank is complete.
        samples: what each sample says; with none, what the blank says.
        basis: samples or blank.
        findings: what to say about it.
        scatter: relative standard deviation between the samples [1]; None with one.
    """

    density: Uncertain | None
    samples: tuple[SampleDensity, ...]
    basis: str
    findings: tuple[Finding, ...]
    scatter: float | None = None


def _tested(
    build: Build, factors: Factors, at: Sample | Stock, path: Path, *, is_body: bool = False
) -> tuple[SampleDensity, tuple[Finding, ...]]:
    """A complete piece's density, brought to the body's moisture where that can be."""
    density, said = piece_density(factors, path)
    own, about_own = moisture_of(build, at, path)
    body, _ = moisture_of(build, build.weighing, ("weighing",))
    findings = (*said, *about_own)
    if is_body or own is None or body is None or abs(own.value - body.value) < SAME:
        return SampleDensity(path, density, density), findings
    now = moved(density, own, body)
    note = _moved(path, density, own, now, body)
    return SampleDensity(path, now, density, (own, body)), (*findings, note)


def _moved(
    path: Path, tested: Uncertain, own: Uncertain, now: Uncertain, body: Uncertain
) -> Finding:
    return Finding(
        "note",
        path,
        f"Tested at {plain(100 * own.value, 3)} % moisture, while the body has "
        f"{plain(100 * body.value, 3)} %: its density counts as {now.value / 1000:.4f} g/mL, not "
        f"{tested.value / 1000:.4f}.",
        "By the Wood Handbook's relations; a sample that lay beside the body needs none of this.",
    )


def _sampled(build: Build) -> tuple[tuple[SampleDensity, ...], tuple[Finding, ...]]:
    """Every sample that is complete, and what to say about each."""
    known: list[SampleDensity] = []
    findings: list[Finding] = []
    for i, sample in enumerate(build.density.sample):
        path: Path = ("density", "sample", i)
        factors, said = factors_of(build, sample, path)
        findings.extend(said if said or factors is not None else (_incomplete(path),))
        if factors is not None:
            tested, about = _tested(build, factors, sample, path, is_body=sample.method == "body")
            known.append(tested)
            findings.extend(about)
    return tuple(known), tuple(findings)


def wood_test(build: Build) -> WoodTest:
    """The wood's density with its uncertainty, and what to say about it."""
    known, findings = _sampled(build)
    if not known:
        return _blank_test(build, findings)
    mean = mean_density([s.density for s in known], "density.sample")
    density = mean.density
    if len(known) == 1:
        row = known[0].path
        method = build.density.sample[int(row[2])].method
        density, said = _of_one_piece(build, density, row[:2], method)
    else:
        said = (*_between(build, known), *_against_table(build, density))
    if mean.weighted:
        said = (*said, _weighted())
    findings = (*findings, *_moistures(build, known), *said)
    return WoodTest(density, known, "samples", findings, mean.scatter)


def _blank_test(build: Build, findings: tuple[Finding, ...]) -> WoodTest:
    """The squared blank as the only sample."""
    factors = factors_of_blank(build)
    if factors is None:
        return WoodTest(None, (), "blank", findings)
    blank, about = _tested(build, factors, build.stock, ("stock",))
    density, said = _of_one_piece(build, blank.density, ("stock", "mass"), "block")
    return WoodTest(density, (blank,), "blank", (*findings, *about, *said))


def tested_blank(build: Build) -> SampleDensity | None:
    """The squared blank's density; None while it is not complete."""
    factors = factors_of_blank(build)
    return None if factors is None else _tested(build, factors, build.stock, ("stock",))[0]


def _between(build: Build, known: tuple[SampleDensity, ...]) -> tuple[Finding, ...]:
    """One sample that stands apart from the others, or samples that agree too well."""
    values = [s.density.value for s in known]
    if max(values) - min(values) <= 1e-9 * max(values):
        return (_no_scatter(len(values)),)
    apart = standing_apart(values)
    if apart is None:
        return ()
    odd = known[apart.index]
    return (
        Finding(
            "warning",
            odd.path,
            f"This sample stands apart from the others with {odd.density.value / 1000:.3f} g/mL: "
            f"{plain(apart.distance, 3)} deviations from the mean, where chance reaches "
            f"{plain(apart.limit, 3)} in 1 of 20 tests (Grubbs). It still counts.",
            "Measure and weigh it again; remove it only if you find what was wrong with it.",
        ),
    )


def _no_scatter(count: int) -> Finding:
    both = "Both samples have" if count == 2 else f"All {count} samples have"
    return Finding(
        "warning",
        ("density", "sample"),
        f"{both} exactly the same density: that is chance or one piece typed twice, and the "
        "scatter of the board counts as zero.",
        "Test another piece from further along the board.",
    )


def _moistures(build: Build, known: tuple[SampleDensity, ...]) -> tuple[Finding, ...]:
    """Moistures that are stated on one side only, so that nothing can be moved."""
    at = build.weighing
    body = at.moisture is not None or at.humidity is not None
    rows = [build.density.sample[int(s.path[2])] for s in known]
    stated = [r.moisture is not None or r.humidity is not None for r in rows if r.method != "body"]
    if not stated or (all(stated) if body else not any(stated)):
        return ()
    whose = "of every sample" if body else "of the body"
    return (
        Finding(
            "note",
            ("density", "sample") if body else ("weighing", "moisture"),
            f"The moisture {whose} is not stated, so densities count as tested.",
            "Four points of moisture are about 2 % of density: state both or keep the pieces "
            "beside the body.",
        ),
    )


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
    build: Build, density: Uncertain, path: Path, method: str | None
) -> tuple[Uncertain, tuple[Finding, ...]]:
    """A density from one piece of wood, with what is known of its board's scatter.

    Args:
        build: the record.
        density: of the piece [kg/m3].
        path: where the piece stands.
        method: of the piece; an earlier test has the scatter in it, the body needs none.
    """
    scatter = build.density.board_scatter
    said = _against_table(build, density)
    if scatter is not None and method != "body":
        return with_board_scatter(density, scatter.value, "density.board_scatter"), said
    if method in ("known", "body"):
        return density, said
    lone = Finding(
        "warning",
        path,
        "With one sample the scatter of the board is unknown, not zero.",
        "Test a second piece, or state density.board_scatter (a few per cent, from memory).",
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
