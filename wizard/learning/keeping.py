"""A calibration as a table of the maker's bench file, and back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from wizard.learning.habits import Calibration, Habit, Progress, Start
from wizard.plug.bench import Bench

DIGITS = 6


def counted_from(bench: Bench) -> datetime | None:
    """From when on builds count for a bench; None for all."""
    return from_table(bench.learned).since


def counting_from(bench: Bench, since: datetime | None) -> Bench:
    """The bench with builds counted from a moment on, or all of them again.

    No build is touched, so that counting all again is all that it takes to undo a reset.
    """
    others = {key: value for key, value in bench.learned.items() if key != "since"}
    return replace(bench, learned=others if since is None else {**others, "since": since})


def to_table(known: Calibration) -> dict[str, Any]:
    """The table that keeps a calibration; plain TOML values, readable by a person."""
    table: dict[str, Any] = {"builds": known.builds}
    if known.since is not None:
        table["since"] = known.since
    if known.habits:
        table["habit"] = [_habit(h) for h in known.habits]
    if known.start is not None:
        start = known.start
        ends = {"stayed": start.stayed, "went": start.went}
        told = {k: _short(v) for k, v in ends.items() if v is not None}
        table["start"] = {"count": start.count, **told}
    if known.progress is not None:
        p = known.progress
        table["progress"] = {
            "count": p.count,
            "compared": p.compared,
            "first": _short(p.first),
            "last": _short(p.last),
        }
    return table


def _habit(habit: Habit) -> dict[str, Any]:
    return {
        "key": habit.key,
        "count": habit.count,
        "mean": _short(habit.mean),
        "low": _short(habit.low),
        "high": _short(habit.high),
        "scatter": _short(habit.scatter),
    }


def _short(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")


def from_table(table: Mapping[str, Any]) -> Calibration:
    """A calibration from its table; what can't be one is left out, never an error."""
    since, rows = table.get("since"), table.get("habit")
    found = [_read_habit(row) for row in rows] if isinstance(rows, list) else []
    return Calibration(
        since if isinstance(since, datetime) else None,
        _count(table.get("builds")) or 0,
        tuple(habit for habit in found if habit is not None),
        _read_start(table.get("start")),
        _read_progress(table.get("progress")),
    )


def _count(value: Any) -> int | None:
    whole = isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**6
    return int(value) if whole else None


def _number(value: Any) -> float | None:
    real = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if real and math.isfinite(value) else None


def _read_habit(row: Any) -> Habit | None:
    if not isinstance(row, Mapping) or not isinstance(row.get("key"), str):
        return None
    count = _count(row.get("count"))
    mean, low, high, scatter = (_number(row.get(k)) for k in ("mean", "low", "high", "scatter"))
    if not count or mean is None or low is None or high is None or scatter is None:
        return None
    if not (0 < low <= mean * (1 + 1e-5) and mean <= high * (1 + 1e-5) and scatter >= 0):
        return None
    return Habit(row["key"], count, mean, low, high, scatter)


def _read_start(row: Any) -> Start | None:
    if not isinstance(row, Mapping) or not _count(row.get("count")):
        return None
    return Start(
        _count(row.get("count")) or 0, _number(row.get("stayed")), _number(row.get("went"))
    )


def _read_progress(row: Any) -> Progress | None:
    if not isinstance(row, Mapping):
        return None
    count, compared = _count(row.get("count")), _count(row.get("compared"))
    first, last = _number(row.get("first")), _number(row.get("last"))
    if not count or not compared or first is None or last is None:
        return None
    return Progress(count, compared, first, last)
