"""How it looks: contrast, no colours, ASCII, hints that fit, any size of terminal."""

from __future__ import annotations

import re
import shutil
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from rich.color import Color as RichColor
from rich.color import ColorSystem
from textual.color import Color
from textual.theme import Theme

from wizard.app.themes import IN_16, IN_256, THEMES

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

PROFILES = Path(__file__).parents[2] / "profiles"
STEPS = (
    "Plan", "Stock", "Shape", "Weighing", "Density", "Ballast", "Hardware", "Coating", "Tank",
    "Review",
)  # fmt: skip


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    return Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))


def luminance(colour: str) -> float:
    """Relative luminance; WCAG 2.2, definition of relative luminance."""
    parts = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
        for c in Color.parse(colour).normalized
    ]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio; WCAG 2.2, definition of contrast ratio."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_as_computed_is_that_of_the_standard() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)  # WCAG 2.2: from 1 to 21
    # 4.54: the well-known lightest grey on white that still passes AA.
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


XTERM = (
    "#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
    "#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff",
)  # fmt: skip
"""What xterm shows as its first 16 colours (XTerm-col.ad); other terminals have others."""

CONSOLE = (
    "#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
    "#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff",
)  # fmt: skip
"""What the Linux console shows (drivers/tty/vt/vt.c, default_red, _grn and _blu)."""


def seen(colour: str, system: ColorSystem, palette: tuple[str, ...]) -> str:
    """A colour as a terminal of so many colours shows it."""
    sent = RichColor.parse(colour).downgrade(system)
    if sent.number is not None and sent.number < 16:
        return palette[sent.number]
    return sent.get_truecolor().hex


SYSTEMS = [
    (THEMES, ColorSystem.TRUECOLOR, XTERM),
    (IN_256, ColorSystem.EIGHT_BIT, XTERM),
    (IN_16, ColorSystem.STANDARD, XTERM),
    (IN_16, ColorSystem.STANDARD, CONSOLE),
]


@pytest.mark.parametrize("name", ["dark", "light", "contrast"])
@pytest.mark.parametrize(("themes", "system", "palette"), SYSTEMS, ids=["true", "256", "16", "tty"])
def test_every_text_meets_wcag_aa(
    name: str, themes: tuple[Theme, ...], system: ColorSystem, palette: tuple[str, ...]
) -> None:
    """1.4.3 text 4.5:1, which borders and marks (1.4.11, 3:1) meet too; 7:1 (1.4.6) if high."""
    (v,) = (theme.variables for theme in themes if theme.name == name)
    least = 7.0 if name == "contrast" else 4.5
    for ink, ground in product(("ink", "mark", "faint"), ("paper", "field")):
        one, other = seen(v[ink], system, palette), seen(v[ground], system, palette)
        assert contrast(one, other) >= least, (ink, ground, one, other)


async def test_every_sign_that_is_painted_meets_wcag_aa(opened: Opening, dart: Path) -> None:
    """The pairs as they are painted, reversed ones and those of the widgets below included."""
    async with opened(dart) as maker:
        await maker.until("Step ")
        for keys in ((), ("f2",), ("f1",), ("ctrl+p",)):
            await maker.press(*keys)
            for theme in THEMES:
                maker.app.theme = theme.name
                await maker.settle()
                pairs = painted(maker)
                assert len(pairs) >= 2
                least = 7.0 if theme.name == "contrast" else 4.5
                for ink, ground in pairs:
                    assert contrast(ink, ground) >= least, (theme.name, ink, ground)
            if keys:
                await maker.press("escape")


def painted(maker: Maker) -> set[tuple[str, str]]:
    """Ink and ground of every sign on the screen."""
    return {
        (style.color.name, style.bgcolor.name)
        for strip in maker.app.screen._compositor.render_strips()
        for text, style, _ in strip
        if style is not None and text.strip() and style.color and style.bgcolor
    }


async def test_no_colour_leaves_the_focus_visible(
    opened: Opening, dart: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(dart) as maker:
        await maker.until("Step ")
        for keys in ((), ("f2",), ("f1",), ("f7",), ("ctrl+p",)):
            await maker.press(*keys)
            styles = [
                segment.style
                for strip in maker.app.screen._compositor.render_strips()
                for segment in strip
                if segment.style is not None
            ]
            assert all(style.color is None and style.bgcolor is None for style in styles)
            if keys:
                await maker.press("escape")
        assert maker.focused


async def test_ascii_says_it_all_in_ascii(opened: Opening, dart: Path) -> None:
    async with opened(dart, ascii_only=True) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.until("volume of the bare body")
        assert " +/- " in maker.line("volume of the bare body")
        for keys in ((), ("f2",), ("f1",), ("f7",), ("f9",)):
            await maker.press(*keys)
            assert maker.screen.isascii(), [c for c in maker.screen if not c.isascii()]
            if keys:
                await maker.press("escape")


KEY = re.compile(r"(?<!\S)(?:F\d{1,2}|Ctrl\+[A-Z]|Esc|Enter|PgDn|Space) [A-Z][a-z]+")


def hints(maker: Maker) -> list[str]:
    """The hints in the last two lines, each with the first word of what it does."""
    return KEY.findall("\n".join(maker.lines[-2:]))


async def test_hints_are_whole_and_fit(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        for keys in ((), ("f1",), ("f2",), ("f7",), ("ctrl+f",), ("f9",), ("f6",), ("ctrl+p",)):
            await maker.press(*keys)
            assert 2 <= len(hints(maker)) <= 9
            assert len(maker.lines[-1]) <= 78
            assert "…" not in maker.lines[-1]
            if keys:
                assert "Esc" in maker.lines[-1]
                await maker.press("escape")
        assert "F1 Help" in maker.lines[-1]


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (200, 60)])
async def test_each_act_has_its_key_on_the_screen(
    opened: Opening, dart: Path, size: tuple[int, int]
) -> None:
    wanted = ["F1 Help", "F2 Working", "F3 Undo", "F4 Large", "F5 Units", "F6 Notes"]
    wanted += ["F8 Picture", "Ctrl+P Menu"]
    async with opened(dart, size=size) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        assert hints(maker) == wanted
        await maker.find("Continue to")  # nothing is picked there
        assert hints(maker) == [hint for hint in wanted if "Units" not in hint]
        await maker.go_to("Stock")
        await maker.find("Wood")
        assert "F5 Names" in hints(maker)
        for page in ("f2", "f8"):
            await maker.press(page)
            assert {"F3 Undo", "F6 Notes", "Ctrl+P Menu", "Esc Close"} <= set(hints(maker))
            await maker.press("escape")


async def test_nothing_is_cut_at_80_by_24(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        for step in STEPS:
            await maker.go_to(step)
            for _ in range(3):
                await maker.press("pagedown")
                # Only the name of the build may give way, and an answer longer than its line.
                cut = [line for line in maker.lines[1:] if "…" in line and "[" not in line]
                assert cut == []


@pytest.mark.parametrize(
    ("size", "phases"),
    [
        ((80, 24), "plan: done · measure: done · ballast: here · finish: to do"),
        ((60, 20), "ballast: here · 2 of 4 phases done"),
        ((40, 12), "ballast: here"),
    ],
)
async def test_where_one_is_stands_whole_at_any_width(
    opened: Opening, folder: Path, size: tuple[int, int], phases: str
) -> None:
    folder.mkdir()
    plug = Path(shutil.copy(PROFILES / "slate-minnow.toml", folder))
    async with opened(plug, size=size) as maker:
        await maker.until("Step 6 of 10")
        assert maker.lines[1].startswith(f" {phases} ")
        assert maker.lines[1].endswith("! 13 cautions: F9")


async def test_any_size_keeps_what_is_typed(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        await maker.go_to("Stock")
        await maker.find("Mass of the squared blank")
        await maker.press("ctrl+u")
        await maker.type("12.3 g")
        for size in ((40, 12), (1, 1), (200, 60), (60, 20), (3, 50), (80, 24)):
            await maker.pilot.resize_terminal(*size)
            await maker.settle()
        assert "[12.3 g" in maker.screen
        assert maker.label == "Mass of the squared blank"


async def test_a_wide_terminal_shows_the_numbers_beside(opened: Opening, dart: Path) -> None:
    async with opened(dart, size=(200, 60)) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.until("volume of the bare body")
        assert maker.line("Numbers").index("Numbers") > 80


async def test_a_small_terminal_can_still_be_used(opened: Opening, dart: Path) -> None:
    async with opened(dart, size=(40, 12)) as maker:
        await maker.until("Step ")
        await maker.go_to("Weighing")
        await maker.find("Mass of the bare body")
        await maker.press("ctrl+u")
        await maker.type("25", "enter")
        await maker.press("up")
        assert "[25 g" in maker.screen
