"""The thread that saves: one save after another, none cancelled, none claimed early.

Screens hand over a build and go on. A failed save is tried again until it works or the
maker names another place; a file that something else changed is left alone and ours is
kept beside it. What is being typed is kept too, a moment later.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from threading import Condition, Thread
from typing import Literal

from wizard.plug.record import Build
from wizard.store.disk import DISK, Disk
from wizard.store.faults import ChangedOutside, SaveFailed, shown
from wizard.store.locks import HeldBy, Lock
from wizard.store.reading import Fingerprint

PAUSES = (1.0, 2.0, 5.0, 10.0)
"""Seconds between tries of a failed save; the last one repeats."""

DRAFT_DELAY = 0.5
"""Seconds from a key press until what is being typed is kept."""


@dataclass(frozen=True, slots=True)
class Kept:
    """How safe the answers are.

    Attributes:
        state: saved, saving (or about to), or not saved.
        path: where they are, or should be.
        at: when they were last saved; None before the first time.
        reason: why they are not saved, a clause.
        remedy: what helps, a clause.
        notes: what else the maker should know, sentences or clauses.
    """

    state: Literal["saved", "saving", "not saved"]
    path: Path
    at: datetime | None = None
    reason: str = ""
    remedy: str = ""
    notes: tuple[str, ...] = ()


class Keeper:
    """Saves one build as it changes.

    Args:
        path: the profile.
        expected: what was read there; None if nothing was.
        told: called in the keeper's thread whenever `kept` has changed.
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
        self._wanted: Build | None = None
        self._busy = False
        self._tries = 0
        self._due = 0.0
        self._draft: tuple[str, str] | None = None
        self._draft_due = 0.0
        self._elsewhere: Path | None = None
        self._closing = False
        self._turn = Condition()
        self._thread = Thread(target=self._work, name="keeper", daemon=True)
        self._thread.start()

    def keep(self, build: Build) -> None:
        """Save this build as soon as the save at work is done."""
        with self._turn:
            self._wanted, self._due = build, 0.0
            self._turn.notify_all()

    def draft(self, field: str, text: str) -> None:
        """Keep what is being typed."""
        with self._turn:
            if self._draft is None:
                self._draft_due = time.monotonic() + DRAFT_DELAY
            self._draft = (field, text)
            self._turn.notify_all()

    def elsewhere(self, path: Path) -> None:
        """Save to another place from now on; the old file stays as it is."""
        with self._turn:
            self._elsewhere, self._due = path, 0.0
            self._turn.notify_all()

    def flush(self, patience: float) -> bool:
        """Wait until all that was handed over is on the disk; False if it isn't in time."""
        deadline = time.monotonic() + patience
        with self._turn:
            self._draft_due = 0.0
            self._turn.notify_all()
            while self._wanted or self._busy or self._draft:
                left = deadline - time.monotonic()
                if left <= 0 or not self._thread.is_alive():
                    return False
                self._turn.wait(min(left, 0.05))
        return self.kept.state == "saved"

    def close(self, patience: float) -> bool:
        """Flush, remember the last version, let others have the build."""
        done = self.flush(patience)
        with self._turn:
            self._closing = True
            self._turn.notify_all()
        self._thread.join(max(patience, 0.1))
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
                if self._elsewhere is not None:
                    self._move(self._elsewhere)
                    self._elsewhere = None
                now = time.monotonic()
                build = self._wanted if now >= self._due else None
                draft = self._draft if now >= self._draft_due else None
                self._wanted = None if build else self._wanted
                self._draft = None if draft else self._draft
                self._busy = True
            if build is not None:
                self._save(build)
            if draft is not None:
                self._save_draft(*draft)
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
        )

    def _pause(self) -> float | None:
        dues = [self._due] * bool(self._wanted) + [self._draft_due] * bool(self._draft)
        return max(min(dues) - time.monotonic(), 0.001) if dues else None

    def _tell(self, kept: Kept) -> None:
        self.kept = kept
        self._told(kept)

    def _save(self, build: Build) -> None:
        from wizard.store.files import save
        from wizard.store.profile import write

        path, data = self.kept.path, write(build)
        notes: tuple[str, ...] = ()
        try:
            try:
                saved = save(path, data, expected=self._expected, disk=self._disk)
                notes, self._expected = saved.warnings, saved.fingerprint
            except ChangedOutside:
                notes = (self._kept_both(path, data),)
        except SaveFailed as fault:
            self._try_again(build, fault)
            return
        self._tries, self._last = 0, data
        if build.build.step != self._step:
            self._step = build.build.step
            self._remember(data)
        now = datetime.now().astimezone()
        self._tell(Kept("saved", self.kept.path, at=now, notes=notes))

    def _kept_both(self, path: Path, data: bytes) -> str:
        from wizard.store.reading import fingerprint
        from wizard.store.rescue import keep_both

        mine = keep_both(path, data, disk=self._disk)
        self._expected = fingerprint(data)
        self.kept = replace(self.kept, path=mine)
        return (
            f"Something else changed {shown(path.name)}, so it was left alone: "
            f"yours goes on as {shown(mine.name)}."
        )

    def _try_again(self, build: Build, fault: SaveFailed) -> None:
        with self._turn:
            self._wanted = self._wanted or build
            self._due = time.monotonic() + PAUSES[min(self._tries, len(PAUSES) - 1)]
            self._tries += 1
        self._tell(replace(self.kept, state="not saved", reason=fault.reason, remedy=fault.remedy))

    def _move(self, path: Path) -> None:
        from wizard.store.locks import hold

        if self._lock is not None:
            self._lock.release()
        taken = hold(path, self._disk)
        self._lock = None if isinstance(taken, HeldBy) else taken
        self._expected = None
        self.kept = replace(self.kept, path=path)

    def _remember(self, data: bytes) -> None:
        from wizard.store.history import remember

        with suppress(SaveFailed):  # the build itself is safe
            remember(self.kept.path, data, datetime.now(UTC), self._disk)

    def _save_draft(self, field: str, text: str) -> None:
        from wizard.store.history import save_draft

        with suppress(SaveFailed):  # said by the save of the build, if it concerns that too
            save_draft(self.kept.path, field, text, self._disk)
