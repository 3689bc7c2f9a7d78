"""The first page: four choices by keys, away with one, and never again unasked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.store.bench import bench_path, open_bench
from wizard.store.folder import is_unused

if TYPE_CHECKING:
    from tests.app.conftest import Opening

TITLE = "Before the first build"


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_units_and_instruments_are_picked_by_digits(
    opened: Opening, folder: Path, size: tuple[int, int]
) -> None:
    async with opened(first_run=True, size=size) as maker:
        await maker.until(TITLE)
        assert "Esc Skip" in maker.screen
        await maker.press("2", "enter", "1", "enter")
        await maker.press(maker.digit_of("0.01 g"), "enter")
        await maker.press(maker.digit_of("0.001 in"), "enter")
        assert maker.label.startswith("Keep this and go on")
        await maker.press("enter")
        await maker.until("Kept on your bench")
        assert maker.focused.startswith("> 1 Begin a new build")
        await maker.press("enter")
        await maker.type("Pier herring", "enter")
        await maker.until("Step 1 of 10")
        await maker.go_to("Stock")
        await maker.find("Length of the blank")
        await maker.type("5")
        assert "5 in" in maker.focused + maker.screen
        await maker.go_to("Weighing")
        await maker.find("Smallest step of the scale")
        assert "(0.01 g)" in maker.screen
    bench = open_bench(bench_path(folder)).bench
    assert bench.bench.units == {"length": "in", "mass": "g"}
    assert bench.scale.resolution
    assert bench.scale.resolution.text == "0.01 g"
    assert bench.caliper.resolution
    assert bench.caliper.resolution.text == "0.001 in"


async def test_one_key_skips_it_and_the_menu_has_it_again(opened: Opening, folder: Path) -> None:
    async with opened(first_run=True) as maker:
        await maker.until(TITLE)
        await maker.press("escape")
        await maker.until("Begin a new build")
        bench = open_bench(bench_path(folder)).bench
        assert (bench.bench.units, bench.scale.resolution) == ({}, None)
        await maker.press("ctrl+p", *"first page", "enter")
        await maker.until(TITLE)
        await maker.press("enter", "2", "enter", "enter", "enter", "enter")
        await maker.until("Kept on your bench")
    assert open_bench(bench_path(folder)).bench.bench.units == {"length": "mm", "mass": "oz"}


async def test_the_page_changes_nothing_else_on_the_bench(opened: Opening, folder: Path) -> None:
    folder.mkdir()
    text = '[bench]\nname = "Cellar"\nunits = { mass = "oz", speed = "cm/s" }\n'
    bench_path(folder).write_text(
        f'format = 1\n{text}[scale]\nresolution = "0.02 g"\n', encoding="utf-8"
    )
    async with opened() as maker:
        await maker.until("Begin a new build")
        await maker.press("ctrl+p", *"first page", "enter")
        await maker.until(TITLE)
        assert "[0.02 g" in maker.screen
        assert "[oz " in maker.screen
        await maker.press(*["enter"] * 5)
        await maker.until("Kept on your bench")
    bench = open_bench(bench_path(folder)).bench
    assert bench.bench.name == "Cellar"
    assert bench.bench.units == {"length": "mm", "mass": "oz", "speed": "cm/s"}
    assert bench.scale.resolution
    assert bench.scale.resolution.text == "0.02 g"


async def test_a_folder_that_can_not_be_written_stops_nobody(opened: Opening, folder: Path) -> None:
    folder.write_text("no folder")
    async with opened(first_run=True) as maker:
        await maker.until(TITLE)
        await maker.press("escape")
        await maker.until("Begin a new build")
        await maker.until(lambda: "was not saved" in " ".join(maker.screen.split()))


def test_it_comes_only_where_nothing_is_yet(tmp_path: Path) -> None:
    """A maker with builds, or with a bench, was there before."""
    folder = tmp_path / "builds"
    assert is_unused(folder)
    folder.mkdir()
    (folder / "readme.txt").write_text("notes")
    assert is_unused(folder)
    (folder / "a.toml").write_text("format = 1\n")
    assert not is_unused(folder)
    (folder / "a.toml").rename(folder / "bench.toml")
    assert not is_unused(folder)
    assert not is_unused(folder / "readme.txt")
