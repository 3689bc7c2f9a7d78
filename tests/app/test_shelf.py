"""The shelf by keys alone: found, sorted, tidied, undone, compared, scaled, handed on."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from wizard.plug.onward.carried import is_carried, marked
from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.store.bin import binned
from wizard.store.opening import open_profile
from wizard.store.tidying import place

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

DEMOS = Path(__file__).parents[2] / "profiles"
SIZES = [(80, 24), (60, 20), (120, 40)]


@pytest.fixture
def shelf(folder: Path) -> Path:
    """Two finished plugs on the shelf, the dart written last."""
    folder.mkdir()
    for n, name in enumerate(("reed-skimmer.toml", "harbour-dart.toml")):
        shutil.copy(DEMOS / name, folder)
        os.utime(folder / name, (1_700_000_000 + n, 1_700_000_000 + n))
    return folder


def name_of(path: Path) -> str | None:
    return open_profile(path).build.build.name


async def point_at(maker: Maker, words: str) -> None:
    """Find a build by its words; the pointer is then at it."""
    await maker.until("Harbour dart")
    await maker.type(words)
    await maker.until(lambda: words in maker.line("find:") and "> 1" in maker.screen)


async def act(maker: Maker, words: str, choice: str) -> None:
    """Choose what to do with the build that is found by its words."""
    await point_at(maker, words)
    await maker.press("f6")
    await maker.until("Esc Close")
    for _ in range(12):
        if choice in maker.focused:
            break
        await maker.press("down")
    await maker.press("enter")


# Finding and sorting ------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_letters_find_and_esc_shows_all(
    opened: Opening, shelf: Path, size: tuple[int, int]
) -> None:
    async with opened(size=size) as maker:
        await point_at(maker, "reed")
        assert "Harbour dart" not in maker.screen
        await maker.type(" 78")
        assert "Reed skimmer 78" in maker.focused
        await maker.press("backspace", "9")
        await maker.until("No build holds these words")
        await maker.press("escape")
        await maker.until("Harbour dart")
        assert "find:" not in maker.screen
        await maker.type("zz")
        await maker.until("No build holds these words")
        await maker.press("enter")
        await maker.until("Harbour dart")
        assert (shelf / "reed-skimmer.toml").read_bytes() == (
            DEMOS / "reed-skimmer.toml"
        ).read_bytes()


async def test_where_there_is_nothing_to_find_letters_do_nothing(
    opened: Opening, folder: Path
) -> None:
    async with opened() as maker:
        await maker.until("No build is here yet")
        await maker.press("n", "z")
        assert "find:" not in maker.screen
        assert "1 Begin a new build" in maker.focused


async def test_the_keys_are_on_the_screen(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await maker.until("Harbour dart")
        for hint in ("F6 This build", "F7 Order", "F3 Undo", "Ctrl+P Menu"):
            assert hint in maker.lines[-1]


async def test_the_order_is_chosen(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await maker.until("Harbour dart")

        def above() -> bool:
            lines = maker.lines
            first = next(n for n, line in enumerate(lines) if "Reed" in line)
            return first < next(n for n, line in enumerate(lines) if "Harbour" in line)

        assert not above()
        await maker.press("f7")
        await maker.until("Order of the builds")
        await maker.press(maker.digit_of("by aim"), "enter")
        await maker.until(above)


async def test_a_thousand_builds_are_found_by_typing(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    for n in range(1000):
        (folder / f"plug-{n}.toml").write_text(f'format = 1\n[build]\nname = "Plug {n}"\n')
    async with opened() as maker:
        await maker.until("Begin a new build")
        await maker.until("Plug 999")
        await maker.type("plug 731")
        await maker.until(lambda: "Plug 731" in maker.focused)
        await maker.press("escape", "end", "up", "up")
        await maker.until("> ")
        assert "Plug" in maker.focused


# Tidying, and taking it back -----------------------------------------------------


async def test_a_build_is_renamed_and_that_is_taken_back(opened: Opening, shelf: Path) -> None:
    path = shelf / "reed-skimmer.toml"
    async with opened() as maker:
        await act(maker, "reed", "Call it something else")
        await maker.until("Its file keeps its name")
        await maker.press(*["backspace"] * len("Reed skimmer 78"))
        await maker.type("Reed frog [1]", "enter")
        await maker.until("F3 takes that back")
        assert name_of(path) == "Reed frog [1]"
        await maker.until("Reed frog [1], step")
        await maker.press("f3")
        await maker.until("Taken back")
        assert name_of(path) == "Reed skimmer 78"
        await maker.press("f3")
        await maker.until("Nothing to take back")


async def test_a_copy_is_made_and_taken_back(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await act(maker, "reed", "Make a copy")
        await maker.until("Name of the copy")
        await maker.press("enter")
        await maker.until("is a copy")
        names = {name_of(path) for path in shelf.glob("*.toml")}
        assert names == {"Reed skimmer 78", "Reed skimmer 78, copy", "Harbour dart 108"}
        await maker.press("f3")
        await maker.until("Taken back")
        assert len(list(shelf.glob("*.toml"))) == 2


async def test_tags_find_a_build(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await act(maker, "harbour", "Tags")
        await maker.until("with commas between")
        await maker.type("winter, pier", "enter")
        await maker.until("has 2 tags")
        await maker.press("escape")
        await maker.until("Reed")
        await maker.type("winter")
        await maker.until(lambda: "Reed" not in maker.screen and "Harbour" in maker.screen)
        assert "#winter" in maker.screen


async def test_a_build_is_put_away_and_found_in_the_archive(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await act(maker, "reed", "Put it away")
        await maker.until("is put away")
        await maker.press("escape")
        await maker.until("The archive: 1 put away")
        assert "Reed skimmer" not in "".join(maker.lines[2:-3])
        await maker.press(maker.digit_of("The archive"), "enter")
        await maker.until("Back to the shelf")
        assert "Reed skimmer" in maker.screen
        assert "Begin a new build" not in maker.screen
        await maker.press("escape", "f3")
        await maker.until("Taken back")
        assert open_profile(shelf / "reed-skimmer.toml").build.build.archived is None


@pytest.mark.parametrize("typed", ["", "yes", "delet", "DELETE"])
async def test_only_the_typed_word_deletes_and_f3_brings_back(
    opened: Opening, shelf: Path, typed: str
) -> None:
    path = shelf / "reed-skimmer.toml"
    before = path.read_bytes()
    async with opened() as maker:
        await act(maker, "reed", "Delete")
        await maker.until("Type delete")
        await maker.type(typed, "enter")
        if typed.casefold() != "delete":
            if not typed:
                await maker.until("Nothing is typed yet")
                await maker.press("escape")
            await maker.until("Nothing was deleted")
            assert path.read_bytes() == before
            return
        await maker.until("is in the bin")
        assert not path.exists()
        await maker.press("f3")
        await maker.until("Taken back")
        assert path.read_bytes() == before


async def test_the_bin_gives_back_and_is_emptied_by_a_typed_word(
    opened: Opening, shelf: Path
) -> None:
    path = shelf / "reed-skimmer.toml"
    async with opened() as maker:
        await act(maker, "reed", "Delete")
        await maker.type("delete", "enter")
        await maker.until("is in the bin")
        await maker.press("escape")
        await maker.until("The bin")
        await maker.press(maker.digit_of("The bin"), "enter")
        await maker.until("Enter brings a build back")
        await maker.press("enter")
        await maker.until("is back on the shelf")
        assert path.exists()
        await act(maker, "reed", "Delete")
        await maker.type("delete", "enter")
        await maker.until("is in the bin")
        await maker.press("escape")
        await maker.press(maker.digit_of("The bin"), "enter")
        await maker.until("Empty the bin for good")
        await maker.press("end", "enter")
        await maker.until("goes for good")
        await maker.type("empty", "enter")
        await maker.until("The bin is empty")
        assert binned(shelf) == ()
        assert not path.exists()


# What goes wrong ------------------------------------------------------------------


async def test_a_broken_file_is_listed_and_may_only_be_looked_at_or_go(
    opened: Opening, shelf: Path
) -> None:
    (shelf / "torn.toml").write_text("x = [")
    async with opened() as maker:
        await maker.until("Can't be read: torn.toml")
        await maker.type("torn", "f6")
        await maker.until("What is wrong")
        assert "Make a copy" not in maker.screen
        await maker.press("enter")
        await maker.until("The file is left as it is")


async def test_a_folder_that_vanishes_is_said_to_be_gone(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await maker.until("Harbour dart")
        shelf.rename(shelf.with_name("moved"))
        await maker.type("reed")
        await maker.press("enter")
        await maker.until("is no longer there")
        await maker.until("the folder of builds is gone")
        assert not shelf.exists()


async def test_a_build_that_another_window_has_stays_as_it_is(opened: Opening, shelf: Path) -> None:
    from wizard.store.locks import Lock, hold

    lock = hold(shelf / "reed-skimmer.toml")
    assert isinstance(lock, Lock)
    with lock:
        async with opened() as maker:
            await act(maker, "reed", "Delete")
            await maker.type("delete", "enter")
            await maker.until("close it there first")
    assert (shelf / "reed-skimmer.toml").exists()


# Comparing, scaling, handing on -----------------------------------------------------


async def pick(maker: Maker, words: str) -> None:
    """Move to an option of the list in view and choose it."""
    await maker.until("Esc Close")
    await maker.press("home")
    for _ in range(40):
        if words in maker.focused:
            await maker.press("enter")
            return
        await maker.press("down")
    raise AssertionError(f"no option {words}\n{maker.screen}")


async def test_builds_side_by_side(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await act(maker, "reed", "Compare it with others")
        await pick(maker, "Harbour dart 108")
        await maker.until("≠ marks a number")
        assert "F5 Add a build" in maker.screen
        await maker.press("f5")
        await pick(maker, "Reed skimmer 78")
        await maker.until("answers everything as")


@pytest.fixture
def perch(shelf: Path) -> Path:
    """A finished plug of 95 mm for fresh water, on the shelf too."""
    return Path(shutil.copy(DEMOS / "pier-perch.toml", shelf))


async def begin_a_salt_water_sibling(maker: Maker) -> None:
    """A build of 140 mm for the sea, from the one of 95 mm."""
    await act(maker, "perch", "A new build from it")
    await pick(maker, "Size")
    await maker.type("140 mm", "enter")
    await pick(maker, "Water")
    await pick(maker, "the open sea")
    await maker.until("Temperature")
    await maker.press("enter")
    await pick(maker, "Look at what comes over")
    await maker.until("each marked")
    await maker.press("escape")
    await pick(maker, "Begin it")
    await maker.until("It is begun")


@pytest.mark.parametrize("size", SIZES)
async def test_a_salt_water_sibling_of_140_mm_with_everything_marked(
    opened: Opening, perch: Path, size: tuple[int, int]
) -> None:
    async with opened(size=size) as maker:
        await begin_a_salt_water_sibling(maker)
        assert "Step 1 of 10" in maker.lines[0]
        await maker.find("In the water it")
        assert "carried over" in maker.line("In the water it") or size[0] < 72
        session = maker.app.session
        assert session is not None
        build = session.build
    assert build.shape.length is not None
    assert build.shape.length.value == pytest.approx(0.14, abs=1e-6)
    assert build.water.salinity is not None
    assert build.water.salinity.text == "35 g/kg"
    assert not is_carried(build, ("water", "salinity"))
    assert is_carried(build, ("density", "sample", 0, "density"))
    assert len(marked(build)) > 40


async def test_an_answer_given_anew_loses_its_mark(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await act(maker, "harbour", "A new build from it")
        await pick(maker, "Begin it")
        await maker.until("It is begun")
        await maker.find("Temperature of the fishing")
        assert "carried over" in maker.focused
        await maker.press("end", *["backspace"] * 10)
        await maker.type("12 degC", "enter")
        await maker.until(lambda: "ok" in maker.line("Temperature of the fishing"))
        await maker.press("f3")
        await maker.until(lambda: "carried over" in maker.line("Temperature of the fishing"))


async def test_a_size_out_of_reason_is_refused_in_words_and_kept(
    opened: Opening, shelf: Path
) -> None:
    async with opened() as maker:
        await act(maker, "harbour", "A new build from it")
        await pick(maker, "Size")
        last = ""
        for typed, said in (
            ("50 x", "is 50 times that"),
            ("0 mm", "a length of 0 mm"),
            ("big", "Error: “big”"),
            ("140", "no unit"),
        ):
            await maker.press("end", *["backspace"] * len(last))
            await maker.type(typed, "enter")
            await maker.until(said)
            assert f"> [{typed} " in maker.screen
            last = typed
        await maker.press("end")
        await maker.type(" mm", "enter")
        await maker.until("1.297 times")
        await pick(maker, "How many of this plan")
        await maker.press("end", "backspace")
        await maker.type("0", "enter")
        await maker.until("Error: Expected a whole number from 1 to 100.")


async def test_both_sheets_are_printed_side_by_side(
    opened: Opening, perch: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with opened() as maker:
        await begin_a_salt_water_sibling(maker)
        await maker.press("escape")
        await maker.until("find: perch")
        await maker.press("escape")
        await act(maker, "perch 95", "Hand it on")
        await pick(maker, "Sheet beside that of another build")
        await pick(maker, "Pier perch 140")
        await pick(maker, "without name")
        await maker.until("The path of the file to write")
        await maker.press("enter")
        await maker.until("Written:")
    printed = PdfReader(tmp_path / "pier-perch-beside.pdf").pages[0].extract_text()
    for said in ("95 mm x 24 mm", "140 mm * x", "Carried over *"):
        assert said in printed


async def test_a_file_in_the_way_is_asked_about(
    opened: Opening, shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    there = tmp_path / "harbour-dart.csv"
    there.write_text("a year of work")
    async with opened() as maker:
        await act(maker, "harbour", "Hand it on")
        await pick(maker, "Weight account")
        await pick(maker, "as it is")
        await maker.until("The path of the file to write")
        await maker.press("enter")
        await maker.until("is there already")
        await maker.press("enter")
        await maker.until("Nothing was written")
    assert there.read_text() == "a year of work"


async def test_the_sheet_is_read_on_the_screen(opened: Opening, shelf: Path) -> None:
    async with opened() as maker:
        await act(maker, "harbour", "Its sheet")
        await maker.until("Asked for: sinks")
        await maker.press("escape")
        await maker.press("f6")
        await pick(maker, "What it takes")
        await maker.until("Board")


async def test_a_picture_stands_beside_the_list_where_there_is_room(
    opened: Opening, shelf: Path
) -> None:
    async with opened(size=(120, 40)) as maker:
        await point_at(maker, "reed")
        await maker.until("floats, nose up")


async def test_the_open_build_is_handed_on_from_the_menu(opened: Opening, shelf: Path) -> None:
    async with opened(profile=shelf / "reed-skimmer.toml") as maker:
        await maker.until("Step 10 of 10")
        await maker.press("ctrl+p")
        await pick(maker, "What it takes")
        await maker.until("Board")


async def test_names_that_would_act_are_shown_as_they_are(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    for name in ("[red]x[/]", "[/", "\x1b]52;c;AAAA\x07", "a\u202eb"):
        place(put(Build(), ("build", "name"), name), folder)
    async with opened() as maker:
        await maker.until("[red]x[/]")
        assert "\x1b" not in maker.screen
        await maker.type("red")
        await maker.press("f6")
        await maker.until("Make a copy")
        assert "[red]x[/]" in maker.lines[0]


async def test_the_build_just_left_is_pointed_at(opened: Opening) -> None:
    async with opened() as maker:
        await maker.until("Begin a new build")
        await maker.press(maker.digit_of("Begin a new build"), "enter")
        await maker.type("Pond cork", "enter")
        await maker.until("Step 1")
        await maker.press("escape")
        await maker.until("Resume Pond cork")
        assert "Resume Pond cork" in maker.focused


async def test_a_name_where_a_file_is_asked_for_begins_nothing(
    opened: Opening, folder: Path
) -> None:
    async with opened() as maker:
        await maker.until("Open a file")
        await maker.press(maker.digit_of("Open a file"), "enter")
        await maker.type(f"{folder}/Pond cork", "enter")
        await maker.until("No file Pond cork is there")
        assert not (folder / "Pond cork").exists()
