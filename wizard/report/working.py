"""The working of a number: formula, the maker's values put in, result, source, doubt."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.certainty import Cause
from wizard.plug.numbers import CATALOGUE, Number
from wizard.report.left_out import LEFT_OUT
from wizard.report.showing import doubt, has_doubt, number, term, unrounded

REMEDY = {
    "resolution": "a finer instrument or a larger piece",
    "accuracy": "checking the instrument against a known weight or length",
    "scatter": "more readings of it",
    "stated": "testing it again",
    "correlation": "a timed sink in the tank",
    "drift": "letting the scale warm up and zeroing it before each weighing",
    "moisture": "testing a piece that lay beside the body",
    "curvature": "a larger piece",
}
LEAST = 0.01
"""Share of a doubt below which a cause of it is not worth a line."""

BOARD = ("density.sample", "density.board_scatter")
"""Where the scatter is that of the board, not of a reading."""


def remedy(cause: Cause) -> str:
    """What would shrink a cause of doubt."""
    if cause.what == "scatter" and cause.where in BOARD:
        return "more samples of the same board"
    return REMEDY.get(cause.what, "measuring again")


def lines(entry: Number, chosen: Mapping[str, str]) -> tuple[str, ...]:
    """The working of one number, a line each."""
    name = CATALOGUE[entry.name]
    working = entry.working
    out = [f"{name.meaning}", f"  {working.formula}"]
    out += [f"    {term(t, chosen)}" for t in working.terms]
    out.append(f"  = {_result(entry, chosen)}")
    out.append(f"  source: {working.source}")
    out += [f"  {line}" for line in doubts(entry, chosen)]
    out.append(f"  not included: {LEFT_OUT[entry.name]}")
    return tuple(out)


def _result(entry: Number, chosen: Mapping[str, str]) -> str:
    """The number as it is shown, and before it was rounded where that makes a difference."""
    shown = number(entry, chosen)
    if entry.name.startswith("chance"):
        return shown
    before = unrounded(entry.value.value, CATALOGUE[entry.name].unit, chosen)
    is_same = float(before.split()[0]) == float(shown.split()[0])
    return shown if is_same else f"{shown}, rounded from {before}"


def doubts(entry: Number, chosen: Mapping[str, str], most: int = 4) -> tuple[str, ...]:
    """The largest causes of a number's doubt in order, with what would shrink each."""
    unit = CATALOGUE[entry.name].unit
    if not has_doubt(entry.value, unit):
        return ()
    worth = [c for c in entry.value.contributions() if c.u >= LEAST * entry.value.u]
    return tuple(
        f"{'then from' if place else 'most doubt comes from'} {c.cause.where}, {c.cause.what}, "
        f"{doubt(c.u, unit, chosen)}: {remedy(c.cause)} would shrink it"
        for place, c in enumerate(worth[:most])
    )
