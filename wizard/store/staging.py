"""A whole new file beside another, and the moment in which it takes its place."""

import errno
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

from wizard.store import names
from wizard.store.disk import FOR_A_NEW_FILE, Disk

# s, 2.4 in all: scanners and sync clients have let go by then (common practice, no source)
RETRY_DELAYS = (0.01, 0.03, 0.1, 0.3, 0.8, 1.2)
_HELD_BY_A_READER = (5, 32, 33)  # Windows: access denied, sharing violation, lock violation
_NOT_OFFERED = (errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS)

UNCONFIRMED = (
    "this disk cannot confirm that it has stored the file; "
    "wait a little before unplugging it or switching off"
)
OWNER_LOST = "the file now belongs to you or your group: its former owner could not be kept"
MODE_LOST = "the file's permissions could not be kept; you alone may read it now"

_Flushed = TypeVar("_Flushed")


@contextmanager
def staged(
    target: Path, data: bytes, like: os.stat_result | None, disk: Disk, notes: list[str] | None
) -> Iterator[Path]:
    """A file beside `target` that holds all of `data`, gone again if it isn't moved away.

    Args:
        target: the file that it is to replace.
        data: its contents.
        like: whose mode and owner it gets; None: what the umask gives.
        disk: the disk, or a stand-in.
        notes: receives what could not be kept or confirmed; None: neither keep nor flush.
    """
    fresh = names.temporary(target, os.urandom(6).hex())
    # Born private: between here and set_mode nobody gets more than the old file gave.
    descriptor = disk.open(fresh, FOR_A_NEW_FILE, 0o600 if like else 0o666)
    try:
        try:
            if like and notes is not None:
                _keep_owner_and_mode(descriptor, like, disk, notes)
            _write_all(descriptor, data, disk)
            if notes is not None:
                flush(disk.fsync, descriptor, notes)
        finally:
            disk.close(descriptor)
        yield fresh
    except BaseException:
        with suppress(OSError):
            disk.unlink(fresh)
        raise


def replace(source: Path, target: Path, disk: Disk) -> None:
    """Move `source` over `target`, waiting a little for a reader that holds it."""
    for delay in RETRY_DELAYS:
        try:
            return disk.replace(source, target)
        except PermissionError as fault:
            if not _may_pass(fault):
                raise
            disk.sleep(delay)
    return disk.replace(source, target)


def flush(act: Callable[[_Flushed], None], thing: _Flushed, notes: list[str]) -> None:
    """Flush a file or folder; a disk that has no such act earns a note, not a failure."""
    try:
        act(thing)
    except OSError as fault:
        if fault.errno not in _NOT_OFFERED:
            raise
        notes.append(UNCONFIRMED)


def _write_all(descriptor: int, data: bytes, disk: Disk) -> None:
    left = memoryview(data)
    while left:
        taken = disk.write(descriptor, left)
        if taken <= 0:
            raise OSError(errno.EIO, "the disk takes nothing more")
        left = left[taken:]


def _keep_owner_and_mode(
    descriptor: int, like: os.stat_result, disk: Disk, notes: list[str]
) -> None:
    """Group, owner, then mode: giving a file away may clear bits of its mode."""
    mine, mode = disk.fstat(descriptor), stat.S_IMODE(like.st_mode)
    if mine.st_gid != like.st_gid and not _kept(
        lambda: disk.set_owner(descriptor, -1, like.st_gid), OWNER_LOST, notes
    ):
        mode &= ~stat.S_IRWXG  # meant for another group
    if mine.st_uid != like.st_uid:
        _kept(lambda: disk.set_owner(descriptor, like.st_uid, -1), OWNER_LOST, notes)
    if stat.S_IMODE(mine.st_mode) != mode:
        _kept(lambda: disk.set_mode(descriptor, mode), MODE_LOST, notes)


def _kept(act: Callable[[], None], note: str, notes: list[str]) -> bool:
    try:
        act()
    except OSError as fault:
        if not isinstance(fault, PermissionError) and fault.errno not in _NOT_OFFERED:
            raise
        notes.append(note)
        return False
    return True


def _may_pass(fault: PermissionError) -> bool:
    """Whether another program's open file may be the cause, which time cures."""
    return fault.errno == errno.EACCES or getattr(fault, "winerror", 0) in _HELD_BY_A_READER
