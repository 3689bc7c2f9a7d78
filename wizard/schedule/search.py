"""The best starts for a chain of tasks with shortest and longest gaps.

Wanted, in this order: every window kept or the film scuffed; ready no more than
`patience` after the soonest possible; fewest scuffs; ready soonest; last task soonest.

How it is found, exactly. Once it is settled where to scuff, every rule says either
"this task not before that" or "that task not so long before this", and the bench says
which starts are allowed. Of two plans that keep such rules, the plan that takes the
sooner start of each task keeps them too, so there is one plan in which everything is as
soon as it can ever be. It is reached by beginning with the soonest starts and moving up
whatever breaks a rule until nothing does (`_Search._settle`).

Where to scuff is decided from front to back. A scuff ends every window, so what follows
depends on three numbers alone: the scuffs so far, when the next task may begin, and when
all before it has cured. A triple that is nowhere better than another is dropped. And a
scuff can help only at a window that had to move an earlier task to be kept, so only there
is it tried. Whatever can't be ready in time, even without windows, is dropped as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache

from wizard.schedule.tasks import (
    ANY_TIME,
    LONG_AGO,
    Gaps,
    Placement,
    Placing,
    Task,
    after,
    hopeless,
    latest_starts,
)


@dataclass(frozen=True, slots=True)
class _Turn:
    """A run of tasks without a scuff in it, known by how it begins."""

    first: int
    scuffs: int
    soonest: datetime
    cured: datetime
    scuff: datetime | None = None
    before: _Turn | None = None

    def beats(self, other: _Turn) -> bool:
        """Whether nothing that follows `other` is better than what follows this one."""
        return (
            self.scuffs <= other.scuffs
            and self.soonest <= other.soonest
            and self.cured <= other.cured
        )


@dataclass(frozen=True, slots=True)
class _End:
    """A run that reaches the last task."""

    scuffs: int
    cured: datetime
    start: datetime
    turn: _Turn


_BEGINNING = _Turn(0, 0, LONG_AGO, LONG_AGO)


def best_placements(
    tasks: Sequence[Task], next_start: Placing, last_start: Placing, patience: timedelta
) -> tuple[Placement, ...]:
    """The best starts of all tasks, in their order.

    Args:
        tasks: in order; those with a fixed start come first.
        next_start: the soonest start, from a moment on, of a block at the bench.
        last_start: the latest start, up to a moment, of a block at the bench.
        patience: how much later than possible to be ready, if that saves a scuff.
    """
    return _Search(tasks, next_start, last_start).best(patience) if tasks else ()


class _Search:
    def __init__(self, tasks: Sequence[Task], next_start: Placing, last_start: Placing) -> None:
        self.tasks = tasks
        self.next_start = cache(next_start)
        self.last_start = last_start
        self.starts = [LONG_AGO] * len(tasks)
        self.cured = [LONG_AGO] * len(tasks)
        self.limits = [ANY_TIME] * len(tasks)
        self.hopeless = frozenset(hopeless(tasks))

    def best(self, patience: timedelta) -> tuple[Placement, ...]:
        self.limits = latest_starts(self.tasks, self._soon_enough() + patience, self.last_start)
        ends = self._ends()
        latest = min(end.cured for end in ends) + patience
        in_time = (end for end in ends if end.cured <= latest)
        return self._placements(min(in_time, key=lambda end: (end.scuffs, end.cured, end.start)))

    def _ends(self) -> list[_End]:
        ends: list[_End] = []
        waiting: list[list[_Turn]] = [[] for _ in self.tasks]
        waiting[0].append(_BEGINNING)
        for turns in waiting:
            for turn in _unbeaten(turns):
                whole, following = self._follow(turn)
                for later in following:
                    waiting[later.first].append(later)
                if whole:
                    ends.append(_End(turn.scuffs, self.cured[-1], self.starts[-1], turn))
        return ends

    def _follow(self, turn: _Turn) -> tuple[bool, list[_Turn]]:
        """Lay tasks without a scuff as far as that goes.

        Returns:
            Whether it goes to the end, and the turns that part from it with a scuff.
        """
        scuffed: dict[int, _Turn | None] = {}
        parted: set[int] = set()
        whole = True
        for index in range(turn.first, len(self.tasks)):
            if index > turn.first:
                scuffed[index] = self._scuffed(turn, index)
            if not self._settle(turn, index, parted):
                whole = False
                break
        following = (scuffed[index] for index in sorted(parted))
        return whole, [later for later in following if later is not None]

    def _settle(self, turn: _Turn, last: int, parted: set[int]) -> bool:
        """Lay one more task, moving up those before it whose windows it would break.

        Args:
            turn: the run that it belongs to.
            last: the task; those of the run before it are laid.
            parted: gets every task before which a scuff would end such a window.

        Returns:
            Whether all of them can still be ready in time.
        """
        index = last
        self.starts[last] = LONG_AGO
        while index <= last:
            if not self._lay(turn, index):
                return False
            following = index + 1
            for earlier, longest in self._broken(turn, index):
                parted.update(range(earlier + 1, index + 1))
                if self.tasks[earlier].fixed or (earlier, index) in self.hopeless:
                    return False
                self.starts[earlier] = self.starts[index] - longest
                following = min(following, earlier)
            index = following
        return True

    def _lay(self, turn: _Turn, index: int) -> bool:
        """Give a task its soonest start, not before the one it has; whether it is in time."""
        task = self.tasks[index]
        cured = turn.cured if index == turn.first else self.cured[index - 1]
        soonest = max(self._after(turn, task.gaps), task.not_before, self.starts[index])
        start = task.fixed or self._place(task.block, soonest)
        self.starts[index] = start
        self.cured[index] = max(cured, start + task.block + task.curing)
        return start <= self.limits[index]

    def _broken(self, turn: _Turn, index: int) -> list[tuple[int, timedelta]]:
        """The windows within a run that a task is too late for."""
        start = self.starts[index]
        return [
            (earlier, longest)
            for earlier, longest in self.tasks[index].windows
            if earlier >= turn.first and start - self.starts[earlier] > longest
        ]

    def _after(self, turn: _Turn, gaps: Gaps) -> datetime:
        """The soonest that the gaps to the tasks of a run allow, the run's own at its start."""
        return max(
            (
                after(self.tasks[earlier], self.starts[earlier], self.cured[earlier], gap)
                for earlier, gap in gaps
                if earlier >= turn.first
            ),
            default=turn.soonest,
        )

    def _scuffed(self, turn: _Turn, index: int) -> _Turn | None:
        """The turn that parts from a run, laid up to a task, with a scuff before that task.

        None if there can't be one, or everything can't be ready in time then.
        """
        scuff = self.tasks[index].scuff
        if scuff is None:
            return None
        begun = self._place(scuff.block, max(self._after(turn, scuff.gaps), scuff.not_before))
        if begun + scuff.gap_after > self.limits[index]:
            return None
        soonest = begun + scuff.gap_after
        return _Turn(index, turn.scuffs + 1, soonest, self.cured[index - 1], begun, turn)

    def _place(self, block: timedelta, moment: datetime) -> datetime:
        return self.next_start(moment, block) if block else moment

    def _soon_enough(self) -> datetime:
        """When all has cured in a plan that never waits and scuffs whatever that breaks."""
        turn = _BEGINNING
        for index in range(len(self.tasks)):
            self.starts[index] = LONG_AGO
            self._lay(turn, index)
            if self._broken(turn, index):
                turn = self._scuffed(turn, index) or turn
                self._lay(turn, index)
        return self.cured[-1]

    def _placements(self, end: _End) -> tuple[Placement, ...]:
        turns = [end.turn]
        while turns[0].before is not None:
            turns.insert(0, turns[0].before)
        nexts = [turn.first for turn in turns[1:]] + [len(self.tasks)]
        for turn, following in zip(turns, nexts, strict=True):
            for index in range(turn.first, following):
                self._settle(turn, index, set())
        scuffs = {turn.first: turn.scuff for turn in turns}
        return tuple(
            Placement(start, cured, scuffs.get(index))
            for index, (start, cured) in enumerate(zip(self.starts, self.cured, strict=True))
        )


def _unbeaten(turns: list[_Turn]) -> list[_Turn]:
    kept: list[_Turn] = []
    for turn in sorted(turns, key=lambda turn: (turn.scuffs, turn.soonest, turn.cured)):
        if not any(better.beats(turn) for better in kept):
            kept.append(turn)
    return kept
