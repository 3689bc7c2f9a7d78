"""The shelf: what each build of a folder is, told fast, however many there are.

A file that was read once is not read again until it changes: its entry is kept in an
index beside the builds (`shelf_index`). A file that is new here is first glanced at, for
its head alone, and read in full afterwards, which also tells what is wrong with it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from wizard.plug.onward.compare import outcome
from wizard.plug.record import STEPS
from wizard.schedule.clock import Due
from wizard.store.faults import ReadRefused
from wizard.store.folder import Listed, list_profiles
from wizard.store.reading import read
from wizard.store.shelf_due import due, next_line
from wizard.store.shelf_index import Index, load, save

_HEADER = re.compile(rb"^[ \t]*\[\[?[ \t]*([A-Za-z_]+)[^\n]*$", re.MULTILINE)
_GLANCED = ("build", "aim", "shown")
"""Tables that a glance looks into."""

_MOST_NAME = 200


class FolderGone(Exception):  # noqa: N818 - it names the state
    """The folder of builds was there and is no more."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One build of the shelf, or a file that is none.

    Attributes:
        path: where it is.
        modified: when it was last written, seconds since 1970.
        size: its length [byte].
        name: what its maker calls it.
        step: the step that it stands at.
        behaviour: what it is asked to do; empty while unanswered.
        finished: whether its maker called it finished.
        archived: whether it is put away.
        tags: words to find it by.
        result: how it turned out, as far as it tells; may be empty.
        next: the next line of its coating schedule, for `due`; None for none.
        wrong: why it can't be read, all of it; empty if it can.
        read: whether it was read in full, not only glanced at.
    """

    path: Path
    modified: float = 0.0
    size: int = 0
    name: str = ""
    step: str = STEPS[0]
    behaviour: str = ""
    finished: bool = False
    archived: bool = False
    tags: tuple[str, ...] = ()
    result: str = ""
    next: Mapping[str, Any] | None = None
    wrong: tuple[str, ...] = ()
    read: bool = False

    def due(self, now: datetime) -> Due | None:
        """What its coating schedule asks for next; None for nothing."""
        return None if self.next is None else due(self.next, now)


def glance(folder: Path, index: Index, known: bool = False) -> tuple[Entry, ...]:
    """All that lies in a folder, last written first: from the index, else at a glance.

    Args:
        folder: of builds.
        index: what is known of it.
        known: whether the folder was there before.

    Raises:
        ReadRefused: the folder can't be looked into.
        FolderGone: it was there and is no more.
    """
    if known and not folder.is_dir():
        raise FolderGone(
            f"the folder of builds is gone: {folder}; bring the disk or folder back, or open "
            "another one"
        )
    return tuple(_known(listed, index) or _glanced(listed) for listed in list_profiles(folder))


def read_on(entries: Sequence[Entry], index: Index, now: datetime) -> Iterator[Entry]:
    """Read in full whatever was only glanced at, one file at a time, and put it in the index.

    Stop asking to stop reading.
    """
    for entry in entries:
        if entry.read:
            continue
        full = _read(entry, now)
        index.put(full.path.name, full.modified, full.size, _kept(full))
        yield full


def shelf(folder: Path, now: datetime) -> tuple[Entry, ...]:
    """All that lies in a folder, everything read, last written first; the index brought up.

    Raises:
        ReadRefused: the folder can't be looked into.
    """
    index = load(folder)
    entries = glance(folder, index)
    full = {entry.path: entry for entry in read_on(entries, index, now)}
    if full:
        save(folder, index, [entry.path.name for entry in entries])
    return tuple(full.get(entry.path, entry) for entry in entries)


# One file --------------------------------------------------------------------


def _known(listed: Listed, index: Index) -> Entry | None:
    """The entry of an unchanged file."""
    held = index.get(listed.path.name, listed.modified, listed.size)
    if held is None:
        return None
    try:
        return Entry(
            listed.path,
            listed.modified,
            listed.size,
            str(held["name"]),
            str(held["step"]),
            str(held["behaviour"]),
            bool(held["finished"]),
            bool(held["archived"]),
            tuple(str(tag) for tag in held["tags"]),
            str(held["result"]),
            held["next"] if isinstance(held["next"], dict) else None,
            tuple(str(line) for line in held["wrong"]),
            read=True,
        )
    except (KeyError, TypeError):
        return None


def _kept(entry: Entry) -> dict[str, Any]:
    """What the index keeps of an entry."""
    return {
        "name": entry.name,
        "step": entry.step,
        "behaviour": entry.behaviour,
        "finished": entry.finished,
        "archived": entry.archived,
        "tags": list(entry.tags),
        "result": entry.result,
        "next": entry.next,
        "wrong": list(entry.wrong),
    }


def _glanced(listed: Listed) -> Entry:
    """What the head of a file tells; one that tells nothing is left to be read in full."""
    entry = Entry(listed.path, listed.modified, listed.size)
    try:
        data, _ = read(listed.path)
        found = _tables(data)
    except (ReadRefused, ValueError, RecursionError):
        return entry
    heading, aim = _table(found, "build"), _table(found, "aim")
    step = heading.get("step")
    return replace(
        entry,
        name=_word(heading, "name"),
        step=step if step in STEPS else STEPS[0],
        behaviour=_word(aim, "behaviour"),
        finished="shown" in found,
        archived=heading.get("archived") == "yes",
        tags=_words(heading, "tags"),
    )


def _tables(data: bytes) -> dict[str, Any]:
    """The tables of a glance; raises as the parser does."""
    heads = list(_HEADER.finditer(data))
    parts = []
    for n, head in enumerate(heads):
        if head[1].decode("ascii") in _GLANCED:
            end = heads[n + 1].start() if n + 1 < len(heads) else len(data)
            parts.append(data[head.start() : end])
    return tomllib.loads(b"\n".join(parts).decode())


def _table(found: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    table = found.get(key)
    return table if isinstance(table, dict) else {}


def _word(table: Mapping[str, Any], key: str) -> str:
    value = table.get(key)
    return value[:_MOST_NAME] if isinstance(value, str) else ""


def _words(table: Mapping[str, Any], key: str) -> tuple[str, ...]:
    value = table.get(key)
    return tuple(v for v in value if isinstance(v, str)) if isinstance(value, list) else ()


def _read(entry: Entry, now: datetime) -> Entry:
    """One file, read in full."""
    from wizard.store.opening import Unreadable, open_profile

    bare = Entry(entry.path, entry.modified, entry.size, read=True)
    try:
        build = open_profile(entry.path).build
    except Unreadable as error:
        wrong = tuple(line.removeprefix(f"{entry.path}: ") for line in error.details)
        return replace(bare, wrong=wrong)
    heading = build.build
    return replace(
        bare,
        name=(heading.name or "")[:_MOST_NAME],
        step=heading.step or STEPS[0],
        behaviour=build.aim.behaviour or "",
        finished=build.shown is not None,
        archived=heading.archived == "yes",
        tags=heading.tags,
        result=outcome(build),
        next=next_line(build, now),
    )
