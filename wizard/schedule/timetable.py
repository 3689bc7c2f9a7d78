"""The soonest timetable that keeps every window, from what is done and what is to do.

What counts as best, in this order:

1. No window is broken: what would go on too late is scuffed for first.
2. Being ready later, by up to `patience` in all, is a fair price for fewer scuffs. A scuff
   costs dust, film and work; but bench hours repeat every week, so what a week's waiting
   can't save is scuffed.
3. Within that: fewest scuffs, then soonest ready for the water, then soonest last
   operation; and every operation as soon as the rest allows.

With no patience at all it is the soonest plan there is, scuffs and all. Work at the bench
is never split over two openings.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from wizard.schedule.chain import chain, in_order_of_doing
from wizard.schedule.entries import Entry, Timetable, entries_of
from wizard.schedule.findings import LONGEST, Finding, operation_findings
from wizard.schedule.hours import EXAMPLE, BenchHours, last_start, next_start
from wizard.schedule.operations import NOTHING, Operation
from wizard.schedule.remarks import remarks
from wizard.schedule.search import best_placements
from wizard.schedule.tasks import Placing
from wizard.schedule.words import span

__all__ = ["PATIENCE", "SCUFFING", "Entry", "Timetable", "marked", "plan"]

PATIENCE = timedelta(days=7)
SCUFFING = timedelta(minutes=10)  # for one plug; common practice, no source


class _NeverOpenError(Exception):
    def __init__(self, block: timedelta) -> None:
        super().__init__(block)
        self.block = block


def plan(
    operations: tuple[Operation, ...],
    hours: BenchHours,
    now: datetime,
    plugs: int = 1,
    patience: timedelta = PATIENCE,
    scuffing: timedelta = SCUFFING,
) -> Timetable:
    """The best timetable of what is left to do.

    What is marked stays as it is, in the order in which it was done; an operation begun
    and not finished is taken to end in its usual time, or now. All moments of the answer
    are in UTC.

    Args:
        operations: in bench order, with their marks.
        hours: when the bench is open.
        now: nothing is planned before this; with an offset.
        plugs: how many plugs are worked on together, one after the other.
        patience: how much later than possible to be ready, if that saves a scuff; a year
            at most.
        scuffing: time to scuff one plug.
    """
    now = now.astimezone(UTC)
    found = operation_findings(operations, plugs)
    if any(finding.level == "refusal" for finding in found):
        return Timetable(now, findings=found)
    ordered = in_order_of_doing(operations)
    tasks = chain(ordered, scuffing, now, plugs)
    patience = min(max(patience, NOTHING), LONGEST)
    try:
        placements = best_placements(tasks, *_bench(hours), patience)
    except _NeverOpenError as never:
        return Timetable(now, findings=(*found, *_never_open(ordered, hours, plugs, never.block)))
    entries = entries_of(ordered, placements, scuffing, plugs)
    ready = placements[-1].cured if placements else None
    return Timetable(now, entries, ready, (*found, *remarks(entries, now, hours.zone)))


def marked(
    operations: tuple[Operation, ...],
    timetable: Timetable,
    id: str,
    started: datetime | None = None,
    finished: datetime | None = None,
) -> tuple[Operation, ...]:
    """The operations with one of the timetable's lines marked.

    A scuff that the plan put in becomes an operation of the build by being marked.

    Args:
        operations: in bench order.
        timetable: the one that shows the line.
        id: of the line's operation.
        started: when it was begun; None leaves that mark.
        finished: when it was finished; None leaves that mark.

    Raises:
        KeyError: no line has this id.
    """
    lines = {entry.operation.id: entry for entry in timetable.entries}
    line = lines[id].operation
    new = replace(line, started=started or line.started, finished=finished or line.finished)
    if not lines[id].inserted:
        return tuple(new if one.id == id else one for one in operations)
    names = list(lines)
    after = names[names.index(id) + 1]
    place = [one.id for one in operations].index(after)
    return (*operations[:place], new, *operations[place:])


def _bench(hours: BenchHours) -> tuple[Placing, Placing]:
    def soonest(moment: datetime, block: timedelta) -> datetime:
        return _found(next_start(hours, moment, block), block)

    def latest(moment: datetime, block: timedelta) -> datetime:
        return _found(last_start(hours, moment, block), block)

    return soonest, latest


def _found(start: datetime | None, block: timedelta) -> datetime:
    if start is None:
        raise _NeverOpenError(block)
    return start


def _never_open(
    ordered: tuple[Operation, ...], hours: BenchHours, plugs: int, block: timedelta
) -> Iterator[Finding]:
    if not hours.openings:
        yield Finding(
            "refusal",
            "",
            "hours",
            "The bench is never open, so nothing can be planned.",
            f"Give its hours, such as {EXAMPLE}.",
        )
        return
    several = f" for {plugs} plugs" if plugs > 1 else ""
    lengths = ((one.id, one.name, plugs * one.hands_on) for one in ordered if not one.finished)
    too_long = [line for line in lengths if line[2] >= block]
    for id, name, length in too_long or [("", "A scuff", block)]:
        yield Finding(
            "refusal",
            id,
            "hands_on",
            f"{name} takes {span(length)}{several} without a break, longer than the bench "
            "is ever open.",
            "Give longer hours on one day, or work on fewer plugs at a time.",
        )
