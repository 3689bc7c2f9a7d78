"""Reading that cannot be hurt: any path at all, in bounded time and memory."""

import os
import stat
from dataclasses import dataclass
from pathlib import Path

from wizard.store.disk import DISK, FOR_READING, Disk
from wizard.store.faults import ReadRefused, words

MOST_BYTES = 256 * 1024  # of a profile; a long one has about 10 kB

_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
)


@dataclass(frozen=True)
class Fingerprint:
    """What tells whether a file is still the one last read or written.

    Attributes:
        size: length [byte].
        digest: BLAKE2b of the contents, 128 bits, hexadecimal.
    """

    size: int
    digest: str


def fingerprint(data: bytes) -> Fingerprint:
    """The fingerprint of these contents."""
    from hashlib import blake2b

    return Fingerprint(len(data), blake2b(data, digest_size=16).hexdigest())


def read(path: Path, limit: int = MOST_BYTES, disk: Disk = DISK) -> tuple[bytes, Fingerprint]:
    """The contents of an ordinary file of bounded size, without ever waiting for it.

    Args:
        path: any path at all.
        limit: the most bytes accepted [byte]; no more than one beyond is ever read.
        disk: the disk, or a stand-in.

    Raises:
        ReadRefused: it is missing, unreadable, too large or no ordinary file.
    """
    try:
        data, _ = contents(path, limit, disk)
    except FileNotFoundError as fault:
        raise _refusal(path, limit, "there is no such file", "check its name and folder") from fault
    except (OSError, ValueError, MemoryError) as fault:
        raise _refusal(path, limit, *words(fault)) from fault
    return data, fingerprint(data)


def contents(path: Path, limit: int, disk: Disk) -> tuple[bytes, os.stat_result]:
    """All bytes of an ordinary file, and its state as they were read."""
    # Looked at before it is opened, since opening some devices acts on them, and again
    # after, since it may have been swapped.
    _refuse_by_state(path, limit, disk.stat(path))
    descriptor = disk.open(path, FOR_READING)
    try:
        state = disk.fstat(descriptor)
        _refuse_by_state(path, limit, state)
        parts, left = [], limit + 1  # one more than allowed: a file may grow, or lie
        while left and (part := disk.read(descriptor, left)):
            parts.append(part)
            left -= len(part)
    finally:
        disk.close(descriptor)
    if not left:
        raise _too_large(path, limit)
    return b"".join(parts), state


def _refuse_by_state(path: Path, limit: int, state: os.stat_result) -> None:
    if kind := wrong_kind(state):
        raise _refusal(path, limit, f"it is {kind}", "name a file")
    if state.st_size > limit:
        raise _too_large(path, limit)


def wrong_kind(state: os.stat_result) -> str | None:
    """What stands there instead of an ordinary file, if so."""
    if stat.S_ISREG(state.st_mode):
        return None
    return next((kind for test, kind in _KINDS if test(state.st_mode)), "no ordinary file")


def _too_large(path: Path, limit: int) -> ReadRefused:
    return _refusal(path, limit, "it is too large", "check that this is the file you meant")


def _refusal(path: Path, limit: int, wrong: str, remedy: str) -> ReadRefused:
    return ReadRefused(path, wrong, f"a text file of at most {limit // 1024} KiB", remedy)
