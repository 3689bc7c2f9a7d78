"""A shape as a maker types it: both ways in, and what is wrong said at the field."""

from __future__ import annotations

from pathlib import Path

import pytest

from wizard.physics.forms import FORMS
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derive import derive
from wizard.plug.paths import parse
from wizard.plug.record import Build
from wizard.steps.answering import Unclear, answer, place_of_new, with_row
from wizard.steps.prompts import Question, is_done, questions
from wizard.steps.shape import STATIONS, STEP
from wizard.store.opening import Unreadable, open_profile

SIZES = {
    "shape.form": "round taper",
    "shape.length": "95",
    "shape.height": "1 1/16 in",
    "shape.thickness": "20",
}


def asked(build: Build, key: str) -> Question:
    return next(q for q in questions(build, STEP) if q.path == parse(key))


def typing(build: Build, answers: dict[str, str]) -> Build:
    for key, text in answers.items():
        taken = answer(build, asked(build, key), text)
        assert isinstance(taken, Build), f"{key}: {taken}"
        build = taken
    return build


def keys(build: Build) -> set[str]:
    return {".".join(str(p) for p in q.path) for q in questions(build, STEP)}


def station(build: Build, n: int, *texts: str, place: int | None = None) -> Build | Unclear:
    build = with_row(build, STATIONS, place)
    for key, text in zip(("x", "top", "bottom", "half_breadth"), texts, strict=False):
        taken = answer(build, asked(build, f"shape.station.{n}.{key}"), text)
        if isinstance(taken, Unclear):
            return taken
        build = taken
    return build


def carved(*rows: tuple[str, ...]) -> Build | Unclear:
    build: Build | Unclear = typing(Build(), {"shape.way": "stations"})
    for n, row in enumerate(rows):
        assert isinstance(build, Build), build
        build = station(build, n, *row)
    return build


NOSE, MIDDLE, TAIL = ("0", "14", "10", "2"), ("45", "25", "0", "10"), ("100", "15", "11", "2")


def test_the_short_way_asks_for_sizes_and_form_alone() -> None:
    assert keys(Build()) == {"shape.way", "shape.allowance", *SIZES}
    build = typing(Build(), SIZES)
    assert is_done(build, STEP)
    assert "shape_volume" in derive(build).numbers


@pytest.mark.parametrize("name", FORMS)
def test_every_form_is_picked_by_its_beginning(name: str) -> None:
    build = typing(Build(), {**SIZES, "shape.form": name[:3].upper()})
    assert build.shape.form == name
    body = drawn_body(build)
    assert body is not None
    assert body.height == pytest.approx(0.0269875, rel=2e-2)


def test_a_form_that_is_not_there_is_refused_with_those_that_are() -> None:
    taken = answer(Build(), asked(Build(), "shape.form"), "submarine")
    assert isinstance(taken, Unclear)
    assert "round taper" in taken.remedy


# The change that each proportion makes is told by its geometry alone.
@pytest.mark.parametrize(
    ("key", "text", "larger"),
    [
        ("shape.tail", "60 %", True),
        ("shape.nose", "50 %", True),
        ("shape.section.upper", "4", True),
        ("shape.section.lower", "1.2", False),
        ("shape.section.flat_back", "0.5", None),
        ("shape.widest_at", "20 %", None),
        ("shape.face", "1/3", False),
    ],
)
def test_every_proportion_can_be_changed(key: str, text: str, larger: bool | None) -> None:
    usual = typing(Build(), {**SIZES, "shape.way": "proportions"})
    changed = typing(usual, {key: text if "/" not in text else "33 %"})
    before, after = drawn_body(usual), drawn_body(changed)
    assert before is not None
    assert after is not None
    assert after.volume != pytest.approx(before.volume, rel=1e-3)
    if larger is not None:
        assert (after.volume > before.volume) is larger
    assert after.length == before.length
    # It stays asked, whatever way is chosen later.
    assert key in keys(typing(changed, {"shape.way": "sizes"}))


def test_stations_draw_a_body() -> None:
    build = carved(NOSE, MIDDLE, TAIL)
    assert isinstance(build, Build)
    assert is_done(build, STEP)
    assert not keys(build) & set(SIZES)
    assert derive(build).numbers["shape_volume"].published[0] == pytest.approx(22.0, abs=3.0)


def test_one_station_is_not_enough_and_no_fault() -> None:
    build = carved(NOSE)
    assert isinstance(build, Build)
    assert not is_done(build, STEP)
    assert "shape_volume" not in derive(build).numbers


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (("20", "10", "12", "4"), "top line is below the bottom line"),
        (("0",), "repeats the x"),
        (("-5",), ""),
        (("20", "22", "3", "-4"), ""),
    ],
    ids=["crossing", "repeated", "ahead of the nose", "negative breadth"],
)
def test_a_station_that_cannot_be_is_refused_at_its_field(row: tuple[str, ...], words: str) -> None:
    refused = carved(NOSE, row)
    assert isinstance(refused, Unclear)
    assert words in refused.wrong
    assert refused.wrong
    assert refused.remedy


def test_a_station_out_of_order_is_refused_as_soon_as_its_place_is_typed() -> None:
    refused = carved(NOSE, MIDDLE, ("20",))
    assert isinstance(refused, Unclear)
    assert "Station 3 lies ahead of the station before it" in refused.wrong
    assert "nose to tail" in refused.remedy


def test_a_forgotten_station_goes_behind_the_one_that_is_open() -> None:
    build = carved(NOSE, MIDDLE, TAIL)
    assert isinstance(build, Build)
    assert place_of_new(build, STATIONS, None) == 3
    place = place_of_new(build, STATIONS, 0)
    more = station(build, place, "20", "22", "3", "8", place=place)
    assert isinstance(more, Build)
    assert [s.x.value for s in more.shape.station if s.x] == [0.0, 0.02, 0.045, 0.1]


def test_a_body_of_two_metres_and_one_of_five_millimetres() -> None:
    for length, height in (("2 m", "400 mm"), ("5 mm", "2 mm")):
        build = typing(Build(), {**SIZES, "shape.length": length, "shape.height": height})
        body = drawn_body(build)
        assert body is not None
        assert body.volume > 0.0
        assert any(f.path == ("shape", "length") for f in derive(build).warnings) is (
            length == "2 m"
        )


def test_stations_overrule_sizes_and_it_is_said() -> None:
    build = carved(NOSE, MIDDLE, TAIL)
    assert isinstance(build, Build)
    build = typing(build, {"shape.way": "sizes"})
    assert any(f.path == ("shape", "way") for f in derive(build).warnings)
    assert drawn_body(build) is not None


def written(folder: Path, rows: list[tuple[object, ...]]) -> Path:
    names = ("x", "top", "bottom", "half_breadth")
    text = ["format = 1"]
    for row in rows:
        text += ["[[shape.station]]"]
        text += [f'{k} = "{v} mm"' for k, v in zip(names, row, strict=True)]
    path = folder / "plug.toml"
    path.write_text("\n".join(text) + "\n", encoding="utf-8")
    return path


def test_a_thousand_stations_in_a_file(tmp_path: Path) -> None:
    rows: list[tuple[object, ...]] = [(n / 10, 20, 0, 8) for n in range(1000)]
    body = drawn_body(open_profile(written(tmp_path, rows)).build)
    assert body is not None
    # A straight bar: its section is that of two half ellipses, pi/4 times 20 by 16 mm.
    assert body.volume == pytest.approx(99.9e-3 * 3.14159265 / 4 * 20e-3 * 16e-3, rel=1e-6)


@pytest.mark.parametrize("broken", [(5, 1, 2, 3), (0, 2, 1, 3), (-1, 2, 1, 3), (5, 2, 1, -3)])
def test_a_station_that_cannot_be_stops_a_file(tmp_path: Path, broken: tuple[int, ...]) -> None:
    path = written(tmp_path, [(0, 14, 10, 2), broken, (100, 15, 11, 2)])
    with pytest.raises(Unreadable) as caught:
        open_profile(path)
    assert "line " in str(caught.value)
    assert "shape.station[2]" in str(caught.value)
