"""What leaves the program for each kind of terminal: its colours, its signs, its mouse."""

from __future__ import annotations

import os
import re
import shutil
import sys
from pathlib import Path

import pytest

from tests.process.windows import Window

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no pty")

ROOT = Path(__file__).parents[2]
SGR = re.compile(rb"\x1b\[([0-9;]*)m")


def codes(raw: bytes) -> set[str]:
    """What kinds of colour codes were sent: by number, of 256, of all, or of the first 16."""
    kinds = set()
    for found in SGR.findall(raw):
        parts = found.decode().split(";")
        while parts:
            code = int(parts.pop(0) or 0)
            if code in (38, 48):
                kind, length = {"5": ("256", 1), "2": ("true", 3)}[parts.pop(0)]
                kinds.add(kind)
                del parts[:length]
            elif 30 <= code <= 37 or 40 <= code <= 47 or 90 <= code <= 107:
                kinds.add("16")
    return kinds


def sent(folder: Path, settings: dict[str, str], *options: str) -> bytes:
    """All that the app sends from its start to its end in a terminal of this kind."""
    plug = Path(shutil.copy(ROOT / "profiles" / "slate-minnow.toml", folder / "plug.toml"))
    told = ("NO_COLOR", "TMUX", "STY", "SSH_TTY", "SSH_CONNECTION", "LC_ALL", "LC_CTYPE", "LANG")
    environment = {
        **{name: value for name, value in os.environ.items() if name not in told},
        "TERM": "xterm-256color",
        "LC_ALL": "C.UTF-8",
        "PYTHONPATH": str(ROOT),
        "PLUGWRIGHT_HOME": str(folder),
        **settings,
    }
    command = [sys.executable, "-m", "wizard", *options, str(plug)]
    with Window(lambda: os.execve(command[0], command, environment)) as window:
        window.until("> Ballast metal")
        window.until(lambda: "+/-" in window.text or "±" in window.text)  # with its numbers
        window.send("\x11")
        window.wait()
        return bytes(window.raw)


COLOURS, BARE = {"COLORTERM": "truecolor"}, {"COLORTERM": ""}


@pytest.mark.parametrize(
    ("settings", "options", "kinds", "mouse", "ascii_alone"),
    [
        ({**BARE, "TERM": "xterm"}, ["--no-mouse"], {"16"}, False, False),
        ({**BARE, "TMUX": "/tmp/socket"}, [], {"256"}, False, False),
        ({**COLOURS, "SSH_CONNECTION": "1"}, ["--mouse"], {"true"}, True, False),
        ({**COLOURS, "NO_COLOR": "1"}, [], set(), True, False),
        (COLOURS, ["--theme", "terminal"], {"16"}, True, False),  # the cursor alone
        ({**COLOURS, "LC_ALL": "C", "SSH_TTY": "1"}, ["--no-color"], set(), False, True),
    ],
    ids=["16", "256 in tmux", "all by ssh", "no colour", "its own colours", "C locale"],
)
def test_a_terminal_is_sent_what_it_can_show(
    tmp_path: Path,
    settings: dict[str, str],
    options: list[str],
    kinds: set[str],
    mouse: bool,
    ascii_alone: bool,
) -> None:
    """No more colours than it has, the mouse where it does no harm, no sign that it lacks."""
    raw = sent(tmp_path, settings, *options)
    assert codes(raw) == kinds
    assert (b"\x1b[?1000h" in raw) is mouse  # DECSET 1000, of xterm's control sequences
    assert raw.isascii() is ascii_alone
    assert (b"+/-" in raw) is ascii_alone
    assert b"\\u" not in raw


@pytest.mark.parametrize(("session", "ascii_alone"), [("1", False), ("", True)])
def test_the_old_window_of_windows_gets_ascii(
    monkeypatch: pytest.MonkeyPatch, session: str, ascii_alone: bool
) -> None:
    """The newer one names its session; only the branch is tried here, not the system."""
    from wizard.app.start import needs_ascii

    class Utf8:
        encoding = "utf-8"

    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(sys, "__stdout__", Utf8())
    for name in ("TERM", "LC_ALL", "LC_CTYPE", "LANG", "WT_SESSION"):
        monkeypatch.delenv(name, raising=False)
    if session:
        monkeypatch.setenv("WT_SESSION", session)
    assert needs_ascii() is ascii_alone
