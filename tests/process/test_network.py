"""Nothing phones home: the interpreter itself tells of every socket, and there is none.

One command is there to listen, `serve`: what it opens is told in `test_serve.py`. The app starts
one process, itself again, for its numbers; that one is watched too.

Source of the events: Python's audit events table. The app's event loop wakes itself
through a pair of sockets that lead nowhere else (AF_UNIX); that pair is all there may be.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.process.windows import Window
from wizard import __version__
from wizard.__main__ import COMMANDS
from wizard.apart.child import END, PART
from wizard.apart.here import once
from wizard.apart.wire import packed, read
from wizard.session.figures import Room, numbers, picture
from wizard.store.opening import open_profile

UNIX = str(int(socket.AF_UNIX))
ROOT = Path(__file__).parents[2]
PROFILE = ROOT / "profiles" / "harbour-dart.toml"

WATCHED = """
import json, sys
log = open(sys.argv.pop(1), "a", buffering=1)
def hook(event, arguments):
    if event.startswith(("socket.", "urllib.", "http.", "ftplib.", "smtplib.", "ssl.")) or (
        event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "webbrowser.open")
    ):
        log.write(json.dumps([event, [str(a) for a in arguments[1:]]]) + "\\n")
sys.addaudithook(hook)
"""
RUN = WATCHED + "from wizard.__main__ import main\nsys.exit(main(sys.argv[1:]))\n"
CAUGHT = WATCHED + "import socket\nsocket.socket().close()\n"


def told(log: Path) -> list[list[Any]]:
    return [json.loads(line) for line in log.read_text().splitlines()]


def environment(folder: Path) -> dict[str, str]:
    return {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "PLUGWRIGHT_HOME": str(folder),
        "TERM": "xterm-256color",
        "LC_ALL": "C.UTF-8",
    }


def test_a_socket_would_be_told_of(tmp_path: Path) -> None:
    log = tmp_path / "log"
    subprocess.run([sys.executable, "-c", CAUGHT, str(log)], check=True)
    assert [event for event, _ in told(log)] == ["socket.__new__"]


LINES: dict[str, list[str]] = {
    "list": ["list"],
    "learned": ["learned"],
    "where": ["where"],
    "completion": ["completion", "bash"],
    "compare": ["compare", str(PROFILE), str(ROOT / "profiles" / "reed-skimmer.toml")],
    "template": ["template", str(PROFILE), "-o", "out.pdf"],
    "export": ["export", str(PROFILE), "-o", "out.html"],
    "scale": ["scale", str(PROFILE), "--factor", "1.1", "--dry-run"],
}
"""Commands that take something else than one profile."""


@pytest.mark.parametrize("command", [name for name in COMMANDS if name != "serve"])
def test_no_command_opens_a_socket_or_starts_a_program(tmp_path: Path, command: str) -> None:
    log = tmp_path / "log"
    line = LINES.get(command, [command, str(PROFILE)])
    done = subprocess.run(
        [sys.executable, "-c", RUN, str(log), *line],
        capture_output=True,
        check=False,
        cwd=tmp_path,
        env=environment(tmp_path),
        timeout=60,
    )
    assert b"Traceback" not in done.stderr
    assert told(log) == []


def test_the_app_and_the_plain_mode_open_none_that_leads_anywhere(tmp_path: Path) -> None:
    for plain in ([], ["--plain"]):
        log = tmp_path / f"log{len(plain)}"
        path = tmp_path / "plug.toml"
        path.write_text('format = 1\n[build]\nstep = "weighing"\n')
        command = [sys.executable, "-c", RUN, str(log), *plain, str(path)]

        def work(command: list[str] = command) -> None:
            os.execve(command[0], command, environment(tmp_path))

        with Window(work) as window:
            if plain:
                window.until("Mass of the bare body:")
                window.send("13.62\n/review\n/quit\n")
            else:
                window.until(lambda: window.line("> Mass of the bare body"))
                window.send("13.62\r")
                window.until("[13.62 g ")
                window.send("\x11")
            window.wait()
            assert window.status == 0, window.text
        assert 'mass = "13.62 g"' in path.read_text()
        pairs = [e for e in told(log) if e[0] == "socket.__new__" and e[1][0] == UNIX]
        others = [event for event in told(log) if event not in pairs]
        assert len(pairs) <= 4  # of the event loop, and to the input of the process apart
        assert len(others) == (0 if plain else 1)
        for event, (arguments, *_) in others:
            assert event == "subprocess.Popen"
            assert arguments.startswith(f"['{sys.executable}', '-P', '-c', ")
            assert "wizard.apart.child" in arguments
        path.unlink()
        (tmp_path / "plug.toml.bak").unlink(missing_ok=True)
        for kept in sorted((tmp_path / ".plugwright").rglob("*"), reverse=True):
            kept.rmdir() if kept.is_dir() else kept.unlink()


def test_the_process_apart_opens_and_starts_nothing(tmp_path: Path) -> None:
    log, build, room = tmp_path / "log", open_profile(PROFILE).build, Room(80, None, is_plain=False)
    start = f"{WATCHED}from wizard.apart.child import main\nmain()\n"
    with subprocess.Popen(
        [sys.executable, "-c", start, str(log), __version__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=environment(tmp_path),
    ) as apart:
        assert apart.stdin is not None
        assert apart.stdout is not None
        for number, asked in enumerate(
            ((numbers, (build,)), (once, (picture, build, None, None, room)))
        ):
            apart.stdin.write(packed((number, *asked)))
            apart.stdin.flush()
            kinds = [read(apart.stdout)[1]]
            while kinds[-1] == PART:
                kinds.append(read(apart.stdout)[1])
            assert kinds[0] == PART
            assert kinds[-1] == END
        apart.stdin.close()
        assert apart.wait(30) == 0
    assert told(log) == []
