"""Reading whatever a path may lead to: refused in words, at once, in bounded memory."""

import os
import socket
import stat
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from wizard.store.disk import Disk
from wizard.store.files import MOST_BYTES, ReadRefused, fingerprint, read


class Counting(Disk):
    """Counts bytes read, and may tell other than the truth about a file."""

    def __init__(self, *, size: int | None = None, plain_at_first: bool = False) -> None:
        self.taken, self.opened = 0, 0
        self.size, self.plain_at_first = size, plain_at_first

    def open(self, path: Path, flags: int, mode: int = 0o666) -> int:
        self.opened += 1
        return super().open(path, flags, mode)

    def read(self, descriptor: int, most: int) -> bytes:
        data = super().read(descriptor, most)
        self.taken += len(data)
        return data

    def stat(self, path: Path) -> os.stat_result:
        state = super().stat(path)
        mode = stat.S_IFREG | 0o644 if self.plain_at_first else state.st_mode
        return os.stat_result((mode, *tuple(state)[1:6], self.size or state.st_size, 0, 0, 0))

    def fstat(self, descriptor: int) -> os.stat_result:
        state = super().fstat(descriptor)
        return os.stat_result((*state[:6], self.size or state.st_size, 0, 0, 0))


def refusal(path: Path, disk: Disk) -> ReadRefused:
    """The refusal; a reader that waits for a pipe is a failure, not a hanging test."""
    met: list[BaseException] = []

    def attempt() -> None:
        try:
            read(path, disk=disk)
        except BaseException as fault:
            met.append(fault)

    reader = threading.Thread(target=attempt, daemon=True)
    reader.start()
    reader.join(10)
    assert not reader.is_alive(), "the reader waits"
    assert len(met) == 1, "not refused"
    assert isinstance(met[0], ReadRefused)
    assert str(met[0]).isprintable()
    for part in (met[0].wrong, met[0].expected, met[0].remedy):
        assert part in str(met[0])
    return met[0]


def make_socket(path: Path) -> None:
    os.chdir(path.parent)  # the name of a socket may only be short
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind(path.name)


MAKERS: dict[str, Callable[[Path], object]] = {
    "folder": Path.mkdir,
    "pipe": os.mkfifo,
    "device": lambda path: path.symlink_to("/dev/zero"),
    "socket": make_socket,
}


@pytest.mark.parametrize("kind", list(MAKERS))
@pytest.mark.parametrize("swapped", [False, True], ids=["seen", "swapped after the look"])
def test_what_is_no_file_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str, swapped: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "sprat.toml"
    MAKERS[kind](path)
    disk = Counting(plain_at_first=swapped)
    found = refusal(path, disk)
    assert kind in found.wrong or swapped
    assert disk.opened == swapped
    assert disk.taken == 0


def test_a_huge_file_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    disk = Counting()
    assert "too large" in refusal(path, disk).wrong
    assert disk.opened == 0


def test_a_file_that_lies_about_its_size_is_read_no_further_than_the_limit(
    tmp_path: Path,
) -> None:
    """As files of the kernel do, and files that grow while they are read."""
    path = tmp_path / "sprat.toml"
    path.write_bytes(b"a" * 2_000_000)
    disk = Counting(size=5)
    assert "too large" in refusal(path, disk).wrong
    assert disk.taken == MOST_BYTES + 1


@pytest.mark.parametrize("size", [0, 1, MOST_BYTES - 1, MOST_BYTES])
def test_a_file_up_to_the_limit_is_read_whole(tmp_path: Path, size: int) -> None:
    path = tmp_path / "sprat.toml"
    data = os.urandom(size)
    path.write_bytes(data)
    assert read(path) == (data, fingerprint(data))


def test_missing_looping_and_impossible_names_are_refused(tmp_path: Path) -> None:
    (tmp_path / "one.toml").symlink_to("one.toml")
    (tmp_path / "lost.toml").symlink_to("gone.toml")
    (tmp_path / "plain").write_bytes(b"")
    for name, wrong in {
        "gone.toml": "no such file",
        "lost.toml": "no such file",
        "nowhere/sprat.toml": "no such file",
        "one.toml": "circle",
        "plain/sprat.toml": "not a folder",
        "a\0b": "character",
        "a\ud800b": "character",
        "a" * 300: "too long",
        "\x1b]52;c;eA==\x07\n[/]\u202e": "no such file",
    }.items():
        assert wrong in refusal(tmp_path / name, Disk()).wrong


def test_an_unreadable_file_is_refused(tmp_path: Path) -> None:
    class Shut(Disk):
        def open(self, path: Path, flags: int, mode: int = 0o666) -> int:
            raise PermissionError(13, "Permission denied")

    path = tmp_path / "sprat.toml"
    path.write_bytes(b"a")
    assert "permissions" in refusal(path, Shut()).remedy
