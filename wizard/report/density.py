"""The density test as plain lines: how good it is, what to do, all ways side by side."""

from __future__ import annotations

import re
from collections.abc import Iterator
from textwrap import wrap

from wizard.plug.density.advice import advice
from wizard.plug.density.bench_plan import expected
from wizard.plug.density.odd_one import SideBySide, side_by_side
from wizard.plug.density.quality import Trust, trust
from wizard.plug.density.witnesses import Witness
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.quantity import units
from wizard.quantity.showing import literal
from wizard.quantity.showing import plain as plain_number
from wizard.report.bars import WIDTH, Bar, bar_lines
from wizard.report.showing import amount, chance

MOST_PARTS = 4
LEAST_SHARE = 0.005


def density_lines(build: Build, derived: Derived, *, plain: bool = False) -> Iterator[str]:
    """All there is to say about the density test; nothing while there is no density.

    Args:
        build: the record.
        derived: what follows from it.
        plain: whether bars are drawn with ASCII alone.
    """
    yield from planned_lines(build, derived)
    found = trust(build, derived)
    if found is not None:
        yield from trust_lines(build, derived, found)
    beside = side_by_side(build, derived.wood)
    if len(beside.ways) > 1:
        yield from side_by_side_lines(build, beside, plain=plain)


def planned_lines(build: Build, derived: Derived) -> Iterator[str]:
    """What each piece would give of which only the size is typed."""
    for row in range(len(build.density.sample)):
        found = expected(build, derived, row)
        if found is None:
            continue
        verdict = "good enough" if found.good else "too little: larger, or a finer scale"
        mass = _about(found.mass, build)
        yield from _wrapped(
            f"sample {row + 1}, not weighed yet: about {mass}; its density would be known to "
            f"{_percent(found.relative)} (k = 2), the board's scatter apart: {verdict}."
        )


def trust_lines(build: Build, derived: Derived, found: Trust) -> Iterator[str]:
    """How far the density can be trusted, and what to do about it."""
    density = amount(found.density.value, "g/mL", build.build.units)
    yield from _wrapped(
        f"density {density} {_percent(found.relative)} in 95 of 100 cases "
        f"(k = {plain_number(found.expanded.factor, 3)})"
        + ("" if found.scatter_known else ", the board's scatter apart")
    )
    if found.volume is not None:
        yield f"the body's volume is known to {_percent(found.volume)}"
    parts = [s for s in found.shares[:MOST_PARTS] if s.share >= LEAST_SHARE]
    if parts:
        named = ", ".join(f"{s.part} {100 * s.share:.0f} %" for s in parts)
        yield from _wrapped(f"most of that doubt: {named}")
    if found.ballast is not None:
        moves = _about(found.ballast, build)
        yield f"the wood's doubt moves the ballast by up to {moves} either way"
    if found.chance is not None and found.chance_if_known is not None:
        now, then = chance(found.chance), chance(found.chance_if_known)
        tail = "" if now == then else f"; with the density known exactly it would be {then}"
        yield from _wrapped(f"chance that it does what was asked: {now}{tail}")
    yield from _wrapped(advice(build, derived, found))


def side_by_side_lines(build: Build, beside: SideBySide, *, plain: bool = False) -> Iterator[str]:
    """Every way to the density as a bar on one scale, and the odd one out."""
    label = build.build.units.get("density", "g/mL")
    yield f"Side by side, {label}; a bar holds 95 of 100 cases"
    bars = [_bar(way, label, i == beside.odd) for i, way in enumerate(beside.ways)]
    yield from bar_lines(bars, plain=plain)
    if beside.odd is not None:
        yield f"! {literal(beside.ways[beside.odd].name)} stands alone"
    for text in beside.likely:
        yield from _wrapped(f"It would fit if {text}.")


def _bar(way: Witness, label: str, alone: bool) -> Bar:
    low, middle, high = (units.from_core(x, label) for x in (way.low, way.density, way.high))
    return Bar(way.name, low, middle, high, alone)


def _percent(share: float) -> str:
    return f"±{plain_number(100 * share, 2)} %"


def _about(value: float, build: Build) -> str:
    """A rough mass: two digits, in the maker's unit."""
    label = build.build.units.get("mass", "g")
    return f"{plain_number(units.from_core(value, label), 2)} {label}"


def _wrapped(text: str) -> Iterator[str]:
    """A sentence in lines that fit, those after the first set in; numbers keep their unit."""
    glued = re.sub(r"(?<=[0-9]) (?=[^ ])", "\N{NO-BREAK SPACE}", literal(text, 400))
    for line in wrap(glued, WIDTH, subsequent_indent="  "):
        yield line.replace("\N{NO-BREAK SPACE}", " ")
