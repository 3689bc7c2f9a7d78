"""Earlier versions by the command, as a maker has it: list, what changed since, the way back."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from wizard.plug.paths import get, parse, put, without_row
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity, read
from wizard.session.changes import changes
from wizard.session.earlier import earlier, restore
from wizard.store.faults import SaveFailed
from wizard.store.files import fingerprint, save
from wizard.store.history import remember
from wizard.store.locks import Lock, hold
from wizard.store.opening import open_profile
from wizard.store.profile import read as read_profile
from wizard.store.profile import write

FIRST = """format = 1
[build]
name = "Pier herring"
step = "weighing"
[aim]
behaviour = "sinks"
margin = "12 %"
[weighing]
mass = "13.6 g"
"""
NOON = datetime(2026, 4, 2, 12, tzinfo=UTC)


def build_of(text: str) -> Build:
    return read_profile(text.encode(), "plug.toml")[0]


def measured(text: str, kind: str) -> Quantity:
    found = read(text, kind)  # type: ignore[arg-type]
    assert isinstance(found, Quantity)
    return found


def run(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "wizard", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)


@pytest.fixture
def plug(tmp_path: Path) -> Path:
    """A build with two kept versions and a third state on the disk."""
    path = tmp_path / "plug.toml"
    first = build_of(FIRST)
    second = put(first, parse("weighing.mass"), measured("13.62 g", "mass"))
    third = put(second, parse("stock.wood"), "basswood")
    third = put(third, parse("build.step"), "density")
    last = None
    for build in (first, second, third):
        saved = save(path, write(build), expected=last)
        last = saved.fingerprint
        if build is not third:
            remember(path, write(build), NOON)
    return path


def test_the_list_names_each_version_and_counts_what_is_different(plug: Path) -> None:
    done = run("history", plug)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert lines[0] == "plug.toml"
    assert [line.split()[0] for line in lines[1:]] == ["2", "1"]
    assert "step 4 of 10: Weighing; 1 answer is different now" in lines[1]
    assert "step 4 of 10: Weighing; 2 answers are different now" in lines[2]


def test_what_changed_since_a_version_is_said_in_the_words_of_the_screen(plug: Path) -> None:
    done = run("history", plug, "--since", "1")
    assert done.stdout.splitlines()[1:] == [
        f"Since version 1 of {NOON.astimezone():%Y-%m-%d %H:%M} 2 answers are different:",
        "  Wood: basswood, was open",
        "  Mass of the bare body: 13.62 g, was 13.6 g",
    ]


def test_a_version_takes_the_place_of_the_present_one_which_is_kept(plug: Path) -> None:
    now = plug.read_bytes()
    done = run("history", plug, "--restore", "1")
    assert (done.returncode, done.stderr) == (0, "")
    assert open_profile(plug).build == build_of(FIRST)
    kept = earlier(plug)
    assert now in [version.data for version in kept]
    again = next(version.key for version in kept if version.data == now)
    assert run("history", plug, "--restore", again).returncode == 0
    assert plug.read_bytes() == now


@pytest.mark.parametrize(
    "damage",
    [b"", b"format = 1\n[build\nname", b"\x00" * 4096, b"\xff\xfe\x00", b"a" * 300_000],
    ids=["empty", "cut", "zeros", "no text", "too large"],
)
def test_a_damaged_build_is_set_aside_and_an_earlier_version_offered(
    plug: Path, damage: bytes
) -> None:
    plug.write_bytes(damage)
    review = run("review", plug)
    assert review.returncode == 2
    assert review.stdout == ""
    (line,) = review.stderr.splitlines()
    assert f"An earlier version can be read: plugwright history {plug}" in line
    done = run("history", plug)
    assert done.returncode == 0
    assert done.stdout.splitlines()[1].startswith("! ")
    assert plug.read_bytes() == damage
    back = run("history", plug, "--restore", "2")
    assert back.returncode == 0, back.stderr
    assert open_profile(plug).build.weighing.mass == measured("13.62 g", "mass")
    (aside,) = plug.parent.glob("*.damaged-*")
    assert aside.name in back.stdout
    assert aside.read_bytes() == damage


def test_a_build_whose_file_is_gone_comes_back(plug: Path) -> None:
    before = plug.read_bytes()
    save(plug, before + b"# one more\n", expected=fingerprint(before))  # so that .bak holds it
    plug.unlink()
    assert "An earlier version can be read" in run("review", plug).stderr
    assert run("history", plug, "--restore", "last").returncode == 0
    assert plug.read_bytes() == before
    assert not list(plug.parent.glob("*.damaged-*"))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["history"], "required: profile"),
        (["history", "gone.toml"], "no such file"),
        (["history", "plug.toml", "--restore", "99"], "there is no version 99; kept are: 2, 1"),
        (["history", "plug.toml", "--since", "\x1b]0;x\x07"], "there is no version"),
        (["history", "plug.toml", "--restore"], "expected one argument"),
    ],
)
def test_what_cannot_be_done_is_one_line_and_status_2(
    plug: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], said: str
) -> None:
    monkeypatch.chdir(plug.parent)
    monkeypatch.setenv("PYTHONPATH", str(Path(__file__).parents[2]))
    before = plug.read_bytes()
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    (line,) = done.stderr.splitlines()
    assert said in line
    assert line.isprintable()
    assert plug.read_bytes() == before


def test_a_build_that_another_window_holds_is_left_alone(plug: Path) -> None:
    before = plug.read_bytes()
    lock = hold(plug)
    assert isinstance(lock, Lock)
    with lock:
        done = run("history", plug, "--restore", "1")
    assert done.returncode == 2
    assert f"process {os.getpid()}" in done.stderr
    assert plug.read_bytes() == before


def test_a_build_of_a_later_version_is_not_taken_for_a_damaged_one(plug: Path) -> None:
    later = plug.read_bytes().replace(b"format = 1", b"format = 2")
    plug.write_bytes(later)
    done = run("review", plug)
    assert done.returncode == 2
    assert "made by a later version" in done.stderr
    assert "earlier version can be read" not in done.stderr
    back = run("history", plug, "--restore", "1")
    assert back.returncode == 2
    assert plug.read_bytes() == later


def test_a_folder_or_a_pipe_is_not_set_aside(plug: Path) -> None:
    version = earlier(plug)[0]
    plug.unlink()
    for make in (Path.mkdir, os.mkfifo):
        make(plug)
        with pytest.raises(SaveFailed):
            restore(plug, version)
        assert not list(plug.parent.glob("*.damaged-*"))
        plug.rmdir() if plug.is_dir() else plug.unlink()


def test_rows_are_told_by_what_they_hold() -> None:
    build = build_of(
        FIRST
        + "".join(
            f'[[ballast.hole]]\nx = "{x} mm"\ndiameter = "6 mm"\ndepth = "{depth} mm"\n'
            for x, depth in ((20, 8), (40, 9), (60, 10))
        )
    )
    fewer = without_row(build, parse("ballast.hole.1"))
    assert changes(build, fewer) == ("Hole 2 (40 mm, 6 mm, 9 mm) is gone",)
    assert changes(fewer, build) == ("Hole 2 (40 mm, 6 mm, 9 mm) is new",)
    other = put(build, parse("ballast.hole.2.depth"), measured("11 mm", "length"))
    assert changes(build, other) == ("Hole 3, depth: 11 mm, was 10 mm",)


def test_open_none_and_cleared_are_told_apart() -> None:
    build = build_of(FIRST)
    none = put(build, ("hardware",), ())
    assert changes(build, none) == ("Pieces of hardware: none, was open",)
    assert changes(none, build) == ("Pieces of hardware: open, was none",)
    cleared = put(build, parse("weighing.mass"), None)
    assert changes(build, cleared) == ("Mass of the bare body: open, was 13.6 g",)
    assert changes(build, build) == ()


def test_where_a_build_stands_is_no_change_and_a_long_note_is_cut() -> None:
    build = build_of(FIRST)
    moved = put(build, parse("build.step"), "review")
    assert changes(build, moved) == ()
    (line,) = changes(build, put(build, parse("build.notes"), "\x1b[2J" + "long\n" * 5000))
    assert line.isprintable()
    assert len(line) < 200
    unknown = replace(build, other={"colour": "green"})
    assert len(changes(build, unknown)) == 1
    assert get(unknown, ("weighing", "mass")) == get(build, ("weighing", "mass"))
