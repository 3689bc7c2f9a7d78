"""From a path or a name to an open build."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from wizard.plug.findings import Finding
from wizard.plug.paths import put, words
from wizard.plug.record import Build
from wizard.quantity.showing import literal
from wizard.session.bench import bench_of
from wizard.session.drafts import still_holds
from wizard.session.keeping import Keeper
from wizard.session.kept import Kept
from wizard.session.session import Session
from wizard.steps.offers import started
from wizard.store.faults import ReadRefused, SaveFailed, shown
from wizard.store.folder import make_folder, profile_path_for
from wizard.store.history import Draft, drop_draft, read_draft, versions
from wizard.store.locks import HeldBy, Lock, hold
from wizard.store.opening import Opened, Unreadable, open_profile
from wizard.store.records import FORMAT
from wizard.store.rescue import clear_leftovers, keep_copy, last_good


def place(typed: str) -> Path:
    """The path that a maker typed, the home folder spelt out where there is one."""
    with suppress(RuntimeError):
        return Path(typed).expanduser()
    return Path(typed)


def resume(path: Path, told: Callable[[Kept], None], *, anew: bool = False) -> Session:
    """Open the build at a path; it is begun if nothing is there.

    Args:
        path: the profile.
        told: called in another thread whenever the state of saving has changed.
        anew: whether to begin where a build was whose file is gone.

    Raises:
        Unreadable: what is there can't be read, or is gone but for earlier versions.
    """
    if is_free(path):
        if not anew and (last_good(path) or versions(path)):
            gone = "its file is gone, but earlier versions are kept"
            raise Unreadable(path, f"{shown(path)}: {gone}; see: plugwright history", (gone,))
        return _begun(path, Build(), told)
    opened = open_profile(path)
    lock = hold(path)
    if isinstance(lock, HeldBy):
        return Session(opened.build, lock, path, opened.odd, notices=(*_not_known(opened.odd),))
    if lock.supported:
        clear_leftovers(path)
    if opened.is_older:
        _keep_older(opened, lock)
    draft = _standing_draft(path, opened.build)
    keeper = Keeper(path, opened.fingerprint, told, lock, opened.build.build.step)
    notices = (*_not_known(opened.odd), *_notices(lock))
    return Session(opened.build, keeper, path, opened.odd, draft, notices)


def _keep_older(opened: Opened, lock: Lock) -> None:
    """Keep a file of an older format as it is, before a save makes it one of this format."""
    from wizard.store.reading import read

    try:
        data, found = read(opened.path)
        if found == opened.fingerprint:
            keep_copy(opened.path, data, ".older-format")
    except (ReadRefused, SaveFailed) as fault:
        lock.release()
        why = f"it is of an older format, and no copy of it could be kept: {fault}"
        raise Unreadable(opened.path, why, (why,)) from fault


def begin(folder: Path, name: str, told: Callable[[Kept], None]) -> Session:
    """A new build of that name in the folder of builds, saved at once.

    Raises:
        SaveFailed: the folder can't be made.
    """
    make_folder(folder)
    bench, _ = bench_of(folder)
    named = put(started(bench, Build()), ("build", "name"), name)
    return _begun(profile_path_for(folder, name), named, told)


def is_free(path: Path) -> bool:
    """Whether nothing stands at a path, as far as can be told: then a build may begin there."""
    try:
        os.lstat(path)
    except FileNotFoundError:
        return True
    except (OSError, ValueError):  # it can't be looked at; opening it says why
        return False
    return False


def _begun(path: Path, build: Build, told: Callable[[Kept], None]) -> Session:
    created = datetime.now().astimezone().replace(microsecond=0)
    build = put(put(build, ("build", "created"), created), ("build", "step"), "plan")
    lock = hold(path)
    if isinstance(lock, HeldBy):
        return Session(build, lock, path)
    keeper = Keeper(path, None, told, lock)
    keeper.keep(build)
    return Session(build, keeper, path, notices=tuple(_notices(lock)))


def _standing_draft(path: Path, build: Build) -> Draft | None:
    """What was being typed; forgotten for good where another answer stands by now.

    Left there, it would come back as soon as the answer is by chance the old one again.
    """
    draft = read_draft(path)
    if draft is not None and not still_holds(build, draft):
        drop_draft(path)
        return None
    return draft


def _not_known(odd: Sequence[Finding]) -> Iterator[str]:
    """That the file says something that nobody here knows, such as a key mistyped by hand."""
    keys = [literal(words(finding.path), 60) for finding in odd if finding.path != FORMAT]
    if keys:
        more = f" and {len(keys) - 1} more" if len(keys) > 1 else ""
        yield f"! Its file says what is not known here: {keys[0]}{more}. The review tells of it."


def _notices(lock: Lock) -> Iterator[str]:
    """What the lock tells about the last window and this one."""
    if lock.left_by is not None:
        window = str(lock.left_by).removeprefix("another ")
        yield (
            f"The last {window} ended without closing. Every answer that it called saved is here."
        )
    if lock.message:
        yield lock.message
