"""The app on a disk that fills up or goes: a program of its own, for it mounts one.

Started in a mount namespace of its own by test_app_disk.py; a failure is an assertion.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from tests.process.windows import Window, program
from wizard.plug.paths import get, parse
from wizard.store.opening import open_profile

START = """format = 1
[build]
name = "Pier herring"
step = "weighing"
[aim]
behaviour = "floats"
"""
UNMOUNTED = 75
"""Exit status where no disk may be mounted."""


def answer(plug: Path, key: str) -> str:
    found = get(open_profile(plug).build, parse(key))
    return found.text if found is not None else ""


def mounted(stick: Path) -> None:
    """A disk of 96 KiB."""
    stick.mkdir(exist_ok=True)
    command = ["mount", "-t", "tmpfs", "-o", "size=96k", "tmpfs", str(stick)]
    if subprocess.run(command, capture_output=True, check=False).returncode:
        sys.exit(UNMOUNTED)


def fill(stick: Path) -> Path:
    """A file that takes all the room there is."""
    ballast = stick / "ballast"
    with suppress(OSError), ballast.open("wb", buffering=0) as file:
        while file.write(bytes(1024)):
            pass
    return ballast


def on_the_stick(folder: Path) -> tuple[Path, Path, Window]:
    """The app open on a build on the disk; its folder of builds is elsewhere."""
    stick = folder / "stick"
    mounted(stick)
    plug = stick / "plug.toml"
    plug.write_text(START)
    home = {"PLUGWRIGHT_HOME": str(folder / "builds"), "TMPDIR": str(folder)}
    window = Window(program(str(plug), environment=home))
    window.until(lambda: window.line("> Mass of the bare body"))
    return stick, plug, window


def mass(window: Window, text: str) -> None:
    """Answer the mass, wherever the focus is."""
    window.point_at("Mass of the bare body")
    window.send(f"\x01\x0b{text.removesuffix(' g')}\r")
    window.until(f"[{text} ")
    window.until(lambda: window.pointed and not window.pointed.startswith("> Mass"))


def choose(window: Window, option: str) -> None:
    """Choose from a list in view."""
    window.until(lambda: picked(window))
    while option not in picked(window):
        before = picked(window)
        window.send("\x1b[B")
        window.until(lambda old=before: picked(window) not in ("", old))  # type: ignore[misc]
        rest(window)  # a list that scrolls is painted line by line
    window.send("\r")


def rest(window: Window) -> None:
    """Wait until what is on the screen no longer changes."""
    before = ""
    while window.text != before:
        before = window.text
        window.pump(0.05)


def picked(window: Window) -> str:
    """The option that is pointed at."""
    return window.line("> ")


def is_saved(window: Window) -> bool:
    return " saved " in f"{window.lines[0]} " and "NOT SAVED" not in window.text


def full(folder: Path) -> None:
    """A full disk: said at once, all kept in memory, saved when there is room again."""
    stick, plug, window = on_the_stick(folder)
    with window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        ballast = fill(stick)
        mass(window, "13.70 g")
        window.until("NOT SAVED: the disk is full; free some space or save to another place")
        window.until(lambda: window.lines[0].endswith("NOT SAVED"))
        assert answer(plug, "weighing.mass") == "13.62 g"
        window.send("\x1b")  # Esc would close the build
        window.until("It stays open here until it is saved")
        assert "[13.70 g " in window.text
        ballast.unlink()
        window.until(lambda: is_saved(window))
        assert answer(plug, "weighing.mass") == "13.70 g"
        _elsewhere(folder, stick, plug, window)


def _elsewhere(folder: Path, stick: Path, plug: Path, window: Window) -> None:
    """Full again: another place takes it, and the old file stays as it was."""
    fill(stick)
    mass(window, "13.81 g")
    window.until("NOT SAVED")
    window.send("\x10")  # Ctrl+P, the menu
    window.until(lambda: "Save to another place" in picked(window))  # what helps comes first
    choose(window, "Save to another place")
    window.until("Type a path")
    other = folder / "other.toml"
    window.send(f"{other}\r")
    window.until(lambda: is_saved(window))
    assert answer(other, "weighing.mass") == "13.81 g"
    assert answer(plug, "weighing.mass") == "13.70 g"
    mass(window, "13.90 g")
    window.until(lambda: is_saved(window))
    window.send("\x11")
    window.wait()
    assert window.status == 0
    assert answer(other, "weighing.mass") == "13.90 g"


def told_to_go(folder: Path) -> None:
    """Told to go while the disk is full: a copy lies in another folder, and that is said."""
    stick, plug, window = on_the_stick(folder)
    with window:
        fill(stick)
        mass(window, "13.62 g")
        window.until("NOT SAVED")
        window.signal(15)
        window.wait()
        assert window.status is not None
        assert os.WEXITSTATUS(window.status) == 128 + 15
        (copy,) = (folder / "builds").glob("plug.mine-*.toml")
        said = "".join(window.raw.decode().rpartition("\x1b[?1049l")[2].split())
        assert "NOTSAVED:thediskisfull" in said, said
        assert f"Acopywitheveryanswerisin{copy}" in said, said
    assert answer(copy, "weighing.mass") == "13.62 g"
    assert answer(plug, "weighing.mass") == ""


def gone(folder: Path) -> None:
    """A stick pulled and put back: said at once, saved when it is there again."""
    stick, plug, window = on_the_stick(folder)
    with window:
        mass(window, "13.62 g")
        window.until(lambda: is_saved(window))
        kept = plug.read_bytes()
        subprocess.run(["umount", "-l", str(stick)], check=True)
        stick.rmdir()
        mass(window, "13.70 g")
        window.until("NOT SAVED: its folder is not there; bring the disk or folder back")
        assert not stick.exists()
        mounted(stick)
        plug.write_bytes(kept)
        window.until(lambda: is_saved(window))
        assert answer(plug, "weighing.mass") == "13.70 g"
        window.send("\x11")
        window.wait()
        assert window.status == 0


if __name__ == "__main__":
    acts: dict[str, Callable[[Path], None]] = {"full": full, "told to go": told_to_go, "gone": gone}
    acts[sys.argv[1]](Path(sys.argv[2]))
