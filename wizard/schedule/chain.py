"""From operations with their films and marks to a chain of tasks with gaps and windows."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from wizard.schedule.operations import (
    Operation,
    beneath,
    longest_gap,
    shortest_gap,
    windows,
)
from wizard.schedule.tasks import ANY_TIME, LONG_AGO, Gaps, Scuff, Task


def in_order_of_doing(operations: tuple[Operation, ...]) -> tuple[Operation, ...]:
    """Finished ones as they were finished, then those begun, then the rest; marks in UTC."""

    def doing(operation: Operation) -> tuple[datetime, datetime]:
        return operation.finished or ANY_TIME, operation.started or ANY_TIME

    return tuple(sorted(map(_in_utc, operations), key=doing))


def scuff_before(operation: Operation, scuffing: timedelta) -> Operation:
    """The scuff that ends the windows before an operation."""
    return Operation(f"scuff-{operation.id}", f"Scuff before {operation.name}", "sand", scuffing)


def chain(
    ordered: tuple[Operation, ...], scuffing: timedelta, now: datetime, plugs: int
) -> tuple[Task, ...]:
    """One task for each operation.

    Args:
        ordered: in order of doing, marks in UTC.
        scuffing: time to scuff one plug.
        now: nothing at the bench begins before this.
        plugs: how many plugs are worked on together.
    """
    fixed = [_fixed_start(operation, now, plugs) for operation in ordered]

    def gaps(index: int, later: Operation) -> Gaps:
        if not index:
            return ()
        found = [(index - 1, shortest_gap(ordered[index - 1], later, plugs))]
        implied = found[0][1]
        for under in beneath(ordered, index)[1:]:
            # Marks may be where no plan would put them, so they imply nothing.
            implied += shortest_gap(ordered[under], ordered[under + 1], plugs)
            gap = shortest_gap(ordered[under], later, plugs)
            if gap > implied or fixed[under]:
                found.append((under, gap))
        return tuple(found)

    def scuff(index: int) -> Scuff:
        one = scuff_before(ordered[index], scuffing)
        gap_after = shortest_gap(one, ordered[index], plugs)
        return Scuff(plugs * scuffing, now, gaps(index, one), gap_after)

    def task(index: int) -> Task:
        operation, start = ordered[index], fixed[index]
        unfinished_cure = operation.kind == "cure" and not operation.finished
        bound = () if start else windows(ordered, index)
        limits = ((under, longest_gap(ordered[under], operation, plugs)) for under in bound)
        # What needs nobody follows by itself, also while nobody looks.
        follows = index > 0 and not operation.hands_on
        return Task(
            block=plugs * operation.hands_on,
            not_before=LONG_AGO if follows else now,
            gaps=gaps(index, operation),
            windows=tuple((under, limit) for under, limit in limits if limit is not None),
            curing=operation.settling,
            waits_for_all=unfinished_cure,
            fixed=start,
            scuff=None if start or not index else scuff(index),
        )

    return tuple(task(index) for index in range(len(ordered)))


def _fixed_start(operation: Operation, now: datetime, plugs: int) -> datetime | None:
    """The start that gives a marked operation its finish; None if it isn't marked."""
    block = plugs * operation.hands_on
    if operation.finished is not None:
        return operation.finished - block
    if operation.started is not None and operation.kind != "cure":
        return max(operation.started, now - block)
    return operation.started


def _in_utc(operation: Operation) -> Operation:
    started, finished = operation.started, operation.finished
    return replace(
        operation,
        started=started and started.astimezone(UTC),
        finished=finished and finished.astimezone(UTC),
    )
