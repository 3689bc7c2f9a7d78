"""What is done to a build from the shelf, without opening it: rename, duplicate, put away.

Each reads the profile, changes one thing and saves it whole, under the build's own lock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.store.bin import InUse
from wizard.store.files import save
from wizard.store.folder import profile_path_for
from wizard.store.locks import HeldBy, hold
from wizard.store.opening import open_profile
from wizard.store.profile import write


def changed(path: Path, change: Callable[[Build], Build]) -> Build:
    """Change a build where it lies; returns it as it is now.

    Raises:
        InUse: another window has it.
        Unreadable: it can't be read.
        SaveFailed, ChangedOutside: it was not saved, and is as it was.
    """
    lock = hold(path)
    if isinstance(lock, HeldBy):
        raise InUse(f"{path.name} is open in {lock}; close it there first")
    with lock:
        opened = open_profile(path)
        build = change(opened.build)
        if build != opened.build:
            save(path, write(build), expected=opened.fingerprint)
        return build


def rename(path: Path, name: str) -> Build:
    """Call a build something else; its file stays where it is. Raises as `changed` does."""
    return changed(path, lambda build: put(build, ("build", "name"), name))


def archive(path: Path, away: bool) -> Build:
    """Put a build away, or take it out again. Raises as `changed` does."""
    word = "yes" if away else None
    return changed(path, lambda build: put(build, ("build", "archived"), word))


def tag(path: Path, tags: tuple[str, ...]) -> Build:
    """Give a build other tags. Raises as `changed` does."""
    return changed(path, lambda build: put(build, ("build", "tags"), tags))


def duplicate(path: Path, name: str, folder: Path, now: datetime) -> Path:
    """A copy of a build under another name, not finished; returns where it is.

    Args:
        path: the build.
        name: of the copy.
        folder: where it goes.
        now: with an offset.

    Raises:
        Unreadable: the build can't be read.
        SaveFailed, ChangedOutside: the copy was not saved.
    """
    build = open_profile(path).build
    heading = replace(build.build, name=name, created=now.replace(microsecond=0), archived=None)
    return place(replace(build, build=heading, shown=None), folder)


def place(build: Build, folder: Path) -> Path:
    """Save a new build in a folder under its own name; returns where it is.

    Raises:
        SaveFailed, ChangedOutside: it was not saved.
    """
    target = profile_path_for(folder, build.build.name or "")
    return save(target, write(build), expected=None).path
