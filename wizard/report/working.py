"""The working of a number: formula, the maker's values put in, result, source, doubt."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.certainty import Cause
from wizard.plug.numbers import CATALOGUE, Number
from wizard.report.showing import amount, number, term

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
    out.append(f"  = {number(entry, chosen)}")
    out.append(f"  source: {working.source}")
    out += [f"  {line}" for line in doubts(entry, chosen)]
    return tuple(out)


def doubts(entry: Number, chosen: Mapping[str, str], most: int = 4) -> tuple[str, ...]:
    """The largest causes of a number's doubt in order, with what would shrink each."""
    unit = CATALOGUE[entry.name].unit
    causes = entry.value.contributions()[:most]
    return tuple(
        f"doubt of {amount(c.u, unit, chosen)} from {c.cause.where}, {c.cause.what}: "
        f"{remedy(c.cause)} would shrink it"
        for c in causes
    )
