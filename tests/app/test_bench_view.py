"""The bench view: one question in large letters, the same keys, nothing lost on the way."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.drawing.blocks import LARGEST, lettered
from wizard.steps.walk import STEPS
from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


def in_letters(maker: Maker, text: str) -> bool:
    """Whether a text stands on the screen in large letters, of whatever size."""
    width, plain = maker.app.size.width - 2, maker.app.ascii_only
    for scale in range(1, LARGEST + 1):
        rows = lettered(text, scale, width, plain=plain) or ("nothing",)
        shown = "\n".join(line.rstrip() for line in rows)
        if shown in "\n".join(line.removeprefix(" ").rstrip() for line in maker.lines):
            return True
    return False


def without(profile: Path, *tables: str) -> None:
    """Take tables out of a profile."""
    text = profile.read_text(encoding="utf-8")
    for table in tables:
        text = re.sub(rf"\[\[{table}\]\]\n([^\[\n]+\n|\n)*", "", text)
    profile.write_text(text, encoding="utf-8")


async def at_the_mass(maker: Maker) -> None:
    """Stand at the weighing, in the field of the mass."""
    await maker.until("Step ")
    await maker.go_to("Weighing")
    await maker.find("Mass of the bare body")


@pytest.mark.parametrize(
    ("size", "ascii_only"), [((80, 24), False), ((60, 20), False), ((80, 24), True)]
)
async def test_one_key_in_and_the_same_key_out(
    opened: Opening, dart: Path, size: tuple[int, int], ascii_only: bool
) -> None:
    async with opened(dart, size=size, ascii_only=ascii_only) as maker:
        await at_the_mass(maker)
        assert "F4 Large" in maker.screen
        await maker.press("ctrl+u", "f4")
        await maker.type("25,5")
        assert in_letters(maker, "25,5")
        assert in_letters(maker, "MASS OF THE BARE BODY")
        assert "reads as 25.5 g" in maker.focused + maker.screen
        assert "Smallest step of the scale" not in maker.screen
        assert "F4 Small" in maker.screen
        assert maker.screen.isascii() or not ascii_only
        await maker.press("f4")
        assert maker.label == "Mass of the bare body"
        assert "[25,5" in maker.screen
        assert "Smallest step of the scale" in maker.screen
        assert not in_letters(maker, "25,5")


async def test_enter_does_there_what_it_does_in_the_form(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await at_the_mass(maker)
        await maker.press("f4", "ctrl+u")
        await maker.type("13 in", "enter")
        assert "Error: “in” measures length, and mass is asked here." in maker.screen
        assert in_letters(maker, "NOT TAKEN")
        assert in_letters(maker, "13 in")
        await maker.press("backspace", "backspace")
        assert not in_letters(maker, "SMALLEST STEP OF THE SCALE")
        await maker.press("enter")
        assert in_letters(maker, "SMALLEST STEP OF THE SCALE")
        assert "Error" not in maker.screen
        await maker.press("f3")
        assert in_letters(maker, "13.17 g")
        assert "Undone: Mass of the bare body" in maker.screen
        await maker.press("ctrl+y", "escape")
        assert maker.label == "Mass of the bare body"
    assert open_profile(dart).build.weighing.mass.text == "13 g"  # type: ignore[union-attr]


async def test_the_number_that_matters_stands_large(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await at_the_mass(maker)
        await maker.until("volume of the bare body")
        value, _, doubt = maker.line("volume of the bare body").split("body")[1].partition(" ± ")
        await maker.press("f4")
        assert in_letters(maker, f"{value.strip()} {doubt.split()[1]}")
        assert f"volume of the body, ± {doubt.strip()}" in maker.screen
        await maker.press("f4")
        await maker.go_to("Ballast")
        await maker.until("ballast, the full answer")
        full = maker.line("ballast, the full answer").split("answer")[1].split("±")[0].strip()
        await maker.press("f4")
        assert "ballast to add" in maker.screen
        # Two of 5.8 g and two of 3.8 g are laid out.
        assert in_letters(maker, f"{float(full) - 2 * 5.8 - 2 * 3.8:.1f} g")


async def test_an_option_is_pointed_at_in_large_letters(opened: Opening, dart: Path) -> None:
    async with opened(dart, size=(120, 40)) as maker:
        await maker.until("Step ")
        await maker.go_to("Plan")
        await maker.find("In the water it")
        await maker.press("f4")
        for digit, word in (("1", "floats"), ("3", "sinks")):
            await maker.press(digit)
            assert in_letters(maker, f"{digit} {word}")
    assert open_profile(dart).build.aim.behaviour == "sinks"


async def test_it_can_be_had_at_every_step_and_stays_from_one_to_the_next(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart, size=(120, 40)) as maker:
        await maker.until("Step ")
        await maker.press("f4")
        for step in STEPS:
            await maker.go_to(step.title)
            assert f"· {step.title} ·" in maker.lines[0]
            label = maker.label.split(" (")[0].split("   ")[0].split(": ")[0]
            assert in_letters(maker, label.upper()), label
        await maker.press("escape")
        assert "Finish: keep the numbers" in maker.screen


async def test_it_walks_on_through_the_named_line(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await at_the_mass(maker)
        await maker.press("f4", *["enter"] * 5)
        assert in_letters(maker, "CONTINUE TO DENSITY TEST")
        await maker.press("enter")
        await maker.read_cautions()
        assert "· Density test ·" in maker.lines[0]
        assert "Large" not in maker.screen
        assert in_letters(maker, "SMALLEST STEP OF THE CALIPER")


async def test_any_size_keeps_what_is_typed_large(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await at_the_mass(maker)
        await maker.press("f4", "ctrl+u", *"12.3")
        for size in ((40, 12), (1, 1), (200, 60), (60, 20), (3, 50), (80, 24)):
            await maker.pilot.resize_terminal(*size)
            await maker.settle()
        assert in_letters(maker, "12.3")
        await maker.press("escape")
        assert "[12.3 " in maker.screen


async def test_the_holes_are_walked_at_the_drill_press(opened: Opening, dart: Path) -> None:
    without(dart, "weight", "trial")  # before the ballast went in
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Ballast")
        await maker.until("Drill now")
        await maker.find("hole 2")
        await maker.press("f4")
        assert "hole 2 of 2" in maker.lines[0]
        for text in ("7/16 in", "2 11/16 in", "3/8 in", "straight up"):
            assert in_letters(maker, text), text
        assert "Drill now" in maker.screen
        assert "2 x 3.8 g" in maker.screen
        await maker.press("enter")
        assert "That was the last hole." in maker.screen
        await maker.press("up")
        assert "hole 1 of 2" in maker.lines[0]
        assert in_letters(maker, "1 1/4 in")
        await maker.press("f4")
        assert maker.label.startswith("hole 2")
        await maker.find("Drill list in large letters")
        await maker.press("enter")
        assert "hole 1 of 2" in maker.lines[0]
        await maker.press("escape")
        assert maker.label.startswith("Drill list in large letters")


async def test_it_says_large_and_small_when_it_is_too_early_to_drill(
    opened: Opening, dart: Path
) -> None:
    without(dart, "weight", "trial", "hardware", "coat")
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Ballast")
        await maker.until("Do not drill.")
        await maker.find("hole 1")
        for _ in range(2):
            await maker.press("f4")
            assert "! Provisional: waits for" in maker.screen
