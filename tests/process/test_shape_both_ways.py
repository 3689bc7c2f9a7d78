"""A shape by proportions and one by stations, without a screen: numbers, picture, sheet, files."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

HEAD = """
format = 1
[build]
name = "Weir Dace"
[water]
temperature = "15 degC"
salinity = "0 g/kg"
[aim]
behaviour = "{behaviour}"
margin = "15 %"
[weighing]
mass = "10.2 g"
resolution = "0.01 g"
[[density.sample]]
method = "known"
density = "0.42 g/mL"
uncertainty = "0.004 g/mL"
"""
PARTS = """
[ballast]
metal = "lead"
[[ballast.hole]]
x = "42 mm"
diameter = "10 mm"
depth = "12 mm"
[[hardware]]
name = "treble hook"
mass = "1.9 g"
density = "7.85 g/mL"
x = "50 mm"
z = "-2 mm"
[[coat]]
name = "clear sealer"
thickness = "0.05 mm"
density = "1.10 g/mL"
"""
SHAPES = {
    "proportions": """
[shape]
form = "round taper"
length = "100 mm"
height = "25 mm"
thickness = "20 mm"
""",
    "stations": "\n".join(
        f'[[shape.station]]\nx = "{x} mm"\ntop = "{top} mm"\nbottom = "{bottom} mm"\n'
        f'half_breadth = "{half} mm"'
        for x, top, bottom, half in (
            (0, 14, 10, 2), (20, 22, 3, 8), (45, 25, 0, 10), (75, 21, 3, 7.5), (100, 15, 11, 2),
        )
    ),
}  # fmt: skip
ALWAYS = {"shape_volume", "shape_area", "cb_x", "cb_z", "cg_x", "cg_z", "rest_pitch"}
AFLOAT = {"draught", "freeboard", "gm", "gm_along", "righting_arm"}


def plugwright(*arguments: str) -> str:
    run = [sys.executable, "-m", "wizard", *arguments]
    return subprocess.run(run, capture_output=True, text=True, check=True).stdout


def written(folder: Path, way: str, behaviour: str) -> str:
    path = folder / "plug.toml"
    text = HEAD.format(behaviour=behaviour) + SHAPES[way] + PARTS
    path.write_text(text, encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("behaviour", ["floats", "sinks"])
@pytest.mark.parametrize("way", SHAPES)
def test_a_review_tells_how_it_lies(tmp_path: Path, way: str, behaviour: str) -> None:
    profile = written(tmp_path, way, behaviour)
    numbers = json.loads(plugwright("review", profile, "--json"))["numbers"]
    assert set(numbers) >= ALWAYS
    assert set(numbers) >= AFLOAT if behaviour == "floats" else not AFLOAT & set(numbers)
    assert numbers["cb_z"]["value"] > numbers["cg_z"]["value"]
    text = plugwright("review", profile)
    assert "In the water" in text
    assert "It will right itself" in text


@pytest.mark.parametrize("way", SHAPES)
def test_it_is_seen_marked_out_and_printed(tmp_path: Path, way: str) -> None:
    profile = written(tmp_path, way, "floats")
    seen = plugwright("picture", profile, "--width", "40", "--ascii")
    assert seen.isascii()
    assert all(view in seen for view in ("floats", "from above", "section at"))
    assert "Square the blank" in plugwright("marking", profile)
    for ending, start in ((".pdf", b"%PDF"), (".svg", b"<?xml"), (".stl", b"Plugwright")):
        plugwright("template", profile, "-o", str(tmp_path / f"out{ending}"))
        assert (tmp_path / f"out{ending}").read_bytes().startswith(start)


@pytest.mark.parametrize("way", SHAPES)
def test_line_by_line_it_is_seen_and_its_girth_taken(tmp_path: Path, way: str) -> None:
    profile = written(tmp_path, way, "floats")
    spoken = ("/step 3", "/picture", "/marking", "/girth", "/undo", "/template out.svg", "/quit")
    run = [sys.executable, "-m", "wizard", "--plain", profile]
    lines = "\n".join(spoken) + "\n"
    said = subprocess.run(
        run, input=lines, capture_output=True, text=True, check=True, cwd=tmp_path
    ).stdout
    assert "from above" in said
    assert "Square the blank" in said
    assert "taken into the shape. /undo takes it back." in said
    assert "Undone: girth factor" in said
    assert (tmp_path / "out.svg").exists()
