"""`template`, `picture` and `marking` from the command line: what is written, what is refused."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from wizard.__main__ import main

PROFILE = """
format = 1
[build]
name = "Bench Trial"
units = { length = "in" }
[shape]
form = "deep oval"
length = "4 in"
height = "1 in"
thickness = "1/2 in"
"""


@pytest.fixture
def profile(tmp_path: Path) -> str:
    path = tmp_path / "plug.toml"
    path.write_text(PROFILE, encoding="utf-8")
    return str(path)


def failed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The one line on standard error of a run that ends with status 2."""
    with pytest.raises(SystemExit) as ended:
        main(list(arguments))
    assert ended.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("plugwright: ")
    assert err.count("\n") == 1
    return err


@pytest.mark.parametrize(
    ("name", "start"), [("t.pdf", b"%PDF-"), ("t.SVG", b"<?xml"), ("t.stl", b"Plugwright")]
)
def test_the_ending_decides_what_is_written(
    profile: str, tmp_path: Path, name: str, start: bytes
) -> None:
    target = tmp_path / name
    assert main(["template", profile, "-o", str(target)]) == 0
    assert target.read_bytes().startswith(start)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(["plug.toml", name])


def test_lengths_in_inches_are_laid_out_for_letter(profile: str, tmp_path: Path) -> None:
    target = tmp_path / "t.svg"
    main(["template", profile, "-o", str(target)])
    assert 'width="215.9mm"' in target.read_text(encoding="utf-8")
    main(["template", profile, "-o", str(target), "--paper", "a4"])
    assert 'width="210mm"' in target.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["t.pdf", "t.svg", "t.stl"])
def test_only_our_own_files_are_written_over(
    profile: str, tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / name
    target.write_bytes(b"a year of work")
    assert "is there already" in failed(capsys, "template", profile, "-o", str(target))
    assert target.read_bytes() == b"a year of work"
    assert main(["template", profile, "-o", str(target), "--force"]) == 0
    first = target.read_bytes()
    assert main(["template", profile, "-o", str(target)]) == 0
    assert target.read_bytes() == first


def test_the_profile_itself_is_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plug.svg"
    path.write_text(PROFILE, encoding="utf-8")
    err = failed(capsys, "template", str(path), "-o", str(path), "--force")
    assert "is the profile itself" in err
    assert path.read_text(encoding="utf-8") == PROFILE


def test_a_link_stays_a_link(profile: str, tmp_path: Path) -> None:
    link, target = tmp_path / "link.svg", tmp_path / "far.svg"
    try:
        link.symlink_to(target)
    except OSError:
        pytest.skip("no links on this file system")
    main(["template", profile, "-o", str(link)])
    assert link.is_symlink()
    assert target.read_bytes().startswith(b"<?xml")


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ("t.png", "the name must end in .pdf, .svg or .stl"),
        ("t", "the name must end in"),
        ("missing/t.pdf", "its folder is not there"),
        ("folder.pdf", "is not a file"),
        ("a\x00b.pdf", "can't be written"),
    ],
)
def test_what_cannot_be_written_is_one_clear_line(
    profile: str, tmp_path: Path, output: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "folder.pdf").mkdir()
    assert words in failed(capsys, "template", profile, "-o", str(tmp_path / output))


def test_a_hostile_file_name_reaches_no_terminal(
    profile: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "\x1b[31m.svg"
    assert main(["template", profile, "-o", str(target)]) == 0
    assert "\x1b" not in capsys.readouterr().out


@pytest.mark.parametrize("command", ["picture", "marking", "template"])
def test_a_build_without_a_shape_says_what_to_give(
    tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bare.toml"
    path.write_text("format = 1\n", encoding="utf-8")
    more = ["-o", str(tmp_path / "t.pdf")] if command == "template" else []
    err = failed(capsys, command, str(path), *more)
    assert "length, height and thickness, or stations" in err


@pytest.mark.parametrize("command", ["picture", "marking", "template"])
def test_a_profile_that_is_not_there_is_status_2(
    tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    more = ["-o", str(tmp_path / "t.pdf")] if command == "template" else []
    assert "no such file" in failed(capsys, command, str(tmp_path / "none.toml"), *more)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--width", "3"], "expected 12 to 400 columns"),
        (["--width", "wide"], "invalid int value"),
        (["--station", "two"], "does not begin with a number"),
    ],
)
def test_what_the_picture_can_not_do_is_one_clear_line(
    profile: str, more: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert words in failed(capsys, "picture", profile, *more)


def test_the_section_is_cut_where_asked(profile: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["picture", profile, "--width", "60", "--ascii", "--station", "3 1/2 in"]) == 0
    out = capsys.readouterr().out
    assert "section at 3 1/2 in" in out
    assert out.isascii()


def test_the_marking_sheet_is_in_inches(profile: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["marking", profile]) == 0
    assert "4 x 1 x 1/2 in" in capsys.readouterr().out


def test_a_terminal_without_braille_gets_plain_signs(profile: str) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "wizard", "picture", profile],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii", "COLUMNS": "50"},
    )
    picture = run.stdout.decode("ascii")
    assert "?" not in picture
    assert max(map(len, picture.splitlines())) <= 50


def test_a_picture_loads_no_screen_and_no_pdf_writer(profile: str) -> None:
    program = (
        "import sys; from wizard.__main__ import main; main(['picture', sys.argv[1]]); "
        "print(sorted({'textual', 'rich', 'fpdf', 'PIL'} & set(sys.modules)))"
    )
    run = subprocess.run(
        [sys.executable, "-c", program, profile], capture_output=True, text=True, check=True
    )
    assert run.stdout.rstrip().endswith("[]")
