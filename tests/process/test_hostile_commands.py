"""Every command on builds, names and files that mean harm: shown literally or refused in a line.

A command added to the table of commands has to be added here, or a test fails.
"""

from __future__ import annotations

import csv
import json
import os
import re
import resource
import subprocess
import sys
import time
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from html.parser import HTMLParser
from importlib import import_module
from pathlib import Path

import pytest

from tests.demos import ONE_OF_EACH
from tests.process.hostile_texts import TEXTS, acting, evil_build
from wizard.__main__ import COMMANDS, main
from wizard.store.folder import HOME_VARIABLE
from wizard.store.history import remember
from wizard.store.names import file_name
from wizard.store.opening import open_profile
from wizard.store.profile import write

ROOT = Path(__file__).parents[2]
OTHER = str(ONE_OF_EACH[1])
EVIL = [text for text in TEXTS.values() if text and "\0" not in text]

LINES: dict[str, list[list[str]]] = {
    "review": [[], ["--json"], ["--working"]],
    "ballast": [[], ["--json"]],
    "picture": [[], ["--ascii"], ["--station", "30 mm"]],
    "marking": [[]],
    "template": [["-o", "out.pdf"], ["-o", "out.svg"], ["-o", "out.stl"]],
    "tank": [[], ["--json"]],
    "learned": [[], ["--json"]],
    "timetable": [[], ["--json"], ["--ics", "out.ics"]],
    "history": [[], ["--since", "1"]],
    "list": [[], ["--json"], ["--find", "a"]],
    "compare": [[OTHER], [OTHER, "--json"], [OTHER, "--all"]],
    "scale": [["--factor", "1.1", "--dry-run"], ["--factor", "1.1", "--json", "-o", "out.toml"]],
    "needs": [[], ["--json"]],
    "export": [
        [],
        *[["-o", f"out{ending}"] for ending in (".html", ".md", ".txt", ".csv", ".json", ".toml")],
        ["-o", "out.pdf"],
    ],
    "where": [],
    "completion": [],
    "serve": [[]],  # takes no build, so it refuses; what it shows is in test_serve.py
}
"""How each command is called on a build, which comes before these; without a build at the end."""

ALONE: dict[str, list[list[str]]] = {
    "completion": [["bash"], ["zsh"], ["fish"]],
    "list": [[]],
    "learned": [[]],
}


def test_no_command_is_left_out() -> None:
    assert set(LINES) == set(COMMANDS)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in that is the folder of builds as well."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(HOME_VARIABLE, str(tmp_path))
    return tmp_path


def called(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    """Status, answers and faults of a command, before the outlet that would hide a leak."""
    try:
        status = import_module(COMMANDS[arguments[0]]).run(arguments[1:])
    except SystemExit as end:
        status = end.code if isinstance(end.code, int) else 1
    out, err = capsys.readouterr()
    return status, out, err


def check(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> int:
    """Nothing that acts comes out; a refusal is one line, an answer of programs is JSON."""
    status, out, err = called(arguments, capsys)
    assert status in (0, 1, 2), err
    assert acting(out) == []
    assert acting(err) == []
    assert len(out) < 8_000_000
    assert len(err) < 5_000
    if status == 2:
        assert out == ""
        assert err.count("\n") == 1
        assert err.startswith("plugwright: ")
    if "--json" in arguments and status == 0:
        assert out.isascii()
        json.loads(out)
    return status


@pytest.mark.parametrize("command", LINES)
@pytest.mark.parametrize("turn", range(0, len(TEXTS), 14))
def test_hostile_builds_through_every_command(
    here: Path, capsys: pytest.CaptureFixture[str], command: str, turn: int
) -> None:
    for number, good in enumerate(ONE_OF_EACH):
        build, refused = evil_build(open_profile(good).build, turn + number)
        assert all(acting(line) == [] for line in refused)
        path = here / f"it{number}.toml"
        path.write_bytes(write(build))
        if command == "history":
            remember(path, good.read_bytes(), datetime.now(UTC))
        for line in LINES[command]:
            # The finished ones have all there is to show; the others show what is still open.
            done = check(
                [command, path.name, *line] if command != "list" else [command, *line], capsys
            )
            written = [a for a in line if a.startswith("out.")]
            if done == 0 and written:
                safe_file(here / written[0])
                (here / written[0]).unlink()
    for line in ALONE.get(command, []):
        assert check([command, *line], capsys) == 0


@pytest.mark.parametrize("command", sorted({*LINES} - {"list", "completion", "serve"}))
def test_hostile_builds_are_answered_all_the_same(
    here: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    """So that refusing everything would not pass for safety."""
    for number, good in enumerate(ONE_OF_EACH):
        build, _ = evil_build(open_profile(good).build, 2 + number)
        path = here / f"it{number}.toml"
        path.write_bytes(write(build))
        remember(path, good.read_bytes(), datetime.now(UTC))
        for made in here.glob("out*"):
            made.unlink()
        if all(check([command, path.name, *line], capsys) == 0 for line in LINES[command]):
            return
    raise AssertionError("every build was refused")


class Page(HTMLParser):
    """What a browser would make of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.acts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        for name, value in attrs:
            if name.startswith("on") or name in ("href", "src") or "javascript" in (value or ""):
                self.acts.append(f"{tag} {name}={value}")


def safe_file(path: Path) -> None:
    """Nothing in a written file acts where such files are opened."""
    data = path.read_bytes()
    kind = path.suffix
    if kind == ".pdf":
        assert data.startswith(b"%PDF-")
        for act in (b"/JavaScript", b"/Launch", b"/URI", b"/SubmitForm", b"/EmbeddedFile"):
            assert act not in data
        return
    if kind == ".stl":
        assert acting(data[:80].decode("ascii").rstrip("\0")) == []
        return
    text = data.decode().replace("\r\n", "\n")
    if kind == ".toml":  # as it was typed, in the escapes of TOML
        assert acting(text) == [] or open_profile(path)
        return
    assert acting(text) == []
    if kind == ".svg":
        tree = ElementTree.fromstring(text)
        assert not [e.tag for e in tree.iter() if e.tag.endswith(("script", "foreignObject", "a"))]
    elif kind == ".html":
        page = Page()
        page.feed(text)
        assert page.acts == []
        assert not page.tags & {"script", "img", "iframe", "object", "a", "link", "form"}
    elif kind == ".csv":
        cells = [cell for row in csv.reader(text.splitlines()) for cell in row]
        words = [c for c in cells if not re.fullmatch(r"[-+]?[0-9.e+-]+", c)]
        assert [c for c in words if c.startswith(("=", "+", "-", "@"))] == []
    elif kind == ".md":
        told = re.sub(r"(?ms)^```text$.*?^```$", "", text)  # the picture is drawn by us
        assert re.findall(r"(?<!\\)[<`]|(?<!\\)\]\(", told) == []


# Names of files and arguments ------------------------------------------------


@pytest.mark.parametrize(
    "command", [name for name in LINES if name not in ("completion", "list", "where")]
)
def test_hostile_names_of_files(
    here: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    good = ONE_OF_EACH[0].read_bytes()
    for text in EVIL if command == "review" else EVIL[::3]:
        name = text.replace("/", "\u2215")[:60] + ".toml"
        if len(os.fsencode(name)) > 255:
            continue
        path = here / name
        path.write_bytes(good)
        check([command, name, *LINES[command][0]], capsys)
        path.write_bytes(b"format = 1\n[weighing]\nmass = 'x'\n")
        assert check([command, name, *LINES[command][0]], capsys) == 2
        path.unlink()
        for made in here.glob("out*"):
            made.unlink()
        if not name.startswith("-"):  # an option, if it looks like one
            assert check([command, name, *LINES[command][0]], capsys) == 2


@pytest.mark.parametrize("command", LINES)
def test_hostile_arguments(here: Path, capsys: pytest.CaptureFixture[str], command: str) -> None:
    (here / "it.toml").write_bytes(ONE_OF_EACH[0].read_bytes())
    for text in [*EVIL, "a\0b", "\ud800"]:
        for line in ([text], ["it.toml", text], ["it.toml", f"--{text}"], ["it.toml", "-o", text]):
            check([command, *line], capsys)
    assert (here / "it.toml").read_bytes() == ONE_OF_EACH[0].read_bytes()


def test_nothing_is_written_outside_the_folder(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever a build is called, its files are here and bear names of plain ASCII."""
    from wizard.session.opening import begin

    builds, outside = here / "builds", here / "outside"
    outside.mkdir()
    for text in [*TEXTS.values(), "../outside/x", "/etc/x", "..", ".", "a/b\\c", "NUL", "x" * 300]:
        session = begin(builds, text, lambda kept: None)
        assert session.flush(20)
        session.close(5)
        assert session.path.parent == builds
        assert re.fullmatch(r"[a-z0-9-]+\.toml", session.path.name)
        assert session.path.name.startswith(file_name(text))
        assert open_profile(session.path).build.build.name == text
    assert list(outside.iterdir()) == []
    assert len(list(builds.glob("*.toml"))) == len(TEXTS) + 7


# Files that are none ---------------------------------------------------------


def folder(path: Path) -> None:
    path.mkdir()


def device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def terminal(path: Path) -> None:
    path.symlink_to("/dev/tty")


def proc(path: Path) -> None:
    path.symlink_to("/proc/self/mem")


def circle(path: Path) -> None:
    path.symlink_to(path.name)


def huge(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(50_000_000)


def huge_text(path: Path) -> None:
    path.write_bytes(b"format = 1\n" + b"# a comment that goes on and on\n" * 1_600_000)


def nothing(path: Path) -> None:
    pass


MANY: dict[str, bytes] = {
    "many tables": b"format = 1\n" + b"".join(b"[a%d]\n" % n for n in range(25_000)),
    "many keys": b"format = 1\n" + b"".join(b"a%d = 1\n" % n for n in range(20_000)),
    "many dotted keys": b"format = 1\n" + b"".join(b"a.b.c%d = 1\n" % n for n in range(15_000)),
    "a long key": b'format = 1\n"' + b"\\u0041" * 40_000 + b'" = 1\n',
    "many coats": b"format = 1\n" + b"[[coat]]\n" * 20_000,
    "many stations": b"format = 1\n" + b"[[shape.station]]\n" * 14_000,
    "many samples": b"format = 1\n" + b"[[density.sample]]\n" * 14_000,
    "many operations": b"format = 1\n" + b"[[operation]]\n" * 17_000,
}
"""Files that are builds, as far as that goes: much of nothing."""

BAD: dict[str, Callable[[Path], object] | bytes] = {
    "folder": folder,
    "pipe": os.mkfifo,
    "device": device,
    "terminal": terminal,
    "memory of a process": proc,
    "circle": circle,
    "50 MB of nothing": huge,
    "50 MB of comments": huge_text,
    "not there": nothing,
    "empty": b"",
    "deep arrays": b"format = 1\nx = " + b"[" * 60_000 + b"]" * 60_000,
    "deep arrays, open": b"format = 1\nx = " + b"[" * 200_000,
    "deep tables": b"format = 1\n[" + b".".join([b"a"] * 60_000) + b"]\n",
    "deep inline tables": b"format = 1\nx = " + b"{a=" * 40_000 + b"1" + b"}" * 40_000,
    "deep keys": b"format = 1\n" + b".".join([b"a"] * 60_000) + b" = 1\n",
    "many problems": b"format = 1\n" + b"".join(b"[[coat]]\nname = %d\n" % n for n in range(9_000)),
    "digits": b"format = 1\n[weighing]\nmass = " + b"9" * 200_000,
    "digits of a format": b"format = " + b"9" * 200_000,
    "digits with an exponent": b"format = 1\n[weighing]\nmass = '1e999999999 g'\n",
    "a far exponent": b"format = 1\n[weighing]\nmass = 1e999999999\n",
    "digits in text": b"format = 1\n[weighing]\nmass = '" + b"9" * 200_000 + b" g'\n",
    "digits after the point": b"format = 1\n[weighing]\nmass = '0." + b"1" * 200_000 + b" g'\n",
    "a long fraction": b"format = 1\n[shape]\nlength = '1/" + b"3" * 100_000 + b" in'\n",
    "hexadecimal": b"format = 1\n[weighing]\nmass = 0x" + b"f" * 200_000,
    "nan": b"format = 1\n[weighing]\nmass = nan\n",
    "infinity": b"format = 1\n[unknown]\nx = [1, -inf]\n",
    "a long text never closed": b"format = 1\nx = '''" + b"a" * 250_000,
    "a long word": b"a" * 250_000,
    "zeros": bytes(4096),
    "UTF-16": "format = 1\n".encode("utf-16"),
    "UTF-32": "format = 1\n".encode("utf-32"),
    "latin-1": "format = 1\n[build]\nname = 'Grünling'\n".encode("latin-1"),
    "a surrogate": b"format = 1\n[build]\nname = '\xed\xa0\x80'\n",
    "overlong": b"format = 1\n[build]\nname = '\xc0\xaf'\n",
    "cut in a sign": b"format = 1\n[build]\nname = '\xf0\x9f\x8e",
    "an archive": b"\x1f\x8b\x08\x00" + bytes(range(256)) * 8,
    "a program": b"\x7fELF" + bytes(range(256)) * 8,
    "a page": b"<!doctype html><script>alert(1)</script>",
    "a bare return": b"format = 1\r[build]\rname = 'x'\r",
}


@pytest.mark.parametrize("kind", BAD)
def test_a_bad_file_is_one_line_and_status_2(
    here: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    path, bad = here / "it.toml", BAD[kind]
    if isinstance(bad, bytes):
        path.write_bytes(bad)
    else:
        bad(path)
    before = used()
    for line in (["review", "it.toml"], ["review", "it.toml", "--json"], ["history", "it.toml"]):
        assert check(line, capsys) == 2
    assert used() - before < 8.0  # seconds of processor time, for what takes some hundredths


def used() -> float:
    return time.process_time()


def limited() -> None:
    """No more memory than ten times what a review takes, no more than ten seconds."""
    resource.setrlimit(resource.RLIMIT_AS, (1 << 30, 1 << 30))
    resource.setrlimit(resource.RLIMIT_CPU, (10, 10))


@pytest.mark.parametrize(
    "kind", ["50 MB of comments", "device", "pipe", "deep arrays", "digits", "many problems"]
)
def test_the_same_in_a_process_of_little_memory_and_time(tmp_path: Path, kind: str) -> None:
    path, bad = tmp_path / "it.toml", BAD[kind]
    if isinstance(bad, bytes):
        path.write_bytes(bad)
    else:
        bad(path)
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "review", str(path)],
        capture_output=True,
        check=False,
        timeout=60,
        preexec_fn=limited,
        stdin=subprocess.DEVNULL,
    )
    assert done.returncode == 2, done.stderr
    assert done.stdout == b""
    assert done.stderr.count(b"\n") == 1
    assert b"Traceback" not in done.stderr


def test_a_profile_of_a_pipe_from_the_shell_is_refused(tmp_path: Path) -> None:
    """As `review <(cat it.toml)` hands it over."""
    reading, writing = os.pipe()
    with suppress(OSError):
        os.write(writing, ONE_OF_EACH[0].read_bytes()[:100])
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "review", f"/dev/fd/{reading}"],
        capture_output=True,
        check=False,
        timeout=60,
        pass_fds=[reading],
    )
    os.close(reading)
    os.close(writing)
    assert done.returncode == 2
    assert b"it is a pipe" in done.stderr


@pytest.mark.parametrize("kind", MANY)
def test_a_file_of_much_of_nothing_takes_bounded_time(
    here: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    (here / "it.toml").write_bytes(MANY[kind])
    before = used()
    check(["review", "it.toml"], capsys)
    check(["review", "it.toml", "--json"], capsys)
    assert used() - before < 20.0


def test_what_a_command_forgot_is_caught_on_the_way_out(
    here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from wizard.commands import completion

    def careless(arguments: list[str]) -> int:
        for text in TEXTS.values():
            sys.stdout.write(f"{text}\n")
        return 0

    monkeypatch.setattr(completion, "run", careless)
    assert main(["completion", "bash"]) == 0
    assert acting(capsys.readouterr().out) == []
