"""Answers: understood while typed, judged on Enter, changed, taken back, never lost."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


async def emptied(maker: Maker) -> None:
    """Take all that stands in the line out of it."""
    await maker.press("ctrl+u")


def typed_in(maker: Maker) -> str:
    """What stands in the line that has the focus."""
    return maker.focused.split("[")[1].split("]")[0].strip()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1 1/2 in", "reads as 38.1 mm"),
        ("3/8in", "reads as 9.525 mm"),
        ("12,5", "reads as 12.5 in"),
        ("½ in", "reads as 12.7 mm"),
        (".25", "reads as 0.25 in"),
    ],
)
async def test_an_answer_is_echoed_while_it_is_typed(
    opened: Opening, dart: Path, text: str, said: str
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Shape")
        await maker.find("Length of the body")
        await emptied(maker)
        await maker.type(text)
        assert said in maker.focused
        assert "Error" not in maker.screen


async def test_a_bare_number_takes_the_unit_last_used_there(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Shape")
        await maker.find("Length of the body")
        await emptied(maker)
        await maker.type("110 mm", "enter", "up")
        await emptied(maker)
        await maker.type("112.5")
        assert "reads as 112.5 mm" in maker.focused
        await maker.press("enter")
    assert open_profile(dart).build.shape.length.text == "112.5 mm"  # type: ignore[union-attr]


async def test_changing_an_answer_says_what_moved(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.until("volume of the bare body")
        before = maker.line("volume of the bare body").split("body")[1].strip()
        await maker.find("Mass of the bare body")
        was = typed_in(maker)
        await emptied(maker)
        await maker.type("25 g", "enter")
        await maker.until(f"was {before}")
        await maker.press("f3")
        assert maker.label == "Mass of the bare body"
        assert typed_in(maker) == was
        assert "Undone: Mass of the bare body" in maker.screen
        await maker.until(lambda: before in maker.line("volume of the bare body").split("was")[0])
        await maker.press("ctrl+y")
        assert typed_in(maker) == "25 g"


async def test_undo_goes_to_the_step_where_the_answer_was(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Stock")
        await maker.find("Wood")
        await emptied(maker)
        await maker.type("balsa", "enter")
        await maker.go_to("Ballast")
        await maker.press("f3")
        assert "· Stock ·" in maker.lines[0]
        assert maker.label == "Wood"
        assert typed_in(maker) != "balsa"
        await maker.press("f3")
        assert "There is nothing to undo." in maker.screen


async def test_undo_in_a_line_brings_its_answer_back_and_redo_what_was_typed(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        kept = typed_in(maker)
        await emptied(maker)
        await maker.type("99 in", "ctrl+o")
        assert typed_in(maker) == kept
        assert "As it was kept." in maker.screen
        await maker.press("ctrl+y")
        assert typed_in(maker) == "99 in"
        await maker.press("enter")
        assert "Error" in maker.screen
        await maker.press("ctrl+o")
        assert typed_in(maker) == kept
        assert "Error" not in maker.screen
        await maker.press("ctrl+o")
        assert "There is nothing to undo." in maker.screen
    assert open_profile(dart).build.weighing.mass.text == kept  # type: ignore[union-attr]


async def test_wrong_text_is_kept_and_named(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await emptied(maker)
        await maker.type("13.6 in")
        assert "Error" not in maker.screen  # not while typing
        await maker.press("enter")
        assert "Error: “in” measures length, and mass is asked here." in maker.screen
        assert typed_in(maker) == "13.6 in"
        await maker.go_to("Density test")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        assert typed_in(maker) == "13.6 in"
    assert open_profile(dart).build.weighing.mass.text != "13.6 in"  # type: ignore[union-attr]


async def test_leaving_a_field_judges_it_too(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await emptied(maker)
        await maker.type("2 + 3 g", "tab")
        assert "Error: Sums are not worked out here." in maker.screen
        assert maker.label != "Mass of the bare body"
        await maker.press("shift+tab")
        await emptied(maker)
        await maker.type("21 g", "down")
        assert "Error" not in maker.screen
    assert open_profile(dart).build.weighing.mass.text == "21 g"  # type: ignore[union-attr]


async def test_what_was_refused_and_erased_is_no_fault_any_more(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Plan")
        await maker.find("Wanted nose-down angle")
        await emptied(maker)
        await maker.press("enter", "up")
        await maker.type("level", "enter")
        assert "Error: “level” does not begin with a number." in maker.screen
        assert "Ctrl+U empties the line." in maker.screen
        await maker.press("up")
        assert "Ctrl+U empties" not in maker.screen  # that was said of the other line
        await maker.press("down")
        assert "Ctrl+U empties" in maker.screen
        await emptied(maker)
        assert "Ctrl+U empties" not in maker.screen
        await maker.press("up")
        assert "Error" not in maker.screen


async def test_a_unit_picked_first_stands_behind_the_number(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Stock")
        await maker.find("Length of the blank")
        await emptied(maker)
        await maker.press("f5")
        await maker.press(maker.digit_of("cm"), "enter")
        await maker.type("13.5")
        assert "reads as 135 mm" in maker.focused or "reads as 5.315 in" in maker.focused
        await maker.press("enter")
    assert open_profile(dart).build.stock.length.value == pytest.approx(0.135)  # type: ignore[union-attr]


async def test_nothing_beside_an_answer_is_cut_on_a_broad_screen(
    opened: Opening, folder: Path
) -> None:
    folder.mkdir()
    (folder / "new.toml").write_text('format = 1\n[aim]\nbehaviour = "sinks"\n')
    async with opened(folder / "new.toml", size=(120, 40)) as maker:
        await maker.until("Step ")
        assert "Enter takes 15 degC" in maker.line("Temperature of the fishing water")
        assert "may stay empty" in maker.line("Wanted nose-down angle")
        columns = {line.index("[") for line in maker.lines if "[" in line[:78]}
        assert len(columns) == 1


async def test_a_doubtful_comma_is_asked_about(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await emptied(maker)
        await maker.type("13,620 g", "enter")
        assert "can be read as 13.620 g or as 13620 g" in maker.screen
        await maker.press("1", "enter")
        assert "Error" not in maker.screen
    assert open_profile(dart).build.weighing.mass.text == "13.620 g"  # type: ignore[union-attr]


async def test_units_and_names_can_be_picked(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Stock")
        await maker.find("Length of the blank")
        await emptied(maker)
        await maker.type("6", "f5")
        await maker.press(maker.digit_of("ft"), "enter")
        assert typed_in(maker) == "6 ft"
        await maker.find("Wood")
        await maker.press("f5")
        assert "jelutong" in maker.screen or "American basswood" in maker.screen
        await maker.press("home", "enter")  # a name picked is taken: more digits are no part of it
        assert maker.label.startswith("Length of the blank")
    assert open_profile(dart).build.stock.wood == "American basswood"


async def test_typing_over_an_answer_takes_its_place(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Shape")
        await maker.find("Length of the body")
        kept = typed_in(maker)
        await maker.press("1")
        assert typed_in(maker) == "1"
        await maker.press("f3")
        assert typed_in(maker) == kept
        await maker.press("down", "up", "backspace")
        assert typed_in(maker) == kept[:-1].strip()
        await maker.press("f1", "escape", "left", "x")
        assert "x" in typed_in(maker)
        assert typed_in(maker).startswith(kept[0])


async def test_what_was_refused_is_not_said_of_another_text(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Shape")
        await maker.find("Length of the body")
        await maker.type("q", "enter")
        assert "Error: “q”" in maker.screen
        await emptied(maker)
        await maker.type("112 mm")
        assert "Error" not in maker.screen
        assert "reads as 4.409 in" in maker.focused


async def test_rows_are_added_and_removed(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Hardware")
        count = len(open_profile(dart).build.hardware or ())
        await maker.find("Pieces of hardware")
        await maker.press(maker.digit_of("one more"), "enter")
        assert maker.label == "What it is"
        await maker.type("split ring", "enter")
        await maker.find("Pieces of hardware")
        await maker.press(maker.digit_of(f"remove piece of hardware {count + 1}"), "enter")
        assert "leave it as it is" in maker.focused
        await maker.press("escape")
        assert f"piece of hardware {count + 1}" in maker.screen
        await maker.press(maker.digit_of(f"remove piece of hardware {count + 1}"), "enter")
        await maker.press("2", "enter")
        assert "is removed. F3 brings it back." in maker.screen
        await maker.press("f3")
        await maker.until("split ring")


async def test_hardware_of_the_list_needs_no_density_and_any_other_says_so(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Hardware")
        await maker.find("Pieces of hardware")
        await maker.press(maker.digit_of("one more"), "enter")
        await maker.type("screw eye", "enter", "enter")
        await maker.type("0.4 g", "enter")
        await maker.until(lambda: "not known" not in maker.line("ballast, the full answer"))
        await maker.find("Fraction of it outside the body")
        assert "Enter takes 0.45" in maker.focused  # the shank stands in the wood
        await maker.press("home")
        await maker.find("What it is")
        await emptied(maker)
        await maker.type("bell", "enter")
        await maker.find("Density of its material")
        await maker.until("The density of this hardware is not known")


async def test_going_back_shows_the_step_as_it_was_left(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Stock")
        await maker.find("Wood")
        before = [line for line in maker.lines if "[" in line]
        await maker.go_to("Shape")
        await maker.find("Back to Stock")
        await maker.press("enter")
        await maker.find("Wood")
        assert [line for line in maker.lines if "[" in line] == before


async def test_the_columns_of_a_table_stand_under_their_heads_on_a_narrow_screen(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart, size=(60, 20)) as maker:
        await maker.until("Step ")
        await maker.press("ctrl+p")
        await maker.type("marking-out", "enter")
        await maker.until("Marking-out sheet:")
        for _ in range(6):
            if "station  " in maker.screen and any(
                line.split()[:1] == ["1"] for line in maker.lines
            ):
                break
            await maker.press("down", "down", "down")
        ends = {
            len(line.rstrip(" │█"))
            for line in maker.lines
            if "station  " in line or line.split()[:1] == ["1"]
        }
        assert len(ends) == 1, maker.screen


async def test_hardware_behind_the_tail_is_doubted_and_kept(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Hardware")
        await maker.find("piece of hardware 1")
        await maker.press("enter")
        await maker.find("Aft of the nose")
        await maker.type("400 mm", "enter", "up")
        assert "400 mm lies behind the tail: the body ends at" in maker.screen
        assert "Error" not in maker.screen
    assert open_profile(dart).build.hardware[0].x.value == pytest.approx(0.4)  # type: ignore


async def test_lead_of_another_metal_s_density_is_doubted_and_kept(
    opened: Opening, dart: Path
) -> None:
    """Lead has 11.34 g/mL: CRC Handbook of Chemistry and Physics, density of the elements."""
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Ballast")
        await maker.find("Its density")
        await maker.type("2 g/mL", "enter", "up")
        assert "2 g/mL is far from lead, which has 11.3 g/mL" in " ".join(maker.screen.split())
        await maker.type("11 g/mL", "enter", "up")
        assert "is far from" not in maker.screen
    assert open_profile(dart).build.ballast.density.text == "11 g/mL"  # type: ignore[union-attr]


async def test_the_review_leads_to_paper_and_says_that_it_is_finished(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Review")
        await maker.find("Finish: keep the numbers")
        await maker.press("enter", "escape")
        assert "(finished 20" in maker.focused
        await maker.find("Print it or hand it on")
        await maker.press("enter")
        await maker.until("PDF")


async def test_a_step_is_found_in_the_menu_by_its_name(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.press("ctrl+p")
        await maker.type("stock", "enter")
        await maker.read_cautions()
        assert "Step 2 of 10" in maker.screen


async def test_keys_for_builds_are_shown_only_where_there_is_one(opened: Opening) -> None:
    async with opened() as maker:
        await maker.until("Begin a new build")
        assert "F7" not in maker.screen
        await maker.press("enter")
        await maker.type("Pond cork", "enter")
        await maker.until("Step 1")
        await maker.press("escape")
        await maker.until("Resume Pond cork")
        assert "F7 Order" in maker.screen


async def test_a_wood_of_no_table_is_taken_and_said(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Stock")
        await maker.find("Wood")
        await maker.type("pine", "enter", "up")
        assert "ok, not in the table" in maker.focused
        await maker.type("basswood", "enter", "up")
        assert "table" not in maker.focused
