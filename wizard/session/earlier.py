"""Earlier versions of a build: which there are, and how one takes the present one's place."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from wizard.plug.record import Build
from wizard.steps.walk import STEPS, position, step_named
from wizard.store.faults import ChangedOutside, ReadRefused, SaveFailed
from wizard.store.files import save
from wizard.store.history import remember, versions
from wizard.store.locks import HeldBy, hold
from wizard.store.moments import written
from wizard.store.opening import Unreadable, open_profile
from wizard.store.profile import LARGEST, ProfileError
from wizard.store.profile import read as read_profile
from wizard.store.reading import read
from wizard.store.rescue import last_good, set_aside

LAST = "last"
"""What the version before the last save is called."""

_AT_ONCE = timedelta(seconds=2)
"""A version kept so soon after a save is newer than what that save replaced."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier version that can be read.

    Attributes:
        key: what it is called: a number, or “last” for the one before the last save.
        when: the moment that it was kept, or replaced if it is the last; local time.
        build: the record.
        data: its contents.
    """

    key: str
    when: datetime
    build: Build
    data: bytes

    @property
    def place(self) -> str:
        """Where it stands in the walk, in words."""
        step = step_named(self.build.build.step)
        before = "before the last save, " if self.key == LAST else ""
        return f"{before}step {position(step)} of {len(STEPS)}: {step.title}"


@dataclass(frozen=True, slots=True)
class Restored:
    """What became of a build when an earlier version took its place.

    Attributes:
        path: the build.
        aside: where the damaged file is now; None if there was none.
    """

    path: Path
    aside: Path | None


def earlier(path: Path) -> tuple[Earlier, ...]:
    """The versions of a build that can be read, newest first, none of them twice."""
    found: dict[bytes, Earlier] = {}
    for version in versions(path):
        read_one = _read(version.path, str(version.number), version.when)
        if read_one is not None:
            found.setdefault(read_one.data, read_one)
    backup = last_good(path)
    if backup is not None:
        last = _read(backup, LAST, written(backup))
        if last is not None and last.data not in found:
            kept = tuple(found.values())
            place = sum(version.when > last.when - _AT_ONCE for version in kept)
            return (*kept[:place], last, *kept[place:])
    return tuple(found.values())


def _read(place: Path, key: str, when: datetime) -> Earlier | None:
    try:
        data, _ = read(place)
        build, _ = read_profile(data, place.name)
    except (ReadRefused, ProfileError):
        return None
    return Earlier(key, when.astimezone(), build, data)


def may_be_replaced(path: Path, error: Unreadable) -> bool:
    """Whether an earlier version may stand in: the file is damaged or gone, not just shut."""
    if error.is_later:
        return False
    try:
        state = os.stat(path)
    except FileNotFoundError:
        return True
    except (OSError, ValueError):
        return False
    return stat.S_ISREG(state.st_mode) and (error.is_damaged or state.st_size > LARGEST)


def restore(path: Path, version: Earlier) -> Restored:
    """Put an earlier version in a build's place, which is kept: as a version, or set aside.

    Raises:
        SaveFailed: the build is as it was.
    """
    lock = hold(path)
    if isinstance(lock, HeldBy):
        raise SaveFailed(path, f"{lock} has it open", "close it there first")
    with lock:
        try:
            now = open_profile(path)
            data, found = read(path)
        except Unreadable as error:
            if not may_be_replaced(path, error):
                raise SaveFailed(
                    path, "what stands there is no damaged build", str(error)
                ) from None
            aside = set_aside(path) if path.exists() else None
            save(path, version.data, expected=None)
            return Restored(path, aside)
        except ReadRefused as refused:
            raise SaveFailed(path, refused.wrong, refused.remedy) from None
        if found == now.fingerprint:
            remember(path, data, datetime.now(UTC))
        try:
            save(path, version.data, expected=now.fingerprint)
        except ChangedOutside as fault:
            raise SaveFailed(path, "something else is changing it", "try again") from fault
    return Restored(path, None)


def hint(path: Path, error: Unreadable) -> str:
    """What to try with a build that can't be read; empty if no earlier version is kept."""
    if not may_be_replaced(path, error) or not earlier(path):
        return ""
    return f"An earlier version can be read: plugwright history {path}"
