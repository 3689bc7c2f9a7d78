"""The one seam between the store and the disk.

Every call that a save makes of the system is a method here, so that a test can
record, refuse or reorder each of them.
"""

import errno
import os
import stat
import sys
import time
from pathlib import Path

_BINARY: int = getattr(os, "O_BINARY", 0)
# Without these a FIFO blocks the reader and a terminal can become ours.
_HARMLESS: int = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)
_NO_LINK: int = getattr(os, "O_NOFOLLOW", 0)

FOR_READING: int = os.O_RDONLY | _BINARY | _HARMLESS
FOR_A_NEW_FILE: int = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY | _NO_LINK
FOR_A_LOCK: int = os.O_RDWR | os.O_CREAT | _BINARY | _HARMLESS | _NO_LINK


class Disk:
    """The real disk; each method is one act."""

    def resolved(self, path: Path) -> Path:
        """The file at the end of a chain of links, there or not."""
        return Path(os.path.realpath(path))

    def stat(self, path: Path) -> os.stat_result:
        """Kind, mode, owner and size of a file, links followed."""
        return os.stat(path)

    def writable(self, path: Path) -> bool:
        """Whether this user may write the file, by its own permissions."""
        return os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids)

    def open(self, path: Path, flags: int, mode: int = 0o666) -> int:
        """A descriptor; `mode` is cut by the umask."""
        return os.open(path, flags, mode)

    def fstat(self, descriptor: int) -> os.stat_result:
        """Kind, mode, owner and size of what was really opened."""
        return os.fstat(descriptor)

    def read(self, descriptor: int, most: int) -> bytes:
        """Up to `most` bytes; none at the end."""
        return os.read(descriptor, most)

    def write(self, descriptor: int, data: memoryview) -> int:
        """How many bytes the disk took, perhaps fewer than offered."""
        return os.write(descriptor, data)

    def set_owner(self, descriptor: int, user: int, group: int) -> None:
        """Give the file away; -1 leaves user or group as it is."""
        if sys.platform != "win32":
            os.fchown(descriptor, user, group)

    def set_mode(self, descriptor: int, mode: int) -> None:
        """Set the permission bits, whatever the umask."""
        if sys.platform != "win32":
            os.fchmod(descriptor, mode)

    def fsync(self, descriptor: int) -> None:
        """Wait until the file's contents are on the medium."""
        _flush(descriptor)

    def close(self, descriptor: int) -> None:
        """Close; on a network disk this is where a full disk may show."""
        os.close(descriptor)

    def replace(self, source: Path, target: Path) -> None:
        """Move a file over another in one step."""
        os.replace(source, target)

    def unlink(self, path: Path) -> None:
        """Remove a file."""
        os.unlink(path)

    def fsync_folder(self, folder: Path) -> None:
        """Wait until the names in a folder are on the medium."""
        if sys.platform == "win32":
            return  # a folder has no descriptor there; the file system journals names
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            _flush(descriptor)
        finally:
            os.close(descriptor)

    def make_folder(self, folder: Path) -> None:
        """Make a folder for this user alone, or find it there; a link is refused."""
        try:
            os.mkdir(folder, 0o700)
        except FileExistsError:
            if not stat.S_ISDIR(os.lstat(folder).st_mode):
                raise NotADirectoryError(errno.ENOTDIR, "not a folder") from None

    def sleep(self, seconds: float) -> None:
        """Wait before trying again."""
        time.sleep(seconds)


def _flush(descriptor: int) -> None:
    if sys.platform == "darwin":
        import fcntl  # there, fsync stops at the drive's own memory

        try:
            fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
        except OSError:
            os.fsync(descriptor)
    else:
        os.fsync(descriptor)


DISK = Disk()
