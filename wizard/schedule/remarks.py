"""What there is to say about a timetable: marks that were early or late, and scuffs."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, tzinfo

from wizard.schedule.entries import Entry, scuffed_for
from wizard.schedule.findings import Finding
from wizard.schedule.operations import Operation
from wizard.schedule.words import MINUTE, day_and_time, span


def remarks(
    entries: tuple[Entry, ...], now: datetime, zone: tzinfo | None = None
) -> tuple[Finding, ...]:
    """Warnings and notes on the lines of a timetable.

    Args:
        entries: the lines.
        now: the moment for which it was made.
        zone: whose wall clock is named; None is the computer's own.
    """
    marks = [finding for entry in entries for finding in _on_marks(entry, now)]
    scuffs = [
        _on_scuff(scuff, scuffed_for(entries, index), now, zone)
        for index, scuff in enumerate(entries)
        if scuff.inserted
    ]
    return (*marks, *scuffs)


def _on_marks(entry: Entry, now: datetime) -> Iterator[Finding]:
    operation = entry.operation
    if not (entry.done or entry.running):
        return
    last = operation.finished or entry.start
    if last >= now + MINUTE:
        yield Finding(
            "warning",
            operation.id,
            "finished" if entry.done else "started",
            f"{operation.name} is marked {span(last - now)} in the future.",
            "Look at the computer's clock, then correct the mark.",
        )
    if entry.earliest is not None and entry.start <= entry.earliest - MINUTE:
        yield Finding(
            "warning",
            operation.id,
            "started",
            f"{operation.name} was begun {span(entry.earliest - entry.start)} too early for what "
            "is beneath.",
            "Look for wrinkles and soft spots before you go on.",
        )
    if entry.latest is not None and entry.start >= entry.latest + MINUTE:
        yield Finding(
            "warning",
            operation.id,
            "started",
            f"{operation.name} was begun {span(entry.start - entry.latest)} after the window "
            "beneath had closed, without a scuff.",
            "It may not bond: try an edge with a fingernail before the next coat.",
        )


def _on_scuff(scuff: Entry, after: Operation, now: datetime, zone: tzinfo | None) -> Finding:
    name = after.name
    if scuff.latest is not None and scuff.latest < now:
        return Finding(
            "warning",
            after.id,
            "",
            f"The window for {name} closed {span(now - scuff.latest)} ago.",
            "Scuff first.",
        )
    closes = "" if scuff.latest is None else f" on {day_and_time(scuff.latest, zone)}"
    return Finding(
        "note",
        after.id,
        "",
        f"{name} can't go on before its window closes{closes}.",
        f"{scuff.operation.name} is planned.",
    )
