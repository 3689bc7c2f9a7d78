"""What to do for a density that can be trusted, in one sentence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from wizard.certainty.expanded import PLAIN_FACTOR, expanded_share
from wizard.physics.density import (
    Dimensions,
    accuracy_u,
    relative_u,
    resolution_u,
    samples_needed,
    sides_needed,
)
from wizard.plug.density.bench_plan import bench_of, dimensions_of, expected_dunk
from wizard.plug.density.quality import BOARD, BODY, CARRIED, MOISTURE, WANTED, Trust, part_of
from wizard.plug.derived import Derived
from wizard.plug.record import Build, Sample
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain

SCALE_STEPS = (0.1e-3, 0.05e-3, 0.02e-3, 0.01e-3, 0.001e-3)
CALIPER_STEPS = (0.5e-3, 0.1e-3, 0.05e-3, 0.02e-3, 0.01e-3)
"""Resolutions that bench scales [kg] and calipers [m] come in."""

TWO_STEPS = 2.0
"""Own error of a finer instrument, in its steps, where none is stated: from memory."""


def advice(build: Build, derived: Derived, found: Trust) -> str:
    """What to do about the density test, in one sentence."""
    known = found.relative if found.volume is None else found.volume
    what = "density" if found.volume is None else "body's volume"
    if found.good:
        return f"Good enough to build on: the {what} is known to {_percent(known)}."
    if known == 0.0:
        return "State what the caliper and the scale can show: without it nothing is certain."
    ways = list(_ways(build, derived, found))
    if not ways:
        return (
            f"This bench can't give the {what} to {_percent(WANTED)}, it gives {_percent(known)}: "
            "a scale with a finer step and a dunk of the sealed body would."
        )
    sentence = ", or ".join(ways[:2])
    return f"{sentence[0].upper()}{sentence[1:]}."


def _percent(share: float) -> str:
    return f"±{plain(100 * share, 2)} %"


def _ways(build: Build, derived: Derived, found: Trust) -> Iterator[str]:
    """Each thing that would do, the simplest first."""
    dunk = _by_dunk(build, derived)
    if dunk and build.weighing.gain is not None and not _doubted(derived):
        yield dunk
    if not found.scatter_known:
        yield "test a second and a third piece of the board, whose scatter nobody knows yet"
    yield from _by_part(build, derived, found)
    if dunk and build.weighing.gain is None:
        yield dunk


def _doubted(derived: Derived) -> bool:
    """Whether something is wrong with the dunk that was made."""
    return any(finding.path[:2] == ("weighing", "gain") for finding in derived.warnings)


def _by_dunk(build: Build, derived: Derived) -> str:
    """The body's own volume by a dunk, if that would do; empty if not."""
    would = expected_dunk(build, derived)
    if would is None or would > WANTED:
        return ""
    if build.weighing.gain is not None:
        return (
            f"take the dunk for the volume (a sample of the kind “body”): it gives "
            f"{_percent(would)}"
        )
    return f"seal the body and dunk it on the scale, which would give {_percent(would)}"


def _by_part(build: Build, derived: Derived, found: Trust) -> Iterator[str]:
    """What shrinks the part that dominates."""
    body = derived.value("body_volume")
    sources = (found.density if body is None else body).sources()
    value = found.density.value if body is None else body.value
    worst = found.shares[0].part if found.shares else ""
    rest = {cause: u for cause, u in sources.items() if not _same(part_of(cause), worst)}
    left = WANTED**2 - (expanded_share(rest).half_width / value) ** 2
    if left <= 0.0:
        return
    allowed = math.sqrt(left)
    if worst == BOARD:
        yield from _by_more_samples(derived, allowed)
    elif worst == BODY:
        step = _finer(SCALE_STEPS, build.weighing.resolution, allowed * _mass(derived))
        if step:
            yield f"weigh the body to {_grams(step)}"
    elif worst == MOISTURE:
        yield "test a piece that lay beside the body for weeks, so that no moisture is guessed"
    elif worst == CARRIED:
        yield "test this board again: the value carried over is too uncertain"
    else:
        yield from _by_larger_piece(build, derived, allowed)


def _same(part: str, worst: str) -> bool:
    """Whether two parts shrink together: all that is measured on a sample does."""
    apart = (BOARD, BODY, MOISTURE, CARRIED)
    return part == worst or (part not in apart and worst not in apart)


def _mass(derived: Derived) -> float:
    body = derived.value("body_volume")
    density = derived.wood.density
    return 0.0 if body is None or density is None else body.value * density.value


def _by_more_samples(derived: Derived, allowed: float) -> Iterator[str]:
    scatter = derived.wood.scatter
    have = len(derived.wood.samples)
    needed = None if scatter is None else samples_needed(scatter, allowed)
    if needed is not None and needed > have:
        yield f"test {needed} pieces in all, {needed - have} more than now"


def _finer(steps: Sequence[float], now: Quantity | None, allowed: float) -> float | None:
    """The coarsest step below the present one whose readings have an expanded doubt allowed."""
    for step in steps:
        if now is not None and step >= now.value * (1 - 1e-9):
            continue
        if PLAIN_FACTOR * _fine_u(step) <= allowed:
            return step
    return None


def _fine_u(step: float) -> float:
    return math.hypot(resolution_u(step), accuracy_u(TWO_STEPS * step))


def _by_larger_piece(build: Build, derived: Derived, allowed: float) -> Iterator[str]:
    """A larger sample, a finer scale or a finer caliper, each if it alone would do."""
    rows = [s for s in build.density.sample if s.mass and dimensions_of(s) is not None]
    best = max(rows, key=lambda s: s.mass.value if s.mass else 0.0, default=None)
    if best is None or best.mass is None:
        return
    dimensions = dimensions_of(best)
    assert dimensions is not None
    bench, mass, wanted = bench_of(build), best.mass.value, allowed / PLAIN_FACTOR
    sides = sides_needed(dimensions, mass, bench, wanted, _limits(build, best, dimensions))
    if sides is not None:
        yield f"cut a sample of at least {_size(best, sides)}"
    scale = replace(bench, scale_u=0.0)
    for step in SCALE_STEPS:
        finer = replace(bench, scale_u=_fine_u(step))
        if finer.scale_u < bench.scale_u and relative_u(dimensions, mass, finer) <= wanted:
            yield f"weigh the samples to {_grams(step)}"
            break
    for step in CALIPER_STEPS if relative_u(dimensions, mass, scale) > wanted else ():
        finer = replace(bench, step=step, accuracy=min(bench.accuracy, TWO_STEPS * step))
        if step < bench.step and relative_u(dimensions, mass, finer) <= wanted:
            yield f"measure the sides to {plain(1e3 * step)} mm"
            break


def _limits(build: Build, sample: Sample, dimensions: Dimensions) -> tuple[float, ...]:
    """How long each side of a sample may become in its board; none where that is not known."""
    board = sorted(
        q.value for key in ("length", "width", "thickness") if (q := getattr(build.stock, key))
    )
    if len(board) < 3:
        return ()
    if sample.method == "cylinder":
        return (max(board[0], dimensions[0][0]), max(board[2], dimensions[1][0]))
    order = sorted(range(3), key=lambda i: dimensions[i][0])
    limits = [0.0, 0.0, 0.0]
    for place, i in enumerate(order):
        limits[i] = max(board[place], dimensions[i][0])
    return tuple(limits)


def _size(sample: Sample, sides: Sequence[float]) -> str:
    """Sides rounded up to what a saw can follow, in the unit of the sample."""
    first = sample.length
    inches = first is not None and first.unit in ("in", "ft")
    step, label = (0.0254 / 8.0, "in") if inches else (1e-3, "mm")
    shown = [
        f"{plain(units.from_core(math.ceil(side / step - 1e-6) * step, label))}" for side in sides
    ]
    name = "diameter x length" if sample.method == "cylinder" else ""
    return " ".join(part for part in (" x ".join(shown), label, name) if part)


def _grams(step: float) -> str:
    return f"{plain(1e3 * step)} g"
