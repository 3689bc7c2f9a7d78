"""The app as a real process in a real terminal: killed, hung up on, coloured or not."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

from tests.process.windows import PATIENCE, Window, program
from wizard.steps.walk import STEPS
from wizard.tables import cautions_for

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no pty")

ROOT = Path(__file__).parents[2]
PROFILES = ROOT / "profiles"


@pytest.fixture
def windows() -> Iterator[ExitStack]:
    """Windows to be closed at the end."""
    with ExitStack() as opened:
        yield opened


def opened(windows: ExitStack, folder: Path, **environment: str) -> Window:
    """The app on a folder of builds, in a window."""
    told = [f"{name}={value}" for name, value in {"COLORTERM": "truecolor", **environment}.items()]
    plain = ("env", "-u", "NO_COLOR", "-u", "TMUX", *told)
    return windows.enter_context(Window(program("--folder", str(folder), before=plain)))


def begun(windows: ExitStack, folder: Path, **environment: str) -> Window:
    """The app at the first step of a new build, with a half-typed margin."""
    window = opened(windows, folder, **environment)
    window.until("Before the first build")  # asked once, in a folder with nothing in it
    window.send("\x1b")
    window.until("Begin a new build")
    window.send("\r")
    window.until("what is it called")
    window.send("Pier herring\r")
    window.until("Step 1 of 10")
    window.send("\r\r3\r12")  # temperature, salinity, sinks, the margin begun
    window.until("reads as 12 %")
    return window


def look_at(window: Window, key: str, title: str) -> None:
    """Open a page of the build and go back to the step."""
    window.send(key)
    window.until(lambda: window.lines[0].lstrip(" !").startswith(title))
    window.send("\x1b")  # alone: with what comes next at its heels it would be another key
    window.until(lambda: "Step " in window.lines[0])


def kept(folder: Path) -> str:
    """The profile as it lies on the disk."""
    builds = [path for path in folder.glob("*.toml") if path.name != "bench.toml"]
    assert len(builds) < 2, builds
    return builds[0].read_text() if builds else ""


def drafts(folder: Path) -> list[Path]:
    """What was begun to be typed, as it lies on the disk."""
    return list(folder.glob(".plugwright/*.draft"))


def is_begun(draft: Path, text: str) -> bool:
    """Whether a draft holds a text; one that is taken goes even while it is looked at."""
    with suppress(FileNotFoundError):
        return text in draft.read_text()
    return False


def test_killed_at_a_step_it_resumes_there_with_every_answer(
    tmp_path: Path, windows: ExitStack
) -> None:
    window = begun(windows, tmp_path)
    window.until(lambda: 'behaviour = "sinks"' in kept(tmp_path))
    window.until(lambda: any(is_begun(draft, "12") for draft in drafts(tmp_path)))
    window.signal(signal.SIGKILL)
    window.wait()
    assert 'behaviour = "sinks"' in kept(tmp_path)
    again = opened(windows, tmp_path)
    again.until("Resume Pier herring, step 1 of 10: Plan")
    again.send("\r")
    again.until("draft, reads as 12 %")
    again.until("> Margin from neutral")
    for answer in ("[15 degC ", "[0 g/kg ", "[sinks "):
        again.until(answer)
    again.send("\r\r\r")
    again.until("Cautions: Stock")
    again.send("\x11")
    again.wait()
    assert again.status == 0
    assert 'margin = "12 %"' in kept(tmp_path)
    assert 'step = "stock"' in kept(tmp_path)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_saves_and_gives_the_terminal_back(
    tmp_path: Path, windows: ExitStack, number: signal.Signals
) -> None:
    window = begun(windows, tmp_path)
    window.signal(number)
    window.wait()
    assert window.status is not None
    assert os.waitstatus_to_exitcode(window.status) == 128 + number
    for code in (b"\x1b[?1049l", b"\x1b[?25h", b"\x1b[?2004l", b"\x1b[?1000l", b"\x1b[?1003l"):
        assert window.raw.rindex(code) > window.raw.index(code.replace(b"l", b"h")[:4])
    assert 'behaviour = "sinks"' in kept(tmp_path)
    assert drafts(tmp_path)


def test_a_lost_terminal_ends_the_program(tmp_path: Path) -> None:
    """Also where nobody tells it: with SIGHUP ignored it must neither spin nor stay."""
    code = (
        "import os, pty, signal, sys\n"
        "signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "child, terminal = pty.fork()\n"
        "if child == 0:\n"
        f"    os.execv({sys.executable!r}, [{sys.executable!r}, '-m', 'wizard', *sys.argv[1:]])\n"
        "seen = b''\n"
        "while b'new build' not in seen:\n"
        "    seen += os.read(terminal, 65536)\n"
        "os.close(terminal)\n"
        "print(os.waitpid(child, 0)[1], flush=True)\n"
    )
    env = {**os.environ, "TERM": "xterm-256color", "LC_ALL": "C.UTF-8"}
    run = [sys.executable, "-c", code, "--folder", str(tmp_path)]
    done = subprocess.run(
        run, env=env, cwd=ROOT, timeout=PATIENCE, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip().isdigit()


def test_no_colour_means_not_one_colour_code(tmp_path: Path, windows: ExitStack) -> None:
    window = begun(windows, tmp_path, NO_COLOR="1")
    window.send("\r")
    window.until(lambda: window.pointed and not window.pointed.startswith("> Margin"))
    for key, title in (("\x1bOP", "Help"), ("\x10", "Menu"), ("\x0c", "All answers")):
        look_at(window, key, title)
    window.send("\x11")
    window.wait()
    codes = {c for found in re.findall(rb"\x1b\[([\d;]*)m", window.raw) for c in found.split(b";")}
    assert codes <= {b"", b"0", b"1", b"4", b"7", b"22", b"24", b"27"}
    assert codes & {b"1", b"7"}  # what has the focus is still seen


def test_the_console_is_sent_nothing_but_ascii(tmp_path: Path, windows: ExitStack) -> None:
    shutil.copy(PROFILES / "harbour-dart.toml", tmp_path)
    window = opened(windows, tmp_path, TERM="linux", COLORTERM="")
    window.until("Resume Harbour dart")
    window.send("\r")
    window.until("Step ")
    window.until("+/-")
    for key, title in (
        ("\x12", "Numbers and their working"),
        ("\x07", "Help"),
        ("\x0c", "All answers"),
    ):
        look_at(window, key, title)
    assert "+/-" in window.raw.decode("ascii")
    window.send("\x11")
    window.wait()
    window.raw.decode("ascii")


def test_a_hostile_name_reaches_no_terminal(tmp_path: Path, windows: ExitStack) -> None:
    (tmp_path / "it.toml").write_text(
        'format = 1\n[build]\nname = "\\u001b]52;c;aGVsbG8=\\u0007\\u001b]8;;x\\u001b\\\\"\n'
    )
    window = opened(windows, tmp_path)
    window.until("Resume")
    window.send("\r")
    window.until("Step 1 of 10")
    for key, title in (("\x07", "Help"), ("\x0c", "All answers")):
        look_at(window, key, title)
    window.send("\x11")
    window.wait()
    assert b"\x1b]52" not in window.raw
    assert b"\x1b]8;" not in window.raw


def test_the_first_screen_comes_without_what_only_numbers_need() -> None:
    code = (
        "import sys\n"
        "import wizard.app.app, wizard.app.start\n"
        "heavy = {'numpy', 'pint', 'uncertainties', 'scipy'} & set(sys.modules)\n"
        "print(sorted(heavy))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def children(process: int) -> list[int]:
    """The processes that a process has started."""
    tasks = Path(f"/proc/{process}/task").glob("*/children")
    return [int(child) for task in tasks for child in task.read_text().split()]


@pytest.mark.skipif(not Path("/proc/self/maps").exists(), reason="looks into /proc, of Linux")
def test_what_is_heavy_stays_in_a_process_of_its_own(tmp_path: Path, windows: ExitStack) -> None:
    """All steps of a drawn plug and its picture: the app loads no arrays for the numbers."""
    shutil.copy(PROFILES / "harbour-dart.toml", tmp_path)
    window = opened(windows, tmp_path)
    window.until("Resume Harbour dart")
    window.send("\r")
    window.until("± ")
    entered = {step.id for step in STEPS if step.title in window.lines[0]}
    for number, step in enumerate(STEPS):
        window.send("\x06")
        window.until("Go to a step")
        window.send("\x1b[H" + "\x1b[B" * number + "\r")
        if cautions_for(step.id) and step.id not in entered:
            window.until(f"Cautions: {step.title}")
            while window.lines[0].startswith(" ! Cautions"):
                before = window.text
                window.send("\r")
                window.until(lambda before=before: window.text != before)  # type: ignore[misc]
        window.until(f"Step {number + 1} of 10")
    window.send("\x1b[19~")
    window.until("Picture: ")
    window.until("from above")
    window.send("\x1b[6~")
    window.until("It will right itself")
    (apart,) = children(window.process)
    arrays = "_multiarray_umath"
    assert arrays not in Path(f"/proc/{window.process}/maps").read_text()
    assert arrays in Path(f"/proc/{apart}/maps").read_text()
    window.signal(signal.SIGKILL)
    window.wait()
    deadline = time.monotonic() + PATIENCE
    while Path(f"/proc/{apart}").exists():
        assert time.monotonic() < deadline, "it goes on without the app"
        time.sleep(0.01)
