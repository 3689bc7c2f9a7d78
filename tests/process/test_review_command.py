"""`plugwright review` as a real process: exit status, streams, the JSON, what is never loaded."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.demos import ONE_OF_EACH

ROOT = Path(__file__).parents[2]
DART = ROOT / "profiles" / "harbour-dart.toml"

UNITS = {
    "water_density": "g/mL", "wood_density": "g/mL", "body_volume": "mL", "shape_volume": "mL",
    "shape_area": "cm2", "neutral_mass": "g", "target_mass": "g", "hardware_mass": "g",
    "bench_ballast": "g", "ballast_mass": "g", "finished_mass": "g", "displaced_volume": "mL",
    "net_in_water": "g", "chance_sinks": "1", "proof_net": "g", "sink_rate": "m/s", "cg_x": "mm",
    "cg_z": "mm", "cb_x": "mm", "cb_z": "mm", "rest_pitch": "deg", "draught": "mm",
    "freeboard": "mm", "gm": "mm",
}  # fmt: skip
STEPS = {
    "plan", "stock", "shape", "weighing", "density", "ballast", "hardware", "coating", "proof",
    "review",
}  # fmt: skip


def plugwright(
    *arguments: str | Path, cwd: Path | None = None, **environment: str
) -> subprocess.CompletedProcess[bytes]:
    """Run the program to its end."""
    return subprocess.run(
        [sys.executable, "-m", "wizard", *map(str, arguments)],
        cwd=cwd or ROOT,
        env=os.environ | {"PYTHONPATH": str(ROOT)} | environment,
        capture_output=True,
        timeout=60,
        check=False,
    )


def in_shell(line: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run a line of shell in which $PW is the program."""
    return subprocess.run(
        ["bash", "-o", "pipefail", "-c", line],
        cwd=ROOT,
        env=os.environ | {"PW": f"{sys.executable} -m wizard"} | environment,
        capture_output=True,
        timeout=60,
        check=False,
    )


def document(path: Path) -> dict[str, Any]:
    """The JSON of a profile."""
    done = plugwright("review", path, "--json")
    assert done.returncode == 0
    assert done.stderr == b""
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def broken(folder: Path, text: str) -> Path:
    path = folder / "broken.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("path", ONE_OF_EACH, ids=lambda p: p.stem)
def test_the_json_is_one_object_of_the_agreed_form(path: Path) -> None:
    found = document(path)
    assert list(found) == ["format", "profile", "step", "numbers", "warnings"]
    assert found["format"] == 1
    assert found["profile"] == str(path)
    assert found["step"] in STEPS
    for name, number in found["numbers"].items():
        assert set(number) == {"value", "unit", "u"}
        assert number["unit"] == UNITS.get(name, number["unit"])
        assert isinstance(number["value"], float)
        assert isinstance(number["u"], float)
    for warning in found["warnings"]:
        assert set(warning) == {"step", "text"}
        assert warning["step"] in STEPS
        assert warning["text"]
    agreed = [name for name in found["numbers"] if name in UNITS]
    assert agreed == [name for name in UNITS if name in found["numbers"]]


def test_every_agreed_number_is_given_by_one_build_or_another() -> None:
    given = {name for path in ONE_OF_EACH for name in document(path)["numbers"]}
    assert set(UNITS) <= given


@pytest.mark.parametrize("path", ONE_OF_EACH, ids=lambda p: p.stem)
def test_the_text_holds_every_number_and_reading_changes_nothing(path: Path) -> None:
    before = path.read_bytes(), path.stat().st_mtime_ns
    done = plugwright("review", path)
    assert done.returncode == 0
    assert done.stderr == b""
    assert "density of the wood" in done.stdout.decode()
    assert done.stdout == plugwright("review", path).stdout
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_the_working_shows_formulas_and_sources() -> None:
    said = plugwright("review", DART, "--working").stdout.decode()
    for part in ("V_b = m_b / rho_wood", "N = M - rho V", "Millero and Poisson (1981)", "JCGM 100"):
        assert part in said


def test_the_profile_is_named_as_it_was_given() -> None:
    done = plugwright("review", "./harbour-dart.toml", "--json", cwd=DART.parent)
    assert json.loads(done.stdout)["profile"] == "./harbour-dart.toml"


BROKEN = {
    "no TOML": ("format = 1\n[water\n", "line 2: water: "),
    "no unit": ('format = 1\n[weighing]\nmass = "13"\n', "line 3: weighing.mass: "),
    "two aims": (
        'format = 1\n[aim]\nbehaviour = "sinks"\nmargin = "5 %"\nsink_rate = "9 cm/s"\n',
        "line 5: aim.sink_rate: ",
    ),
    "later format": ("format = 2\n", "line 1: format: "),
    "empty": ("", "line 1: format: "),
}


@pytest.mark.parametrize("name", BROKEN)
@pytest.mark.parametrize("form", [(), ("--json",)])
def test_what_cannot_be_read_is_one_line_and_status_two(
    name: str, form: tuple[str, ...], tmp_path: Path
) -> None:
    text, where = BROKEN[name]
    path = broken(tmp_path, text)
    done = plugwright("review", path, *form)
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.count(b"\n") == 1
    assert done.stderr.decode().startswith(f"plugwright: {path}: {where}")
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize("path", ["none.toml", ".", "/dev/null", "/dev/full", "a/b/c.toml"])
def test_what_is_no_file_is_one_line_and_status_two(path: str, tmp_path: Path) -> None:
    done = plugwright("review", path, cwd=tmp_path)
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.count(b"\n") == 1
    assert b"expected" in done.stderr


@pytest.mark.parametrize("wrong", [["review"], ["review", "--nonsense", "x"], ["review", "a", "b"]])
def test_wrong_arguments_are_one_line_and_status_two(wrong: list[str]) -> None:
    done = plugwright(*wrong)
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.count(b"\n") == 1
    assert b"--help" in done.stderr


def test_help_is_an_answer() -> None:
    done = plugwright("review", "--help")
    assert done.returncode == 0
    assert b"--json" in done.stdout
    assert done.stderr == b""


PROBE = """
import sys
from wizard.__main__ import main
status = main(sys.argv[1:])
loaded = {name.partition(".")[0] for name in sys.modules}
sys.stderr.write(" ".join(sorted(loaded & {"textual", "rich", "wizard", "tomli_w", "difflib"})))
raise SystemExit(status)
"""


@pytest.mark.parametrize("form", [(), ("--json",), ("--working",)])
def test_the_review_loads_neither_textual_nor_rich(form: tuple[str, ...]) -> None:
    for path in ONE_OF_EACH:
        done = subprocess.run(
            [sys.executable, "-c", PROBE, "review", str(path), *form],
            cwd=ROOT,
            capture_output=True,
            timeout=60,
            check=False,
        )
        assert done.returncode == 0
        assert done.stderr == b"wizard"


def test_an_empty_build_costs_no_numbers_package(tmp_path: Path) -> None:
    """Whoever asks for little waits for little: no shape is drawn, so numpy is not wanted."""
    path = broken(tmp_path, "format = 1\n")
    line = f"$PW review {path} --json 2>&1 >/dev/null"
    done = in_shell(line.replace("$PW", f"{sys.executable} -X importtime -m wizard"))
    loaded = {row.rpartition("|")[2].strip() for row in done.stdout.decode().splitlines()}
    assert "wizard.plug.derive" in loaded
    assert not loaded & {"pint", "textual", "rich", "wizard.physics.shape"}


@pytest.mark.parametrize("form", ["", "--json", "--working"])
def test_output_that_nobody_takes(form: str) -> None:
    piped = in_shell(f"$PW review {DART} {form} | head -c 5")
    assert piped.stderr == b""
    closed = in_shell(f"$PW review {DART} {form} >&-")
    assert (closed.returncode, closed.stderr) == (0, b"")
    full = in_shell(f"$PW review {DART} {form} >/dev/full")
    assert full.returncode == 1
    assert full.stderr.count(b"\n") == 1
    assert b"not written" in full.stderr
    mute = in_shell("$PW review no-such-file.toml 2>&-")
    assert (mute.returncode, mute.stdout) == (2, b"")


def test_a_terminal_of_few_signs_gets_text_all_the_same() -> None:
    for encoding in ("ascii", "latin-1", "cp1252"):
        done = plugwright("review", DART, PYTHONIOENCODING=encoding)
        assert done.returncode == 0
        assert done.stderr == b""
        done.stdout.decode(encoding)


def test_no_home_and_no_terminal_is_needed(tmp_path: Path) -> None:
    bare = {"PATH": os.environ.get("PATH", ""), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "review", str(DART), "--json"],
        cwd=tmp_path,
        env=bare,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0
    assert json.loads(done.stdout)["step"] == "review"
    assert list(tmp_path.iterdir()) == []


def test_a_name_that_is_no_text_is_shown_without_harm(tmp_path: Path) -> None:
    path = tmp_path / os.fsdecode(b"a\xff\x1b[31m.toml")
    path.write_bytes(DART.read_bytes())
    done = plugwright("review", path, "--json")
    assert done.returncode == 0
    assert b"\x1b" not in done.stdout
    assert json.loads(done.stdout)["profile"] == str(path)
    path.write_bytes(b"format = 9")
    refused = plugwright("review", path)
    assert refused.returncode == 2
    assert b"\x1b" not in refused.stderr
    assert refused.stderr.count(b"\n") == 1
