"""Numbers copied, screens left as files: what the app gives out of its hands."""

from __future__ import annotations

import re
import shutil
from base64 import b64decode
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


# Copying --------------------------------------------------------------------------


@pytest.fixture
def multiplexer(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """What stands between the app and the terminal, by the variable that says so."""
    for name in ("TMUX", "STY"):
        monkeypatch.delenv(name, raising=False)
    chosen: str = request.param
    if chosen:
        monkeypatch.setenv(chosen, "1")
    return chosen


@pytest.mark.parametrize("multiplexer", ["", "TMUX", "STY"], indirect=True)
async def test_a_number_is_sent_to_the_clipboard_and_shown_again_at_the_end(
    opened: Opening, dart: Path, multiplexer: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """OSC 52 (xterm's control sequences) once plain, once as tmux or screen passes it on."""
    async with opened(dart) as maker:
        await maker.until("weight of the finished plug")
        sent: list[str] = []
        monkeypatch.setattr(maker.app, "send_code", sent.append)
        await maker.press("f2")
        assert "39.520 ± 0.012 g" in maker.focused
        await maker.press("enter")
        plain = re.fullmatch(r"\x1b\]52;c;([A-Za-z0-9+/=]+)\x07", sent[0])
        assert plain
        assert b64decode(plain[1]).decode() == "39.520 ± 0.012 g"
        outer = {
            "": [],
            "TMUX": [f"\x1bPtmux;\x1b{sent[0]}\x1b\\"],
            "STY": [f"\x1bP{sent[0]}\x1b\\"],
        }
        assert sent[1:] == outer[multiplexer]
        said = " ".join(maker.screen.split())
        assert "Sent to the clipboard: 39.520 ± 0.012 g. Not every terminal takes it" in said
        await maker.press("ctrl+q")
        assert [str(told) for told in maker.app._exit_renderables] == [
            "Copied last: 39.520 ± 0.012 g"
        ]


# Screens as files -----------------------------------------------------------------


async def left(maker: Maker, kind: str, to: Path) -> str:
    """Leave the screen in view as a file; what is in it."""
    await maker.press("ctrl+p")
    while "Leave this screen" not in maker.focused:
        await maker.press("down")
    await maker.press("enter")
    await maker.press(maker.digit_of(kind), "enter", "ctrl+u")
    await maker.type(str(to), "enter")
    await maker.until("Written:")
    return to.read_text(encoding="utf-8")


async def test_any_screen_is_left_as_it_is_seen(
    opened: Opening, dart: Path, tmp_path: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("weight of the finished plug")
        for name, keys in (("step", ()), ("working", ("f2",)), ("answers", ("f7",))):
            await maker.press(*keys)
            seen = [line.rstrip() for line in maker.lines]
            text = await left(maker, "Text", tmp_path / f"{name}.txt")
            assert text.splitlines() == seen
            seen = [line.rstrip() for line in maker.lines]
            drawn = await left(maker, "Picture, SVG", tmp_path / f"{name}.svg")
            words = unescape("".join(re.findall(r"<text[^>]*>([^<]*)</text>", drawn)))
            squeezed = "".join(words.split())
            assert all("".join(line.split()) in squeezed for line in seen[:12])
            named = set(re.findall(r"https?:[^\"' ]+", drawn))
            assert named <= {"http://www.w3.org/2000/svg"}  # it fetches nothing
            if keys:
                await maker.press("escape")


async def test_a_page_to_read_is_left_whole_and_nothing_is_written_over(
    opened: Opening, dart: Path, tmp_path: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until("weight of the finished plug")
        await maker.press("f1")
        assert "freeboard:" not in maker.screen
        there = tmp_path / "mine.txt"
        there.write_text("a letter")
        await maker.press("ctrl+p")
        while "Leave this screen" not in maker.focused:
            await maker.press("down")
        await maker.press("enter", "1", "enter", "ctrl+u")
        await maker.type(str(there), "enter")
        await maker.until("there already; choose another name")
        assert there.read_text() == "a letter"
        await maker.press("ctrl+u")
        await maker.type(str(tmp_path / "help"), "enter")  # the ending is added
        await maker.until("Written:")
        text = (tmp_path / "help.txt").read_text(encoding="utf-8")
        assert text.startswith("Help\n\n")
        assert "freeboard: how far it stands out of the water" in text
