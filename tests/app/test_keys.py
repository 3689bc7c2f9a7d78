"""Keys: chosen in the bench file, a keypad alone, and strays that do nothing."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from textual import events

from wizard.app.keys import key_name
from wizard.plug.keys import ACTS
from wizard.store.bench import bench_path
from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

ROOT = Path(__file__).parents[2]
PROFILES = ROOT / "profiles"


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


async def test_keys_of_the_bench_file_are_the_keys_everywhere(
    opened: Opening, folder: Path, dart: Path
) -> None:
    bench_path(folder).write_text(
        'format = 1\n[keys]\nundo = "f13, Ctrl+E"\nlarge = "f14"\npage = "f15"\nhelp = "f9"\n'
        'cautions = "f1"\n',
        encoding="utf-8",
    )
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        for hint in ("F9 Help", "F13 Undo", "F14 Large"):
            assert hint in maker.screen
        await maker.press("ctrl+u")
        await maker.type("25 g", "enter")
        await maker.press("f3")
        assert "Undone" not in maker.screen
        await maker.press("f13")
        assert "Undone: Mass of the bare body" in maker.screen
        await maker.press("f9")
        assert maker.lines[0].strip() == "Help"
        for _ in range(4):
            if "F13 or Ctrl+E" in maker.screen:
                break
            await maker.press("pagedown")
        assert "F13 or Ctrl+E" in maker.screen
        await maker.press("escape")
        await maker.go_to("Ballast")
        assert "cautions: F1" in maker.screen
        assert "F15 Drill plan" in maker.screen


def test_the_page_about_keys_lists_every_act_with_its_keys() -> None:
    page = (ROOT / "docs" / "keys.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\w+)` \| ([^|]+) \|", page, re.MULTILINE)
    assert rows == [(act.name, ", ".join(map(key_name, act.keys))) for act in ACTS]


async def test_undo_notes_and_pages_can_be_had_from_other_pages(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.until("volume of the bare body")
        await maker.find("Mass of the bare body")
        await maker.press("ctrl+u")
        await maker.type("26.34 g", "enter")
        await maker.press("f2")
        assert "F3 Undo" in maker.screen
        assert "63.5" in maker.line("volume of the bare body")  # twice the mass, twice 31.75
        await maker.press("f3")
        assert "Undone: Mass of the bare body" in maker.screen
        await maker.until(lambda: "31.7" in maker.line("volume of the bare body"))
        await maker.press("f8", "f2")
        assert "Esc goes back to it" in maker.screen
        await maker.press("f6")
        await maker.type("from afar", "escape")
        assert maker.lines[0].startswith(" Picture")
        await maker.press("f6")
        assert "from afar" in maker.screen
        await maker.press("escape", "ctrl+p", *"undo", "enter")
        assert "Undone: notes" in maker.screen
    assert "from afar" not in (open_profile(dart).build.build.notes or "")


KEYPAD = frozenset("0123456789.+-*/") | {"enter"}


async def keyed(maker: Maker, *keys: str) -> None:
    """Press keys of a numeric keypad."""
    assert set(keys) <= KEYPAD, keys
    await maker.press(*keys)


async def chosen(maker: Maker, option: str) -> None:
    """Choose from the options in view: by a digit, or with plus from a long list."""
    if re.search(rf"\d {option}", maker.screen):
        await keyed(maker, maker.digit_of(option), "enter")
        return
    for _ in range(40):
        if option in maker.focused:
            await keyed(maker, "enter")
            return
        await keyed(maker, "+")
    raise AssertionError(f"no option {option}\n{maker.screen}")


async def test_a_keypad_alone_is_enough(opened: Opening, folder: Path) -> None:
    """From a name in digits to the weighed body: units and woods are picked."""
    typed = {
        "Margin from neutral": "12",
        "Length of the blank": "5*",
        "Width of the blank": "1-1/4",
        "Thickness of the blank": "7/8",
        "Length of the body": "95",
        "Height of the body": "28",
        "Thickness of the body": "20",
        "Mass of the bare body": "13.62",
    }
    options = {"In the water it": "sinks", "Body form": "round taper"}
    async with opened() as maker:
        await maker.until("Begin a new build")
        await keyed(maker, "1", "enter", "9", "5", "enter")
        await maker.until("Step 1 of 10")
        for _ in range(140):
            if "Step 5 of 10" in maker.lines[0]:
                break
            if "Cautions:" in maker.lines[0]:
                await keyed(maker, "enter")
            elif maker.label in options and ("( ) 1" in maker.screen or "(x) 1" in maker.screen):
                await chosen(maker, options.pop(maker.label))
            elif maker.label == "Wood":
                await keyed(maker, "*")
                await chosen(maker, "yellow-poplar")
                if maker.label == "Wood":
                    await keyed(maker, "enter")
            elif (text := typed.pop(maker.label, "")).endswith("*"):
                await keyed(maker, *text)
                await chosen(maker, "in ")
                await keyed(maker, "enter")
            else:
                await keyed(maker, *text, "enter")
        assert typed == {}
    (path,) = [p for p in folder.glob("*.toml") if p.name != "bench.toml"]
    build = open_profile(path).build
    assert build.stock.wood == "yellow-poplar"
    assert build.stock.length
    assert build.stock.length.text == "5 in"
    assert build.weighing.mass
    assert build.weighing.mass.text == "13.62 g"
    assert build.shape.form == "round taper"


async def test_a_digit_points_at_each_of_the_ten_steps(opened: Opening, dart: Path) -> None:
    """As on a keypad, the 0 is the tenth."""
    async with opened(dart) as maker:
        for digit, step in (("0", "Review"), ("1", "Plan"), ("9", "Tank proof")):
            await maker.press("ctrl+f", digit)
            assert maker.focused.split()[1] == digit
            assert step in maker.focused
            await maker.press("enter")
            await maker.read_cautions()
            assert f"· {step} ·" in maker.lines[0]


async def test_a_keypad_goes_back_as_well(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        for _ in range(20):
            if "Continue to" in maker.focused:
                break
            await keyed(maker, "enter")
        await keyed(maker, "+")
        assert maker.label.startswith("Back to Shape")
        await keyed(maker, "enter")
        await maker.read_cautions()
        assert "· Shape ·" in maker.lines[0]


@pytest.mark.parametrize(
    ("key", "sign"), [("decimal", "."), ("divide", "/"), ("subtract", "-"), ("separator", ",")]
)
async def test_a_keypad_that_names_its_signs_types_them(
    opened: Opening, dart: Path, key: str, sign: str
) -> None:
    """Some terminals send a keypad's sign as a key of its own, without the sign."""
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await maker.press("ctrl+u", "1")
        driver = maker.app._driver
        assert driver is not None
        driver.send_message(events.Key(key, None))
        await maker.press("5")
        assert f"[1{sign}5 " in maker.screen


async def test_signs_of_the_keypad_move_and_change_nothing(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        maker.save()
        before = open_profile(dart).build
        await maker.find("Weigh and test thoroughly")
        await maker.press("home", "-", "-", "-", "-")
        assert maker.label == "Dunk of the sealed body: gain"
        await maker.press("*")
        assert "The unit goes behind the number typed." in maker.screen
        await maker.press("+", "+", "-", "escape")
        assert maker.label == "Dunk of the sealed body: gain"
        await maker.find("Continue to")
        await maker.press("*", "/", "+", "-", "-")
        maker.save()
        assert open_profile(dart).build == before
        assert "· Weighing ·" in maker.lines[0]
