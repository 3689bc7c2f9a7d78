"""How it looks: contrast, no colours, ASCII, hints that fit, any size of terminal."""

from __future__ import annotations

import shutil
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from textual.color import Color
from textual.theme import Theme

from wizard.app.themes import THEMES

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


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_text_meets_wcag_aa(theme: Theme) -> None:
    """1.4.3 text 4.5:1; the high-contrast theme 7:1 (1.4.6)."""
    least = 7.0 if theme.name == "contrast" else 4.5
    v = theme.variables
    for ink, ground in product(("ink", "mark", "faint"), ("paper", "field")):
        assert contrast(v[ink], v[ground]) >= least, (ink, ground)


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


def hints(maker: Maker) -> list[str]:
    """The hints in the last line."""
    return [hint for hint in maker.lines[-1].split("   ") if hint.strip()]


async def test_hints_are_few_and_fit(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        await maker.until("Step ")
        for keys in ((), ("f1",), ("f2",), ("f7",), ("f8",), ("f9",), ("f6",), ("ctrl+p",)):
            await maker.press(*keys)
            assert 2 <= len(hints(maker)) <= 5
            assert len(maker.lines[-1]) <= 78
            if keys:
                assert "Esc" in maker.lines[-1]
                await maker.press("escape")
        assert "F1 Help" in maker.lines[-1]


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
