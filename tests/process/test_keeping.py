"""The thread that saves: what it claims, what it does when the disk fails, what it leaves."""

from __future__ import annotations

import errno
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any

import pytest

from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.session import keeping
from wizard.session.keeping import Keeper, Kept
from wizard.session.opening import begin, place, resume
from wizard.steps.walk import STEPS
from wizard.store.disk import Disk
from wizard.store.history import Draft, read_draft, save_draft, versions
from wizard.store.locks import HeldBy, Lock, hold
from wizard.store.opening import Unreadable, open_profile
from wizard.store.profile import read, write

PATIENCE = 20.0
"""Seconds after which what must come counts as missing."""


class Unruly(Disk):
    """A disk that fails as long as it is told to, or that holds every save up."""

    def __init__(self) -> None:
        self.number: int | None = None
        self.may_go = threading.Event()
        self.may_go.set()

    def open(self, path: Path, flags: int, mode: int = 0o666) -> int:
        self.may_go.wait(PATIENCE)
        if self.number is not None and path.name.endswith(".tmp"):
            raise OSError(self.number, os.strerror(self.number))
        return super().open(path, flags, mode)


def named(number: int) -> Build:
    return put(Build(), ("build", "name"), f"plug {number}")


def name_on_disk(path: Path) -> str | None:
    return open_profile(path).build.build.name


def until(wanted: Callable[[], object]) -> None:
    deadline = time.monotonic() + PATIENCE
    while not wanted():
        assert time.monotonic() < deadline, "it never came"
        time.sleep(0.002)


@contextmanager
def keeper_of(path: Path, disk: Disk, told: list[Kept]) -> Iterator[Keeper]:
    keeper = Keeper(path, None, told.append, disk=disk)
    yield keeper
    keeper.close(5)


@pytest.fixture(autouse=True)
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tries follow each other fast enough for a test."""
    monkeypatch.setattr(keeping, "PAUSES", (0.02,))
    monkeypatch.setattr(keeping, "DRAFT_DELAY", 0.01)


def test_saved_is_never_said_while_a_newer_answer_waits(tmp_path: Path) -> None:
    path, disk = tmp_path / "plug.toml", Unruly()
    claims: list[tuple[str, str | None]] = []

    def told(kept: Kept) -> None:
        if kept.state == "saved":
            claims.append((kept.state, name_on_disk(path)))

    def state() -> str:
        return keeper.kept.state

    keeper = Keeper(path, None, told, disk=disk)
    assert state() == "saved"
    disk.may_go.clear()
    keeper.keep(named(1))
    assert state() == "saving"
    until(lambda: keeper._busy)
    keeper.keep(named(2))  # while the first is being saved
    disk.may_go.set()
    assert keeper.flush(PATIENCE)
    assert claims == [("saved", "plug 2")]
    for number in range(3, 40):
        keeper.keep(named(number))
        assert state() == "saving" or name_on_disk(path) == f"plug {number}"
    assert keeper.close(PATIENCE)
    assert claims[-1] == ("saved", "plug 39")


def test_an_answer_that_comes_as_a_save_ends_is_not_called_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, claims = tmp_path / "plug.toml", list[tuple[str, str | None]]()

    class Late(datetime):
        """A clock that is looked at when the first answer is on the disk: here comes another."""

        @classmethod
        def now(cls, tz: tzinfo | None = None) -> Late:
            if path.exists() and name_on_disk(path) == "plug 1":
                keeper.keep(named(2))
            return super().now(tz)

    monkeypatch.setattr(keeping, "datetime", Late)
    with keeper_of(path, Disk(), []) as keeper:
        keeper._told = lambda kept: claims.append((kept.state, name_on_disk(path)))
        keeper.keep(named(1))
        assert keeper.flush(PATIENCE)
    assert ("saved", "plug 1") not in claims
    assert claims[-1] == ("saved", "plug 2")


@pytest.mark.parametrize(
    "number", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO, errno.ENODEV]
)
def test_a_failing_disk_is_told_at_once_and_tried_again_until_it_works(
    tmp_path: Path, number: int
) -> None:
    path, disk, told = tmp_path / "plug.toml", Unruly(), list[Kept]()
    with keeper_of(path, disk, told) as keeper:
        keeper.keep(named(1))
        assert keeper.flush(PATIENCE)
        disk.number = number
        keeper.keep(named(2))
        until(lambda: keeper.kept.state == "not saved")
        assert keeper.kept.reason
        assert keeper.kept.trouble.startswith(f"NOT SAVED: {keeper.kept.reason}; ")
        assert name_on_disk(path) == "plug 1"
        failures = len(told)
        until(lambda: len(told) > failures + 2)  # it keeps trying by itself
        assert not keeper.flush(0.2)
        keeper.keep(named(3))
        assert keeper.kept.state == "not saved"
        disk.number = None
        until(lambda: keeper.kept.state == "saved")
        assert name_on_disk(path) == "plug 3"
        assert keeper.kept.trouble == ""


def test_another_place_takes_it_while_the_first_one_fails(tmp_path: Path) -> None:
    path, disk = tmp_path / "plug.toml", Unruly()
    with keeper_of(path, disk, []) as keeper:
        keeper.keep(named(1))
        assert keeper.flush(PATIENCE)
        disk.number = errno.EROFS
        keeper.keep(named(2))
        until(lambda: keeper.kept.state == "not saved")
        disk.number = None
        keeper.elsewhere(tmp_path / "other.toml")
        until(lambda: keeper.kept.state == "saved")
        assert keeper.kept.path == tmp_path / "other.toml"
        assert name_on_disk(tmp_path / "other.toml") == "plug 2"
        assert isinstance(hold(tmp_path / "other.toml"), HeldBy)
    assert name_on_disk(path) == "plug 1"


def test_a_file_that_is_in_the_other_place_is_left_alone(tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text("precious")
    with keeper_of(tmp_path / "plug.toml", Disk(), []) as keeper:
        keeper.keep(named(1))
        keeper.elsewhere(other)
        keeper.keep(named(2))
        until(lambda: keeper.kept.moved)
        assert keeper.flush(PATIENCE)
        assert "has put a file at other.toml" in keeper.kept.moved
        assert name_on_disk(keeper.kept.path) == "plug 2"
    assert other.read_text() == "precious"


def test_closing_while_the_disk_fails_leaves_a_copy_in_a_refuge(tmp_path: Path) -> None:
    path, disk, told = tmp_path / "stick" / "plug.toml", Unruly(), list[Kept]()
    refuges = tmp_path / "nowhere\0", tmp_path / "refuge"
    keeper = Keeper(path, None, told.append, disk=disk)
    keeper.keep(named(1))  # the folder is not there
    keeper.keep(named(2))
    assert not keeper.close(0.3, refuges)
    assert keeper.kept.refuge is not None
    assert keeper.kept.refuge.parent == tmp_path / "refuge"
    assert name_on_disk(keeper.kept.refuge) == "plug 2"
    assert str(keeper.kept.refuge) in keeper.kept.trouble


def test_a_disk_that_hangs_does_not_hold_up_the_end(tmp_path: Path) -> None:
    path, disk = tmp_path / "plug.toml", Unruly()
    keeper = Keeper(path, None, lambda kept: None, disk=disk)
    disk.may_go.clear()
    keeper.keep(named(1))
    assert not keeper.close(0.2)
    assert keeper._thread.is_alive()  # it hangs still
    assert "too slow" in keeper.kept.trouble
    disk.may_go.set()


def test_what_could_not_be_read_again_never_takes_a_good_file_s_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plug.toml"
    with keeper_of(path, Disk(), []) as keeper:
        keeper.keep(named(1))
        assert keeper.flush(PATIENCE)
        impossible = put(named(2), ("aim", "behaviour"), "hovers")
        keeper.keep(impossible)
        until(lambda: keeper.kept.state == "not saved")
        assert "could not be read again" in keeper.kept.reason
        assert name_on_disk(path) == "plug 1"
        keeper.keep(named(3))  # as undo would
        assert keeper.flush(PATIENCE)
        assert name_on_disk(path) == "plug 3"


def test_a_fault_of_the_program_is_no_end_of_saving(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plug.toml"

    def fail(*arguments: Any) -> bytes:
        raise ZeroDivisionError

    with keeper_of(path, Disk(), []) as keeper:
        with monkeypatch.context() as patch:
            patch.setattr(keeping, "proven", fail)
            keeper.keep(named(1))
            until(lambda: keeper.kept.state == "not saved")
            assert "fault of its own (ZeroDivisionError)" in keeper.kept.reason
        until(lambda: keeper.kept.state == "saved")
        assert name_on_disk(path) == "plug 1"


def test_nobody_listening_is_no_end_of_saving(tmp_path: Path) -> None:
    def gone(kept: Kept) -> None:
        raise RuntimeError("Event loop is closed")

    keeper = Keeper(tmp_path / "plug.toml", None, gone)
    for number in range(3):
        keeper.keep(named(number))
        assert keeper.flush(PATIENCE)
    assert keeper.close(PATIENCE)
    assert name_on_disk(tmp_path / "plug.toml") == "plug 2"


def test_a_note_is_said_once(tmp_path: Path) -> None:
    class Unconfirming(Disk):
        def fsync(self, descriptor: int) -> None:
            raise OSError(errno.EINVAL, "no flush")

    told: list[Kept] = []
    with keeper_of(tmp_path / "plug.toml", Unconfirming(), told) as keeper:
        for number in range(3):
            keeper.keep(named(number))
            assert keeper.flush(PATIENCE)
    assert [len(kept.notes) for kept in told if kept.state == "saved"] == [1, 0, 0]


def test_a_version_is_kept_at_each_step_and_on_closing(tmp_path: Path) -> None:
    session = begin(tmp_path, "Pier herring", lambda kept: None)
    for number, step in enumerate(STEPS[:3]):
        session.go(step)
        session.change(put(session.build, ("build", "notes"), f"at {number}"), ("build",), "notes")
        assert session.flush(PATIENCE)
    session.change(put(session.build, ("build", "notes"), "last"), ("build",), "notes")
    assert session.close(PATIENCE)
    kept = [read(v.path.read_bytes(), "v")[0] for v in versions(session.path)]
    assert [b.build.step for b in kept] == ["shape", "shape", "stock", "plan"]
    assert kept[0].build.notes == "last"


def test_going_back_keeps_what_stood_there_and_undo_brings_it_back(tmp_path: Path) -> None:
    session = begin(tmp_path, "Pier herring", lambda kept: None)
    first = session.build
    session.change(put(first, ("build", "notes"), "second"), ("build", "notes"), "notes")
    assert session.flush(PATIENCE)
    session.go_back(first, "back")
    assert session.flush(PATIENCE)
    assert open_profile(session.path).build.build.notes is None
    assert "second" in [
        read(v.path.read_bytes(), "v")[0].build.notes for v in versions(session.path)
    ]
    session.undo()
    assert session.close(PATIENCE)
    assert open_profile(session.path).build.build.notes == "second"


# Drafts


def test_what_is_begun_survives_going_elsewhere_and_falls_with_its_answer(tmp_path: Path) -> None:
    session = begin(tmp_path, "Pier herring", lambda kept: None)
    session.typing("weighing.mass", "13,6")
    assert session.pending == {"weighing.mass": "13,6"}
    session.at("stock.wood")
    assert session.pending == {"weighing.mass": "13,6"}
    session.at("weighing.mass")
    assert session.flush(PATIENCE)
    assert read_draft(session.path) == Draft("weighing.mass", "13,6")
    session.typing("weighing.mass", "")  # taking out is no draft: the answer still stands
    assert session.pending == {}
    session.close(PATIENCE)


@pytest.mark.parametrize(
    ("draft", "comes_back"),
    [
        (Draft("build.name", "Pier h", "Pier herring"), True),
        (Draft("build.name", "Pier h", "Another"), False),  # another answer stands there now
        (Draft("build.name", "Pier herring", "Pier herring"), False),  # just a place
        (Draft("build.name", "  ", "Pier herring"), False),
        (Draft("weighing.mass", "13,6"), True),
        (Draft("density.sample.0.mass", "8.3"), True),
        (Draft("no.such.field", "8.3"), True),  # nobody asks for it
        (Draft("", "8.3"), False),
        (Draft("build.0.name", "8.3"), True),
        (Draft("9" * 5000, "8.3"), False),
        (Draft("density.sample.²", "8.3"), False),
        (Draft("\x1b[2J", "8.3"), False),
        (Draft("build.notes", "\x1b]52;c;eA==\x07[/b]\n" * 100), True),
    ],
)
def test_only_a_draft_of_the_answer_that_stands_comes_back(
    tmp_path: Path, draft: Draft, comes_back: bool
) -> None:
    path = tmp_path / "plug.toml"
    path.write_bytes(write(put(Build(), ("build", "name"), "Pier herring")))
    save_draft(path, draft)
    session = resume(path, lambda kept: None)
    assert session.pending == ({draft.field: draft.text} if comes_back else {})
    session.close(PATIENCE)


# Opening


def test_a_build_that_is_only_read_here_can_be_walked_through(tmp_path: Path) -> None:
    path = tmp_path / "plug.toml"
    path.write_bytes(write(named(1)))
    before = path.read_bytes()
    lock = hold(path)
    assert isinstance(lock, Lock)
    with lock:
        session = resume(path, lambda kept: None)
        assert session.holder is not None
        for step in STEPS:
            session.go(step)
            assert session.step is step
        assert session.close(1)
    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ["a\0b", "x" * 300, "file/under.toml", "~nobody-at-all/x.toml"])
def test_a_path_that_can_be_none_is_refused_or_told_unsaved(tmp_path: Path, name: str) -> None:
    (tmp_path / "file").write_text("")
    with suppress(Unreadable):
        session = resume(place(str(tmp_path / name)), lambda kept: None)
        assert not session.flush(PATIENCE)  # a try that fails ends the wait
        assert session.kept.state == "not saved"
        session.close(0.1)
    assert sorted(os.listdir(tmp_path)) == ["file"]


def test_a_window_that_ended_without_closing_is_told_of(tmp_path: Path) -> None:
    path = tmp_path / "plug.toml"
    path.write_bytes(write(named(1)))
    folder = tmp_path / ".plugwright"
    folder.mkdir()
    (folder / "plug.toml.lock").write_text("bench\n4711\n2026-04-02T18:30:00+00:00\n")
    session = resume(path, lambda kept: None)
    (notice,) = session.notices
    assert "window on bench (process 4711" in notice
    assert "ended without closing" in notice
    session.close(PATIENCE)


def test_where_no_lock_can_be_had_that_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def flock(descriptor: int, act: int) -> None:
        raise OSError(errno.ENOLCK, "no locks")

    monkeypatch.setattr("fcntl.flock", flock)
    path = tmp_path / "plug.toml"
    path.write_bytes(write(named(1)))
    session = resume(path, lambda kept: None)
    (notice,) = session.notices
    assert "a second window on this build would not be noticed here" in notice
    session.close(PATIENCE)
