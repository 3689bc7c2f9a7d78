"""One window at a time may save a build.

The lock is the kernel's, on a small file in the hidden folder beside the build (the
build itself is replaced by every save, and a lock on it would go with the old one). The
kernel drops it when the process ends, however it ends: a lock can't go stale, whatever
process number is used again. The file also records who holds it, only so that a second
window can say so.
"""

import os
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import TracebackType

from wizard.store.disk import DISK, FOR_A_LOCK, Disk
from wizard.store.faults import shown, words
from wizard.store.moments import possible
from wizard.store.names import LOCK, companion

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_LOADED = datetime.now(UTC)
_MOST_RECORD = 1000  # bytes
_LOCKED_BYTE = 1 << 30  # far behind the record, which others may read while Windows locks


@dataclass(frozen=True)
class HeldBy:
    """Who holds a build, or held it last.

    Attributes:
        host: the computer's name; empty if the holder has not written its record yet.
        process: the process number there; 0 if unknown.
        started: when that process started, UTC; None if unknown.
    """

    host: str = ""
    process: int = 0
    started: datetime | None = None

    def __str__(self) -> str:
        if not self.host:
            return "another window"
        since = f", started {self.started.astimezone():%Y-%m-%d %H:%M}" if self.started else ""
        return f"another window on {shown(self.host)} (process {self.process}{since})"


class Lock:
    """The right to save one build, until it is released or the process ends.

    Attributes:
        supported: False where no lock could be had: then only the comparison of
            contents before each save stands between two windows.
        message: why not, a sentence for the maker; empty when supported.
        left_by: who held the build last without releasing it: a crash, a power cut.
    """

    def __init__(
        self, descriptor: int | None, message: str = "", left_by: HeldBy | None = None
    ) -> None:
        self._descriptor = descriptor
        self.supported = descriptor is not None
        self.message = message
        self.left_by = left_by

    def release(self) -> None:
        """Let others have the build; releasing twice does nothing."""
        descriptor, self._descriptor = self._descriptor, None
        if descriptor is None:
            return
        with suppress(OSError):
            os.ftruncate(descriptor, 0)
        with suppress(OSError):
            _unlock(descriptor)
        os.close(descriptor)

    def __enter__(self) -> "Lock":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.release()


def hold(path: Path, disk: Disk = DISK) -> Lock | HeldBy:
    """Take the lock of a build, or learn who has it; never waits.

    Args:
        path: the build, by any of its names; it need not be there yet.
        disk: the disk, or a stand-in.
    """
    try:
        descriptor = _opened(companion(path, LOCK), disk)
    except (OSError, ValueError) as fault:
        return _unsupported(fault)
    try:
        if not _locked(descriptor):
            holder = _record(descriptor) or HeldBy()
            os.close(descriptor)
            return holder
        left_by = _record(descriptor)
    except OSError as fault:
        os.close(descriptor)
        return _unsupported(fault)
    with suppress(OSError):  # a full disk may refuse the record; the lock is held all the same
        _sign(descriptor)
    return Lock(descriptor, left_by=left_by)


def _unsupported(fault: Exception) -> Lock:
    reason, _ = words(fault)
    return Lock(
        None,
        f"a second window on this build would not be noticed here ({reason}); "
        "the file is compared before each save instead",
    )


def _opened(path: Path, disk: Disk) -> int:
    disk.make_folder(path.parent)
    return disk.open(path, FOR_A_LOCK, 0o600)


def _locked(descriptor: int) -> bool:
    """Whether the kernel gave us the lock; OSError where it has none to give."""
    try:
        if sys.platform == "win32":
            os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def _unlock(descriptor: int) -> None:
    if sys.platform == "win32":
        os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_UNLCK, 1)
    else:
        fcntl.flock(descriptor, fcntl.LOCK_UN)


def _sign(descriptor: int) -> None:
    record = f"{_host()}\n{os.getpid()}\n{process_started().isoformat(timespec='seconds')}\n"
    os.ftruncate(descriptor, 0)
    os.lseek(descriptor, 0, os.SEEK_SET)
    os.write(descriptor, record.encode("utf-8", "replace"))


def _record(descriptor: int) -> HeldBy | None:
    """What the file says, or None; it is only ever shown, so a garbled one is no fault."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    lines = os.read(descriptor, _MOST_RECORD).decode("utf-8", "replace").split("\n")
    with suppress(ValueError):
        host, process, started, _ = lines
        return HeldBy(host[:60], int(process[:12]), possible(datetime.fromisoformat(started)))
    return None


def _host() -> str:
    if sys.platform == "win32":
        return os.environ.get("COMPUTERNAME", "this computer")
    return os.uname().nodename


def process_started() -> datetime:
    """When this process started; where the kernel doesn't tell, when this module loaded.

    Source: proc_pid_stat(5), field 22, clock ticks after boot.
    """
    if sys.platform == "linux":
        with suppress(OSError, ValueError, IndexError):
            fields = Path("/proc/self/stat").read_text().rpartition(")")[2].split()
            ticks = int(fields[19])  # field 22: two stand before the closing bracket
            age = time.clock_gettime(time.CLOCK_BOOTTIME) - ticks / os.sysconf("SC_CLK_TCK")
            return datetime.now(UTC) - timedelta(seconds=age)
    return _LOADED
