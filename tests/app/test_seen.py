"""The main screens as text, at three sizes and without colours, kept so that a change is read.

The kept texts are in `tests/app/seen`; a difference shows line by line. Set PLUGWRIGHT_DRAW=1
to keep them anew after a change that is meant. Digits of what was worked out stand as 0: what the
numbers are is tested against books elsewhere.
"""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"
KEPT = Path(__file__).parent / "seen"
SIZES = [(60, 20), (80, 24), (120, 40)]

PAGES = {
    "step": (),
    "help": ("f1",),
    "working": ("f2",),
    "answers": ("f7",),
    "steps": ("ctrl+f",),
    "cautions": ("f9",),
    "menu": ("ctrl+p",),
}
"""Pages over the ballast step of a build that was left half way, by the keys to them."""


WORKED_OUT = re.compile(r"\d+\.\d+|\d+(?= ± )|(?<= ± )\d+|\d+(?= %)")


@pytest.fixture
def shelf(folder: Path) -> Path:
    """A build left half way and a finished one; the first was changed last."""
    folder.mkdir()
    for age, name in enumerate(("slate-minnow", "harbour-dart")):
        path = Path(shutil.copy(PROFILES / f"{name}.toml", folder / f"{name}.toml"))
        os.utime(path, (1.8e9 - age, 1.8e9 - age))
    return folder


def told(maker: Maker) -> list[str]:
    """What is on the screen, without what differs from one run to the next."""
    return [WORKED_OUT.sub(lambda found: re.sub(r"\d", "0", found[0]), x) for x in maker.lines]


def kept(name: str) -> str:
    """A screen as it was; as one text, so that a difference is told line by line."""
    return (KEPT / name).read_text(encoding="utf-8").removesuffix("\n")


async def tour(maker: Maker) -> dict[str, list[str]]:
    """Every main screen, by its name."""
    await maker.until(lambda: "did as asked" in maker.screen and "Reading" not in maker.screen)
    if maker.app.size.width >= 110:  # the picture beside the list comes a little later
        await maker.until(lambda: re.search("[\u2801-\u28ff]", maker.screen) is not None)
    seen = {"builds": told(maker)}
    await maker.press("enter")
    await maker.read_cautions()
    await maker.until("weight that the aim asks for")
    for name, keys in PAGES.items():
        await maker.press(*keys)
        seen[name] = told(maker)
        if keys:
            await maker.press("escape")
    await maker.go_to("Review")
    await maker.find("All numbers")
    await maker.press("enter")
    await maker.until("Numbers (")
    seen["review"] = told(maker)
    return seen


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_main_screens_are_as_they_were(
    opened: Opening, shelf: Path, size: tuple[int, int]
) -> None:
    async with opened(size=size) as maker:
        seen = await tour(maker)
    for name, lines in seen.items():
        path = KEPT / f"{name}-{size[0]}x{size[1]}.txt"
        if os.environ.get("PLUGWRIGHT_DRAW"):
            KEPT.mkdir(exist_ok=True)
            path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
        assert "\n".join(lines) == kept(path.name), path.name
        assert max(map(len, lines)) <= size[0]


async def test_without_colours_they_say_the_very_same(
    opened: Opening, shelf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened() as maker:
        seen = await tour(maker)
    for name, lines in seen.items():
        assert "\n".join(lines) == kept(f"{name}-80x24.txt"), name
        if name in ("builds", "step", "working", "answers", "steps", "menu"):
            assert [line for line in lines if line.startswith("> ")], name  # where one is
