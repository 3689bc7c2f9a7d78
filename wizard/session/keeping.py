"""The thread that saves: one save after another, none cancelled, none claimed early.

Screens hand over a build and go on. A failed save is tried again until it works or the
maker names another place; a file that something else changed is left alone and ours is
kept beside it. What is being typed is kept too, a moment later.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from threading import Condition, Thread
from typing import Any

from wizard.plug.record import Build
from wizard.session.kept import Kept
from wizard.store.disk import DISK, Disk
from wizard.store.faults import ChangedOutside, SaveFailed, shown
from wizard.store.history import Draft, remember, save_draft
from wizard.store.locks import HeldBy, Lock, hold
from wizard.store.reading import Fingerprint

__all__ = ["DRAFT_DELAY", "PAUSES", "Keeper", "Kept"]

PAUSES = (1.0, 2.0, 5.0, 10.0)
"""Seconds between tries of a failed save; the last one repeats."""

MOMENT = 0.08
"""Seconds from an answer until it is saved: what follows from it is painted first, and answers
that come at once are saved together."""

DRAFT_DELAY = 0.5
"""Seconds from a key press until what is being typed is kept."""


class Keeper:
    """Saves one build as it changes.

    Args:
        path: the profile.
        expected: what was read there; None if nothing was.
        told: called in the keeper's thread whenever `kept` has changed there.
        lock: held as long as the keeper works, then released.
        step: the step that the newest kept version stands at; versions are kept a step each.
        disk: the disk, or a stand-in.
    """

    def __init__(
        self,
        path: Path,
        expected: Fingerprint | None,
        told: Callable[[Kept], None],
        lock: Lock | None = None,
        step: str | None = None,
        disk: Disk = DISK,
    ) -> None:
        self.kept = Kept("saved", path)
        self._expected, self._told, self._lock, self._disk = expected, told, lock, disk
        self._step = step
        self._last: bytes | None = None
        self._noted: set[str] = set()
        self._newest: Build | None = None  # what is not on the disk yet
        self._wanted: Build | None = None  # what is to be saved next
        self._busy = False
        self._tries = 0
        self._due = 0.0
        self._past: list[Build] = []  # what is to be kept as earlier versions
        self._draft: Draft | None = None
        self._draft_due = 0.0
        self._elsewhere: Path | None = None
        self._closing = False
        self._turn = Condition()
        self._thread = Thread(target=self._work, name="keeper", daemon=True)
        self._thread.start()

    def keep(self, build: Build) -> None:
        """Save this build in a moment; till then nothing is “saved”."""
        with self._turn:
            if self._wanted is None:
                self._due = time.monotonic() + MOMENT
            self._newest = self._wanted = build
            if self.kept.state == "saved":
                self.kept = replace(self.kept, state="saving")
            self._turn.notify_all()

    def remember(self, build: Build) -> None:
        """Keep this build as an earlier version, apart from saving it."""
        with self._turn:
            self._past.append(build)
            self._turn.notify_all()

    def draft(self, draft: Draft) -> None:
        """Keep what is being typed."""
        with self._turn:
            if self._draft is None:
                self._draft_due = time.monotonic() + DRAFT_DELAY
                self._turn.notify_all()  # one that waits already has its time
            self._draft = draft

    def elsewhere(self, path: Path) -> None:
        """Save to another place from now on; the old file stays as it is."""
        with self._turn:
            self._elsewhere, self._due = path, 0.0
            self._turn.notify_all()

    def flush(self, patience: float) -> bool:
        """Wait until all that was handed over is on the disk; False if it isn't in time.

        A save that failed is tried once more at once.
        """
        deadline = time.monotonic() + patience
        with self._turn:
            self._due = self._draft_due = 0.0
            tries = self._tries
            self._turn.notify_all()
            while self._newest or self._busy or self._draft or self._past:
                left = deadline - time.monotonic()
                has_failed = self._tries > tries and not self._busy
                if has_failed or left <= 0 or not self._thread.is_alive():
                    return False
                self._turn.wait(min(left, 0.05))
            return self.kept.state == "saved"

    def close(self, patience: float, refuges: Iterable[Path] = ()) -> bool:
        """Flush, remember the last version, let others have the build.

        Args:
            patience: how long all of it may take [s], a copy in a refuge apart.
            refuges: folders to leave a copy in if the build can't be saved in its place.
        """
        deadline = time.monotonic() + patience
        done = self.flush(patience)
        with self._turn:
            self._closing = True
            self._turn.notify_all()
        self._thread.join(max(deadline - time.monotonic(), 0.1))
        if not done:
            self._take_refuge(refuges)
        if self._lock is not None:
            self._lock.release()
        return done

    def _work(self) -> None:
        while True:
            with self._turn:
                while not (self._closing or self._ready()):
                    self._turn.wait(self._pause())
                if self._closing:
                    break
                place, self._elsewhere = self._elsewhere, None
                past, self._past = self._past, []
                now = time.monotonic()
                build = self._wanted if now >= self._due else None
                draft = self._draft if now >= self._draft_due else None
                self._wanted = None if build else self._wanted
                self._draft = None if draft else self._draft
                self._busy = True
            if place is not None:
                self._move(place)
            for version in past:
                with suppress(SaveFailed):
                    self._remember(proven(version, self.kept.path))
            if build is not None:
                self._save(build)
            if draft is not None:
                with suppress(SaveFailed, OSError, ValueError):  # the build's own save tells
                    save_draft(self.kept.path, draft, self._disk)
            with self._turn:
                self._busy = False
                self._turn.notify_all()
        if self._last is not None:
            self._remember(self._last)

    def _ready(self) -> bool:
        now = time.monotonic()
        return bool(
            (self._wanted and now >= self._due)
            or (self._draft and now >= self._draft_due)
            or self._elsewhere
            or self._past
        )

    def _pause(self) -> float | None:
        dues = [self._due] * bool(self._wanted) + [self._draft_due] * bool(self._draft)
        return max(min(dues) - time.monotonic(), 0.001) if dues else None

    def _now_kept(self, **changes: Any) -> None:
        with self._turn:
            self.kept = kept = replace(self.kept, **changes)
        self._tell(kept)

    def _tell(self, kept: Kept) -> None:
        with suppress(RuntimeError):  # nobody listens any more
            self._told(kept)

    def _save(self, build: Build) -> None:
        try:
            data = proven(build, self.kept.path)
            notes = self._written(data)
        except SaveFailed as fault:
            self._try_again(build, fault)
            return
        except Exception as fault:  # a fault of the program may cost a save, never the answers
            reason = f"the program met a fault of its own ({type(fault).__name__})"
            remedy = "take the last answer back or choose another place"
            self._try_again(build, SaveFailed(self.kept.path, reason, remedy))
            return
        self._tries, self._last = 0, data
        if build.build.step != self._step:
            self._step = build.build.step
            self._remember(data)
        now = datetime.now().astimezone()
        fresh = tuple(note for note in notes if note not in self._noted)
        self._noted.update(fresh)
        with self._turn:  # an answer handed over between the two would be called saved
            is_newest = self._newest is build
            self._newest = None if is_newest else self._newest
            self.kept = kept = replace(
                self.kept, state="saved" if is_newest else "saving", at=now, notes=fresh
            )
        self._tell(kept)

    def _written(self, data: bytes) -> tuple[str, ...]:
        """Save these contents, beside the file if something else has changed it."""
        from wizard.store.files import save

        try:
            saved = save(self.kept.path, data, expected=self._expected, disk=self._disk)
        except ChangedOutside:
            return (self._kept_both(data),)
        self._expected = saved.fingerprint
        return saved.warnings

    def _kept_both(self, data: bytes) -> str:
        from wizard.store.reading import fingerprint
        from wizard.store.rescue import keep_both

        theirs = self.kept.path
        mine = keep_both(theirs, data, disk=self._disk)
        done = "changed" if self._expected else "has put a file at"
        self._expected = fingerprint(data)
        self._relock(mine)
        said = (
            f"Something else {done} {shown(theirs.name)}, so it was left alone: "
            f"yours goes on as {shown(mine.name)}."
        )
        with self._turn:
            self.kept = replace(self.kept, path=mine, moved=said)
        return said

    def _try_again(self, build: Build, fault: SaveFailed) -> None:
        with self._turn:
            self._wanted = self._wanted or build
            self._due = time.monotonic() + PAUSES[min(self._tries, len(PAUSES) - 1)]
            self._tries += 1
        self._now_kept(state="not saved", reason=fault.reason, remedy=fault.remedy, notes=())

    def _move(self, path: Path) -> None:
        self._relock(path)
        self._expected, self._tries = None, 0
        with self._turn:
            self.kept = replace(self.kept, path=path, moved="")

    def _relock(self, path: Path) -> None:
        if self._lock is not None:
            self._lock.release()
        taken = hold(path, self._disk)
        self._lock = None if isinstance(taken, HeldBy) else taken

    def _remember(self, data: bytes) -> None:
        with suppress(SaveFailed, OSError, ValueError):  # the build itself is safe
            remember(self.kept.path, data, datetime.now(UTC), self._disk)

    def _take_refuge(self, folders: Iterable[Path]) -> None:
        """Leave what could not be saved in the first of these folders that takes it."""
        from wizard.store.folder import make_folder
        from wizard.store.profile import write
        from wizard.store.rescue import keep_both

        build = self._newest
        if build is None:
            return
        for folder in folders:
            with suppress(SaveFailed, OSError, ValueError):
                make_folder(folder)
                place = keep_both(folder / self.kept.path.name, write(build), disk=self._disk)
                with self._turn:
                    self.kept = replace(self.kept, refuge=place)
                return


def proven(build: Build, path: Path) -> bytes:
    """The profile of a build, read back before it may take the place of a good one.

    Raises:
        SaveFailed: it could not be read again.
    """
    from wizard.store.profile import ProfileError, read, write

    data = write(build)
    try:
        read(data, path.name)
    except ProfileError as error:
        reason = f"it could not be read again ({error.problems[0]})"
        raise SaveFailed(path, reason, "take the last answer back") from error
    return data
