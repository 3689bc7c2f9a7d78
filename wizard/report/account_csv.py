"""The weight account and the weighings as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from io import StringIO

from wizard.certainty import Uncertain
from wizard.physics.parts import Part
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.weightlog import LogLine, weight_log
from wizard.report.as_text import safe

HEADS = (
    "row",
    "name",
    "stage",
    "mass_g",
    "u_mass_g",
    "volume_mL",
    "u_volume_mL",
    "x_mm",
    "z_mm",
    "y_mm",
    "planned_g",
    "difference_g",
)
"""Columns: masses and volumes with their standard uncertainty (k = 1)."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""Beginnings that a spreadsheet takes for a formula."""


def account_csv(build: Build, derived: Derived) -> str:
    """One line a part, the sum, then one a weighing; RFC 4180 with a head.

    Args:
        build: the record.
        derived: what follows from it.
    """
    out = StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(HEADS)
    for part in derived.parts:
        writer.writerow(_part(part))
    whole, pushed = derived.value("finished_mass"), derived.value("displaced_volume")
    if whole is not None:
        writer.writerow(
            ("sum", "the whole plug", "", *_amount(whole, 1e3), *_amount(pushed, 1e6), *[""] * 5)
        )
    for line in weight_log(build, derived):
        writer.writerow(_weighing(line))
    return out.getvalue()


def _part(part: Part) -> Iterator[str]:
    yield from ("part", _text(part.name), part.stage)
    yield from (*_amount(part.mass, 1e3), *_amount(part.volume, 1e6))
    at = part.place
    yield from ("", "", "") if at is None else (_number(v * 1e3) for v in (at.x, at.z, at.y))
    yield from ("", "")


def _weighing(line: LogLine) -> Iterator[str]:
    yield from ("weighing", f"weighed, {line.stage}", line.stage)
    yield from (*_amount(line.actual, 1e3), *[""] * 5)
    for value in (line.planned, line.gap):
        yield "" if value is None else _number(value.value * 1e3)


def _amount(value: Uncertain | None, scale: float) -> tuple[str, str]:
    """Value and standard uncertainty; an unknown one is empty, never zero."""
    if value is None:
        return "", ""
    return _number(value.value * scale), _number(value.u * scale)


def _number(value: float) -> str:
    return f"{value + 0.0:.6g}"


def _text(name: str) -> str:
    """A name that no spreadsheet takes for a formula.

    Source: common practice against formula injection: a leading apostrophe.
    """
    shown = safe(name)
    return f"'{shown}" if shown.startswith(_FORMULA) else shown
