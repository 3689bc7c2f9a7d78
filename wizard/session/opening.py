"""From a path or a name to an open build."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.session.keeping import Keeper, Kept
from wizard.session.session import Session
from wizard.store.folder import make_folder, profile_path_for
from wizard.store.history import read_draft
from wizard.store.locks import HeldBy, hold
from wizard.store.opening import open_profile
from wizard.store.rescue import clear_leftovers


def resume(path: Path, told: Callable[[Kept], None]) -> Session:
    """Open the build at a path; it is begun if nothing is there.

    Args:
        path: the profile.
        told: called in another thread whenever the state of saving has changed.

    Raises:
        Unreadable: what is there can't be read.
    """
    if not path.exists() and not path.is_symlink():
        return _begun(path, Build(), told)
    opened = open_profile(path)
    lock = hold(path)
    if isinstance(lock, HeldBy):
        return Session(opened.build, lock, path, opened.odd)
    if lock.supported:
        clear_leftovers(path)
    draft = read_draft(path)
    keeper = Keeper(path, opened.fingerprint, told, lock, opened.build.build.step)
    return Session(opened.build, keeper, path, opened.odd, draft)


def begin(folder: Path, name: str, told: Callable[[Kept], None]) -> Session:
    """A new build of that name in the folder of builds, saved at once.

    Raises:
        SaveFailed: the folder can't be made.
    """
    make_folder(folder)
    named = put(Build(), ("build", "name"), name)
    return _begun(profile_path_for(folder, name), named, told)


def _begun(path: Path, build: Build, told: Callable[[Kept], None]) -> Session:
    created = datetime.now().astimezone().replace(microsecond=0)
    build = put(put(build, ("build", "created"), created), ("build", "step"), "plan")
    lock = hold(path)
    if isinstance(lock, HeldBy):
        return Session(build, lock, path)
    keeper = Keeper(path, None, told, lock)
    keeper.keep(build)
    return Session(build, keeper, path)
