"""What goes wrong with files, as fields first and words last.

Nothing parses a message: the app reads the fields, the command line prints the
one line that `str` makes of them.
"""

import errno
from pathlib import Path

_MOST_SHOWN = 300  # characters of a path in a message

_REASONS: dict[int, tuple[str, str]] = {
    errno.ENOSPC: ("the disk is full", "free some space or save to another place"),
    errno.EDQUOT: ("your share of this disk is used up", "free some space or save elsewhere"),
    errno.EFBIG: ("this disk takes no file of that size", "save to another place"),
    errno.EROFS: ("the disk is read-only", "unlock it or save to another place"),
    errno.EACCES: ("this place may not be used", "change its permissions or choose another place"),
    errno.EPERM: ("this place may not be used", "change its permissions or choose another place"),
    errno.EIO: ("the disk reports a fault", "use another disk and have this one checked"),
    errno.ENOENT: ("its folder is not there", "bring the disk or folder back or choose another"),
    errno.ENOTDIR: ("part of its path is not a folder", "check the path"),
    errno.EISDIR: ("a folder stands in its place", "choose another name"),
    errno.ENODEV: ("the disk has gone", "bring it back or choose another place"),
    errno.ENXIO: ("the disk has gone", "bring it back or choose another place"),
    errno.ESTALE: ("the network folder has gone", "connect it again or choose another place"),
    errno.ELOOP: ("its link leads in a circle", "mend the link or choose another name"),
    errno.ENAMETOOLONG: ("its name is too long", "choose a shorter name"),
    errno.EBUSY: ("another program holds it", "close that program and try again"),
    errno.EMFILE: ("too many files are open", "close other programs and try again"),
    errno.ENFILE: ("too many files are open", "close other programs and try again"),
}


class StoreError(Exception):
    """Anything that keeps a build from being read or saved."""


class SaveFailed(StoreError):  # noqa: N818 - named for what happened
    """A save did not happen; the file on disk is as it was.

    Attributes:
        path: the file as it was named.
        reason: what is wrong, a clause.
        remedy: what to do, a clause.
    """

    def __init__(self, path: Path, reason: str, remedy: str) -> None:
        super().__init__(path, reason, remedy)
        self.path, self.reason, self.remedy = path, reason, remedy

    def __str__(self) -> str:
        return f"{shown(self.path)} was not saved: {self.reason}; {self.remedy}"


class ChangedOutside(StoreError):  # noqa: N818
    """The file is not what was last read or written here; nothing was saved.

    Attributes:
        path: the file as it was named.
    """

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    def __str__(self) -> str:
        return (
            f"{shown(self.path)} was not saved: something else has changed it; "
            "keep both versions or read it again"
        )


class ReadRefused(StoreError):  # noqa: N818
    """A file that can't be, or must not be, read as a profile.

    Attributes:
        path: the file as it was named.
        wrong: what is wrong, a clause.
        expected: what should have been there, a noun phrase.
        remedy: what to do, a clause.
    """

    def __init__(self, path: Path, wrong: str, expected: str, remedy: str) -> None:
        super().__init__(path, wrong, expected, remedy)
        self.path, self.wrong, self.expected, self.remedy = path, wrong, expected, remedy

    def __str__(self) -> str:
        return f"{shown(self.path)}: {self.wrong}; expected {self.expected}; {self.remedy}"


def words(fault: Exception) -> tuple[str, str]:
    """Reason and remedy for what the system reported.

    A path that holds a NUL or an unpaired surrogate is a ValueError in Python,
    not an OSError.
    """
    if isinstance(fault, MemoryError):
        return "the computer ran out of memory", "close other programs and try again"
    if isinstance(fault, ValueError):
        return "its name holds a character that no file name may hold", "choose another name"
    number = fault.errno if isinstance(fault, OSError) else None
    if number in _REASONS:
        return _REASONS[number]
    told = (fault.strerror if isinstance(fault, OSError) else None) or "an unknown fault"
    return f"the system reports “{told}”", "try again or choose another place"


def shown(path: Path | str) -> str:
    """A path or name on one line, with whatever could steer a terminal spelt out."""
    text = str(path)
    if len(text) > _MOST_SHOWN:
        text = f"{text[: _MOST_SHOWN // 3]}…{text[-_MOST_SHOWN // 2 :]}"
    return "".join(
        sign if sign.isprintable() else sign.encode("unicode_escape").decode("ascii")
        for sign in text
    )
