"""Earlier versions of a build, and the field that is being typed.

Both lie in the hidden folder beside the build. A version is a whole profile; its name
holds a running number, which gives the order even when a clock was wrong, and the time.
"""

import os
import re
import stat
from binascii import crc32
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from wizard.store.disk import DISK, Disk
from wizard.store.faults import ChangedOutside, ReadRefused, SaveFailed, words
from wizard.store.files import put, save
from wizard.store.moments import possible
from wizard.store.names import DRAFT, HISTORY, companion
from wizard.store.reading import read

_NEWEST, _HOURS, _DAYS = 10, 12, 14  # versions kept: the last ten, then one an hour, one a day
_STAMP = "%Y%m%dT%H%M%SZ"
_NAME = re.compile(r"(\d{6,})-(\d{8}T\d{6}Z)\.toml", re.ASCII)

_DRAFT_HEADER = re.compile(rb"plugwright draft 1 (\d{1,6}) (\d{1,6}) ([0-9a-f]{8})\n")
_MOST_DRAFT = 64 * 1024  # bytes


@dataclass(frozen=True)
class Version:
    """An earlier version of a build.

    Attributes:
        number: counts up with every version.
        when: the moment that it was kept, UTC, by the clock of that day.
        path: where it is.
    """

    number: int
    when: datetime
    path: Path


@dataclass(frozen=True)
class Draft:
    """What was being typed and not yet accepted.

    Attributes:
        field: the field's key.
        text: exactly what stood in it.
        over: the answer that it was typed over; where another stands now, the draft is stale.
    """

    field: str
    text: str
    over: str = ""


def remember(path: Path, data: bytes, now: datetime, disk: Disk = DISK) -> Version | None:
    """Keep `data` as a version of a build and drop versions grown too many.

    Args:
        path: the build.
        data: its contents, as saved.
        now: the time to remember it by.
        disk: the disk, or a stand-in.

    Returns:
        The new version; None when the newest one already holds the same.

    Raises:
        SaveFailed: it could not be kept; the build itself is not concerned.
    """
    folder = companion(path, HISTORY)
    past = versions(path)
    if past and _holds(past[0], data):
        return None
    try:
        disk.make_folder(folder.parent)
        disk.make_folder(folder)
    except OSError as fault:
        raise SaveFailed(folder, *words(fault)) from fault
    kept = _written(folder, past[0].number + 1 if past else 1, data, now.astimezone(UTC), disk)
    for version in worn_out([kept, *past]):
        with suppress(OSError):
            disk.unlink(version.path)
    return kept


def versions(path: Path) -> list[Version]:
    """The versions kept of a build, newest first; none if there is no history."""
    with suppress(OSError, ValueError):  # a name that no file can have
        folder = companion(path, HISTORY)
        if stat.S_ISDIR(os.lstat(folder).st_mode):
            found = (_version(folder / name) for name in os.listdir(folder))
            return sorted(
                (version for version in found if version),
                key=lambda version: (version.number, version.when),
                reverse=True,
            )
    return []


def read_version(version: Version) -> bytes:
    """The contents of a version.

    Raises:
        ReadRefused: it is gone, or no longer a file of a profile's size.
    """
    return read(version.path)[0]


def worn_out(newest_first: Sequence[Version]) -> list[Version]:
    """The versions to drop: neither among the newest nor the last of its hour or day.

    Hours and days are counted where there are versions, not back from now: a build that
    rested a year keeps its past, and so does one whose clock was set wrong.
    """
    keep = {
        *newest_first[:_NEWEST],
        *_last_of_each(newest_first, lambda when: f"{when:%Y%m%d%H}", _HOURS),
        *_last_of_each(newest_first, lambda when: f"{when:%Y%m%d}", _DAYS),
    }
    return [version for version in newest_first if version not in keep]


def save_draft(path: Path, draft: Draft, disk: Disk = DISK) -> None:
    """Keep what is being typed; atomic but unflushed, so cheap enough for every pause.

    Raises:
        SaveFailed: it could not be kept, or is longer than any answer.
    """
    place = companion(path, DRAFT)
    key, over, text = map(_encoded, (draft.field, draft.over, draft.text))
    body, lengths = key + over + text, b"%d %d" % (len(key), len(over))
    if len(body) > _MOST_DRAFT:
        raise SaveFailed(place, "the text is longer than any answer", "shorten it")
    try:
        disk.make_folder(place.parent)
    except OSError as fault:
        raise SaveFailed(place, *words(fault)) from fault
    put(place, b"plugwright draft 1 %b %08x\n" % (lengths, crc32(lengths + body)) + body, disk)


def read_draft(path: Path, disk: Disk = DISK) -> Draft | None:
    """What was being typed when the program last ended, unless it was lost or damaged."""
    try:
        data, _ = read(companion(path, DRAFT), 2 * _MOST_DRAFT, disk)
    except ReadRefused:
        return None
    header = _DRAFT_HEADER.match(data)
    if not header:
        return None
    body, first, second = data[header.end() :], int(header[1]), int(header[2])
    # A power cut may leave half of it.
    if crc32(b"%b %b" % (header[1], header[2]) + body) != int(header[3], 16):
        return None
    with suppress(UnicodeDecodeError):
        key, over, text = body[:first], body[first : first + second], body[first + second :]
        return Draft(_decoded(key), _decoded(text), _decoded(over))
    return None


def drop_draft(path: Path, disk: Disk = DISK) -> None:
    """Forget the draft: the field was accepted or left as it was."""
    with suppress(OSError):
        disk.unlink(companion(path, DRAFT))


def _written(folder: Path, number: int, data: bytes, when: datetime, disk: Disk) -> Version:
    """Write a version under the first free number; another window may have taken one."""
    while True:
        place = folder / f"{number:06d}-{when.strftime(_STAMP)}.toml"
        try:
            save(place, data, expected=None, disk=disk)
        except ChangedOutside:
            number += 1
        else:
            return Version(number, when.replace(microsecond=0), place)


def _version(path: Path) -> Version | None:
    match = _NAME.fullmatch(path.name)
    with suppress(ValueError):  # the 31st of February
        if match:
            when = datetime.strptime(match[2], _STAMP).replace(tzinfo=UTC)
            return Version(int(match[1]), possible(when), path)
    return None


def _holds(version: Version, data: bytes) -> bool:
    try:
        return read_version(version) == data
    except ReadRefused:
        return False


def _last_of_each(
    newest_first: Iterable[Version], period: Callable[[datetime], str], most: int
) -> list[Version]:
    last: dict[str, Version] = {}
    for version in newest_first:
        last.setdefault(period(version.when), version)
    return list(last.values())[:most]


def _encoded(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


def _decoded(data: bytes) -> str:
    return data.decode("utf-8", "surrogatepass")
