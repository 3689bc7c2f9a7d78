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
from pathlib import Path
from typing import Any

import pexpect
import pyte
import pytest

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no pty")

ROOT = Path(__file__).parents[2]
PROFILES = ROOT / "profiles"
PATIENCE = 30.0


class Terminal:
    """A terminal with the app in it."""

    def __init__(self, *arguments: str, env: dict[str, str] | None = None) -> None:
        kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TMUX")}
        settings = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LC_ALL": "C.UTF-8"}
        self.sent = b""
        self._screen: Any = pyte.Screen(80, 24)
        self._stream: Any = pyte.ByteStream(self._screen)
        self.process: Any = pexpect.spawn(
            sys.executable,
            ["-m", "wizard", *arguments],
            env={**kept, **settings, **(env or {})},
            dimensions=(24, 80),
            cwd=str(ROOT),
        )

    def pump(self, seconds: float = 0.1) -> bool:
        """Take what the app has to show; False once it is gone."""
        deadline = time.monotonic() + seconds
        while time.monotonic() < deadline:
            try:
                data = self.process.read_nonblocking(65536, 0.02)
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                return False
            self.sent += data
            self._stream.feed(data)
        return True

    @property
    def screen(self) -> str:
        """What is shown."""
        return "\n".join(line.rstrip() for line in self._screen.display)

    def until(self, text: str) -> None:
        """Wait until a text is shown."""
        deadline = time.monotonic() + PATIENCE
        while text not in self.screen:
            alive = self.pump()
            assert alive or text in self.screen, f"gone before {text}\n{self.screen}"
            assert time.monotonic() < deadline, f"never came: {text}\n{self.screen}"

    def type(self, keys: str) -> None:
        """Send keys, all at once."""
        self.process.send(keys)

    def ended(self) -> tuple[int | None, int | None]:
        """Wait for the end; its exit status and signal."""
        deadline = time.monotonic() + PATIENCE
        while self.process.isalive():
            self.pump(0.05)
            assert time.monotonic() < deadline, "it goes on"
        self.pump(0.2)
        return self.process.exitstatus, self.process.signalstatus

    def close(self) -> None:
        """End it, however it stands."""
        self.process.close(force=True)


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    """Terminals to be closed at the end."""
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def begun(folder: Path, terminals: list[Terminal], env: dict[str, str] | None = None) -> Terminal:
    """The app at the first step of a new build, with a half-typed margin."""
    terminal = Terminal("--folder", str(folder), env=env)
    terminals.append(terminal)
    terminal.until("Before the first build")  # asked once, in a folder with nothing in it
    terminal.type("\x1b")
    terminal.until("Begin a new build")
    terminal.type("\r")
    terminal.until("what is it called")
    terminal.type("Pier herring\r")
    terminal.until("Step 1 of 10")
    terminal.type("\r\r3\r12")  # temperature, salinity, sinks, the margin begun
    terminal.until("reads as 12 %")
    return terminal


def kept(folder: Path) -> str:
    """The profile as it lies on the disk."""
    (path,) = (path for path in folder.glob("*.toml") if path.name != "bench.toml")
    return path.read_text()


def test_killed_at_a_step_it_resumes_there_with_every_answer(
    tmp_path: Path, terminals: list[Terminal]
) -> None:
    terminal = begun(tmp_path, terminals)
    terminal.until("saved ")
    terminal.pump(1.5)  # the draft is no older than that
    terminal.process.kill(signal.SIGKILL)
    terminal.ended()
    assert 'behaviour = "sinks"' in kept(tmp_path)
    again = Terminal("--folder", str(tmp_path))
    terminals.append(again)
    again.until("Resume Pier herring, step 1 of 10: Plan")
    again.type("\r")
    again.until("draft, reads as 12 %")
    again.until("> Margin from neutral")
    for answer in ("[15 degC ", "[0 g/kg ", "[sinks "):
        assert answer in again.screen
    again.type("\r\r\r")
    again.until("Cautions: Stock")
    again.type("\x11")
    assert again.ended() == (0, None)
    assert 'margin = "12 %"' in kept(tmp_path)
    assert 'step = "stock"' in kept(tmp_path)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_saves_and_gives_the_terminal_back(
    tmp_path: Path, terminals: list[Terminal], number: signal.Signals
) -> None:
    terminal = begun(tmp_path, terminals)
    terminal.process.kill(number)
    assert terminal.ended() == (128 + number, None)
    for code in (b"\x1b[?1049l", b"\x1b[?25h", b"\x1b[?2004l", b"\x1b[?1000l", b"\x1b[?1003l"):
        assert terminal.sent.rindex(code) > terminal.sent.index(code.replace(b"l", b"h")[:4])
    assert 'behaviour = "sinks"' in kept(tmp_path)
    assert list(tmp_path.glob(".plugwright/*.draft"))


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


def test_no_colour_means_not_one_colour_code(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminal = begun(tmp_path, terminals, {"NO_COLOR": "1"})
    for keys in ("\r", "\x1bOP", "\x1b", "\x10", "\x1b", "\x0c", "\x1b"):
        terminal.type(keys)
        terminal.pump(0.6)
    terminal.type("\x11")
    terminal.ended()
    codes = {
        c for found in re.findall(rb"\x1b\[([\d;]*)m", terminal.sent) for c in found.split(b";")
    }
    assert codes <= {b"", b"0", b"1", b"4", b"7", b"22", b"24", b"27"}
    assert codes & {b"1", b"7"}  # what has the focus is still seen


def test_the_console_is_sent_nothing_but_ascii(tmp_path: Path, terminals: list[Terminal]) -> None:
    shutil.copy(PROFILES / "harbour-dart.toml", tmp_path)
    terminal = Terminal("--folder", str(tmp_path), env={"TERM": "linux", "COLORTERM": ""})
    terminals.append(terminal)
    terminal.until("Resume Harbour dart")
    terminal.type("\r")
    terminal.until("Step ")
    for keys in ("\x12", "\x1b", "\x07", "\x1b", "\x0c", "\x1b"):
        terminal.type(keys)
        terminal.pump(0.6)
    assert "+/-" in terminal.sent.decode("ascii")
    terminal.type("\x11")
    terminal.ended()
    terminal.sent.decode("ascii")


def test_a_hostile_name_reaches_no_terminal(tmp_path: Path, terminals: list[Terminal]) -> None:
    (tmp_path / "it.toml").write_text(
        'format = 1\n[build]\nname = "\\u001b]52;c;aGVsbG8=\\u0007\\u001b]8;;x\\u001b\\\\"\n'
    )
    terminal = Terminal("--folder", str(tmp_path))
    terminals.append(terminal)
    terminal.until("Resume")
    terminal.type("\r")
    terminal.until("Step 1 of 10")
    terminal.type("\x07\x1b\x0c")
    terminal.pump(1.0)
    terminal.type("\x11")
    terminal.ended()
    assert b"\x1b]52" not in terminal.sent
    assert b"\x1b]8;" not in terminal.sent


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
