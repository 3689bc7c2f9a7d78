"""Help: of the question at hand, drawn where words fail, with the words of the trade, anywhere."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.steps.sketches import SKETCHES

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_where_words_fail_there_is_a_drawing(
    opened: Opening, dart: Path, size: tuple[int, int]
) -> None:
    async with opened(dart, size=size) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Dunk of the sealed body")
        await maker.press("ctrl+g")
        shown = [line.removesuffix("█").removesuffix("│").rstrip() for line in maker.lines]
        start = next(n for n, line in enumerate(shown) if line.strip() == "needle")
        drawn = [line.strip() for line in SKETCHES["dunk"]]
        assert [line.strip() for line in shown[start : start + len(drawn)]] == drawn


async def read_to(maker: Maker, words: str) -> None:
    """Turn pages until some words are in view."""
    for _ in range(12):
        if words in maker.screen:
            return
        await maker.press("pagedown")
    raise AssertionError(f"not in the help: {words}\n{maker.screen}")


async def test_the_words_of_the_trade_are_a_key_away_everywhere(
    opened: Opening, dart: Path
) -> None:
    async with opened() as maker:
        await maker.until("Resume ")
        for keys in ((), ("enter",), ("f2",), ("f7",), ("ctrl+f",)):
            await maker.press(*keys)
            if keys == ("enter",):
                await maker.until("Step ")
            await maker.press("f1")
            assert maker.lines[0].strip() == "Help"
            await read_to(maker, "freeboard: how far it stands out of the water")
            await maker.press("escape")
            if len(keys) and keys != ("enter",):
                await maker.press("escape")


async def test_what_the_keys_do_stands_in_one_column(opened: Opening, dart: Path) -> None:
    dart.with_name("bench.toml").write_text('format = 1\n[keys]\nworking = "f13, f14, ctrl+e"\n')
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.press("f1")
        told: dict[str, int] = {}
        for act in (
            "Working: every",
            "Large letters, to",
            "Drill plan, tank",
            "Menu: all there",
            "Quit",
        ):
            await read_to(maker, act)
            told[act] = maker.line(act).index(act)
        assert len(set(told.values())) == 1, told
