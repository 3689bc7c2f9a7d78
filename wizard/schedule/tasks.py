"""A chain of tasks with gaps and windows, as data, and what follows from it alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

Placing = Callable[[datetime, timedelta], datetime]
Gaps = tuple[tuple[int, timedelta], ...]

LONG_AGO = datetime.min.replace(tzinfo=UTC)
ANY_TIME = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Scuff:
    """How what lies beneath is scuffed before a task.

    Attributes:
        block: the time it takes at the bench.
        not_before: its soonest start, whatever the tasks do.
        gaps: earlier tasks, with the shortest gap from their start to its own.
        gap_after: from its start to that of the task after it, at least.
    """

    block: timedelta
    not_before: datetime
    gaps: Gaps
    gap_after: timedelta


@dataclass(frozen=True, slots=True)
class Task:
    """One task of the chain.

    Attributes:
        block: the time it takes at the bench, without a break; none needs no bench.
        not_before: its soonest start, whatever the others do.
        gaps: earlier tasks, with the shortest gap from start to start; the task before it
            comes first, of the others only those that the ones in between don't imply.
        windows: earlier tasks, with the longest gap from start to start.
        curing: from the end of the block until it has cured.
        waits_for_all: whether it ends when everything so far has cured; what follows
            then counts its gap beyond the block from that end.
        fixed: its start, when that can't be chosen any more.
        scuff: the scuff that can go before it; None if none can.
    """

    block: timedelta
    not_before: datetime
    gaps: Gaps = ()
    windows: Gaps = ()
    curing: timedelta = timedelta(0)
    waits_for_all: bool = False
    fixed: datetime | None = None
    scuff: Scuff | None = None


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a task came to lie.

    Attributes:
        start: of the task.
        cured: when it and everything before it has cured.
        scuff: start of the scuff before it, if there is one.
    """

    start: datetime
    cured: datetime
    scuff: datetime | None = None


def after(task: Task, start: datetime, cured: datetime, gap: timedelta) -> datetime:
    """The soonest start of what comes `gap` after the start of a task.

    Args:
        task: the earlier one.
        start: of it.
        cured: when it and everything before it has cured.
        gap: from start to start.
    """
    return max(start, cured - task.block) + gap if task.waits_for_all else start + gap


def hopeless(tasks: Sequence[Task]) -> Iterator[tuple[int, int]]:
    """Windows, as (earlier, later), that close before the gaps in between are over."""
    bound: dict[int, dict[int, timedelta]] = {}
    for index, task in enumerate(tasks):
        for earlier, longest in task.windows:
            bound.setdefault(earlier, {})[index] = longest
    for earlier, later in bound.items():
        start = LONG_AGO
        cured = start + tasks[earlier].block + tasks[earlier].curing
        for index in range(earlier + 1, max(later) + 1):
            task = tasks[index]
            start = after(tasks[index - 1], start, cured, task.gaps[0][1])
            cured = max(cured, start + task.block + task.curing)
            if index in later and start - LONG_AGO > later[index]:
                yield earlier, index


def latest_starts(tasks: Sequence[Task], end: datetime, last_start: Placing) -> list[datetime]:
    """The starts after which not all can have cured by `end`, be there no window at all."""
    limits = [ANY_TIME] * len(tasks)
    cured_by = end
    for index in range(len(tasks) - 1, -1, -1):
        task = tasks[index]
        if task.fixed:
            break
        latest = ANY_TIME
        if index + 1 < len(tasks):
            latest = limits[index + 1] - tasks[index + 1].gaps[0][1]
            if task.waits_for_all:
                cured_by = min(cured_by, latest + task.block)
        latest = min(latest, cured_by - task.block - task.curing)
        limits[index] = last_start(latest, task.block) if task.block else latest
    return limits
