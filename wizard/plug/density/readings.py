"""What is odd about the readings themselves, and the slip of the hand that would explain it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from wizard.plug.fields import specs
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build, DensityTest, Sample, Weighing
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain

UNSQUARE = 0.02
"""Readings of one side further apart than this share of it make no squared piece: a judgement."""

MANY = 3
"""From so many readings on, exact agreement says more of the typing than of the piece."""

AFLOAT = 0.02
"""A gain this near to the mass is what a floating body adds: a judgement."""

OVERSIZE = 1.02
"""A sample's side over the board's beyond this factor: a judgement."""


def reading_findings(build: Build) -> tuple[Finding, ...]:
    """All that is odd about the readings of the weighing and of the density test."""
    return (*_weighing(build), *_density(build), *_log(build))


def _warn(path: Path, wrong: str, remedy: str) -> Finding:
    return Finding("warning", path, wrong, remedy)


def _weighing(build: Build) -> Iterator[Finding]:
    at = build.weighing
    step = at.resolution.value if at.resolution else 0.0
    path: Path = ("weighing",)
    yield from _checked(at, at.accuracy, step, path)
    yield from _zeroed(at.zero, at.mass, step, path)
    yield from _again(at, path, ("mass", "gain"))
    yield from _dried(at, path, step)
    yield from _floated(at, path)
    yield from _beyond(at.maximum, [at.mass, *at.mass_again], (*path, "mass"))


def _density(build: Build) -> Iterator[Finding]:
    at = build.density
    step = at.mass_resolution.value if at.mass_resolution else 0.0
    yield from _checked(at, at.mass_accuracy, step, ("density",))
    for i, sample in enumerate(at.sample):
        path: Path = ("density", "sample", i)
        yield from _zeroed(sample.zero, sample.mass, step, path)
        yield from _again(sample, path, ("length", "width", "thickness", "diameter"))
        yield from _again(sample, path, ("mass", "gain"))
        yield from _dried(sample, path, step)
        if sample.method == "dunk":
            yield from _floated(sample, path)
        ends = at.mass_maximum or build.weighing.maximum
        yield from _beyond(ends, [sample.mass, *sample.mass_again], (*path, "mass"))
        yield from _larger_than_board(build, sample, path)
    yield from _twins(at.sample)


def _log(build: Build) -> Iterator[Finding]:
    for i, row in enumerate(build.weight):
        step = row.resolution or build.weighing.resolution
        path: Path = ("weight", i)
        yield from _zeroed(row.zero, row.mass, step.value if step else 0.0, path)
        yield from _beyond(build.weighing.maximum, [row.mass], (*path, "mass"))


def _checked(
    at: Weighing | DensityTest, accuracy: Quantity | None, step: float, path: Path
) -> Iterator[Finding]:
    """A check weight that the scale does not show."""
    nominal, shown = at.check_mass, at.check_reading
    if (nominal is None) != (shown is None):
        missing = "check_reading" if shown is None else "check_mass"
        wrong = "A check weight needs both its nominal mass and what the scale shows for it."
        yield _warn((*path, missing), wrong, "Type the other one, or remove both.")
    if nominal is None or shown is None:
        return
    error = shown.value - nominal.value
    allowed = max(accuracy.value if accuracy else 0.0, step)
    if abs(error) > allowed * (1 + 1e-9):
        yield _warn(
            (*path, "check_reading"),
            f"The scale shows {shown.text} for a check weight of {nominal.text}, "
            f"{_in(abs(error), shown)} {'too much' if error > 0 else 'too little'}; that now "
            "counts as the scale's own error.",
            "Let it warm up, calibrate it, or check it with a better weight: a worn coin is none.",
        )


def _zeroed(
    zero: Quantity | None, mass: Quantity | None, step: float, path: Path
) -> Iterator[Finding]:
    """A scale that did not come back to zero."""
    if zero is None or zero.value == 0:
        return
    if mass is not None and abs(zero.value) > 0.2 * mass.value:
        yield _warn(
            (*path, "zero"),
            f"The empty scale shows {zero.text} after a reading of {mass.text}.",
            "Something lay on it or it was not zeroed: weigh again.",
        )
    elif abs(zero.value) > 2.0 * step * (1 + 1e-9):
        yield _warn(
            (*path, "zero"),
            f"The scale drifted: empty again it shows {zero.text}. Half of it is taken off.",
            "Let the scale warm up, zero it and weigh again.",
        )


_UNEVEN = {
    "side": (
        "the piece is not square there, or one is misread",
        "Square the piece and read it again.",
    ),
    "mass": (
        "the scale was not at zero each time, or one is misread",
        "Zero the scale and weigh again.",
    ),
}


def _again(at: object, path: Path, keys: Sequence[str]) -> Iterator[Finding]:
    """Repeated readings that are too much alike, or too little."""
    for key in keys:
        first: Quantity | None = getattr(at, key)
        more: tuple[Quantity, ...] = getattr(at, f"{key}_again")
        if not more:
            continue
        if first is None:
            wrong = f"Further readings of the {key} stand here, but no first one."
            yield _warn((*path, key), wrong, f"Type the first as the {key}.")
            continue
        values = [first.value, *(q.value for q in more)]
        apart = max(values) - min(values)
        if apart > UNSQUARE * min(values):
            slip, remedy = _UNEVEN["side" if first.kind == "length" else "mass"]
            wrong = f"Readings of the {key} differ by {_in(apart, first)}: {slip}."
            yield _warn((*path, f"{key}_again"), wrong, remedy)
        elif apart == 0 and len(values) >= MANY:
            yield Finding(
                "note",
                (*path, f"{key}_again"),
                f"All {len(values)} readings of the {key} are the same to the last digit: they "
                "tell no more than one, and their scatter counts as zero.",
                "Read at different places; a copied reading is none.",
            )


def _dried(at: Weighing | Sample, path: Path, step: float) -> Iterator[Finding]:
    """A mass that moved between two weighings."""
    if at.mass is None or at.mass_later is None:
        return
    change = at.mass_later.value - at.mass.value
    # two roundings, each within half a step, can differ by one step without any change
    if abs(change) <= max(2.0 * step / math.sqrt(6.0), step) * (1 + 1e-9):
        return
    points = plain(100 * abs(change) / at.mass.value, 2)
    after = f" after {at.later.text}" if at.later else ""
    verb, way = ("lost", "dries") if change < 0 else ("gained", "takes up water")
    yield _warn(
        (*path, "mass_later"),
        f"It {verb} {_in(abs(change), at.mass)}{after}, {points} % of its mass: "
        f"the wood still {way}, by about {points} points of moisture.",
        "Wait until two weighings some hours apart agree, then test and weigh again.",
    )


def _floated(at: Weighing | Sample, path: Path) -> Iterator[Finding]:
    """A gain that is the mass: what floats adds its own weight, however large it is."""
    if at.mass is None or at.gain is None:
        return
    if abs(at.gain.value / at.mass.value - 1.0) < AFLOAT:
        yield _warn(
            (*path, "gain"),
            f"The gain of {at.gain.text} is just the mass: it floated in the beaker.",
            "Hold it wholly under with a thin needle, touching no wall, and read again.",
        )
    elif at.gain.value < at.mass.value:
        yield _warn(
            (*path, "gain"),
            f"The gain of {at.gain.text} is less than the mass: such wood would sink by itself.",
            "Hold it wholly under; zero the scale with the beaker on it before.",
        )


def _beyond(
    maximum: Quantity | None, masses: Sequence[Quantity | None], path: Path
) -> Iterator[Finding]:
    """A mass that the scale can't show."""
    over = [m for m in masses if m is not None and maximum is not None and m.value > maximum.value]
    if over and maximum is not None:
        yield _warn(
            path,
            f"The scale ends at {maximum.text}, so it can't have shown {over[0].text}.",
            "Look at both and their units; a scale that is overloaded shows nothing true.",
        )


def _larger_than_board(build: Build, sample: Sample, path: Path) -> Iterator[Finding]:
    """A sample that does not fit into the board it was cut from, however it is turned."""
    board = [s for key in ("length", "width", "thickness") if (s := getattr(build.stock, key))]
    if sample.method == "block":
        keys: tuple[str, ...] = ("length", "width", "thickness")
    elif sample.method == "cylinder":
        keys = ("diameter", "diameter", "length")
    else:
        return
    sides = [(key, s) for key in keys if (s := getattr(sample, key))]
    if len(board) < 3 or len(sides) < 3:
        return
    sides.sort(key=lambda pair: pair[1].value)
    for (key, side), limit in zip(sides, sorted(board, key=lambda s: s.value), strict=True):
        if side.value > OVERSIZE * limit.value:
            yield _warn(
                (*path, key),
                f"The sample's {key} of {side.text} does not fit into a board of "
                f"{' x '.join(s.text for s in board)}.",
                "Look at both and their units; a sample of another board says nothing of this one.",
            )
            return


def _twins(samples: Sequence[Sample]) -> Iterator[Finding]:
    """Two samples that are the same in every reading."""
    measures = [k for k, spec in specs(Sample).items() if spec.form in ("quantity", "quantities")]

    first: dict[tuple[object, ...], int] = {}
    for number, sample in enumerate(samples, start=1):
        if sample.method in (None, "body") or sample.mass is None:
            continue
        read = (sample.method, *(getattr(sample, key) for key in measures))
        twin = first.setdefault(read, number)
        if twin != number:
            yield _warn(
                ("density", "sample", number - 1),
                f"This sample is the same as sample {twin} in every reading.",
                "Remove it if it is the same piece: it makes the board look more even than it is.",
            )


def _in(value: float, like: Quantity) -> str:
    """A difference in the unit of a reading."""
    return f"{plain(units.span_from_core(value, like.unit), 3)} {like.unit}"
