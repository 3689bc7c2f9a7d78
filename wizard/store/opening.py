"""Opening a profile: bytes from the disk, then a record, one error for both."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.store import profile
from wizard.store.faults import ReadRefused
from wizard.store.reading import Fingerprint
from wizard.store.reading import read as read_bytes
from wizard.store.records import FORMAT


class Unreadable(Exception):  # noqa: N818 - it names the state, as the words shown do
    """A profile that can't be opened, in one line.

    Attributes:
        path: where it lies.
        details: every problem found, a line each.
        is_damaged: whether a file was read and is no profile.
        is_later: whether it was made by a later version, and is no less good for that.
    """

    def __init__(
        self,
        path: Path,
        line: str,
        details: tuple[str, ...],
        *,
        is_damaged: bool = False,
        is_later: bool = False,
    ) -> None:
        super().__init__(line)
        self.path = path
        self.details = details
        self.is_damaged = is_damaged
        self.is_later = is_later


@dataclass(frozen=True, slots=True)
class Opened:
    """A build as it was read.

    Attributes:
        path: where it lies.
        build: the record.
        odd: what is odd about the file itself.
        fingerprint: of the bytes read, for the next save.
    """

    path: Path
    build: Build
    odd: tuple[Finding, ...]
    fingerprint: Fingerprint

    @property
    def is_older(self) -> bool:
        """Whether the file is of an older format and was carried forward on reading."""
        return any(finding.path == FORMAT for finding in self.odd)


def open_profile(path: Path) -> Opened:
    """Read one profile.

    Raises:
        Unreadable: it can't be read, with the reason in one line.
    """
    try:
        data, fingerprint = read_bytes(path, profile.LARGEST)
        build, odd = profile.read(data, str(path))
    except ReadRefused as error:
        raise Unreadable(path, str(error), (str(error),)) from None
    except profile.ProfileError as error:
        details = tuple(str(problem) for problem in error.problems)
        later = error.is_later
        raise Unreadable(path, str(error), details, is_damaged=not later, is_later=later) from None
    return Opened(path, build, odd, fingerprint)
