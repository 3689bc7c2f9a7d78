"""`list`, `compare`, `scale`, `needs`, `export`, `completion` from the command line."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from wizard.__main__ import COMMANDS, main
from wizard.commands.completion import SHELLS, script
from wizard.plug.onward.carried import is_carried
from wizard.store.opening import open_profile

DEMOS = Path(__file__).parents[2] / "profiles"
DART, SKIMMER = str(DEMOS / "harbour-dart.toml"), str(DEMOS / "reed-skimmer.toml")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "builds"
    monkeypatch.setenv("PLUGWRIGHT_HOME", str(folder))
    return folder


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(list(arguments)) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    with pytest.raises(SystemExit) as ended:
        main(list(arguments))
    assert ended.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("plugwright: ")
    assert err.count("\n") == 1
    return err


NEW = ("list", "compare", "scale", "needs", "export", "completion")


@pytest.mark.parametrize("command", NEW)
def test_help_leads_with_an_example(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    assert ended.value.code == 0
    assert f"  plugwright {command} " in capsys.readouterr().out + " "


# list --------------------------------------------------------------------------


def test_a_folder_is_listed_broken_files_and_all(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert said(capsys, "list") == "There are no builds here.\n"
    mistyped = refused(capsys, "list", "--folder", str(home / "plgus"))
    assert "there is no folder" in mistyped
    assert "plgus" in mistyped
    home.mkdir()
    shutil.copy(DART, home)
    shutil.copy(SKIMMER, home)
    (home / "torn.toml").write_text("x = [")
    lines = said(capsys, "list", "--sort", "name").splitlines()
    assert [line.split("  ")[0] for line in lines[1:3]] == ["Harbour dart 108", "Reed skimmer 78"]
    assert lines[3].startswith("! torn.toml can't be read:")
    assert "did as asked" in lines[1]
    found = json.loads(said(capsys, "list", "--find", "floats", "--json"))
    assert [build["name"] for build in found["builds"]] == ["Reed skimmer 78"]
    everything = json.loads(said(capsys, "list", "--json"))["builds"]
    assert sum("wrong" in build for build in everything) == 1


def test_a_folder_that_is_none_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "file"
    path.write_text("x")
    assert "folder" in refused(capsys, "list", "--folder", str(path))


# compare -------------------------------------------------------------------------


def test_two_builds_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "compare", DART, SKIMMER)
    assert max(len(line) for line in told.splitlines()) <= 78
    assert "≠" in told
    assert "Salinity of the fishing" in told
    found = json.loads(said(capsys, "compare", DART, SKIMMER, DART, "--json"))
    assert found["same_as_first"] == [True, False, True]
    assert found["numbers"]["finished_mass"]["differs_from_first"] == [False, True, False]


def test_a_build_against_itself_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert "one and the same build" in said(capsys, "compare", DART, DART)


def test_one_build_can_not_be_compared(capsys: pytest.CaptureFixture[str]) -> None:
    assert "two profiles" in refused(capsys, "compare", DART)


# scale ---------------------------------------------------------------------------


def test_a_salt_water_sibling_of_140_mm(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "scale", SKIMMER, "--length", "140 mm", "--salinity", "35 g/kg", "--json")
    (found,) = json.loads(told)["builds"]
    path = Path(found["profile"])
    assert path.parent == home
    build = open_profile(path).build
    assert build.build.name == found["name"] == "Reed skimmer 140"
    assert build.water.salinity is not None
    assert build.water.salinity.text == "35 g/kg"
    assert build.shape.station[-1].x is not None
    assert build.shape.station[-1].x.value == pytest.approx(0.14, abs=1e-6)
    assert is_carried(build, ("shape", "station", 0, "x"))
    assert not is_carried(build, ("water", "salinity"))
    assert set(found["carried"]) == set(build.origin.carried if build.origin else ())
    assert found["expected"]["ballast_mass"]["value"] > 0
    both = home / "both.pdf"
    said(capsys, "export", SKIMMER, str(path), "-o", str(both))
    assert both.read_bytes().startswith(b"%PDF-")
    said(capsys, "review", str(path), "--json")


def test_a_run_of_copies(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "scale", DART, "--copies", "3", "--same-board", "--name", "Dart")
    written = sorted(home.glob("*.toml"))
    assert len(written) == 3
    assert told.count("wrote ") == 3
    builds = [open_profile(path).build for path in written]
    assert {build.build.name for build in builds} == {f"Dart, {n} of 3" for n in (1, 2, 3)}


def test_a_dry_run_writes_nothing(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "Nothing was written" in said(capsys, "scale", DART, "--factor", "1.5", "--dry-run")
    assert not home.exists()


def test_another_aim_takes_the_place_of_the_old_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "floater.toml"
    aim = ("--behaviour", "floats", "--freeboard", "20 %")
    said(capsys, "scale", DART, "--factor", "1", *aim, "-o", str(target))
    aimed = open_profile(target).build.aim
    assert (aimed.behaviour, aimed.margin, aimed.sink_rate) == ("floats", None, None)
    assert aimed.freeboard_fraction is not None
    before = target.read_bytes()
    assert "is there already" in refused(capsys, "scale", DART, "--factor", "2", "-o", str(target))
    assert target.read_bytes() == before
    said(capsys, "scale", DART, "--factor", "2", "-o", str(target), "--force")
    assert target.read_bytes() != before


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (("--factor", "0"), "expected 0.2 to 5"),
        (("--factor", "50"), "expected 0.2 to 5"),
        (("--factor", "big"), "--factor"),
        (("--length", "140"), "no unit"),
        (("--length", "1 m"), "expected 0.2 to 5 times"),
        (("--length", "-3 mm"), "expected 0.2 to 5 times"),
        (("--salinity", "9000 g/kg"), "--salinity"),
        (("--behaviour", "suspends", "--margin", "12 %"), "has no margin"),
        (("--copies", "0"), "--copies"),
        (("--copies", "2", "-o", "x.toml"), "--output"),
        (("--length", "1 in", "--factor", "2"), "not allowed with"),
    ],
)
def test_what_can_not_be_scaled_is_refused_in_one_line(
    options: tuple[str, ...], why: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert why in refused(capsys, "scale", DART, *options)
    assert not home.exists()


def test_a_profile_without_a_length_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    empty = tmp_path / "empty.toml"
    empty.write_text("format = 1\n")
    assert "nothing to scale" in refused(capsys, "scale", str(empty), "--factor", "2")


# needs ---------------------------------------------------------------------------


def test_what_a_build_takes(capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "needs", DART)
    for what in ("Board", "Ballast", "Backfill", "Drill", "Hardware", "Coat", "Abrasive paper"):
        assert what in told
    one, six = (
        json.loads(said(capsys, "needs", DART, "--copies", n, "--json"))["needs"] for n in "16"
    )
    for a, b in zip(one, six, strict=True):
        if a["for"] in ("hardware", "ballast"):
            assert b["count"] == 6 * a["count"]
        if a["for"] in ("coat", "backfill"):
            assert b["mass_g"] == pytest.approx(6 * a["mass_g"])
        if a["for"] == "board":
            # six blanks and five saw cuts of 3 mm between them
            assert b["board_length_mm"] == pytest.approx(6 * a["board_length_mm"] + 15.0)
    assert "--copies" in refused(capsys, "needs", DART, "--copies", "0")
    hooks = [row for row in one if row["what"].startswith("treble")]
    assert [(row["count"], row["mass_g"]) for row in hooks] == [(2, pytest.approx(2.05))]


# export --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("s.pdf", b"%PDF-"),
        ("s.HTML", b"<!DOCTYPE html>"),
        ("s.md", b"# Harbour dart"),
        ("s.txt", b"Harbour dart"),
        ("s.csv", b"row,name"),
        ("s.json", b"{"),
        ("s.toml", b"# A Plugwright profile"),
    ],
)
def test_the_ending_decides_what_is_written(
    name: str, start: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / name
    said(capsys, "export", DART, "-o", str(target))
    assert target.read_bytes().startswith(start)
    target.write_bytes(b"a year of work")
    assert "is there already" in refused(capsys, "export", DART, "-o", str(target))
    assert target.read_bytes() == b"a year of work"


def test_without_a_file_the_sheet_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "export", DART).startswith("Harbour dart 108\n====")


@pytest.mark.parametrize("name", ["s", "s.docx", "s.pdf.bak"])
def test_an_unknown_ending_is_refused(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "must end in" in refused(capsys, "export", DART, "-o", str(tmp_path / name))


def test_the_profile_is_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.toml"
    shutil.copy(DART, own)
    before = own.read_bytes()
    assert "is the profile itself" in refused(capsys, "export", str(own), "-o", str(own), "--force")
    assert own.read_bytes() == before


def test_nothing_is_asked_and_nothing_but_the_answer_is_said_in_a_pipe(tmp_path: Path) -> None:
    environment = {**os.environ, "PLUGWRIGHT_HOME": str(tmp_path)}
    for arguments in (["list"], ["compare", DART, DART], ["needs", DART], ["export", DART]):
        run = subprocess.run(
            [sys.executable, "-m", "wizard", *arguments],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            env=environment,
            check=True,
            timeout=60,
        )
        assert run.stderr == b""
        assert b"\x1b" not in run.stdout


# completion ----------------------------------------------------------------------


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_knows_every_command(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "completion", shell)
    assert told == script(shell)
    for command in COMMANDS:
        assert command in told
    assert "suspends" in told


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash")
@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (["co"], {"compare", "completion"}),
        (["scale", "--be"], {"--behaviour"}),
        (["scale", "--behaviour", ""], {"floats", "suspends", "sinks"}),
        (["list", "--sort", "n"], {"name"}),
        (["completion", "z"], {"zsh"}),
    ],
)
def test_bash_completes(line: list[str], expected: set[str], tmp_path: Path) -> None:
    place = tmp_path / "plugwright.bash"
    place.write_text(script("bash"))
    words = " ".join(f"'{word}'" for word in ["plugwright", *line])
    commands = (
        f"source {place}; COMP_WORDS=({words}); COMP_CWORD={len(line)}; _plugwright; "
        'printf "%s\\n" "${COMPREPLY[@]}"'
    )
    run = subprocess.run(
        ["bash", "-c", commands], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert set(run.stdout.split()) == expected
    assert run.stderr == ""


@pytest.mark.skipif(shutil.which("fish") is None, reason="no fish")
def test_fish_completes(tmp_path: Path) -> None:
    place = tmp_path / "plugwright.fish"
    place.write_text(script("fish"))
    for line, expected in (
        ("co", {"compare", "completion"}),
        ("scale --be", {"--behaviour"}),
        ("scale --behaviour ", {"floats", "suspends", "sinks"}),
        ("list --sort n", {"name"}),
    ):
        run = subprocess.run(
            ["fish", "--no-config", "-c", f"source {place}; complete -C 'plugwright {line}'"],
            capture_output=True,
            text=True,
            check=True,
            cwd=tmp_path,
            env={**os.environ, "HOME": str(tmp_path)},
        )
        assert set(run.stdout.split()) - {place.name} == expected


@pytest.mark.skipif(shutil.which("zsh") is None, reason="no zsh")
def test_zsh_completes_as_it_is_typed(tmp_path: Path) -> None:
    """In its own line editor: the script is found in a folder of functions, as documented."""
    import pexpect

    (tmp_path / "_plugwright").write_text(script("zsh"))
    shell = pexpect.spawn(
        "zsh",
        ["-f", "-i"],
        cwd=str(tmp_path),
        env={**os.environ, "TERM": "dumb", "HOME": str(tmp_path), "PS1": "ready> "},
        encoding="utf-8",
        timeout=20,
    )
    try:
        shell.expect("ready> ")
        shell.sendline(f"fpath=({tmp_path} $fpath); setopt NO_BEEP")
        shell.sendline("autoload -Uz compinit; compinit -u -D; print up")
        shell.expect("\nup")
        for typed, completed in (
            ("plugwright comple\t", "completion "),
            ("plugwright scale --beh\t", "--behaviour "),
            ("plugwright scale --behaviour fl\t", "floats "),
        ):
            shell.expect("ready> ")
            shell.send(typed)
            shell.expect_exact(completed)
            shell.send("\x15\r")  # empties the line; Ctrl+C may hit the completion itself
    finally:
        shell.close(force=True)
