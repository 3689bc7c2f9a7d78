"""The app where saving fails, where another window is, and where somebody edits the file."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.process.disk_driver import START, UNMOUNTED, answer, choose, is_saved, mass
from tests.process.windows import Window, program
from wizard.store.opening import open_profile

DRIVER = Path(__file__).with_name("disk_driver.py")
ROOT = Path(__file__).parents[2]


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("unshare"), reason="no unshare to mount a disk with")
@pytest.mark.parametrize("act", ["full", "told to go", "gone"])
def test_a_real_disk_that_is(tmp_path: Path, act: str) -> None:
    own_mounts = ("unshare", "--user", "--map-root-user", "--mount")
    done = subprocess.run(
        [*own_mounts, sys.executable, str(DRIVER), act, str(tmp_path)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    if done.returncode == UNMOUNTED or "unshare" in done.stderr:
        pytest.skip("this system lets no test mount a disk")
    assert done.returncode == 0, done.stderr


@pytest.fixture
def plug(tmp_path: Path) -> Path:
    path = tmp_path / "builds" / "plug.toml"
    path.parent.mkdir()
    path.write_text(START)
    return path


def opened(plug: Path, at: str = "> Mass of the bare body", before: tuple[str, ...] = ()) -> Window:
    home = {"PLUGWRIGHT_HOME": str(plug.parent), "HOME": str(plug.parent)}
    window = Window(program(str(plug), environment=home, before=before))
    window.until(lambda: window.line(at))
    return window


def test_permissions_taken_away_and_given_back(plug: Path) -> None:
    as_owner: tuple[str, ...] = ()
    if os.geteuid() == 0:  # to whom nothing is forbidden, unless in a namespace of others
        as_owner = ("unshare", "--user")
        if subprocess.run([*as_owner, "true"], capture_output=True, check=False).returncode:
            pytest.skip("root can't give its rights away here")
    with opened(plug, before=as_owner) as window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        plug.parent.chmod(0o500)
        mass(window, "13.70 g")
        window.until("NOT SAVED: this place may not be used")
        assert answer(plug, "weighing.mass") == "13.62 g"
        plug.parent.chmod(0o700)
        window.until(lambda: is_saved(window))
        assert answer(plug, "weighing.mass") == "13.70 g"


def test_a_second_window_is_told_and_only_reads(plug: Path) -> None:
    with opened(plug) as first:
        with opened(plug) as second:
            second.until("Read only: another window on ")
            assert f"process {first.process}" in second.words
            second.until(lambda: second.lines[0].endswith("read only"))
            second.send("13.62\r")
            second.until("[13.62 ")
            before = plug.read_bytes()
            second.send("\x06")  # Ctrl+F: go to a step
            second.until("Go to a step")
            second.send("2\r")
            second.until("! Cautions: Stock")
            second.send("\x1b")
            second.until("Step 2 of 10")
            second.send("\x11")
            second.wait()
            assert second.status == 0
            assert plug.read_bytes() == before
        mass(first, "14.1 g")
        first.until(lambda: is_saved(first))
        first.signal(signal.SIGKILL)
        first.wait()
    with opened(plug, "> Smallest step") as third:  # the dead window's lock is nobody's
        third.until("ended without closing")
        mass(third, "14.2 g")
        third.until(lambda: is_saved(third))
    assert answer(plug, "weighing.mass") == "14.2 g"


def test_a_file_changed_under_the_app_is_left_alone_and_both_are_kept(plug: Path) -> None:
    with opened(plug) as window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        by_hand = plug.read_text().replace("Pier herring", "Pier sprat")
        plug.write_text(by_hand)
        mass(window, "13.70 g")
        window.until("Something else changed plug.toml, so it was left alone")
        assert plug.read_text() == by_hand
        (mine,) = plug.parent.glob("plug.mine-*.toml")
        assert mine.name in window.words
        assert answer(mine, "weighing.mass") == "13.70 g"
        mass(window, "13.81 g")
        window.until(lambda: answer(mine, "weighing.mass") == "13.81 g")
        assert "so it was left alone" in window.text  # as long as the build is open
        window.send("\x11")
        window.wait()
    assert plug.read_text() == by_hand
    assert open_profile(mine).build.build.name == "Pier herring"


def test_a_damaged_build_offers_its_last_good_version(plug: Path) -> None:
    with opened(plug) as window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        window.send("\x11")
        window.wait()
    damage = plug.read_bytes()[:-9] + b"\x00\x00"
    plug.write_bytes(damage)
    home = {"PLUGWRIGHT_HOME": str(plug.parent)}
    with Window(program(str(plug), environment=home)) as window:
        window.until("! plug.toml can't be read")
        window.until("This is not TOML")
        window.until("go on with ")
        assert plug.read_bytes() == damage
        window.send("2\r")
        window.until("Step 4 of 10")
        window.until("The damaged file is kept as plug.toml.damaged-")
        window.until("[13.62 g ")
    (aside,) = plug.parent.glob("*.damaged-*")
    assert aside.read_bytes() == damage
    assert answer(plug, "weighing.mass") == "13.62 g"


def test_a_build_whose_file_is_gone_is_not_begun_over_its_past(plug: Path) -> None:
    with opened(plug) as window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        window.send("\x11")
        window.wait()
    kept = plug.read_bytes()
    plug.unlink()
    home = {"PLUGWRIGHT_HOME": str(plug.parent)}
    with Window(program(str(plug), environment=home)) as window:
        window.until("its file is gone, but earlier versions are kept")
        assert not plug.exists()
        choose(window, "go on with")
        window.until("[13.62 g ")
        window.send("\x11")
        window.wait()
    assert plug.read_bytes() == kept


def test_an_earlier_version_comes_back_and_undo_takes_that_back(plug: Path) -> None:
    with opened(plug) as window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        window.send("\x11")
        window.wait()
    with opened(plug, "> Smallest step") as window:
        mass(window, "13.70 g")
        window.until(lambda: is_saved(window))
        window.send("\x10")
        window.until(lambda: window.lines[0].strip() == "Menu")
        choose(window, "Earlier versions")
        window.until("1 answer is different now")
        window.send("\r")
        window.until("Mass of the bare body: 13.70 g, was 13.62 g")
        window.send("\r")
        window.until("go back to this version")
        window.send("2\r")
        window.until("F3 takes that back")
        window.until("[13.62 g ")
        window.until(lambda: answer(plug, "weighing.mass") == "13.62 g")
        window.send("\x1bOR")  # F3
        window.until("[13.70 g ")
        window.until(lambda: answer(plug, "weighing.mass") == "13.70 g")
        window.send("\x11")
        window.wait()
