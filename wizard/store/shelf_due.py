"""What a coating schedule asks for next, kept so that it can be told at any later moment."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from wizard.plug.record import Build
from wizard.schedule.clock import Due, status
from wizard.schedule.entries import Entry as Line
from wizard.schedule.entries import Timetable
from wizard.store.moments import possible


def next_line(build: Build, now: datetime) -> dict[str, Any] | None:
    """The first line of the schedule that is left, by its moments."""
    if not build.operation or build.shown is not None:
        return None
    from wizard.plug.coats.schedule import NoHours, timetable

    try:
        made = timetable(build, now)
    except NoHours:
        return None
    left = next((line for line in made.entries if not line.done), None)
    if left is None and made.ready is None:
        return None
    moments: dict[str, datetime | None] = {"ready": made.ready}
    if left is not None:
        moments |= {
            "start": left.start,
            "finish": left.finish,
            "earliest": left.earliest,
            "latest": left.latest,
            "started": left.operation.started,
        }
    kept: dict[str, Any] = {
        key: moment.astimezone(UTC).isoformat() for key, moment in moments.items() if moment
    }
    if left is not None:
        kept["name"], kept["kind"] = left.operation.name, left.operation.kind
        kept["hands_on"] = left.operation.hands_on.total_seconds()
    return kept


def due(kept: Mapping[str, Any], now: datetime) -> Due | None:
    """The same line at another moment, in words."""
    from wizard.schedule.operations import Operation

    def moment(key: str) -> datetime | None:
        return possible(datetime.fromisoformat(str(kept[key]))) if key in kept else None

    lines: tuple[Line, ...] = ()
    try:
        start, finish = moment("start"), moment("finish")
        if start is not None and finish is not None:
            operation = Operation(
                "next",
                str(kept["name"]),
                kept["kind"],
                hands_on=timedelta(seconds=float(kept["hands_on"])),
                started=moment("started"),
            )
            lines = (
                Line(
                    operation,
                    start,
                    finish,
                    earliest=moment("earliest"),
                    latest=moment("latest"),
                ),
            )
        found = status(Timetable(now, lines, moment("ready")), now)
    except (KeyError, TypeError, ValueError, OverflowError):  # no line that was kept here
        return None
    return None if found.kind == "nothing" else found
