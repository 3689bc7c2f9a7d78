"""A build that another window holds: all of it can be looked at, and nothing in it changes."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.store.locks import Lock, hold

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def held(folder: Path) -> Iterator[Path]:
    """A build that stands at the weighing, with its lock taken."""
    folder.mkdir()
    path = Path(shutil.copy(PROFILES / "harbour-dart.toml", folder))
    lock = hold(path)
    assert isinstance(lock, Lock)
    with lock:
        yield path


async def choose(maker: Maker, option: str) -> None:
    """Choose from the list in view, by its arrows."""
    for _ in range(40):
        if option in maker.focused:
            await maker.press("enter")
            return
        await maker.press("down")
    raise AssertionError(f"no option {option}\n{maker.screen}")


def refused(maker: Maker) -> bool:
    """Whether it is said again, beside the banner."""
    return maker.screen.count("Read only: another window") == 2


async def test_every_way_to_change_it_is_refused_in_words(opened: Opening, held: Path) -> None:
    before = held.read_bytes()
    async with opened(held) as maker:
        await maker.until("Read only: another window on ")
        assert maker.lines[0].endswith("read only")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await maker.press("home", "ctrl+k", *"13.2", "enter")
        assert refused(maker)
        for option, more in (
            ("Units of this build", ["enter", "enter"]),
            ("Save to another place", ["x", "enter"]),
        ):
            await maker.press("ctrl+p")
            await choose(maker, option)
            await maker.press(*more)
            assert refused(maker)
        await maker.press("ctrl+n", *"note", "escape")
        assert refused(maker)
        await maker.go_to("Review")
        await maker.find("Finish")
        await maker.press("enter")
        assert refused(maker)
        await maker.press("ctrl+o", "ctrl+y")  # undo and redo find nothing
    assert held.read_bytes() == before
    assert [path.name for path in held.parent.glob("*.toml")] == [held.name]


async def test_keys_that_are_digits_only_by_name_do_nothing(opened: Opening, held: Path) -> None:
    before = held.read_bytes()
    async with opened() as maker:
        await maker.until("Begin a new build")
        await maker.press("²", "①", "٣")
        await maker.press("escape")
        await maker.until("Begin a new build")
    async with opened(held) as maker:
        await maker.go_to("Plan")
        await maker.find("In the water it")
        await maker.press("²", "①", "٣")
        assert "In the water it" in maker.focused
    assert held.read_bytes() == before
