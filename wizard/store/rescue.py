"""Second places: for a version in dispute, a damaged file, the last good one."""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from wizard.store import names
from wizard.store.disk import DISK, FOR_A_NEW_FILE, Disk
from wizard.store.faults import ChangedOutside, SaveFailed, words
from wizard.store.files import save
from wizard.store.staging import replace


def keep_both(path: Path, data: bytes, now: datetime | None = None, disk: Disk = DISK) -> Path:
    """Save `data` under a new name beside `path`, which is left as it is.

    Args:
        path: the file that something else has changed.
        data: the version held here.
        now: the moment for the new name; the clock's if None.
        disk: the disk, or a stand-in.

    Returns:
        The new file, NAME.mine-DATE-TIME.toml; never one that held anything else.

    Raises:
        SaveFailed: it could not be written.
    """
    stem, number = f"{path.stem[:50]}.mine-{_stamp(now)}", 1
    while True:
        candidate = path.with_name(f"{stem}{_numbered(number)}{path.suffix[:10]}")
        try:
            return save(candidate, data, expected=None, disk=disk).path
        except ChangedOutside:
            number += 1


def keep_copy(path: Path, data: bytes, ending: str, disk: Disk = DISK) -> Path:
    """Keep `data` beside a build under its name and an ending, never over anything else.

    Returns:
        The copy; one that is there already and holds the same is found again.

    Raises:
        SaveFailed: it could not be written.
    """
    number = 1
    while True:
        try:
            place = names.sibling(disk.resolved(path), f"{ending}{_numbered(number)}")
            return save(place, data, expected=None, disk=disk).path
        except ChangedOutside:
            number += 1
        except (OSError, ValueError) as fault:
            raise SaveFailed(path, *words(fault)) from fault


def set_aside(path: Path, now: datetime | None = None, disk: Disk = DISK) -> Path:
    """Move a damaged file out of the way, never over another; of a link, its target.

    Returns:
        Where it is now: NAME.damaged-DATE-TIME, which no listing takes for a build.

    Raises:
        SaveFailed: it is where it was.
    """
    try:
        target = disk.resolved(path)
        with _reserved(target, f".damaged-{_stamp(now)}", disk) as aside:
            replace(target, aside, disk)
    except (OSError, ValueError, MemoryError) as fault:
        reason, remedy = words(fault)
        raise SaveFailed(path, f"it could not be moved aside, {reason}", remedy) from fault
    with suppress(OSError):
        disk.fsync_folder(target.parent)
    return aside


def last_good(path: Path, disk: Disk = DISK) -> Path | None:
    """The version before the last save, if one is kept beside the file."""
    try:
        backup = names.backup(disk.resolved(path))
        return backup if stat.S_ISREG(disk.stat(backup).st_mode) else None
    except (OSError, ValueError):
        return None


def clear_leftovers(path: Path, disk: Disk = DISK) -> int:
    """Remove half-written files of saves that were killed; only while holding the lock.

    Returns:
        How many were removed.
    """
    target, removed = disk.resolved(path), 0
    draft, history = (names.companion(target, ending) for ending in (names.DRAFT, names.HISTORY))
    for folder, owners in (
        (target.parent, (target, names.backup(target))),
        (draft.parent, (draft,)),
        (history, ()),  # every version in there is this build's
    ):
        with suppress(OSError):
            for name in os.listdir(folder):
                if names.is_temporary(name, *owners):
                    disk.unlink(folder / name)
                    removed += 1
    return removed


@contextmanager
def _reserved(target: Path, ending: str, disk: Disk) -> Iterator[Path]:
    """A name beside `target` that is ours alone: an empty file, to be moved over."""
    number, descriptor = 1, -1
    while descriptor < 0:
        place = names.sibling(target, f"{ending}{_numbered(number)}")
        with suppress(FileExistsError):
            descriptor = disk.open(place, FOR_A_NEW_FILE)
        number += 1
    try:
        disk.close(descriptor)
        yield place
    except BaseException:
        with suppress(OSError):
            disk.unlink(place)
        raise


def _numbered(number: int) -> str:
    return "" if number == 1 else f"-{number}"


def _stamp(now: datetime | None) -> str:
    return f"{now or datetime.now():%Y%m%d-%H%M%S}"
