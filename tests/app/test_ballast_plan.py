"""The drill plan and the bench by keys: proposed, put in, taken out, asked otherwise."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import tomli_w

from tests.properties.planned import CARVED, DRAWER, DRILLS
from wizard.plug.record import Build
from wizard.store.bench import bench_path, open_bench
from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

AT_BALLAST = {"build": CARVED["build"] | {"step": "ballast"}}


@pytest.fixture
def profile(folder: Path) -> Path:
    """A carved plug at the ballast step."""
    folder.mkdir()
    path = folder / "herring.toml"
    path.write_text(tomli_w.dumps({"format": 1, **CARVED, **AT_BALLAST}), encoding="utf-8")
    return path


@pytest.fixture
def drawer(folder: Path, profile: Path) -> Path:
    """A bench beside it."""
    path = bench_path(folder)
    tables = {"drills": DRILLS, "piece": DRAWER, "scale": {"resolution": "0.02 g"}}
    path.write_text(tomli_w.dumps({"format": 1, **tables}), encoding="utf-8")
    return path


def saved(path: Path) -> Build:
    return open_profile(path).build


def holes(build: Build) -> list[str]:
    rows = build.ballast.hole if build.ballast else ()
    return [row.x.text for row in rows if row.x]


async def propose(maker: Maker) -> None:
    """Ask for a plan and wait for it."""
    await maker.until("F12 Drill plan")
    await maker.press("f12")
    await maker.until("Enter puts the plan into the build")


async def choose(maker: Maker, option: str) -> None:
    await maker.press(maker.digit_of(option), "enter")


async def point_at(maker: Maker, line: str) -> None:
    for _ in range(60):
        if line in maker.focused:
            return
        await maker.press("down")
    raise AssertionError(f"no line {line}\n{maker.screen}")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_one_key_proposes_and_one_puts_it_in(
    opened: Opening, profile: Path, drawer: Path, size: tuple[int, int]
) -> None:
    async with opened(profile, size=size) as maker:
        await propose(maker)
        assert "The plan meets mass, walls and trim." in maker.screen
        assert holes(saved(profile)) == []
        await maker.press("enter")
        await maker.until("The plan is in the build")
        await maker.press("enter")
        await maker.until("hole 1:")
        await maker.until("saved")
        shown = maker.screen
    build = saved(profile)
    assert 1 <= len(holes(build)) <= 4
    assert holes(build)[0] in shown
    run = [sys.executable, "-m", "wizard", "ballast", str(profile), "--bench", str(drawer)]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    for x in holes(build):
        assert f" {x} " in said


async def test_undo_takes_it_out_and_redo_puts_it_back(
    opened: Opening, profile: Path, drawer: Path
) -> None:
    async with opened(profile) as maker:
        await propose(maker)
        await maker.press("enter")
        await maker.until("The plan is in the build")
        await maker.press("f3")
        await maker.until("Undone: drill plan")
        await maker.until(lambda: holes(saved(profile)) == [])
        await maker.press("ctrl+y")
        await maker.until("Done again: drill plan")
        await maker.press("escape")
        await maker.until("hole 1:")
    assert holes(saved(profile))


async def test_looking_changes_nothing(opened: Opening, profile: Path, drawer: Path) -> None:
    before = profile.read_bytes()
    async with opened(profile) as maker:
        await propose(maker)
        await maker.press("pagedown", "pagedown", "up", "escape")
        await maker.until("F12 Drill plan")
    assert profile.read_bytes() == before


async def test_leaving_before_it_is_worked_out(
    opened: Opening, profile: Path, drawer: Path
) -> None:
    async with opened(profile) as maker:
        await maker.until("F12 Drill plan")
        await maker.press("f12")
        await maker.press("escape")
        await maker.until("F12 Drill plan")
        await maker.press("down")
        assert maker.focused


async def test_the_key_is_named_at_the_ballast_step_alone(
    opened: Opening, profile: Path, drawer: Path
) -> None:
    async with opened(profile) as maker:
        await maker.until("F12 Drill plan")
        await point_at(maker, "Continue to")
        await maker.press("enter")
        await maker.until("Hardware deduction")
        await maker.press("escape") if "Cautions" in maker.lines[0] else None
        assert "Drill plan" not in maker.lines[-1]


async def test_the_line_of_the_step_opens_it_too(
    opened: Opening, profile: Path, drawer: Path
) -> None:
    async with opened(profile, size=(100, 40)) as maker:
        await point_at(maker, "Drill plan from the drawer")
        await maker.press("enter")
        await maker.until("Enter puts the plan into the build")


async def test_a_plan_asked_otherwise(opened: Opening, profile: Path, drawer: Path) -> None:
    async with opened(profile) as maker:
        await propose(maker)
        await maker.press("f5")
        await choose(maker, "Holes at most")
        await maker.type("3", "enter")
        await maker.until("Enter puts the plan into the build")
        await maker.press("f5")
        await choose(maker, "Ballast lies")
        await choose(maker, "low")
        await maker.until("Enter puts the plan into the build")
        await maker.press("enter")
        await maker.until("The plan is in the build")
    build = saved(profile)
    assert build.ballast
    assert (build.ballast.most_holes, build.ballast.height) == (3, "low")
    assert len(holes(build)) <= 3


async def test_what_can_t_be_taken_is_said(opened: Opening, profile: Path, drawer: Path) -> None:
    async with opened(profile) as maker:
        await propose(maker)
        await maker.press("f5")
        await choose(maker, "Least wall")
        await maker.type("3 g", "enter")
        await maker.until("length is asked here")


async def test_which_limit_binds_is_shown(opened: Opening, profile: Path, drawer: Path) -> None:
    text = 'format = 1\n[[piece]]\nname = "anchor"\nmass = "500 g"\nform = "ball"\n'
    drawer.write_text(text, encoding="utf-8")
    async with opened(profile) as maker:
        await maker.until("F12 Drill plan")
        await maker.press("f12")
        await maker.until("There is no plan to put in")
        assert "lightest piece of the drawer is 500 g" in " ".join(maker.screen.split())
        await maker.press("enter", "escape")
    assert holes(saved(profile)) == []


async def test_a_young_build_waits(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    path = folder / "young.toml"
    path.write_text('format = 1\n[build]\nstep = "ballast"\n', encoding="utf-8")
    async with opened(path) as maker:
        await maker.until("F12 Drill plan")
        await maker.press("f12")
        await maker.until("It waits for the shape")


async def test_in_ascii_alone(opened: Opening, profile: Path, drawer: Path) -> None:
    async with opened(profile, ascii_only=True) as maker:
        await propose(maker)
        assert maker.screen.isascii()


# The bench -----------------------------------------------------------------------


async def open_bench_screen(maker: Maker) -> None:
    await maker.until("F12 Drill plan")
    await maker.press("ctrl+p")
    await point_at(maker, "Your bench")
    await maker.press("enter")
    await maker.until("Your bench: offered to every new build")


async def test_a_piece_is_put_into_the_drawer(
    opened: Opening, profile: Path, drawer: Path, folder: Path
) -> None:
    async with opened(profile) as maker:
        await open_bench_screen(maker)
        await point_at(maker, "Add a kind of piece")
        await maker.press("enter")
        await maker.until("kind of piece 5")
        await choose(maker, "Mass of one")
        await maker.type("3/8", "enter")
        await maker.until("3/8 g")
        await choose(maker, "Mass of one")
        await maker.press("ctrl+u")
        await maker.type("3 km", "enter")
        await maker.until("not a unit known here")
        assert "3 km" in maker.screen
        await maker.press("ctrl+u")
        await maker.type("3/8 oz", "enter")
        await maker.until("3/8 oz")
        await choose(maker, "Form")
        await choose(maker, "egg")
        await maker.press("escape")
        await maker.until("3/8 oz, 1 x, egg")
    piece = open_bench(bench_path(folder)).bench.piece[4]
    assert piece.mass
    assert (piece.mass.text, piece.form) == ("3/8 oz", "egg")


async def test_a_change_of_the_bench_is_taken_back(
    opened: Opening, profile: Path, drawer: Path, folder: Path
) -> None:
    async with opened(profile) as maker:
        await open_bench_screen(maker)
        await point_at(maker, "Kind of piece 2")
        await maker.press("enter")
        await choose(maker, "Remove this kind")
        await choose(maker, "remove this kind")
        await maker.until("F3 brings it back")
        assert len(open_bench(drawer).bench.piece) == 3
        await maker.press("f3")
        await maker.until("Undone")
        assert len(open_bench(drawer).bench.piece) == 4
        await maker.press("ctrl+y")
        await maker.until("Done again")
        assert len(open_bench(drawer).bench.piece) == 3


async def test_a_bench_changed_outside_is_not_written_over(
    opened: Opening, profile: Path, drawer: Path
) -> None:
    async with opened(profile) as maker:
        await open_bench_screen(maker)
        drawer.write_text('format = 1\n[bench]\nname = "by hand"\n', encoding="utf-8")
        await point_at(maker, "Name of the bench")
        await maker.press("enter")
        await maker.type("typed", "enter")
        await maker.until("Something else changed the bench file")
        await maker.until("by hand")
    assert open_bench(drawer).bench.bench.name == "by hand"


async def test_a_broken_bench_is_said_and_left_alone(
    opened: Opening, profile: Path, drawer: Path
) -> None:
    drawer.write_text("format = 1\n[scale]\nresolution = 3\n", encoding="utf-8")
    before = drawer.read_bytes()
    async with opened(profile) as maker:
        await maker.until("has no unit")
        await open_bench_screen(maker)
        await maker.until("Mend it by hand")
        await maker.press("enter")
        await maker.type("x", "enter")
        await maker.until("nothing is changed")
    assert drawer.read_bytes() == before


async def test_what_the_bench_knows_is_offered(opened: Opening, folder: Path, drawer: Path) -> None:
    path = folder / "new.toml"
    path.write_text('format = 1\n[build]\nstep = "weighing"\n', encoding="utf-8")
    async with opened(path, size=(100, 40)) as maker:
        await maker.until("Enter takes 0.02 g")
        await point_at(maker, "Smallest step of the scale")
        await maker.press("enter")
        await maker.until(lambda: saved(path).weighing.resolution is not None)
    resolution = saved(path).weighing.resolution
    assert resolution
    assert resolution.text == "0.02 g"


async def test_a_new_build_begins_in_the_units_of_the_bench(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    text = 'format = 1\n[bench]\nunits = { length = "in" }\n'
    bench_path(folder).write_text(text, encoding="utf-8")
    async with opened() as maker:
        await maker.until("Begin a new build")
        await maker.press("enter")
        await maker.type("Weir Bleak", "enter")
        await maker.until("Step 1 of 10")
    (path,) = (p for p in folder.glob("*.toml") if p.name != "bench.toml")
    assert saved(path).build.units == {"length": "in"}
