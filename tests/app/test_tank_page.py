"""What the tank says and what the bench has learned, by keys: read, taken, taken back."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.plug.derive import derive
from wizard.report.finishing import finished
from wizard.store.opening import open_profile
from wizard.store.profile import write

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def missed(folder: Path) -> Path:
    """A floater that the tank found far too heavy, at the proof step."""
    folder.mkdir()
    text = (PROFILES / "reed-skimmer.toml").read_text()
    text = text.replace('weight = "3.24 g"', 'weight = "1.00 g"')
    path = folder / "missed.toml"
    path.write_text(text.replace('step = "review"', 'step = "proof"'))
    return path


def net(path: Path) -> float:
    """What the plug weighs in the water, by all that is known [g]."""
    return derive(open_profile(path).build).numbers["best_net"].published[0]


async def at_the_tank(maker: Maker) -> None:
    await maker.read_cautions()
    await maker.until("F12 The tank")
    await maker.press("f12")
    await maker.until("Enter writes the mend")


async def read_to(maker: Maker, text: str) -> None:
    for _ in range(10):
        if text in maker.screen:
            return
        await maker.press("space")
    raise AssertionError(f"never read: {text}\n{maker.screen}")


@pytest.mark.parametrize("ascii_only", [False, True])
async def test_a_mend_is_read_picked_done_and_undone(
    opened: Opening, missed: Path, ascii_only: bool
) -> None:
    before = net(missed)
    async with opened(missed, ascii_only=ascii_only) as maker:
        await at_the_tank(maker)
        assert "What the tank says" in maker.lines[0]
        assert "Clear the backfill of hole 1" in maker.focused
        await read_to(maker, "they do not agree")
        await read_to(maker, "Without breaking the coat nothing helps.")
        assert maker.screen.isascii() or not ascii_only
        await maker.press("enter")
        await maker.until("write it down as done")
        await maker.press("enter")  # the pointer starts at leaving it
        assert maker.app.session is not None
        assert not maker.app.session.build.mend
        await maker.press("enter", "down", "enter")
        await maker.until("It is in the build.")
        assert len(maker.app.session.build.mend) == 1
        maker.save()
        assert net(missed) < before - 1.5  # it was to become 1.83 g lighter
        assert maker.app.reckoned is not None
        shown = maker.app.reckoned.now.numbers["best_net"].published[0]
        assert shown == pytest.approx(net(missed))
        await maker.press("f3")
        await maker.until("Undone: mend.")
        assert not maker.app.session.build.mend
        maker.save()
        assert net(missed) == pytest.approx(before)
        await maker.press("ctrl+y")
        await maker.until("Done again: mend.")
        assert len(maker.app.session.build.mend) == 1


async def test_the_line_of_the_form_opens_it_and_esc_leads_back(
    opened: Opening, missed: Path
) -> None:
    async with opened(missed) as maker:
        await maker.read_cautions()
        await maker.find("What the tank says")
        await maker.press("enter")
        await maker.until("Enter writes the mend")
        await maker.press("escape")
        assert "What the tank says" in maker.focused
        await maker.go_to("Plan")  # and from any step by the menu, found by its letters
        await maker.press("ctrl+p")
        await maker.type("tank says")
        await maker.until("find: tank says")
        await maker.press("enter")
        await maker.until("Enter writes the mend")


async def test_a_build_that_another_window_holds_is_told_and_not_mended(
    opened: Opening, missed: Path
) -> None:
    from wizard.store.locks import Lock, hold

    lock = hold(missed)
    assert isinstance(lock, Lock)
    with lock:
        async with opened(missed) as maker:
            await maker.until("Read only: another window on ")
            await from_the_menu(maker, "What the tank says")
            await maker.until("Enter writes the mend")
            await maker.press("enter", "down", "enter")
            await maker.until(lambda: maker.screen.count("Read only: another window") > 0)
            await maker.press("f3")
            await maker.until("There is nothing to undo.")
            assert maker.app.session is not None
            assert not maker.app.session.build.mend


async def from_the_menu(maker: Maker, entry: str) -> None:
    await maker.press("ctrl+p")
    for _ in range(40):
        if entry in maker.focused:
            break
        await maker.press("down")
    await maker.press("enter")


async def test_nothing_is_learned_from_no_finished_build(opened: Opening, missed: Path) -> None:
    async with opened(missed) as maker:
        await maker.read_cautions()
        await from_the_menu(maker, "What your bench has learned")
        await maker.until("No finished build speaks yet")
        await maker.press("enter")
        assert "There is nothing to take over." in maker.screen


async def test_what_three_builds_say_is_taken_over_and_back(opened: Opening, missed: Path) -> None:
    earlier = open_profile(PROFILES / "reed-skimmer.toml").build
    whole = write(finished(earlier, derive(earlier), "1", datetime(2026, 1, 5, tzinfo=UTC)))
    for number in range(3):
        (missed.parent / f"earlier-{number}.toml").write_bytes(whole)
    text = missed.read_text()
    missed.write_text(text.replace('mass = "0.56 g"', 'thickness = "0.15 mm"'))
    async with opened(missed) as maker:
        await maker.read_cautions()
        await from_the_menu(maker, "What your bench has learned")
        await maker.until("Enter takes over")
        assert maker.app.session is not None
        was = maker.app.session.build
        await maker.press("enter", "down", "enter")
        await maker.until("It is in the build.")
        coats = maker.app.session.build.coat
        assert coats is not None
        assert coats[2].thickness is not None
        # 14.2 mg/cm2 is what the earlier coat of 0.56 g came to; 1.15 g/mL is its density
        assert coats[2].thickness.value == pytest.approx(14.2e-2 / 1150.0, abs=1e-6)
        await maker.press("f3")
        await maker.until("Undone: taken over from the bench.")
        assert maker.app.session.build == was
        await maker.until("instead of dry film 0.15 mm")  # offered again
        await maker.press("down")
        await maker.until(lambda: "Begin anew" in maker.focused)
        await maker.press("enter", "down", "enter")
        await maker.until("Counted from now on.")
        await maker.until("No finished build speaks yet")
        await maker.until(lambda: "Count all finished builds again" in maker.focused)
        await maker.press("enter", "down", "enter")
        await maker.until("All finished builds count.")
        await maker.until("From 3 finished builds")


async def test_where_nothing_is_to_be_mended_all_room_is_for_reading(
    opened: Opening, folder: Path
) -> None:
    folder.mkdir()
    path = Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))
    async with opened(path) as maker:
        await maker.until("Step ")
        await maker.go_to("Tank proof")
        await maker.press("f12")
        await maker.until("There is no mend to pick")
        assert sum(not line.strip(" │█") for line in maker.lines[12:20]) <= 4, maker.screen
