"""Real processes: killed, racing, and on a disk that is really full."""

import errno
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from wizard.store.files import fingerprint, save
from wizard.store.locks import HeldBy, Lock, hold

DRIVER = Path(__file__).with_name("store_driver.py")
ROOT = Path(__file__).parents[2]
HERE = {**os.environ, "PYTHONPATH": str(ROOT)}  # this checkout, not one installed elsewhere


def driven(act: str, folder: Path, *numbers: int, before: tuple[str, ...] = ()) -> dict[str, Any]:
    """The report of a driver run to its end."""
    command = [*before, sys.executable, str(DRIVER), act, str(folder), *map(str, numbers)]
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, timeout=120, env=HERE
    )
    assert done.returncode == 0, done.stderr
    report = json.loads(done.stdout)
    assert isinstance(report, dict)
    return report


@contextmanager
def another_window(folder: Path) -> Iterator[tuple["subprocess.Popen[str]", float]]:
    """A process that holds the build, and when it says that it started."""
    with subprocess.Popen(
        [sys.executable, str(DRIVER), "held", str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=HERE,
    ) as process:
        assert process.stdout is not None
        started = json.loads(process.stdout.readline())["started"]
        try:
            yield process, started
        finally:
            process.kill()


@pytest.mark.slow
def test_no_acknowledged_save_is_lost_to_a_kill(tmp_path: Path) -> None:
    seed = int.from_bytes(os.urandom(4), "big")
    sys.stdout.write(f"seed {seed}\n")  # shown with a failure, to replay it
    report = driven("killed", tmp_path, 60, seed)
    assert report["saves"] >= 20  # one at least in each life that is let live so long
    assert report["left"] == []


@pytest.mark.slow
def test_two_writers_and_a_reader_lose_nothing(tmp_path: Path) -> None:
    report = driven("raced", tmp_path, 500)
    assert report["statuses"] == [0, 0, 0]
    assert report["lost"] == []
    assert report["twice"] == 0
    assert sum(report["refused"]) > 0, "they never met"


@pytest.mark.skipif(not shutil.which("unshare"), reason="no unshare to mount a disk with")
def test_a_disk_that_is_really_full(tmp_path: Path) -> None:
    own_mounts = ("unshare", "--user", "--map-root-user", "--mount")
    if subprocess.run([*own_mounts, "true"], capture_output=True, check=False).returncode:
        pytest.skip("this system lets no test mount a disk")
    report = driven("filled", tmp_path, before=own_mounts)
    if "unmounted" in report:
        pytest.skip(f"no disk could be mounted: {report['unmounted']}")
    assert "the disk is full; free some space" in report["message"]
    assert report["kept"]
    assert report["left"] == ["ballast", "sprat.toml", "sprat.toml.bak"]
    assert report["locked"]
    assert report["again"]


def test_the_second_window_is_told_who_holds_the_build(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    before = time.time()
    with another_window(tmp_path) as (process, started):
        after = time.time()
        holder = hold(path)
        assert isinstance(holder, HeldBy)
        assert holder.host == os.uname().nodename
        assert holder.process == process.pid
        assert holder.started is not None
        # Our own clock around the start, and the clock ticks of the kernel.
        assert before - 1 <= started <= after + 0.1
        assert abs(holder.started.timestamp() - started) <= 1
        assert str(process.pid) in str(holder)
        assert str(holder).isprintable()
    assert process.returncode == -signal.SIGKILL
    # Killed and gone: nothing is stale, and the record left behind is recognised.
    lock = hold(path)
    assert isinstance(lock, Lock)
    assert lock.supported
    assert lock.left_by is not None
    assert lock.left_by.process == process.pid
    lock.release()


def test_a_released_lock_is_free_and_says_nothing_of_a_crash(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    with another_window(tmp_path) as (process, _):
        process.communicate("go\n")
        assert process.returncode == 0
        lock = hold(path)
        assert isinstance(lock, Lock)
        assert lock.left_by is None
        assert isinstance(hold(path), HeldBy)
        lock.release()
        lock.release()
        with hold(path) as again:  # type: ignore[union-attr]
            assert isinstance(again, Lock)


def test_one_build_has_one_lock_by_whatever_name(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "far" / "sprat.toml")
    with hold(link) as lock:  # type: ignore[union-attr]
        assert isinstance(lock, Lock)
        assert isinstance(hold(tmp_path / "far" / "sprat.toml"), HeldBy)
        assert isinstance(hold(tmp_path / "far" / "other.toml"), Lock)


def test_a_save_does_not_shake_the_lock(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    with hold(path) as lock:  # type: ignore[union-attr]
        assert isinstance(lock, Lock)
        save(path, b"a", expected=None)
        save(path, b"b", expected=fingerprint(b"a"))
        assert isinstance(hold(path), HeldBy)


@pytest.mark.parametrize("number", [errno.ENOLCK, errno.ENOTSUP, errno.EINVAL])
def test_a_disk_without_locks_is_said_to_have_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    def flock(descriptor: int, act: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("fcntl.flock", flock)
    lock = hold(tmp_path / "sprat.toml")
    assert isinstance(lock, Lock)
    assert not lock.supported
    assert "compared before each save" in lock.message
    lock.release()


def test_a_place_where_no_lock_can_be_made_still_opens(tmp_path: Path) -> None:
    for path in (tmp_path / "gone" / "sprat.toml", tmp_path / "a\0b.toml"):
        lock = hold(path)
        assert isinstance(lock, Lock)
        assert not lock.supported
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("trap", ["folder is a link", "lock is a link", "lock is a pipe"])
def test_a_planted_lock_leads_nowhere(tmp_path: Path, trap: str) -> None:
    (tmp_path / "builds").mkdir()
    victim = tmp_path / "victim"
    victim.mkdir()
    (victim / "sprat.toml.lock").write_text("precious")
    hidden = tmp_path / "builds" / ".plugwright"
    if trap == "folder is a link":
        hidden.symlink_to(victim)
    else:
        hidden.mkdir()
        if trap == "lock is a link":
            (hidden / "sprat.toml.lock").symlink_to(victim / "sprat.toml.lock")
        else:
            os.mkfifo(hidden / "sprat.toml.lock")
    lock = hold(tmp_path / "builds" / "sprat.toml")
    assert isinstance(lock, Lock)
    assert not lock.supported
    assert (victim / "sprat.toml.lock").read_text() == "precious"


@pytest.mark.parametrize(
    "record",
    [b"", b"\xff" * 3000, b"a\nb\nc\n", b"h\n" + b"9" * 6000 + b"\nx\n", b"\x1b]0;x\x07\n1"],
)
def test_a_garbled_record_is_only_a_nameless_one(tmp_path: Path, record: bytes) -> None:
    path = tmp_path / "sprat.toml"
    with hold(path) as lock:  # type: ignore[union-attr]
        assert isinstance(lock, Lock)
        (tmp_path / ".plugwright" / "sprat.toml.lock").write_bytes(record)
        holder = hold(path)
        assert isinstance(holder, HeldBy)
        assert str(holder) == "another window"


def test_a_record_cannot_steer_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    with hold(path) as lock:  # type: ignore[union-attr]
        assert isinstance(lock, Lock)
        record = b"\x1b]52;c;eA==\x07\n12\n2026-04-02T18:30:00+00:00\n"
        (tmp_path / ".plugwright" / "sprat.toml.lock").write_bytes(record)
        assert str(hold(path)).isprintable()
