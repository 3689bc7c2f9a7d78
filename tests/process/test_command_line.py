"""The command line: help that shows examples, a page that can't go stale, a report of faults."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

import pytest

from tests.process.manual import page
from wizard.__main__ import COMMANDS, main
from wizard.session.faults import report

ROOT = Path(__file__).parents[2]
MANUAL = ROOT / "docs" / "commands.md"
DART = str(ROOT / "profiles" / "harbour-dart.toml")


# Help and the page -----------------------------------------------------------------


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_has_an_example_and_says_what_each_word_does(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"] if command else ["--help"])
    assert ended.value.code == 0
    said = capsys.readouterr().out
    examples = said.partition("\nexamples:\n")[2].splitlines()
    assert [line for line in examples if line.startswith(f"  plugwright {command}".rstrip())]
    module = import_module(COMMANDS.get(command, "wizard.__main__"))
    made = module._parser() if command else module._app_parser()
    squeezed = " ".join(said.split())
    for action in made._actions:
        assert action.help, action.dest
        assert action.help.replace("%%", "%") in squeezed, action.dest
    assert max(map(len, said.partition("examples:")[0].splitlines())) <= 80


def test_no_example_names_an_option_that_is_not_there() -> None:
    known = import_module("wizard.__main__")._app_parser()
    parsers = {"": known, **{n: import_module(m)._parser() for n, m in COMMANDS.items()}}
    for name, made in parsers.items():
        options = {option for action in made._actions for option in action.option_strings}
        for line in (made.epilog or "").splitlines():
            words = re.sub(r'"[^"]*"', "x", line).split()
            if words[:2] == ["plugwright", name] or (words[:1] == ["plugwright"] and not name):
                of = parsers.get(words[1] if len(words) > 1 else "", known)
                known_options = {o for a in of._actions for o in a.option_strings} | options
                used = {word for word in words if re.fullmatch("--?[a-z-]+", word)}
                assert used <= known_options, line


def test_the_page_on_the_command_is_as_the_parsers_have_it() -> None:
    if os.environ.get("PLUGWRIGHT_DRAW"):
        MANUAL.write_text(page(), encoding="utf-8")
    assert MANUAL.read_text(encoding="utf-8") == page()


def test_each_command_is_in_the_help_of_the_program(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    said = capsys.readouterr().out
    for command in COMMANDS:
        assert f"\n  plugwright {command}" in said


# Where the files are ---------------------------------------------------------------


def test_a_command_behind_an_option_is_no_build_to_begin(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--folder", str(tmp_path), "serve"])
    assert stopped.value.code == 2
    assert "serve comes before its options" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_where_says_each_place_and_whether_it_is_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bench.toml").write_text("format = 1\n")
    assert main(["where", "--folder", str(tmp_path), "--json"]) == 0
    places = json.loads(capsys.readouterr().out)["places"]
    assert places["builds"] == {"path": str(tmp_path), "there": True}
    assert places["bench"] == {"path": str(tmp_path / "bench.toml"), "there": True}
    assert places["report"]["there"] is False
    assert main(["where", "--folder", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert f"{tmp_path}\n" in said
    assert "plugwright.fault  (not there yet)" in said
    assert "PLUGWRIGHT_HOME" in said


# The report of a fault ---------------------------------------------------------------

BROKEN = """
import sys
import wizard.commands.review as review

def run(arguments):
    secret = "Pier herring"
    raise RuntimeError(f"{secret} of 13.62 g")

review.run = run
sys.argv = ["plugwright", "review", "secret-build.toml"]
from wizard.__main__ import main
raise SystemExit(main())
"""


def test_a_fault_is_one_line_and_its_report_holds_nothing_of_the_builds(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", BROKEN],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PLUGWRIGHT_HOME": str(tmp_path), "PYTHONPATH": str(ROOT)},
        timeout=60,
    )
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "a fault of its own (RuntimeError)" in done.stderr
    kept = tmp_path / ".plugwright" / "plugwright.fault"
    assert str(kept) in done.stderr
    held = kept.read_text(encoding="utf-8")
    assert "builtins.RuntimeError" in held
    assert re.search(r"^  \S*__main__\.py:\d+ in main$", held, re.MULTILINE)
    for private in ("Pier herring", "13.62", "secret-build", str(tmp_path), str(Path.home())):
        assert private not in held


def test_a_report_names_what_led_to_the_fault() -> None:
    try:
        try:
            int("13,62 g")
        except ValueError as first:
            raise KeyError("a name") from first
    except KeyError as fault:
        environment = {"TERM": "xterm", "TMUX": "/tmp/tmux-1000/private", "HOME": "/home/someone"}
        lines = list(report(fault, environment, datetime(2026, 4, 2, 18, 30, tzinfo=UTC)))
    assert lines[0].endswith("a fault at 2026-04-02 18:30")
    assert lines[2] == "terminal: TERM=xterm, TMUX"
    assert [line for line in lines if "from the inside out" in line] == [
        "builtins.KeyError, from the inside out:",
        "builtins.ValueError, from the inside out:",
    ]
    assert "13,62" not in "\n".join(lines)


# Colours -----------------------------------------------------------------------------


@pytest.mark.parametrize("command", [["review", DART], ["list"], ["review", DART, "--json"], []])
def test_no_command_sends_a_code_whatever_the_terminal(command: list[str], tmp_path: Path) -> None:
    """Nothing to switch off: plain text, in a pipe and for a colourful terminal alike."""
    done = subprocess.run(
        [sys.executable, "-m", "wizard", *(command or ["--help"])],
        capture_output=True,
        check=True,
        env={
            **os.environ,
            "PLUGWRIGHT_HOME": str(tmp_path),
            "PYTHONPATH": str(ROOT),
            "TERM": "xterm-256color",
            "CLICOLOR_FORCE": "1",
            "FORCE_COLOR": "1",
        },
        timeout=60,
    )
    assert b"\x1b" not in done.stdout
    assert done.stdout
