"""What reaches the terminal from hostile builds: every byte of a tour through the app is read."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import unicodedata
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.demos import ONE_OF_EACH
from tests.process.hostile_texts import TEXTS, acting, evil_build
from tests.process.windows import Window, program
from wizard.steps.walk import STEPS
from wizard.store.history import Draft, remember, save_draft
from wizard.store.opening import open_profile
from wizard.store.profile import write
from wizard.tables import cautions_for

ROOT = Path(__file__).parents[2]

SEQUENCE = re.compile(r"\x1b(?:\[([0-9;:?<>=]*[ -/]*)([@-~])|([^\[]))")
OURS = frozenset("mHhluK")
"""Ends of the sequences that the screen is made of: colours, places, modes, rest of a line."""

ASKED = re.compile(r"\x1b\[\?20(?:26|48)\$p|\x1b\]22;[a-z]*\x07")
"""What Textual asks a terminal of its own accord: about modes, and for a shape of the pointer."""


def leaks(raw: bytes) -> list[str]:
    """Whatever is neither a sign to be seen nor a sequence that the screen is made of.

    A byte that is part of no sign is one too: also the first ones of a sign read half so far.
    """
    text = ASKED.sub("", raw.decode(errors="surrogateescape"))
    found = [
        ascii(match[0])
        for match in SEQUENCE.finditer(text)
        if match[3] or match[2] not in OURS or "\x1b" in match[1]
    ]
    rest = SEQUENCE.sub("", text)
    return found + [
        ascii(c) for c in rest if unicodedata.category(c)[0] == "C" and c not in "\r\n\b\t"
    ]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shelf of hostile builds under hostile names, one with a past, one damaged."""
    made = tmp_path / "builds"
    made.mkdir()
    build, _ = evil_build(open_profile(ONE_OF_EACH[0]).build, 1)
    good = made / "a.toml"
    good.write_bytes(write(build))
    names = [t for t in TEXTS.values() if t and "/" not in t and "\0" not in t and len(t) < 60]
    for number, name in enumerate(names):
        if number % 2:
            (made / f"{name}.toml").write_bytes(write(evil_build(build, number)[0]))
        else:
            (made / f"{name}.toml").write_text(f"format = 1\n[build]\nstep = {name!r}\n")
    return made


F = {1: "\x1bOP", 2: "\x1bOQ", 3: "\x1bOR", 4: "\x1bOS", 5: "\x1b[15~", 6: "\x1b[17~",
     7: "\x1b[18~", 8: "\x1b[19~", 9: "\x1b[20~", 10: "\x1b[21~", 11: "\x1b[23~"}  # fmt: skip
ESCAPE = "\x1b"


@pytest.mark.slow
@pytest.mark.parametrize("turn", [0, 14])
def test_a_tour_through_a_hostile_build(folder: Path, turn: int) -> None:
    path = folder / "a.toml"
    build, _ = evil_build(open_profile(ONE_OF_EACH[turn % len(ONE_OF_EACH)]).build, turn)
    path.write_bytes(write(build))
    remember(path, write(evil_build(build, turn + 5)[0]), datetime.now(UTC))
    save_draft(path, Draft("build.notes", TEXTS["clipboard"], build.build.notes or ""))
    home = {"PLUGWRIGHT_HOME": str(folder)}
    with Window(program(str(path), environment=home)) as window:
        window.until("Free text about this build")  # the draft of the notes
        window.send(ESCAPE)
        window.until(lambda: "Step " in window.lines[0])
        begun = int(window.lines[0].split("Step ")[1].split()[0])
        for number, step in enumerate(STEPS[:9], start=1):
            window.send("\x06")  # Ctrl+F
            window.until("Go to a step")
            window.send(f"{number}\r")
            if number != begun and cautions_for(step.id):  # the step may be seen before them
                window.until(lambda: "Cautions" in window.lines[0])
                window.send(ESCAPE)
            window.until(lambda title=f"Step {number} of": title in window.lines[0])  # type: ignore[misc]
        for number in (1, 2, 6, 7, 8, 9, 10):
            window.send(F[number])
            window.until(lambda: "Step " not in window.lines[0])
            window.send("\x1b[B" * 9)
            window.pump(0.1)
            window.send(ESCAPE)
            window.until(lambda: "Step " in window.lines[0])
        for option in ("Review", "Earlier versions", "The sheet of", "Compare", "Marking-out"):
            window.send("\x10")
            window.until(lambda: window.lines[0].strip() == "Menu")
            window.send(option)  # letters find
            window.until(lambda option=option: option in window.line("> "))  # type: ignore[misc]
            window.send("\r")
            window.until(lambda: not window.lines[0].strip().startswith(("Menu", "Step ")))
            window.send("\x1b[B" * 9)
            window.pump(0.2)
            window.send(ESCAPE)
            window.until(lambda: "Step " in window.lines[0])
        window.until(lambda: leaks(bytes(window.raw)) == [])  # a sequence may be half read
        window.send("\x11")
        window.wait()
        assert window.status == 0, window.text
    assert leaks(bytes(window.raw)) == []


@pytest.mark.slow
def test_a_shelf_of_hostile_names(folder: Path) -> None:
    with Window(program("--folder", str(folder))) as window:
        window.until("Begin a new build")
        for _ in range(40):
            window.send("\x1b[B")
        window.until(lambda: "Quit" in window.line("> "))
        window.send("\x1b[A" * 3)
        window.pump(0.5)
        window.send("\x11")
        window.wait()
        assert window.status == 0, window.text
    assert leaks(bytes(window.raw)) == []


@pytest.mark.parametrize("name", [n for n in TEXTS if TEXTS[n] and "\0" not in TEXTS[n]])
def test_a_damaged_file_of_a_hostile_name(tmp_path: Path, name: str) -> None:
    called = TEXTS[name].replace("/", "\u2215")[:60] + ".toml"
    if len(os.fsencode(called)) > 255 or called.startswith("-"):
        pytest.skip("no file can have that name, or it is an option")
    path = tmp_path / called
    path.write_text("format = 1\n[weighing]\nmass = 'x'\n")
    environment = {**os.environ, "PLUGWRIGHT_HOME": str(tmp_path), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "--plain", called],
        capture_output=True, stdin=subprocess.DEVNULL, check=False, timeout=60,
        cwd=tmp_path, env=environment,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1
    assert acting(done.stdout.decode() + done.stderr.decode()) == []


@pytest.mark.parametrize("turn", range(0, len(TEXTS), 9))
def test_the_plain_mode_on_a_hostile_build(tmp_path: Path, turn: int) -> None:
    path = tmp_path / "it.toml"
    build, _ = evil_build(open_profile(ONE_OF_EACH[turn % len(ONE_OF_EACH)]).build, turn)
    path.write_bytes(write(build))
    typed = "".join(f"/step {n}\n\n\n\n/help\n" for n in range(1, 11))
    typed += "/numbers\n/working\n/review\n/notes\n/names\n/words\n/picture\n/marking\n"
    typed += "".join(f"{t}\n" for t in TEXTS.values() if "\n" not in t and "\0" not in t)
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "--plain", str(path)],
        input=typed.encode("utf-8", "surrogatepass"), capture_output=True, check=False,
        timeout=120, env={**os.environ, "PLUGWRIGHT_HOME": str(tmp_path)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert acting(done.stdout.decode()) == []
    assert acting(done.stderr.decode()) == []
