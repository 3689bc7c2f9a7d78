"""Text from files and hands does nothing but stand there; stray keys do nothing at all."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.store.opening import open_profile
from wizard.store.profile import write

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"

TEXTS = {
    "clipboard": "\x1b]52;c;aGVsbG8=\x07",
    "link": "\x1b]8;;http://example.invalid\x1b\\click\x1b]8;;\x1b\\",
    "colour": "\x1b[31mred\x9b31m",
    "override": "a\u202egnp.exe\u2066b",
    "markup": "[/b][red]x[/][@click=app.quit]y[/]",
    "bracket": "[/",
    "nul": "a\x00b\x7fc\x85d",
    "wide": "鮎の形のルアー 🎣👨‍👩‍👧",
    "long": "n" * 900,
    "lines": "one\ntwo\r\nthree\ttab",
    "lone": "half a pair",
}


def parts_of(maker: Maker) -> Iterator[str]:
    """Every piece of text that would be sent to the terminal."""
    for strip in maker.app.screen._compositor.render_strips():
        yield from (segment.text for segment in strip)


PLACES = (("build", "name"), ("stock", "wood"), ("build", "notes"), ("ballast", "metal"))


@pytest.mark.parametrize("shift", range(0, len(TEXTS), len(PLACES)))
async def test_a_hostile_text_is_only_text(opened: Opening, folder: Path, shift: int) -> None:
    folder.mkdir()
    texts = [list(TEXTS.values())[(shift + n) % len(TEXTS)] for n in range(len(PLACES))]
    build = Build()
    for path, text in zip(PLACES, texts, strict=True):
        build = put(build, path, text)
    (folder / "it.toml").write_bytes(write(build))
    async with opened() as maker:
        await maker.until("Resume")
        assert all(part.isprintable() for part in parts_of(maker))
        await maker.press("enter")
        await maker.until("Step 1 of 10")
        for keys in (
            (), ("f1",), ("f7",), ("f6",), ("ctrl+p",), ("f3",), ("tab", "tab"), ("ctrl+f",),
        ):  # fmt: skip
            await maker.press(*keys)
            assert all(part.isprintable() for part in parts_of(maker)), keys
            await maker.press("escape" if keys and keys[0] not in ("f3", "tab") else "f2")
            await maker.press("escape" if "working" in maker.lines[0] else "f2")
            while len(maker.app.screen_stack) > 2:
                await maker.press("escape")
        await maker.go_to("Stock")
        assert all(part.isprintable() for part in parts_of(maker))
    assert open_profile(folder / "it.toml").build.build.name == texts[0]


async def test_a_file_that_is_no_build_is_named_and_left_alone(
    opened: Opening, folder: Path
) -> None:
    folder.mkdir()
    shutil.copy(PROFILES / "harbour-dart.toml", folder)
    broken = folder / "[bad].toml"
    broken.write_text('format = 1\n[build]\nname = 3\n[weighing]\nmass = "2 lumps"\n')
    async with opened() as maker:
        await maker.until("Can't be read: [bad].toml: line 3")
        await maker.until(lambda: "Reading the builds" not in maker.screen)
        assert "Harbour dart" in maker.screen
        await maker.press(maker.digit_of("! Can't be read"), "enter")
        assert "The file is left as it is." in maker.screen
        assert "line 3: build.name: This is not text." in maker.screen
        assert "“lumps” is not a unit known here." in maker.screen
        await maker.press("escape")
        assert "Begin a new build" in maker.screen
    assert "2 lumps" in broken.read_text()


async def test_a_path_that_can_t_be_read_leaves_the_builds_usable(
    opened: Opening, folder: Path, tmp_path: Path
) -> None:
    path = tmp_path / "later.toml"
    path.write_text("format = 7\n")
    async with opened(path) as maker:
        await maker.until("made by a later version")
        await maker.press("escape")
        assert "Begin a new build" in maker.screen


async def test_stray_keys_do_nothing(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    path = Path(shutil.copy(PROFILES / "harbour-dart.toml", folder))
    before = open_profile(path).build
    stray = "qxdyn?/!-+=*.,;:'\"()[]{}<>@#$%^&_~|\\QXDYN0123456789 "
    async with opened() as maker:
        await maker.until("Resume Harbour dart")
        await maker.press(*stray)
        await maker.until("No build holds these words")  # on the shelf they are looked for
        await maker.press("escape")
        await maker.until("Begin a new build")
        await maker.press("home", "enter")
        await maker.until("Step ")
        await maker.go_to("Plan")
        for row in ("In the water it", "Continue to", "Back"):
            if row == "Back":
                await maker.go_to("Stock")
            await maker.find(row)
            here = maker.lines[0]
            await maker.press(*(sign for sign in stray if sign not in "+-*"))  # a keypad moves
            assert maker.lines[0] == here
            assert maker.label.startswith(row)
        for key in ("f1", "f7", "ctrl+f", "f9", "ctrl+p"):
            await maker.press(key)
            await maker.press(*stray.replace(" ", ""))
            await maker.press("escape")
        assert maker.app.is_running
    after = open_profile(path).build
    assert put(after, ("build", "step"), None) == put(before, ("build", "step"), None)


NONSENSE = ("abc", "1+1", "1e5", "nan", "12 furlongs", "3/0", "1 2", "--5", "[/b]")


async def test_nonsense_is_refused_at_every_prompt(opened: Opening, folder: Path) -> None:
    """Every measurement and count of every step, with its text kept and nothing saved."""
    folder.mkdir()
    path = Path(shutil.copy(PROFILES / "harbour-dart.toml", folder))
    refused = 0
    async with opened(path, size=(100, 60)) as maker:
        await maker.until("Step ")
        for step in ("Plan", "Stock", "Shape", "Weighing", "Density", "Ballast", "Coating"):
            await maker.go_to(step)
            first = maker.label
            for _ in range(40):
                screen = maker.app.step_screen
                assert screen is not None
                asked = screen.question
                if asked is not None and asked.spec.form in ("quantity", "whole"):
                    text = NONSENSE[refused % len(NONSENSE)]
                    await maker.press("ctrl+u")
                    await maker.type(text, "enter")
                    assert "Error: " in maker.screen, (step, maker.label, text)
                    assert maker.focused.split("[", 1)[1].strip().startswith(text[:1])
                    refused += 1
                await maker.press("down")
                if maker.label == first:
                    break
        await maker.settle()
    assert refused > 25
    after = open_profile(path).build
    before = open_profile(PROFILES / "harbour-dart.toml").build
    assert put(after, ("build", "step"), None) == put(before, ("build", "step"), None)


async def test_a_paste_is_one_tidy_line_and_never_enter(opened: Opening, folder: Path) -> None:
    from textual import events

    folder.mkdir()
    path = Path(shutil.copy(PROFILES / "harbour-dart.toml", folder))
    async with opened(path) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await maker.press("ctrl+u")
        maker.app.post_message(events.Paste("  12.5\u00a0g\r\n\x1b[31m\n"))
        await maker.settle()
        assert maker.label == "Mass of the bare body"
        assert "[12.5 g [31m" in maker.focused
        await maker.press("enter")
        assert "Error" in maker.screen
