"""A plug weighed between two operations: the reading is kept, and the coats since are it.

A film weighs about what it pushes aside, so a coat that came out heavier also came out
larger: the difference of two weighings becomes the coat's mass, and its volume follows.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from wizard.plug.account import account, coat_stage
from wizard.plug.coats.proposing import coats_laid
from wizard.plug.coats.schedule import stamped, zone
from wizard.plug.coats.tins import kind_of
from wizard.plug.paths import put
from wizard.plug.record import STAGES, Build, Operation, PlugWeighing
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity

FINEST = 1e-6
"""Digits of a difference of two readings that are kept [kg]."""

ADDS = frozenset({"fill", "glue", "eyes", "hang"})
"""Kinds of operation that add something which is no coat."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A build after a weighing.

    Attributes:
        build: with the reading.
        words: what became of it, for the maker.
    """

    build: Build
    words: str


def stage_now(build: Build) -> tuple[str, int | None]:
    """How far a plug has come by its marks: the stage, and how many coats are on.

    Coats are counted only where they went on in the order of the list.
    """
    if any(row.finished is not None and _kind(build, row) == "hang" for row in build.operation):
        return "finished", None
    laid = coats_laid(build)
    if not laid:
        return "ballasted", None
    stage = max((coat_stage((build.coat or ())[n - 1]) for n in laid), key=STAGES.index)
    in_order = laid == tuple(range(1, len(laid) + 1))
    return stage, len(laid) if in_order else None


def weigh(build: Build, mass: Quantity, now: datetime) -> Weighed:
    """The build with the plug weighed as it is now.

    Where only coats went on since the last weighing, they get what the scale shows more:
    one coat all of it, several by their predicted films.

    Args:
        build: the record.
        mass: what the scale shows.
        now: with an offset.
    """
    stage, coats = stage_now(build)
    row = PlugWeighing(
        stage=stage,
        mass=mass,
        at=stamped(now, zone(build.schedule)),
        coats=coats,
        mends=len(build.mend) or None,
    )
    kept = put(build, ("weight",), (*build.weight, row))
    before = _last_weighing(build)
    since = _coats_since(build, before, coats or 0)
    if before is None or before.mass is None or not since:
        return Weighed(kept, f"Kept: {mass.text}, {_state(stage, coats)}.")
    gain = mass.value - before.mass.value
    if gain <= 0:
        lost = "no heavier" if gain == 0 else f"{made(-gain, mass.unit, FINEST).text} lighter"
        return Weighed(
            kept,
            f"Kept: {mass.text}, {lost} than before: was it sanded, or tared? "
            "The coats stay as predicted.",
        )
    return _shared(kept, since, gain, mass.unit)


def _shared(build: Build, coats: tuple[int, ...], gain: float, unit: str) -> Weighed:
    """The build with a gain as the mass of the coats that made it."""
    parts = account(build, None).of("coat")
    predicted = [parts[n - 1].mass for n in coats]
    shares = [p.value for p in predicted if p is not None and p.value > 0]
    if len(coats) == 1:
        shares = [1.0]
    if len(shares) != len(coats):
        return Weighed(build, "Kept. The films are not predicted, so it is not shared over them.")
    said = []
    for n, share in zip(coats, shares, strict=True):
        mass = made(gain * share / sum(shares), unit, FINEST)
        build = put(build, ("coat", n - 1, "mass"), mass)
        said.append(f"{(build.coat or ())[n - 1].name or f'coat {n}'} {mass.text}")
    was = sum(p.value for p in predicted if p is not None) if None not in predicted else None
    than = f" (predicted {made(was, unit, 1e-5).text})" if was else ""
    by = " by their predicted films" if len(coats) > 1 else ""
    return Weighed(build, f"Added since the last weighing{by}: {', '.join(said)}{than}.")


def _state(stage: str, coats: int | None) -> str:
    if coats is None:
        return stage
    return f"{coats} coat{'' if coats == 1 else 's'} on"


def _last_weighing(build: Build) -> PlugWeighing | None:
    return next((row for row in reversed(build.weight) if row.mass and row.stage), None)


def _coats_on(build: Build, row: PlugWeighing) -> int:
    """How many coats of the list were on the plug at a weighing."""
    if row.coats is not None:
        return row.coats
    stages = [coat_stage(coat) for coat in build.coat or ()]
    return sum(STAGES.index(s) <= STAGES.index(row.stage or "") for s in stages)


def _coats_since(build: Build, before: PlugWeighing | None, coats: int) -> tuple[int, ...]:
    """Numbers of the coats that alone came on since a weighing; empty if there was more."""
    if before is None or len(build.mend) > (before.mends or 0):
        return ()
    then = _coats_on(build, before)
    places = [i for i, row in enumerate(build.operation) if (row.coat or 0) in range(1, then + 1)]
    after = max(places, default=-1)
    at = before.at if before.at is not None and before.at.utcoffset() is not None else None
    for i, row in enumerate(build.operation):
        if row.finished is None or _kind(build, row) not in ADDS:
            continue
        if i > after if at is None else row.finished > at:
            return ()
    return tuple(range(then + 1, coats + 1))


def _kind(build: Build, row: Operation) -> str:
    kind = kind_of(build, row)
    return kind.id if kind is not None else ""
