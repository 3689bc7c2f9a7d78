"""A timetable as data: what was done and what is to be done, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from wizard.schedule.chain import scuff_before
from wizard.schedule.findings import Finding
from wizard.schedule.operations import (
    NOTHING,
    Operation,
    beneath,
    longest_gap,
    shortest_gap,
    windows,
)
from wizard.schedule.tasks import Placement


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the timetable.

    Attributes:
        operation: what is done.
        start: when it begins, or began.
        finish: when it is done, or was.
        wait: from the finish of the line before it; none for the first.
        earliest: when the films allow it; None if nothing was before it.
        latest: when the first window beneath closes, for a scuff the first of those that
            it makes up for; None if there is none.
        inserted: whether it is a scuff that the plan put in.
    """

    operation: Operation
    start: datetime
    finish: datetime
    wait: timedelta = NOTHING
    earliest: datetime | None = None
    latest: datetime | None = None
    inserted: bool = False

    @property
    def done(self) -> bool:
        """Whether it is marked as finished."""
        return self.operation.finished is not None

    @property
    def running(self) -> bool:
        """Whether it is marked as begun only."""
        return self.operation.started is not None and not self.done


@dataclass(frozen=True, slots=True)
class Timetable:
    """What was done and what is to be done, in time.

    Attributes:
        made: the moment for which it was made.
        entries: in order; none if nothing could be planned.
        ready: when everything has cured and the water may have it.
        findings: what there is to say about it; a refusal says why nothing is planned.
    """

    made: datetime
    entries: tuple[Entry, ...] = ()
    ready: datetime | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def finish(self) -> datetime | None:
        """When the last operation is done."""
        return self.entries[-1].finish if self.entries else None

    @property
    def scuffs(self) -> int:
        """How many scuffs the plan had to put in."""
        return sum(entry.inserted for entry in self.entries)


def entries_of(
    ordered: tuple[Operation, ...],
    placements: tuple[Placement, ...],
    scuffing: timedelta,
    plugs: int,
) -> tuple[Entry, ...]:
    """The lines for operations and where they came to lie, scuffs among them.

    Args:
        ordered: in order of doing, marks in UTC.
        placements: one for each.
        scuffing: time to scuff one plug.
        plugs: how many plugs are worked on together.
    """
    placed: list[_Placed] = []
    for operation, placement in zip(ordered, placements, strict=True):
        if placement.scuff is not None:
            scuff = scuff_before(operation, scuffing)
            placed.append(_Placed(scuff, placement.scuff, placement.scuff, inserted=True))
        placed.append(_Placed(operation, placement.start, placement.cured))
    return tuple(_Lines(tuple(placed), plugs).entries())


def scuffed_for(entries: tuple[Entry, ...], index: int) -> Operation:
    """The operation that a scuff in the lines is for: the first to bond after it."""
    return next(entry.operation for entry in entries[index + 1 :] if entry.operation.bonds)


@dataclass(frozen=True, slots=True)
class _Placed:
    operation: Operation
    start: datetime
    cured: datetime
    inserted: bool = False


@dataclass(frozen=True, slots=True)
class _Lines:
    placed: tuple[_Placed, ...]
    plugs: int

    @property
    def operations(self) -> tuple[Operation, ...]:
        return tuple(line.operation for line in self.placed)

    def entries(self) -> Iterator[Entry]:
        before: datetime | None = None
        for index, line in enumerate(self.placed):
            start = line.operation.started or line.start
            finish = self._finish(line)
            wait = NOTHING if before is None else max(NOTHING, start - before)
            latest = self._missed(index) if line.inserted else self._closing(index, index)
            earliest = self._allowed(index)
            yield Entry(line.operation, start, finish, wait, earliest, latest, line.inserted)
            before = finish

    def _finish(self, line: _Placed) -> datetime:
        if line.operation.finished is not None:
            return line.operation.finished
        if line.operation.kind == "cure":
            return line.cured
        return line.start + self.plugs * line.operation.hands_on

    def _allowed(self, index: int) -> datetime | None:
        """When what lies open beneath a line allows it."""
        later = self.placed[index].operation
        moments: list[datetime] = []
        for line in (self.placed[under] for under in beneath(self.operations, index)):
            start = line.start
            if line.operation.kind == "cure" and line.operation.finished is None:
                start = max(start, line.cured - self.plugs * line.operation.hands_on)
            moments.append(start + shortest_gap(line.operation, later, self.plugs))
        return max(moments, default=None)

    def _closing(self, index: int, below: int) -> datetime | None:
        """When the first window closes that binds a line to those before `below`."""
        later = self.placed[index].operation
        lines = [self.placed[under] for under in windows(self.operations, index) if under < below]
        gaps = [(line.start, longest_gap(line.operation, later, self.plugs)) for line in lines]
        return min((start + gap for start, gap in gaps if gap is not None), default=None)

    def _missed(self, index: int) -> datetime | None:
        """When the first window would close that a scuff ends."""
        without = _Lines((*self.placed[:index], *self.placed[index + 1 :]), self.plugs)
        moments: list[datetime] = []
        for later in range(index, len(without.placed)):
            closing = without._closing(later, index)
            if closing is not None:
                moments.append(closing)
            operation = without.placed[later].operation
            if operation.hides or operation.kind == "sand":
                break
        return min(moments, default=None)
