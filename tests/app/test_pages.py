"""The pages beside the steps: help, working, review, notes, answers, cautions, the end."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input, TextArea

from tests.demos import ONE_OF_EACH
from wizard import __version__
from wizard.app.screens.answers import all_answers
from wizard.session.standing import with_labels
from wizard.steps.prompts import questions
from wizard.steps.walk import STEPS
from wizard.store.history import read_draft
from wizard.store.opening import open_profile
from wizard.tables import cautions_for

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    source = next(path for path in ONE_OF_EACH if path.stem == "harbour-dart")
    return Path(shutil.copy(source, folder / "dart.toml"))


async def whole_page(maker: Maker) -> str:
    """All of a page that scrolls, without its spaces."""
    shown: list[str] = []
    for _ in range(40):
        before = maker.screen
        shown += maker.lines[1:-2]
        await maker.press("pagedown")
        if maker.screen == before or maker.app.step_screen is maker.app.screen:
            break
    return squeezed("".join(shown))


def squeezed(text: str) -> str:
    """A text without spaces, scrollbar and line ends."""
    return re.sub(r"[\s│█]+", "", text)


@pytest.mark.parametrize("profile", ONE_OF_EACH, ids=lambda path: path.stem)
async def test_the_review_page_has_the_very_lines_of_the_command(
    opened: Opening, folder: Path, profile: Path
) -> None:
    run = [sys.executable, "-m", "wizard", "review", str(profile)]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    folder.mkdir()
    path = Path(shutil.copy(profile, folder))
    async with opened(path, size=(100, 50)) as maker:
        await maker.until("Step ")
        await maker.press("ctrl+p")
        await maker.press(*["down"] * 30)
        while "Review: all" not in maker.focused:
            await maker.press("up")
        await maker.press("enter")
        await maker.until("Numbers (±")
        page = await whole_page(maker)
    lines = [with_labels(line) for line in said.splitlines() if line.strip()]
    assert len(lines) > 30
    missing = [line for line in lines if squeezed(line) not in page and "step:" not in line]
    assert missing == []


async def test_the_working_names_formula_values_and_source(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.until("volume of the bare body")
        await maker.press("f2")
        assert "volume of the bare body" in maker.focused
        for words in ("V_b = m_b / rho_wood", "m_b = ", "source: "):
            assert words in maker.screen
        await maker.press("down")
        assert "V_b = m_b / rho_wood" not in maker.screen


async def test_help_begins_with_the_question_at_hand(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Smallest step of the scale")
        await maker.press("ctrl+g")
        assert maker.lines[1].strip(" │█") == "SMALLEST STEP OF THE SCALE"
        assert "Why: Says how much the reading can be off by rounding." in maker.screen
        page = await whole_page(maker)
        assert squeezed("F3 or Ctrl+O    Undo") in page
        assert squeezed("resolution: the smallest step that an instrument shows") in page


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
async def test_the_cautions_are_shown_when_a_step_is_entered(
    opened: Opening, folder: Path, step: object
) -> None:
    from wizard.steps.prompts import Step

    assert isinstance(step, Step)
    folder.mkdir()
    (folder / "it.toml").write_text('format = 1\n[build]\nname = "It"\n')
    async with opened(folder / "it.toml") as maker:
        await maker.until("Step 1 of 10")
        shown = cautions_for(step.id)
        if step.id == "plan":
            await maker.press("f9")
        else:
            await maker.press("ctrl+f", "home")
            while step.title not in maker.focused:
                await maker.press("down")
            await maker.press("enter")
        assert (f"Cautions: {step.title}" in maker.lines[0]) == bool(shown)
        if shown:
            page = await whole_page(maker)
            assert all(squeezed(c.precaution) in page for c in shown)


async def test_a_key_mistyped_by_hand_is_told_of_on_opening(opened: Opening, dart: Path) -> None:
    text = dart.read_text().replace("[weighing]", '[weighing]\nmas = "13 g"', 1)
    dart.write_text(f"colour = 'olive'\n{text}")
    async with opened(dart) as maker:
        await maker.until("! Its file says what is not known here: ")
        assert "and 1 more. The review tells of it." in " ".join(maker.screen.split())
        await maker.app.run_action("review")
        await maker.settle()
        told = squeezed("weighing.mas: This key is not known and has no effect.")
        assert told in await whole_page(maker)


@pytest.mark.parametrize(("key", "field"), [("", "weighing.mass"), ("f6", "build.notes")])
async def test_what_was_typed_is_kept_by_a_signal_that_comes_with_it(
    opened: Opening, dart: Path, key: str, field: str
) -> None:
    async with opened(dart) as maker:
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await maker.press(*[key] * bool(key))
        entry = maker.app.focused
        assert isinstance(entry, Input | TextArea)
        entry.clear()
        (entry.insert_text_at_cursor if isinstance(entry, Input) else entry.insert)("7")
        maker.app.action_leave()
        draft = read_draft(dart)
    assert draft is not None
    assert (draft.field, draft.text) == (field, "7")


async def test_notes_are_kept_over_several_lines(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        before = open_profile(dart).build.build.notes or ""
        await maker.press("f6", "enter")
        await maker.type("sand less", "enter")
        await maker.type("[next] time", "escape")
        await maker.go_to("Stock")
        await maker.press("f6")
        assert "[next] time" in maker.screen
        await maker.press("escape")
    assert open_profile(dart).build.build.notes == f"{before}\nsand less\n[next] time".lstrip()


async def test_every_answer_is_on_the_list_and_one_enter_away(opened: Opening, dart: Path) -> None:
    build = open_profile(dart).build
    listed = {option.value for option in all_answers(build)}
    asked = {
        f"{step.id}:{'.'.join(map(str, q.path))}" for step in STEPS for q in questions(build, step)
    }
    assert asked <= listed
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.press("f7", "home")
        while "Weighing: Accuracy stated" not in maker.focused:
            await maker.press("down")
        await maker.press("enter")
        await maker.read_cautions()
        assert "· Weighing ·" in maker.lines[0]
        assert maker.label == "Accuracy stated for the scale"


async def test_finishing_keeps_the_numbers_that_were_shown(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Review")
        await maker.until("weight of the finished plug")
        await maker.find("Finish: keep the numbers")
        await maker.press("enter")
        await maker.until("Finished ")
        assert f"with version {__version__}." in maker.screen
        await maker.press("escape")
        await maker.settle()
        shown = maker.line("weight of the finished plug").split("plug")[1].split("was")[0].strip()
        maker.save()
        kept = open_profile(dart).build.shown
        assert kept is not None
        assert kept.version == __version__
        assert kept.numbers["finished_mass"] == shown
        await maker.press("escape")
        await maker.until("Review Harbour dart 108, finished")


async def test_colours_and_units_are_chosen_from_the_menu(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.press("ctrl+p", "end")
        while "Colours" not in maker.focused:
            await maker.press("up")
        await maker.press("enter", "3", "enter")
        assert maker.app.theme == "contrast"
        await maker.press("ctrl+p", "end")
        while "Units of this build" not in maker.focused:
            await maker.press("up")
        await maker.press("enter", "2", "enter")
        await maker.press(maker.digit_of("oz"), "enter")
        await maker.go_to("Hardware")
        await maker.until(lambda: " oz" in maker.line("all hardware"))
    assert open_profile(dart).build.build.units["mass"] == "oz"
