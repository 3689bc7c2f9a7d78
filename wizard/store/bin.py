"""The bin: a deleted build waits there with its versions, until it is restored or emptied.

One folder a deletion, in the hidden folder beside the builds, named by the moment and by
the file. Files are moved within one file system, so nothing is copied and nothing lost.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from wizard.store.faults import SaveFailed, words
from wizard.store.locks import HeldBy, hold
from wizard.store.moments import possible
from wizard.store.names import DRAFT, HISTORY, backup, companion

_BIN = "bin"
_STAMP = "%Y%m%dT%H%M%SZ"
_NAMED = re.compile(r"(\d{8}T\d{6}Z)(?:-\d+)?-(.+\.toml)", re.ASCII | re.IGNORECASE)
_PROFILE = "build.toml"
_BACKUP = "build.toml.bak"


@dataclass(frozen=True, slots=True)
class Binned:
    """A deleted build.

    Attributes:
        place: its folder in the bin.
        name: what its file was called.
        when: when it was deleted, UTC.
    """

    place: Path
    name: str
    when: datetime

    @property
    def profile(self) -> Path:
        """The profile in the bin, to be looked at."""
        return self.place / _PROFILE


class InUse(Exception):  # noqa: N818 - it names the state
    """Another window has the build, so that it can't be moved or renamed here."""


def delete(path: Path, now: datetime) -> Binned:
    """Move a build into the bin, its earlier versions with it.

    Args:
        path: the build; a link is moved as a link.
        now: with an offset.

    Raises:
        InUse: another window has it.
        SaveFailed: it could not be moved; it is where it was.
    """
    lock = hold(path)
    if isinstance(lock, HeldBy):
        raise InUse(f"{path.name} is open in {lock}; close it there first")
    place = None
    try:
        place = _fresh(path, now)
        companions = tuple(_companions(path))
        os.replace(path, place / _PROFILE)
        for beside, name in companions:
            with suppress(OSError):  # they are of use only beside the build
                os.replace(beside, place / name)
    except (OSError, ValueError) as fault:
        if place is not None:
            with suppress(OSError):
                os.rmdir(place)
        raise SaveFailed(path, *words(fault)) from fault
    finally:
        lock.release()
    return Binned(place, path.name, now.astimezone(UTC).replace(microsecond=0))


def binned(folder: Path) -> tuple[Binned, ...]:
    """What is in the bin of a folder of builds, last deleted first."""
    found: list[Binned] = []
    with suppress(OSError, ValueError):
        for entry in os.scandir(_bin(folder)):
            named = _NAMED.fullmatch(entry.name)
            place = Path(entry.path)
            if named and os.path.lexists(place / _PROFILE):
                with suppress(ValueError):  # the 31st of February
                    when = datetime.strptime(named[1], _STAMP).replace(tzinfo=UTC)
                    found.append(Binned(place, named[2], possible(when)))
    return tuple(sorted(found, key=lambda one: (one.when, one.place.name), reverse=True))


def restore(thrown: Binned, folder: Path) -> Path:
    """Move a build back from the bin; one of the same name that is there now stays.

    Returns:
        Where it is now.

    Raises:
        SaveFailed: it could not be moved; it is still in the bin.
    """
    path, number = folder / thrown.name, 1
    while os.path.lexists(path):
        number += 1
        path = folder / f"{Path(thrown.name).stem}-{number}.toml"
    try:
        os.replace(thrown.profile, path)
        for beside, name in _companions(path):
            with suppress(OSError):
                os.replace(thrown.place / name, beside)
        with suppress(OSError):
            os.rmdir(thrown.place)
    except (OSError, ValueError) as fault:
        raise SaveFailed(path, *words(fault)) from fault
    return path


def empty(folder: Path) -> int:
    """Remove all that is in the bin for good; returns how many builds that were.

    Raises:
        SaveFailed: something could not be removed.
    """
    thrown = binned(folder)
    for one in thrown:
        try:
            shutil.rmtree(one.place)
        except OSError as fault:
            raise SaveFailed(one.place, *words(fault)) from fault
    return len(thrown)


def _bin(folder: Path) -> Path:
    return companion(folder / _BIN, "")


def _companions(path: Path) -> Iterator[tuple[Path, str]]:
    """What stands beside a build, with its name in the bin; a link has nothing of its own."""
    if path.is_symlink():
        return
    yield backup(path), _BACKUP
    yield companion(path, HISTORY), f"build{HISTORY}"
    yield companion(path, DRAFT), f"build{DRAFT}"


def _fresh(path: Path, now: datetime) -> Path:
    """A new folder in the bin."""
    stamp, number = now.astimezone(UTC).strftime(_STAMP), 1
    parent = _bin(path.parent)
    parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    while True:
        tail = "" if number == 1 else f"-{number}"
        place = parent / f"{stamp}{tail}-{path.name[-200:]}"
        try:
            place.mkdir(mode=0o700)
        except FileExistsError:
            number += 1
        else:
            return place
