"""`plugwright tank` and `plugwright learned`, as a maker or a program calls them."""

from __future__ import annotations

import json
import random
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from tests.properties.simulated_plug import plug_and_profile, tried

PROGRAM = [sys.executable, "-m", "wizard"]


def called(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*PROGRAM, *arguments], capture_output=True, text=True, check=False)


def missed_plug(**more: Any) -> dict[str, Any]:
    dice = random.Random("command")
    plug, tables = plug_and_profile(dice, 0.10)
    tables["trial"] = [tried(dice, plug)]
    return {**tables, **more}


@pytest.fixture
def written(tmp_path: Path) -> Path:
    path = tmp_path / "harbour.toml"
    path.write_text(tomli_w.dumps(missed_plug(build={"name": "Harbour 90"})), encoding="utf-8")
    return path


def test_the_page_has_all_that_the_proof_needs(written: Path) -> None:
    done = called("tank", str(written))
    assert (done.returncode, done.stderr) == (0, "")
    for heading in ("The water in the tank", "What to expect", "Sum and tank", "What may be wrong"):
        assert f"\n{heading}\n" in done.stdout
    assert "both together" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 78


def test_the_json_says_the_same_as_the_page(written: Path) -> None:
    page = called("tank", str(written)).stdout
    told = json.loads(called("tank", str(written), "--json").stdout)
    assert told["format"] == 1
    best = told["numbers"]["best_net"]
    assert told["verdict"]["best"]["value"] == pytest.approx(best["value"])
    assert told["verdict"]["is_met"] == (not told["mends"])
    for mend in told["mends"][:6]:
        first = " ".join(mend["what"].split())[:40]
        assert first in " ".join(page.split())
    for lines in told["text"].values():
        assert all(line in page for line in lines)


def test_a_mix_can_be_asked_for(written: Path) -> None:
    sea = missed_plug(water={"temperature": "20 degC", "salinity": "35 g/kg"})
    written.write_text(tomli_w.dumps(sea), encoding="utf-8")
    table = json.loads(called("tank", str(written), "--litres", "40", "--json").stdout)["mix"]
    salt = json.loads(called("tank", str(written), "--litres", "40", "--sea", "--json").stdout)
    assert table["salt"] == "table salt"
    assert table["content_g_per_kg_of_water"] == pytest.approx(38.9, abs=0.35)
    assert salt["mix"]["add_g"] < table["add_g"]


@pytest.mark.parametrize("litres", ["0", "-3", "nan", "1e9", "many"])
def test_an_impossible_tank_is_refused_in_one_line(written: Path, litres: str) -> None:
    done = called("tank", str(written), f"--litres={litres}")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "--litres" in done.stderr


def test_a_plug_hardly_begun_has_a_page_too(tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    path.write_text("format = 1\n", encoding="utf-8")
    done = called("tank", str(path))
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(called("tank", str(path), "--json").stdout)["mends"] == []


def test_what_was_learned_comes_from_finished_builds_alone(tmp_path: Path) -> None:
    dice = random.Random("learned")
    for day in range(4):
        plug, tables = plug_and_profile(dice, 0.10)
        tables["trial"] = [tried(dice, plug)]
        film = f"{plug.film * 1e3:.2f} g"
        tables["coat"] = [{"name": "epoxy topcoat", "mass": film, "density": "1.12 g/mL"}]
        if day < 3:
            tables["shown"] = {"at": datetime(2026, 3, 1 + day, tzinfo=UTC)}
        (tmp_path / f"plug-{day}.toml").write_text(tomli_w.dumps(tables), encoding="utf-8")
    (tmp_path / "notes.toml").write_text("this is no build", encoding="utf-8")
    done = called("learned", "--folder", str(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("From 3 finished builds")
    assert "epoxy topcoat on the skin" in done.stdout
    target = tmp_path / "next.toml"
    target.write_text(tomli_w.dumps(plug_and_profile(dice, 0.1)[1]), encoding="utf-8")
    before = target.read_bytes()
    told = called("learned", str(target), "--folder", str(tmp_path))
    assert "What this build may take over" in told.stdout
    assert "dry film" in told.stdout
    assert target.read_bytes() == before
    as_json = json.loads(called("learned", str(target), "--folder", str(tmp_path), "--json").stdout)
    assert as_json["learned"]["builds"] == 3
    assert as_json["offers"][0]["key"] == "coat:epoxy topcoat"
    # Begun anew, nothing counts, and the maker's bench stays as it was but for that.
    (tmp_path / "bench.toml").write_text('format = 1\n[bench]\nname = "Cellar"\n', encoding="utf-8")
    anew = called("learned", "--folder", str(tmp_path), "--reset")
    assert (anew.returncode, anew.stderr) == (0, "")
    assert "Counted from " in anew.stdout
    assert "No finished build speaks yet" in anew.stdout
    assert called("learned", "--folder", str(tmp_path)).stdout == anew.stdout
    assert 'name = "Cellar"' in (tmp_path / "bench.toml").read_text(encoding="utf-8")
    assert called("learned", "--folder", str(tmp_path), "--all").stdout == done.stdout


def test_a_bench_without_builds_says_so(tmp_path: Path) -> None:
    done = called("learned", "--folder", str(tmp_path / "none"))
    assert done.returncode == 0
    assert "No finished build speaks yet" in done.stdout


def test_neither_loads_a_screen(written: Path) -> None:
    code = (
        "import sys; from wizard.__main__ import main; "
        f"main(['tank', {str(written)!r}]); "
        f"main(['learned', '--folder', {str(written.parent)!r}]); "
        "print(sorted(m for m in sys.modules if m.split('.')[0] in ('textual', 'rich')))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
