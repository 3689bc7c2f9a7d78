"""The body drawn in the app by keys: both ways in, its picture, sheet, template and girth."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from collections.abc import AsyncGenerator, Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import pytest

from wizard.apart.here import Here, once
from wizard.app.widgets.picture import Beside
from wizard.session.figures import lying, review_page
from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PATIENCE = 20.0

T = TypeVar("T")

PLANNED = """
format = 1
[build]
name = "Quay Bleak 95"
step = "shape"
[water]
temperature = "15 degC"
salinity = "0 g/kg"
[aim]
behaviour = "floats"
margin = "15 %"
[stock]
wood = "basswood"
length = "140 mm"
width = "40 mm"
thickness = "30 mm"
"""
DRAWN = """
[shape]
form = "round taper"
length = "95 mm"
height = "26 mm"
thickness = "20 mm"
"""
WEIGHED = """
[weighing]
mass = "10.8 g"
resolution = "0.01 g"
[[density.sample]]
method = "known"
density = "0.42 g/mL"
uncertainty = "0.01 g/mL"
[ballast]
metal = "lead"
[[ballast.hole]]
x = "40 mm"
diameter = "8 mm"
depth = "12 mm"
"""
RING = """
[[hardware]]
name = "ring"
mass = "1 g"
density = "7.85 g/mL"
x = "5 mm"
z = "13 mm"
"""
STATION = """
[[shape.station]]
x = "0 mm"
top = "14 mm"
bottom = "10 mm"
half_breadth = "2 mm"
"""
SIZES = {
    "Length of the body": "95",
    "Height of the body": "26",
    "Thickness of the body": "20",
    "Body form": "round taper",
}
STATIONS = (("0", "14", "10", "2"), ("45", "25", "0", "10"), ("100", "15", "11", "2"))
VIEWS = ("from port", "from above (mm)", "section at")


@pytest.fixture
def profile(folder: Path) -> Path:
    folder.mkdir()
    return folder / "plug.toml"


async def to(maker: Maker, label: str) -> None:
    """Move the focus down to a row."""
    for _ in range(60):
        if label in maker.focused:
            return
        # Past a choice that is open without pointing through all of it.
        await maker.press("tab")
    raise AssertionError(f"no row {label}\n{maker.screen}")


async def choose(maker: Maker, option: str) -> None:
    await maker.press(maker.digit_of(option), "enter")


async def pictured(maker: Maker) -> str:
    """Open the picture and read all of it."""
    await maker.until(lambda: maker.app.reckoned is not None)
    await maker.press("f8")
    await maker.until("Picture: ")
    seen = maker.screen
    await maker.press("pagedown")
    return f"{seen}\n{maker.screen}"


async def by_proportions(maker: Maker) -> None:
    await to(maker, "Length of the body")
    for text in list(SIZES.values())[:3]:
        await maker.type(text, "enter")
    await choose(maker, "round taper")


async def by_stations(maker: Maker) -> None:
    await to(maker, "Drawn by")
    await choose(maker, "stations")
    for row in STATIONS:
        await to(maker, "Stations")
        await choose(maker, "add a station" if row is STATIONS[0] else "one more station")
        for text in row:
            await maker.type(text, "enter")


@pytest.mark.parametrize("way", [by_proportions, by_stations], ids=["proportions", "stations"])
@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 24)])
async def test_a_typed_shape_shows_its_picture_sheet_and_template(
    opened: Opening,
    profile: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    way: object,
    size: tuple[int, int],
) -> None:
    monkeypatch.chdir(tmp_path)
    profile.write_text(PLANNED)
    async with opened(profile, size=size) as maker:
        await maker.until("Step 3 of 10")
        await way(maker)  # type: ignore[operator]
        await maker.until("volume of the drawn shape")
        seen = await pictured(maker)
        assert all(view in seen for view in VIEWS)
        await maker.press("escape")
        await to(maker, "Marking-out sheet")
        await maker.press("enter")
        await maker.until("Square the blank")
        await maker.press("escape")
        await to(maker, "Write the template")
        await maker.press("enter")
        await choose(maker, "PDF, A4")
        await maker.until("Where to?")
        await maker.press("enter")
        await maker.until("Written:")
    assert (tmp_path / "plug.pdf").read_bytes().startswith(b"%PDF")
    run = [sys.executable, "-m", "wizard", "picture", str(profile), "--width", "40"]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    assert all(view in said for view in VIEWS[1:])


async def test_the_section_goes_from_station_to_station(opened: Opening, profile: Path) -> None:
    profile.write_text(PLANNED + DRAWN)
    async with opened(profile) as maker:
        await maker.until("volume of the drawn shape")
        await pictured(maker)
        await maker.press("pageup")
        first = maker.line("section at")
        await maker.press("right")
        aft = maker.line("section at")
        assert aft != first
        await maker.press("left", "left")
        assert maker.line("section at") not in (first, aft)
        for _ in range(12):
            await maker.press("left")
        assert "section at 0 mm" in maker.screen
        assert "The section stands at the nose." in maker.screen
        await maker.press("f8")
        assert "Step 3 of 10" in maker.screen


async def test_it_lies_as_it_will_and_the_words_say_so(opened: Opening, profile: Path) -> None:
    profile.write_text(PLANNED + DRAWN + WEIGHED + RING)
    async with opened(profile, size=(100, 60)) as maker:
        await maker.until("volume of the drawn shape")
        seen = await pictured(maker)
        assert "floats, nose" in seen
        assert "~" in seen
        assert "It will right itself" in seen


async def test_beside_the_form_it_follows_what_is_typed(opened: Opening, profile: Path) -> None:
    profile.write_text(PLANNED + DRAWN)
    async with opened(profile, size=(120, 40)) as maker:
        await maker.until("from port")
        before = [line[72:] for line in maker.lines]
        await to(maker, "Height of the body")
        await maker.press("end", *["backspace"] * 5)
        await maker.type("16 mm")
        await maker.until("as typed, not taken yet")
        assert [line[72:] for line in maker.lines] != before
        assert open_profile(profile).build.shape.height.text == "26 mm"  # type: ignore[union-attr]
        await maker.pilot.resize_terminal(150, 40)  # it fills the new room, and is as typed still
        await maker.until(lambda: any(line[125:].strip("⠉ ") for line in maker.lines[20:-2]))
        await maker.until("as typed, not taken yet")
        await maker.press("enter")
        await maker.until(lambda: "as typed" not in maker.screen)
        assert maker.app.step_screen is not None
        assert maker.app.step_screen.query_one(Beside).display
        await maker.pilot.resize_terminal(100, 40)
        await maker.until(lambda: "from port" not in maker.screen)


async def test_no_line_of_the_step_before_leaves_too_little_room(
    opened: Opening, profile: Path
) -> None:
    profile.write_text(PLANNED.replace('step = "shape"', 'step = "stock"'))
    async with opened(profile, size=(120, 40)) as maker:
        await to(maker, "Continue to Shape")
        await maker.press("enter")
        await maker.until("Cautions: Shape")
        await maker.press("escape")
        await maker.until("Round the edges")
        assert "(common practice, no source)" in " ".join(line[:78].strip() for line in maker.lines)


async def test_in_ascii_nothing_else_is_painted(opened: Opening, profile: Path) -> None:
    profile.write_text(PLANNED + DRAWN)
    async with opened(profile, size=(120, 40), ascii_only=True) as maker:
        await maker.until("from port")
        assert maker.screen.isascii()
        seen = await pictured(maker)
        assert seen.isascii()
        assert all(view in seen for view in VIEWS)


async def test_without_a_body_it_says_what_is_missing(opened: Opening, profile: Path) -> None:
    profile.write_text(PLANNED)
    async with opened(profile) as maker:
        await maker.until("Step 3 of 10")
        assert "No body is drawn yet" in await pictured(maker)
        await maker.press("escape")
        assert "Picture of the body" not in maker.screen


async def test_nobodys_file_is_written_over(
    opened: Opening, profile: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    profile.write_text(PLANNED + DRAWN)
    (tmp_path / "plug.stl").write_text("somebody's")
    async with opened(profile) as maker:
        await maker.until("volume of the drawn shape")
        await maker.press("f10")
        while "Template to glue on" not in maker.focused:
            await maker.press("down")
        await maker.press("enter")
        await choose(maker, "STL")
        await maker.until("Where to?")
        await maker.press("enter")
        await maker.until("choose another name")
        await maker.press("end", *["backspace"] * 8)
        await maker.type("own.stl", "enter")
        await maker.until("Written:")
    assert (tmp_path / "plug.stl").read_text() == "somebody's"
    assert b"Plugwright" in (tmp_path / "own.stl").read_bytes()[:80]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (("20", "8", "12"), "top line is below the bottom line"),
        (("0",), "repeats the x"),
        (("20", "22", "3", "-4"), ""),
    ],
    ids=["crossing", "repeated", "negative"],
)
async def test_a_station_that_cannot_be_is_refused_at_its_field(
    opened: Opening, profile: Path, row: tuple[str, ...], words: str
) -> None:
    profile.write_text(PLANNED + STATION)
    async with opened(profile, size=(100, 40)) as maker:
        await to(maker, "Stations")
        await choose(maker, "one more station")
        for text in row:
            await maker.type(text, "enter")
        assert row[-1] in maker.focused
        below = maker.lines[maker.lines.index(maker.focused) + 1]
        assert "Error: " in below
        assert words in " ".join(maker.screen.split())
    kept = open_profile(profile).build.shape.station
    assert len(kept) == 2


class Late(Here):
    """Hands out an answer once nobody waits for it any more, and not before."""

    held = 0

    async def ask(
        self, what: Callable[..., Iterator[T]], *arguments: Any
    ) -> AsyncGenerator[T, None]:
        with suppress(asyncio.CancelledError):
            if what is once and arguments[0] in (lying, review_page):
                self.held += 1
                await asyncio.Event().wait()
        async for part in super().ask(what, *arguments):
            yield part


@pytest.mark.parametrize("page", ["picture", "review"])
async def test_what_comes_too_late_for_its_page_does_no_harm(
    opened: Opening, profile: Path, page: str
) -> None:
    profile.write_text(PLANNED + DRAWN + WEIGHED)
    async with opened(profile, size=(100, 40)) as maker:
        await maker.until("girth factor")
        maker.app.apart = late = Late()
        for turn in range(3):
            await maker.app.run_action(page)
            async with asyncio.timeout(PATIENCE):
                while late.held == turn:
                    await asyncio.sleep(0.01)
            await maker.press("escape")
            assert maker.app.is_running
            assert "Step " in maker.lines[0]


async def test_the_girth_factor_goes_into_the_shape_and_out_again(
    opened: Opening, profile: Path
) -> None:
    profile.write_text(PLANNED + DRAWN + WEIGHED)
    async with opened(profile, size=(100, 40)) as maker:
        await maker.until("girth factor")
        girth = float(maker.line("girth factor, drawn").split("volume")[1].split()[0])
        await to(maker, "Take the girth factor")
        await maker.press("enter")
        await maker.until("taken into the shape. F3 takes it back.")
        assert "Take the girth factor" not in maker.screen
        taken = maker.app.session
        assert taken is not None
        height = taken.build.shape.height
        assert height is not None
        assert height.value == pytest.approx(0.026 * girth, rel=1e-3)
        await maker.press("f3")
        await maker.until("Undone: girth factor")
        assert taken.build.shape.height is not None
        assert taken.build.shape.height.text == "26 mm"
