"""What lies in the folder of builds, looked at without holding any of it."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from wizard.store.faults import ReadRefused, shown
from wizard.store.shelf import Entry, FolderGone, glance, read_on, shelf
from wizard.store.shelf_index import Index, load, save

URGENCY = ("overdue", "due", "running", "possible", "waiting", "curing", "ready", "nothing")
"""States of a coating schedule, the most pressing first."""


@dataclass(frozen=True, slots=True)
class Found:
    """One build of the folder, or a file that is none.

    Attributes:
        path: where it is.
        name: what its maker calls it.
        place: where it stands in the walk, in words.
        aim: what it is asked to do.
        is_finished: whether its maker called it finished.
        wrong: why it can't be read, all of it; empty if it can.
        position: of its step in the walk, counted from one.
        is_archived: whether it is put away.
        tags: words to find it by.
        result: how it turned out; may be empty.
        due: what its coating schedule asks for next; may be empty.
        urgency: how pressing that is, 0 the most.
        modified: when it was last written, seconds since 1970.
    """

    path: Path
    name: str = ""
    place: str = ""
    aim: str = ""
    is_finished: bool = False
    wrong: tuple[str, ...] = ()
    position: int = 1
    is_archived: bool = False
    tags: tuple[str, ...] = ()
    result: str = ""
    due: str = ""
    urgency: int = len(URGENCY)
    modified: float = 0.0

    @property
    def is_under_way(self) -> bool:
        """Whether it can be gone on with."""
        return not self.wrong and not self.is_finished and not self.is_archived

    @property
    def act(self) -> str:
        """What choosing it does."""
        if self.wrong:
            return "! Can't be read:"
        return "Review" if self.is_finished else "Resume"

    @property
    def title(self) -> str:
        """What to call it."""
        return self.name or f"a build without a name ({shown(self.path.name)})"

    @property
    def line(self) -> str:
        """The build in one line."""
        if self.wrong:
            return f"{shown(self.path.name)}: {self.wrong[0]}"
        told = [part for part in (self.aim, self.result, self.due) if part]
        told += [f"#{tag}" for tag in self.tags]
        return " · ".join((f"{self.title}, {self.place}", *told))


def found(entry: Entry, now: datetime) -> Found:
    """An entry of the shelf in words."""
    from wizard.steps.walk import STEPS, position, step_named

    if entry.wrong:
        return Found(entry.path, wrong=entry.wrong, modified=entry.modified)
    step, due = step_named(entry.step), entry.due(now)
    place = f"step {position(step)} of {len(STEPS)}: {step.title}"
    return Found(
        entry.path,
        entry.name,
        "finished" if entry.finished else place,
        entry.behaviour,
        entry.finished,
        position=position(step),
        is_archived=entry.archived,
        tags=entry.tags,
        result=entry.result,
        due=due.text if due else "",
        urgency=URGENCY.index(due.kind) if due else len(URGENCY),
        modified=entry.modified,
    )


def look_through(folder: Path) -> tuple[tuple[Found, ...], str]:
    """All that lies in a folder, last written first; and what kept it from being looked at."""
    now = _now()
    try:
        return tuple(found(entry, now) for entry in shelf(folder, now)), ""
    except ReadRefused as error:
        return (), str(error)


class Look:
    """A look through a folder that tells at once what it can, and then reads on.

    Args:
        folder: of builds.
        was_there: whether the folder was there before.
    """

    def __init__(self, folder: Path, was_there: bool = False) -> None:
        self._folder, self._was_there = folder, was_there
        self._index = Index()
        self._entries: tuple[Entry, ...] = ()
        self.trouble = ""

    def at_once(self) -> tuple[Found, ...]:
        """What is known or seen at a glance; `trouble` says what kept it from being seen."""
        self._index = load(self._folder)
        try:
            self._entries = glance(self._folder, self._index, self._was_there)
        except (ReadRefused, FolderGone) as error:
            self.trouble = str(error)
        return self._words()

    @property
    def unread(self) -> int:
        """How many files were only glanced at."""
        return sum(not entry.read for entry in self._entries)

    def reading_on(self) -> Generator[int, None, None]:
        """Read the rest, one file a turn; gives how many are left. Stop asking to stop."""
        left = self.unread
        if not left:
            return
        full = {entry.path: entry for entry in self._entries}
        try:
            for entry in read_on(self._entries, self._index, _now()):
                full[entry.path] = entry
                left -= 1
                self._entries = tuple(full.values())
                yield left
        finally:
            save(self._folder, self._index, [entry.path.name for entry in self._entries])

    def _words(self) -> tuple[Found, ...]:
        now = _now()
        return tuple(found(entry, now) for entry in self._entries)

    @property
    def all_found(self) -> Sequence[Found]:
        """All as it is known by now."""
        return self._words()


def _now() -> datetime:
    return datetime.now().astimezone()
