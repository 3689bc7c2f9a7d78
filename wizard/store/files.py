"""Saving that survives, and reading that cannot be hurt; bytes and paths only.

A save never leaves a mix. In order: the file on disk is compared with what was last
read or written here; a new file is written in full beside it and flushed; the old
one is copied to NAME.bak, flushed too; the new file replaces the old; the folder is
flushed. So NAME.bak is overwritten only after NAME was read back and found to be what
was written, and at every moment one of the two is whole.
"""

import os
from dataclasses import dataclass
from pathlib import Path

from wizard.store import names
from wizard.store.disk import DISK, Disk
from wizard.store.faults import ChangedOutside, ReadRefused, SaveFailed, words
from wizard.store.reading import MOST_BYTES, Fingerprint, contents, fingerprint, read, wrong_kind
from wizard.store.staging import flush, replace, staged

__all__ = [
    "DISK",
    "MOST_BYTES",
    "ChangedOutside",
    "Disk",
    "Fingerprint",
    "ReadRefused",
    "SaveFailed",
    "Saved",
    "fingerprint",
    "put",
    "read",
    "save",
]

FOLDER_UNFLUSHED = "saved, but a power cut in the next seconds may bring back the last version"
WRITTEN_ANEW = "the file had gone from its folder and was written anew"


@dataclass(frozen=True)
class Saved:
    """A save that is on the disk.

    Attributes:
        path: the file that was replaced, links followed.
        fingerprint: to be handed to the next save.
        warnings: what could not be kept or confirmed, clauses for the maker.
    """

    path: Path
    fingerprint: Fingerprint
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Present:
    """The file that stands where a save wants to go."""

    data: bytes
    state: os.stat_result


def save(path: Path, data: bytes, *, expected: Fingerprint | None, disk: Disk = DISK) -> Saved:
    """Replace a file so that at every moment it is the old or the new one, whole.

    A link stays a link and its target is replaced, or made where the link dangles. Mode
    and owner are kept; a new file gets what the umask gives.

    Args:
        path: the file, or a link to it.
        data: the new contents.
        expected: what was last read or written here; None if no file should be there.
            A file that already holds `data` is accepted, so a doubtful save can be retried.
        disk: the disk, or a stand-in.

    Raises:
        ChangedOutside: another file than the expected one stands there; nothing is written.
        SaveFailed: the old file is untouched and nothing new is left beside it.
    """
    try:
        return _saved(path, data, expected, disk)
    except (OSError, ValueError, MemoryError) as fault:
        raise SaveFailed(path, *words(fault)) from fault


def put(path: Path, data: bytes, disk: Disk = DISK) -> None:
    """Replace a small companion file in one step, unflushed: cheap, and lost in a power cut.

    Raises:
        SaveFailed: the old file is untouched.
    """
    try:
        with staged(path, data, None, disk, notes=None) as fresh:
            replace(fresh, path, disk)
    except (OSError, ValueError, MemoryError) as fault:
        raise SaveFailed(path, *words(fault)) from fault


def _saved(path: Path, data: bytes, expected: Fingerprint | None, disk: Disk) -> Saved:
    """The acts of a save, in the order that the module's first lines promise."""
    target, new = disk.resolved(path), fingerprint(data)
    old = _present(path, target, max(new.size, expected.size if expected else 0), disk)
    if old and old.data != data and fingerprint(old.data) != expected:
        raise ChangedOutside(path)
    notes = [WRITTEN_ANEW] if expected and not old else []
    with staged(target, data, old.state if old else None, disk, notes) as fresh:
        if old and old.data != data:  # saving the same twice must not cost the version before
            _back_up(target, old, disk, notes)
        if not _untouched(target, old, disk):
            raise ChangedOutside(path)
        replace(fresh, target, disk)
    try:
        flush(disk.fsync_folder, target.parent, notes)
    except (OSError, MemoryError):
        notes.append(FOLDER_UNFLUSHED)
    return Saved(target, new, tuple(dict.fromkeys(notes)))


def _present(path: Path, target: Path, limit: int, disk: Disk) -> _Present | None:
    """The file in the way, if any; one longer than `limit` can't be the expected one."""
    try:
        state = disk.stat(target)
    except FileNotFoundError:
        return None
    if kind := wrong_kind(state):
        raise SaveFailed(path, f"it is {kind}, not a file", "choose another name")
    if not disk.writable(target):
        raise SaveFailed(path, "the file is read-only", "make it writable or save elsewhere")
    try:
        return _Present(*contents(target, limit, disk))
    except (ReadRefused, FileNotFoundError) as fault:
        raise ChangedOutside(path) from fault


def _back_up(target: Path, old: _Present, disk: Disk, notes: list[str]) -> None:
    """Keep the old version as NAME.bak, on the medium before NAME is replaced.

    A copy and not a hard link: a FAT stick takes it, and an editor that writes in place
    can't reach both versions at once.
    """
    backup = names.backup(target)
    with staged(backup, old.data, old.state, disk, notes) as copy:
        replace(copy, backup, disk)
    flush(disk.fsync_folder, target.parent, notes)


def _untouched(target: Path, old: _Present | None, disk: Disk) -> bool:
    """A second, cheap look just before replacing; only a lock closes the gap entirely."""
    try:
        state = disk.stat(target)
    except FileNotFoundError:
        return True
    return old is not None and _identity(state) == _identity(old.state)


def _identity(state: os.stat_result) -> tuple[int, ...]:
    return state.st_dev, state.st_ino, state.st_size, state.st_mtime_ns
