"""The app in a terminal: killed, told to go, hung up, suspended, met by a fault of its own."""

from __future__ import annotations

import fcntl
import json
import os
import re
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.demos import BEGUN
from tests.process.windows import Window, program
from wizard.plug.paths import get, parse
from wizard.session.opening import resume
from wizard.store.history import Draft, drop_draft, read_draft, save_draft
from wizard.store.locks import Lock, hold
from wizard.store.opening import open_profile

DRIVER = Path(__file__).with_name("survival_driver.py")
ROOT = Path(__file__).parents[2]
GONE = 1.0
"""Seconds within which the process is gone, at the best of so many TRIES."""
TRIES = 10
"""A test may have to wait its turn again and again, beside others; one in time is enough."""


@pytest.fixture
def plug(tmp_path: Path) -> Path:
    """A build that stands at the weighing, and a home where nothing else is."""
    path = tmp_path / "builds" / "plug.toml"
    path.parent.mkdir()
    path.write_text(BEGUN)
    return path


@pytest.fixture
def window(plug: Path) -> Iterator[Window]:
    """The app on that build, ready for the mass."""
    with opened(plug) as made:
        yield made


def opened(plug: Path, at: str = "> Mass of the bare body") -> Window:
    home = {"PLUGWRIGHT_HOME": str(plug.parent), "TMPDIR": str(plug.parent.parent)}
    made = Window(program(str(plug), environment=home))
    made.until(lambda: made.line(at))
    return made


def begin_again(plug: Path) -> None:
    """The build as it was at first, with nothing that another life left beside it."""
    plug.write_text(BEGUN)
    drop_draft(plug)


def answer(plug: Path, key: str) -> str:
    found = get(open_profile(plug).build, parse(key))
    return found.text if found is not None else ""


def is_reset(raw: bytes) -> bool:
    """Whether the terminal was given back: its own screen, no mouse, the cursor shown.

    Source of the codes: XTerm Control Sequences, private modes of DECSET and DECRST.
    """
    last: dict[bytes, bytes] = {}
    for numbers, act in re.findall(rb"\x1b\[\?([0-9;]+)([hl])", raw):
        for number in numbers.split(b";"):
            last[number] = act
    on = {number for number, act in last.items() if act == b"h"}
    assert b"1049" in last, "it never took the screen"
    return b"25" in on and not on & {b"1049", b"1000", b"1002", b"1003", b"1004", b"1006", b"2004"}


def lives(folder: Path, times: int, *more: str) -> dict[str, Any]:
    """The report of makers killed so many times."""
    seed = int.from_bytes(os.urandom(4), "big")
    sys.stdout.write(f"seed {seed}\n")  # shown with a failure, to replay it
    done = subprocess.run(
        [sys.executable, str(DRIVER), str(folder), str(times), str(seed), *more],
        capture_output=True,
        text=True,
        check=False,
        timeout=1800,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.returncode == 0, done.stderr
    report = json.loads(done.stdout)
    assert isinstance(report, dict)
    return report


TIMES = int(os.environ.get("PLUGWRIGHT_KILLS", "300"))
"""Kills in all, a fifth of them at the screen; a long run sets the variable."""


@pytest.mark.slow
@pytest.mark.parametrize("part", range(2))
def test_no_kill_loses_what_the_screen_calls_saved(tmp_path: Path, part: int) -> None:
    report = lives(tmp_path, TIMES // 10)
    assert report["confirmed"] >= TIMES // 40


@pytest.mark.slow
@pytest.mark.parametrize("part", range(2))
def test_no_kill_loses_what_the_plain_mode_calls_ok(tmp_path: Path, part: int) -> None:
    report = lives(tmp_path, TIMES // 10 * 4, "plain")
    assert report["confirmed"] >= TIMES // 10


def test_half_an_answer_comes_back_marked_as_a_draft(plug: Path) -> None:
    with opened(plug) as window:
        window.send("13,6")
        window.until(lambda: read_draft(plug) == Draft("weighing.mass", "13,6"))
        window.signal(signal.SIGKILL)
        window.wait()
    assert answer(plug, "weighing.mass") == ""
    with opened(plug) as window:
        window.until(lambda: "draft, reads as 13.6 g" in window.line("> Mass"))
        assert "[13,6 " in window.line("> Mass")
        window.until("ended without closing")
        window.send("2\r")
        window.until("[13,62 g")
        window.send("\x11")
        window.wait()
    assert answer(plug, "weighing.mass") == "13,62 g"
    with opened(plug, "> Smallest step") as window:  # taken is taken: no draft any more
        window.until("[13,62 g")
        assert "draft" not in window.text


def test_a_draft_typed_over_another_answer_is_not_shown(plug: Path) -> None:
    """As when the file was mended by hand since."""
    with opened(plug) as window:
        window.send("13,6")
        window.until(lambda: read_draft(plug) == Draft("weighing.mass", "13,6"))
        window.signal(signal.SIGKILL)
        window.wait()
    plug.write_text(BEGUN + '[weighing]\nmass = "14.2 g"\n')
    with opened(plug, "> Smallest step") as window:
        window.until("[14.2 g ")
        assert "draft" not in window.text
        window.send("\x1b[A\x1b[B\x11")
        window.wait()
    assert answer(plug, "weighing.mass") == "14.2 g"


def test_a_draft_that_another_answer_made_void_does_not_come_back_later(plug: Path) -> None:
    save_draft(plug, Draft("weighing.mass", "13,6"))
    for text in (BEGUN + '[weighing]\nmass = "14.2 g"\n', BEGUN):
        plug.write_text(text)
        session = resume(plug, lambda kept: None)
        assert session.draft is None
        session.close(GONE)


def test_notes_that_are_being_written_come_back(plug: Path) -> None:
    with opened(plug) as window:
        window.send("\x0e")  # Ctrl+N
        window.until("Free text about this build")
        window.send("oiled twice\rand again")
        wanted = Draft("build.notes", "oiled twice\nand again")
        window.until(lambda: read_draft(plug) == wanted)
        window.signal(signal.SIGKILL)
        window.wait()
    home = {"PLUGWRIGHT_HOME": str(plug.parent)}
    with Window(program(str(plug), environment=home)) as window:
        window.until("Free text about this build")
        window.until("oiled twice")
        window.send("\x1b")
        window.until(lambda: window.line("> Mass of the bare body"))
        window.send("\x11")
        window.wait()
    assert open_profile(plug).build.build.notes == "oiled twice\nand again"


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_it_saved_and_with_the_terminal_given_back(
    plug: Path, number: signal.Signals
) -> None:
    times: list[float] = []
    while not times or (min(times) > GONE and len(times) < TRIES):
        begin_again(plug)
        with opened(plug) as window:
            window.send("13.62\r")
            window.until("[13.62 g")
            window.send("7")  # a half answer in the next field
            window.until("[7 ")
            window.signal(number)
            times.append(window.wait())
            assert window.status is not None
            assert os.WEXITSTATUS(window.status) == 128 + number
            assert is_reset(bytes(window.raw))
            assert answer(plug, "weighing.mass") == "13.62 g"
    assert min(times) < GONE
    draft = read_draft(plug)
    assert draft is not None
    assert draft.text == "7"
    lock = hold(plug)
    assert isinstance(lock, Lock)
    assert lock.left_by is None
    lock.release()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
@pytest.mark.parametrize("wait", [0.0, 0.1, 0.25])
def test_a_signal_at_any_moment_of_the_start_ends_it(
    plug: Path, number: signal.Signals, wait: float
) -> None:
    home = {"PLUGWRIGHT_HOME": str(plug.parent)}
    with Window(program(str(plug), environment=home)) as window:
        deadline = time.monotonic() + wait
        while time.monotonic() < deadline:
            window.pump(0.01)
        window.signal(number)
        window.wait()
        assert b"\x1b[?1049h" not in window.raw or is_reset(bytes(window.raw))
    assert plug.read_text() == BEGUN


@pytest.mark.parametrize("ignored", [False, True], ids=["hang-up told", "hang-up not told"])
def test_a_lost_terminal_ends_it_without_spinning(plug: Path, ignored: bool) -> None:
    home = {"PLUGWRIGHT_HOME": str(plug.parent)}
    start = program(str(plug), environment=home)

    def deaf() -> None:
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
        fcntl.ioctl(0, termios.TIOCNOTTY)  # it is nobody's terminal: no signal tells of its end
        start()

    times: list[float] = []
    while not times or (min(times) > GONE and len(times) < TRIES):
        begin_again(plug)
        with Window(deaf if ignored else start) as window:
            window.until(lambda: window.line("> Mass of the bare body"))
            window.send("13.62\r")
            window.until("[13.62 g")
            window.hang_up()
            times.append(window.gone())
            assert answer(plug, "weighing.mass") == "13.62 g"
    assert min(times) < GONE


@pytest.mark.parametrize("way", ["SIGTERM", "closed"])
@pytest.mark.parametrize("wait", [0.0, 0.05, 0.15])
def test_keys_that_still_wait_their_turn_do_not_keep_it_alive(
    plug: Path, way: str, wait: float
) -> None:
    """Typed ahead, as into a terminal that is being closed: it once went round for ever."""
    with opened(plug) as window:
        window.send("13.62\r" + "12\r\x1b[A3\x1b[B\r4" * 8)
        window.pump(wait)
        if way == "closed":
            window.hang_up()
            window.gone()
        else:
            window.signal(signal.SIGTERM)
            window.wait()
    open_profile(plug)


@pytest.mark.parametrize("way", ["SIGTERM", "SIGHUP", "closed", "end of input"])
def test_the_plain_mode_ends_saved_and_free(plug: Path, way: str) -> None:
    home = {"PLUGWRIGHT_HOME": str(plug.parent)}
    times: list[float] = []
    while not times or (min(times) > GONE and len(times) < TRIES):
        plug.write_text(BEGUN)
        with Window(program("--plain", str(plug), environment=home)) as window:
            window.until(lambda: window.raw.endswith(b"Mass of the bare body: "))
            window.send("13.62\n")
            window.until("ok. Mass of the bare body: 13.62 g")
            assert answer(plug, "weighing.mass") == "13.62 g"
            if way == "closed":
                window.hang_up()
                times.append(window.gone())
            elif way == "end of input":
                window.send("\x04")
                times.append(window.wait())
                assert window.status == 0
            else:
                window.signal(getattr(signal, way))
                times.append(window.wait())
                assert window.status is not None
                assert os.WEXITSTATUS(window.status) == 128 + getattr(signal, way)
                assert "Traceback" not in window.text
        lock = hold(plug)
        assert isinstance(lock, Lock)
        assert lock.left_by is None
        lock.release()
    assert min(times) < GONE


def test_a_suspended_app_loses_nothing_and_goes_on(window: Window, plug: Path) -> None:
    window.send("13.62\r")
    window.until("[13.62 g")
    window.send("\x1a")  # Ctrl+Z
    window.until(lambda: state_of(window) == "T")
    window.until(lambda: is_reset(bytes(window.raw)))  # written before, perhaps not read yet
    assert answer(plug, "weighing.mass") == "13.62 g"
    before = len(window.raw)
    window.screen.reset()  # the terminal gives it an empty screen
    window.signal(signal.SIGCONT)
    window.until(lambda: b"\x1b[?1049h" in window.raw[before:])
    window.until(lambda: "Step 4 of 10" in window.lines[0] and "F1 Help" in window.lines[-1])
    window.until("[13.62 g")
    window.send("\x11")
    window.wait()
    assert window.status == 0


def state_of(window: Window) -> str:
    with open(f"/proc/{window.process}/stat") as file:
        return file.read().rpartition(")")[2].split()[0]


def meddled(script: str, plug: Path) -> Window:
    """The app on a build, begun by a script that changes something in it before."""
    home = {**os.environ, "PLUGWRIGHT_HOME": str(plug.parent), "PYTHONPATH": str(ROOT)}
    home |= {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8"}
    return Window(
        lambda: os.execve(sys.executable, [sys.executable, "-c", script, str(plug)], home)
    )


STUCK = """
import sys
from dataclasses import replace
from threading import Event
import wizard.app.screens.{page} as page
def stuck(*_): Event().wait()
page.{name} = {value}
from wizard.__main__ import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize(
    ("step", "page", "name", "value", "shown"),
    [
        ("ballast", "ballast_plan", "proposed", "stuck", "working out a plan"),
        ("proof", "tank", "TANK", "replace(page.TANK, tell=stuck)", "working it out"),
    ],
    ids=["drill plan", "tank"],
)
def test_what_is_still_worked_out_does_not_keep_it_alive(
    plug: Path, step: str, page: str, name: str, value: str, shown: str
) -> None:
    plug.write_text(BEGUN.replace('step = "weighing"', f'step = "{step}"'))
    with meddled(STUCK.format(page=page, name=name, value=value), plug) as window:
        window.until("F12")
        window.send("\x1b[24~")
        window.until(shown)
        window.signal(signal.SIGTERM)
        window.wait()
        assert window.status is not None
        assert os.WEXITSTATUS(window.status) == 128 + signal.SIGTERM
        assert is_reset(bytes(window.raw))


FAULTY = """
import sys
from textual import work
import wizard.app.screens.step as step
def fail(self, event): raise RuntimeError("\\x1b]0;title\\x07[/b] of no use")
async def at_home(self): fail(self, None)
step.StepScreen.action_home = {by}(at_home)
from wizard.__main__ import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize("by", ["", "work"], ids=["at a key", "in a worker"])
def test_a_fault_of_the_program_ends_it_saved_and_in_one_line(plug: Path, by: str) -> None:
    with meddled(FAULTY.format(by=by), plug) as window:
        window.until("> Mass of the bare body")
        window.send("13.62\r7")
        window.until("[13.62 g")
        window.send("\x1b")
        window.wait()
        assert window.status is not None
        assert os.WEXITSTATUS(window.status) == 1
        raw = bytes(window.raw)
        assert is_reset(raw)
        after = raw[raw.rindex(b"\x1b[?1049l") :]
        words = b" ".join(after.split())
        assert b"a fault of its own (RuntimeError). Every answer is saved." in words
        assert b"\x1b]0;" not in after
        assert b"Traceback" not in after
    assert answer(plug, "weighing.mass") == "13.62 g"
    trace = (plug.parent / ".plugwright" / "plugwright.fault").read_text()
    assert "in fail" in trace
    assert "\x1b" not in trace
