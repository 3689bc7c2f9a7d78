"""Colours as they leave the program: no more of them than the terminal says it can show."""

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


@pytest.mark.parametrize(
    ("settings", "kinds"),
    [
        ({"TERM": "xterm", "COLORTERM": ""}, {"16"}),
        ({"TERM": "xterm-256color", "COLORTERM": ""}, {"256"}),
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor"}, {"true"}),
    ],
    ids=["16", "256", "true"],
)
def test_no_more_colours_are_sent_than_can_be_shown(
    tmp_path: Path, settings: dict[str, str], kinds: set[str]
) -> None:
    plug = Path(shutil.copy(ROOT / "profiles" / "slate-minnow.toml", tmp_path / "plug.toml"))
    kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TMUX", "STY")}
    environment = {
        **kept,
        **settings,
        "LC_ALL": "C.UTF-8",
        "PYTHONPATH": str(ROOT),
        "PLUGWRIGHT_HOME": str(tmp_path),
    }
    command = [sys.executable, "-m", "wizard", str(plug)]
    with Window(lambda: os.execve(command[0], command, environment)) as window:
        window.until("> Ballast metal")
        window.send("\x11")
        window.wait()
        assert codes(bytes(window.raw)) == kinds
