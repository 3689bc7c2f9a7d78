"""What was read of each build, kept beside them: a convenience that may be lost at any time.

An entry holds for a file of the same time of writing and the same length. One that was
written in the last moments before the index was made is not trusted: it may have been
written again within the same tick of the file system's clock.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from wizard import __version__
from wizard.store.disk import DISK, Disk
from wizard.store.faults import ReadRefused, SaveFailed
from wizard.store.files import put
from wizard.store.names import companion
from wizard.store.reading import read

MADE_BY = f"1 {__version__}"
"""Format and version: another version may read a file differently, so it reads anew."""

NAME = "shelf.json"
MOST_BYTES = 16 * 1024 * 1024
TICK = 2.0
"""The coarsest clock of a file system in use [s]: FAT."""


class Index:
    """Entries by the name of the file."""

    def __init__(self, held: Mapping[str, Any] | None = None) -> None:
        self._held: dict[str, Any] = dict(held or {})

    def get(self, name: str, modified: float, size: int) -> Mapping[str, Any] | None:
        """What is kept of an unchanged file."""
        held = self._held.get(name)
        if not isinstance(held, dict):
            return None
        same = held.get("modified") == modified and held.get("size") == size
        trusted = isinstance(held.get("seen"), float) and modified < held["seen"] - TICK
        entry = held.get("entry")
        return entry if same and trusted and isinstance(entry, dict) else None

    def put(self, name: str, modified: float, size: int, entry: Mapping[str, Any]) -> None:
        """Keep what was read of a file just now."""
        self._held[name] = {
            "modified": modified,
            "size": size,
            "seen": time.time(),
            "entry": dict(entry),
        }

    def only(self, names: Iterable[str]) -> dict[str, Any]:
        """What is kept of the files that are still there."""
        return {name: self._held[name] for name in names if name in self._held}


def load(folder: Path) -> Index:
    """The index of a folder; an empty one if there is none, or one that can't be used."""
    with suppress(ReadRefused, ValueError, RecursionError):
        data, _ = read(_place(folder), MOST_BYTES)
        found = json.loads(data)
        if isinstance(found, dict) and found.get("made_by") == MADE_BY:
            files = found.get("files")
            return Index(files if isinstance(files, dict) else None)
    return Index()


def save(folder: Path, index: Index, names: Iterable[str], disk: Disk = DISK) -> None:
    """Keep the index for the next time; where that can't be, nothing is lost."""
    whole = {"made_by": MADE_BY, "files": index.only(names)}
    place = _place(folder)
    with suppress(SaveFailed, OSError):
        disk.make_folder(place.parent)
        put(place, json.dumps(whole).encode(), disk)


def _place(folder: Path) -> Path:
    return companion(folder / NAME, "")
