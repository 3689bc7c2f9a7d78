"""Ways through the walk: back and forth, back to change an answer, on past what is not taken."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening
    from wizard.plug.record import Build

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


def answers(path: Path) -> Build:
    """The build as it lies on the disk, apart from where it was left."""
    build = open_profile(path).build
    return replace(build, build=replace(build.build, step=None))


def shown(maker: Maker) -> list[str]:
    """The rows of the form, without the mark of the focus."""
    end = next(i for i, line in enumerate(maker.lines) if "Continue to " in line or "All n" in line)
    return [line[2:] for line in maker.lines[2:end]]


def title(maker: Maker) -> str:
    """What the step in view is called."""
    return maker.lines[0].split("·")[1].strip()


async def press_line(maker: Maker, text: str) -> None:
    """Move up, round by the last line, to a line of the form and press Enter on it."""
    for _ in range(20):
        if maker.label.startswith(text):
            break
        await maker.press("up")
    assert maker.label.startswith(text), maker.screen
    await maker.press("enter")
    await maker.read_cautions()


async def test_back_and_forth_over_every_pair_of_steps_keeps_all(
    opened: Opening, dart: Path
) -> None:
    before = answers(dart)
    async with opened(dart, size=(80, 60)) as maker:
        await maker.until("Step 10 of 10")
        await maker.go_to("Plan")
        seen: dict[str, list[str]] = {}
        for number in range(2, 11):
            seen[title(maker)] = shown(maker)
            await press_line(maker, "Continue to ")
            assert f"Step {number} of 10" in maker.lines[0]
        for step in reversed(seen):
            await press_line(maker, f"Back to {step}")
            assert title(maker) == step
            assert shown(maker) == seen[step]
        await press_line(maker, "Continue to ")
        assert shown(maker) == seen["Stock"]
    assert len(seen) == 9
    assert answers(dart) == before


async def test_one_who_goes_back_and_changes_an_answer_keeps_the_later_ones(
    opened: Opening, dart: Path
) -> None:
    before = answers(dart)
    async with opened(dart) as maker:
        await maker.until("weight of the finished plug")
        await maker.go_to("Ballast")
        await maker.until("ballast, the full answer")
        await maker.go_to("Plan")
        await maker.find("Salinity of the fishing water")
        await maker.press("ctrl+u")
        await maker.type("0", "enter")
        await maker.until("density of the fishing water")
        moved = maker.line("density of the fishing water")
        assert "1.026" in moved  # as it was: it says what it moved
        await maker.go_to("Ballast")
        await maker.until("ballast, the full answer")
        await maker.press("f3")  # undo from another step finds the place
        assert "· Plan ·" in maker.lines[0]
        assert maker.label == "Salinity of the fishing water"
        await maker.press("ctrl+y" if "Redo" not in maker.screen else "f4")
        await maker.until("Done again")
    after = answers(dart)
    assert after.water.salinity is not None
    assert after.water.salinity.text == "0 g/kg"
    assert replace(after, water=before.water, shown=before.shown) == before


async def test_a_step_that_may_be_skipped_says_so(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    plug = folder / "plug.toml"
    plug.write_text('format = 1\n[build]\nname = "Pier herring"\nstep = "proof"\n')
    async with opened(plug) as maker:
        await maker.until("Step 9 of 10")
        assert "Continue to Review (may be skipped)" in maker.screen
        await maker.press("ctrl+f")
        assert maker.line("Tank proof").endswith("may be skipped")
        assert maker.line("Weighing").endswith("something is open")


async def test_what_is_not_taken_is_told_on_top_once_and_never_holds_anybody_up(
    opened: Opening, folder: Path
) -> None:
    async with opened() as maker:
        await maker.until("Begin a new build")
        await maker.press("enter")
        await maker.type("Pier herring", "enter")
        await maker.until("Step 1 of 10")
        await maker.type("abc", "tab")
        await maker.type("5 mm", "tab")
        await press_line(maker, "Continue to Stock")
        assert maker.lines[2].startswith(" Error: 2 answers are not taken.")
        for label in ("Temperature of the fishing water", "Salinity of the fishing water"):
            above = maker.line(f" {label}: ").split(": ", 1)[1]
            (field,) = (
                n for n, line in enumerate(maker.lines) if f"{label} " in line and "[" in line
            )
            assert f"Error: {above[:40]}" in maker.lines[field + 1]  # the very same words
        assert maker.label == "Temperature of the fishing water"
        await maker.press("ctrl+u")
        await maker.type("12", "enter")
        await press_line(maker, "Continue to Stock")
        assert "Error: 1 answer is not taken." in maker.lines[2]
        assert maker.label == "Salinity of the fishing water"
        assert "[5 mm " in maker.screen  # never cleared
        await press_line(maker, "Continue to Stock")
        assert "· Stock ·" in maker.lines[0]
        assert "Error" not in maker.screen
        await press_line(maker, "Back to Plan")
        await maker.find("Salinity")
        assert "[5 mm " in maker.focused
        await maker.press("ctrl+u")
        await maker.type("0", "enter")
        assert "Error" not in maker.screen
    (path,) = folder.glob("*.toml")
    assert open_profile(path).build.water.salinity.text == "0 g/kg"  # type: ignore[union-attr]


async def test_in_a_small_terminal_the_summary_leaves_the_field_in_view(
    opened: Opening, folder: Path
) -> None:
    async with opened(size=(60, 20)) as maker:
        await maker.until("Begin a new build")
        await maker.press("enter")
        await maker.type("Pier herring", "enter")
        await maker.until("Step 1 of 10")
        await maker.type("abc", "tab")
        await maker.type("5 mm", "tab")
        await press_line(maker, "Continue to Stock")
        assert maker.lines[2].startswith(" Error: 2 answers are not taken.")
        assert maker.label == "Temperature of the fishing water"
        assert "[abc " in maker.screen
        assert "Error: “abc” does not begin with a number." in maker.screen


async def test_ctrl_c_says_how_to_quit_and_no_letter_quits(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.press("ctrl+c", "ctrl+c")
        assert "Ctrl+Q quits" in maker.screen
        await maker.press("escape")
        await maker.until("Resume ")
        await maker.press("ctrl+c")
        assert "Ctrl+Q quits" in maker.screen
        await maker.type("q")  # looks for builds with a q
        assert "find: q" in maker.screen
        await maker.press("ctrl+q")
        await maker.until(lambda: not maker.app.is_running)
        assert maker.app.return_code == 0


async def test_a_text_over_an_answer_is_told_of_where_it_goes_on(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Plan")
        await maker.find("Salinity")
        await maker.press("ctrl+u")
        await maker.type("5 mm", "down")
        await maker.find("Continue to Stock")
        assert "Continue to Stock (1 not taken)" in maker.screen
        assert "Not taken: Salinity of the fishing water." in maker.screen
        await maker.find("Salinity")
        await maker.press("ctrl+o")
        await maker.find("Continue to Stock")
        assert "Continue to Stock (all answered)" in maker.screen
        assert "Enter goes on" in maker.screen


async def test_a_coat_whose_mass_cannot_be_known_is_left_open(
    opened: Opening, folder: Path
) -> None:
    folder.mkdir()
    plug = folder / "plug.toml"
    head = 'format = 1\n[build]\nname = "Pier herring"\nstep = "coating"\n'
    plug.write_text(f'{head}[[coat]]\nname = "house paint"\n')
    async with opened(plug) as maker:
        await maker.until("Step 8 of 10")
        assert "(2 left open)" in maker.line("Continue to ")
        await maker.find("Continue to ")
        assert "Left open: coat 1, dry film; coat 1, density" in maker.screen, maker.screen
        await maker.press("ctrl+f")
        assert maker.line("Coating schedule").endswith("something is open")
