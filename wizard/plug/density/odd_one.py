"""Which way to the density stands alone, and which single slip would reconcile it.

One slip is tested after the other; what is named is what leaves all ways agreeing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.certainty.agreement import (
    Claim,
    Together,
    agree,
    consensus,
    distance,
    odd_one,
)
from wizard.plug.density.slips import Slip, slips
from wizard.plug.density.witnesses import Witness, witnesses
from wizard.plug.density.wood import WoodTest
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build

NEARLY = 1.0
"""How near a slip of any size must bring its way to the others, in standard uncertainties."""


def explanations(build: Build, ways: Sequence[Witness], most: int = 2) -> tuple[str, ...]:
    """The single slips that would reconcile what disagrees, likeliest first; empty if none would.

    Args:
        build: the record.
        ways: all ways to its density.
        most: how many to name.
    """
    claims = [way.claim for way in ways]
    if len(claims) < 2 or agree(claims):
        return ()
    odd, together = odd_one(claims), Together(claims)
    order = together.farthest_first()
    suspects = (slip for slip in slips(build, ways) if odd is None or odd in slip.touched)
    named: dict[str, None] = {}
    for slip in suspects:
        text = _explained(ways, slip, together, order)
        if text:
            named[text] = None
        if len(named) == most:
            break
    return tuple(named)


def _explained(
    ways: Sequence[Witness], slip: Slip, together: Together, order: Sequence[int]
) -> str | None:
    """What a slip says if it reconciles the ways.

    A slip that may have any size is not held against the table alone: boards differ
    more from the mean of their kind than such slips do.

    Args:
        ways: all of them.
        slip: the slip to test.
        together: what the ways claim.
        order: the ways, the farthest from the others first.
    """
    measured = any(w.sort != "table" for i, w in enumerate(ways) if i not in slip.touched)
    if len(slip.touched) == len(ways) or not (measured or slip.low == slip.high):
        return None
    others = together.without(*slip.touched)
    away = consensus(ways[i].claim for i in slip.touched)
    factor = min(max(others.value / away.value, slip.low), slip.high)
    if slip.low != slip.high:
        left = distance(Claim(away.value * factor, away.relative_u), others)
        if left > NEARLY:
            return None
    mended = together.mended(slip.touched, factor)
    return slip.say(factor) if mended.agree((*slip.touched, *order)) else None


@dataclass(frozen=True, slots=True)
class SideBySide:
    """All ways to the density, and which of them stands alone.

    Attributes:
        ways: in the order of the bench.
        odd: index of the one that the others contradict; None if there is none.
        likely: slips that would explain the disagreement, likeliest first.
    """

    ways: tuple[Witness, ...]
    odd: int | None
    likely: tuple[str, ...]


def side_by_side(build: Build, wood: WoodTest) -> SideBySide:
    """Every way to the density of a build on one scale.

    Args:
        build: the record.
        wood: its density test.
    """
    ways = witnesses(build, wood)
    return SideBySide(ways, odd_one([way.claim for way in ways]), explanations(build, ways))


def odd_one_findings(build: Build, ways: Sequence[Witness]) -> tuple[Finding, ...]:
    """The way that stands alone against the others, and the slip that would explain it."""
    claims = [way.claim for way in ways]
    if len(claims) < 2 or agree(claims):
        return ()
    likely = explanations(build, ways)
    remedy = f"What would explain it: {'; or '.join(likely)}." if likely else ""
    odd = odd_one(claims)
    if odd is None:
        if not likely:
            return ()
        where: Path = next(way.path for way in reversed(ways) if way.sort != "table")
        pair = " and ".join(f"{way.name} {_said(way.density)}" for way in ways)
        return (Finding("warning", where, f"Side by side they disagree: {pair}.", remedy),)
    if ways[odd].sort == "table":
        return ()
    others = consensus(c for i, c in enumerate(claims) if i != odd)
    return (
        Finding(
            "warning",
            ways[odd].path,
            f"Side by side, {ways[odd].name} stands alone: {_said(ways[odd].density)}, where "
            f"the others agree on {_said(others.value)}.",
            remedy or "No single slip would explain it: measure it again.",
        ),
    )


def _said(density: float) -> str:
    return f"{density / 1000:.3f} g/mL"
