"""The ballast command as a process: its numbers are those of the profile it leaves behind."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from tests.properties.planned import CARVED, DRAWER, DRILLS
from wizard.store.locks import hold
from wizard.store.opening import open_profile


@pytest.fixture
def profile(tmp_path: Path) -> Path:
    path = tmp_path / "herring.toml"
    path.write_text(tomli_w.dumps({"format": 1, **CARVED}), encoding="utf-8")
    return path


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder of builds with a bench in it."""
    folder = tmp_path / "builds"
    folder.mkdir()
    resin = {"name": "epoxy", "resin_parts": 2, "hardener_parts": 1, "parts_by": "volume"}
    bench = {"format": 1, "drills": DRILLS, "piece": DRAWER, "resin": [resin]}
    (folder / "bench.toml").write_text(tomli_w.dumps(bench), encoding="utf-8")
    return folder


def run(home: Path, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "wizard", *map(str, arguments)]
    return subprocess.run(
        command, capture_output=True, text=True, env={**os.environ, "PLUGWRIGHT_HOME": str(home)}
    )


def numbers(done: subprocess.CompletedProcess[str]) -> dict[str, Any]:
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)["numbers"]
    return found


def test_the_numbers_are_those_of_the_review_after_applying(profile: Path, home: Path) -> None:
    plain = run(home, "ballast", profile, "--json")
    before = profile.read_bytes()
    plan = json.loads(plain.stdout)["plan"]
    applied = run(home, "ballast", profile, "--json", "--apply")
    assert before != profile.read_bytes()
    reviewed = run(home, "review", profile, "--json")
    assert numbers(plain) == numbers(applied) == numbers(reviewed)
    assert plan["meets_all"]
    assert plan["wanted"]["value"] == pytest.approx(numbers(reviewed)["ballast_mass"]["value"])
    build = open_profile(profile).build
    assert build.ballast
    assert len(plan["holes"]) == len(build.ballast.hole)
    pieces = [p for hole in plan["holes"] for p in hole["pieces"]]
    assert sum(p["count"] * p["mass"]["value"] for p in pieces) == pytest.approx(
        plan["pieces_mass"]["value"], abs=1e-4
    )
    assert build.ballast.resin


def test_nothing_is_written_unasked(profile: Path, home: Path) -> None:
    before = profile.read_bytes()
    done = run(home, "ballast", profile)
    assert done.returncode == 0
    assert profile.read_bytes() == before
    for words in ("from nose", "off centre", "Mix resin", "Lead: hands and mouth", "Drill press:"):
        assert words in done.stdout
    assert all(len(line) <= 88 for line in done.stdout.splitlines())


def test_the_drill_list_counts_from_the_nose(profile: Path, home: Path) -> None:
    done = run(home, "ballast", profile, "--apply")
    build = open_profile(profile).build
    assert build.ballast
    rows = [line.split() for line in done.stdout.splitlines() if line.startswith("  hole ")]
    assert [f"{r[2]} {r[3]}" for r in rows] == [h.x.text for h in build.ballast.hole if h.x]
    assert [f"{r[6]} {r[7]}" for r in rows] == [h.depth.text for h in build.ballast.hole if h.depth]


def test_the_plan_stands_on_picture_marking_and_template(profile: Path, home: Path) -> None:
    bare = run(home, "picture", profile, "--width", "90").stdout
    run(home, "ballast", profile, "--apply")
    drawn = run(home, "picture", profile, "--width", "90").stdout
    assert "ballast" not in bare
    assert "ballast" in drawn
    marked = run(home, "marking", profile).stdout
    assert marked.count("drill straight up") == marked.count("hole ")
    template = profile.with_suffix(".svg")
    assert run(home, "template", profile, "-o", template).returncode == 0
    assert "hole 1" in template.read_text(encoding="utf-8")


def test_a_bench_of_ones_own(profile: Path, home: Path, tmp_path: Path) -> None:
    own = tmp_path / "other.toml"
    own.write_text('format = 1\n[[piece]]\nmass = "500 g"\nform = "ball"\n', encoding="utf-8")
    done = run(home, "ballast", profile, "--bench", own)
    assert done.returncode == 1
    assert "lightest piece of the drawer is 500 g" in " ".join(done.stdout.split())
    refused = run(home, "ballast", profile, "--bench", own, "--apply")
    assert refused.returncode == 2
    assert "no plan to apply" in refused.stderr


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('format = 1\n[drills]\nowned = ["nonsense"]\n', "line 3: drills.owned[1]"),
        ("format = 9\n", "later version"),
        ("\x00", "TOML"),
    ],
)
def test_a_broken_bench_is_one_clear_line(profile: Path, home: Path, text: str, words: str) -> None:
    (home / "bench.toml").write_text(text, encoding="utf-8")
    done = run(home, "ballast", profile)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert words in done.stderr


def test_no_bench_at_all_is_no_obstacle(profile: Path, tmp_path: Path) -> None:
    done = run(tmp_path / "nowhere", "ballast", profile)
    assert done.returncode == 0
    assert "The drawer is empty" in done.stdout


def test_a_build_that_is_open_elsewhere_is_left_alone(profile: Path, home: Path) -> None:
    lock = hold(profile)
    assert hasattr(lock, "release")
    before = profile.read_bytes()
    done = run(home, "ballast", profile, "--apply")
    lock.release()
    assert done.returncode == 2
    assert "open" in done.stderr
    assert profile.read_bytes() == before


def test_a_young_build_says_what_it_waits_for(tmp_path: Path, home: Path) -> None:
    young = tmp_path / "young.toml"
    young.write_text('format = 1\n[aim]\nbehaviour = "sinks"\n', encoding="utf-8")
    done = run(home, "ballast", young)
    assert done.returncode == 1
    assert "waits for" in done.stdout
    assert "the shape" in done.stdout


def talked(home: Path, profile: Path, *lines: str) -> str:
    """What the line mode says to these lines."""
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "--plain", str(profile)],
        input="".join(f"{line}\n" for line in (*lines, "/quit")),
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
        env={**os.environ, "PLUGWRIGHT_HOME": str(home)},
    )
    return done.stdout


def test_the_plan_by_lines(profile: Path, home: Path) -> None:
    shown = talked(home, profile, "/plan")
    assert "The plan meets mass, walls and trim." in shown
    assert "/plan take puts it into the build." in shown
    build = open_profile(profile).build
    assert build.ballast
    assert not build.ballast.hole
    turned = talked(home, profile, "/plan take", "/undo", "/redo")
    assert "the plan is in the build" in turned
    assert "Undone: drill plan" in turned
    build = open_profile(profile).build
    assert build.ballast
    assert build.ballast.hole


def test_lines_are_offered_what_the_bench_knows(tmp_path: Path, home: Path) -> None:
    (home / "bench.toml").write_text('format = 1\n[scale]\nresolution = "0.02 g"\n', "utf-8")
    path = tmp_path / "young.toml"
    path.write_text('format = 1\n[build]\nstep = "weighing"\n', encoding="utf-8")
    assert "Enter takes 0.02 g" in talked(home, path, "/next")
