"""Through all ten steps by keys alone, at three sizes; the numbers are those of the review."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

SIZES = [(80, 24), (60, 20), (120, 40)]

Answers = dict[str, str | list[str]]

STEPS: dict[str, Answers] = {
    "Plan": {"In the water it": "sinks", "Margin from neutral": "12"},
    "Stock": {
        "Wood": "basswood",
        "Length of the blank": "5 in",
        "Width of the blank": "1 1/4 in",
        "Thickness of the blank": "7/8 in",
    },
    "Shape": {
        "Length of the body": "95",
        "Height of the body": "28",
        "Thickness of the body": "20",
        "Body form": "round taper",
    },
    "Weighing": {"Mass of the bare body": "13,62"},
    "Density test": {
        "Accuracy stated for the caliper": "0.03",
        "Samples": ["add a sample", "one more sample", "that is all"],
        "Kind of sample": "block",
        "Length": "40.0 mm",
        "Width": "25.1",
        "Thickness": "20.2",
        "Mass": ["8.31", "8.27"],
    },
    "Ballast": {
        "Holes": ["add a hole", "that is all"],
        "Aft of the nose": "40",
        "Diameter": "3/8 in",
        "Depth": "12",
        "Pieces": "go on",
    },
    "Hardware deduction": {
        "Pieces of hardware": ["add a piece of hardware", "that is all"],
        "What it is": "treble hook",
        "Mass of one": "1.9",
        "Density of its material": "7.85",
        "Aft of the nose": "30",
        "Above the baseline": "-4",
    },
    "Coating schedule": {
        "Coats": ["add a coat", "that is all"],
        "What it is": "clear sealer",
        "Dry film": "0.05",
        "Density of the dry film": "1.1",
    },
    "Tank proof": {"Trials": ["add a trial", "that is all"], "Did it do what was asked": "yes"},
    "Review": {},
}


async def fill(maker: Maker, answers: Answers) -> None:
    """Answer what the focus comes to by its label; Enter on all else, up to the last line."""
    left = {label: list(a) if isinstance(a, list) else [a] for label, a in answers.items()}
    for _ in range(80):
        if "Continue to" in maker.focused or "All numbers" in maker.focused:
            return
        label = maker.label
        said = left.get(label, [])
        text = said.pop(0) if len(said) > 1 else said[0] if said else ""
        if "( ) 1" in maker.screen or "(x) 1" in maker.screen:
            if text:
                await maker.press(maker.digit_of(text))
            await maker.press("enter")
        else:
            await maker.type(text, "enter")
    raise AssertionError(f"no way on\n{maker.screen}")


async def walk(maker: Maker) -> None:
    """A sinker of basswood, from its name to the last step."""
    await maker.until("Begin a new build")
    await maker.press("enter")
    await maker.type("Pier herring 95", "enter")
    await maker.until("Step 1 of 10")
    for number, (step, answers) in enumerate(STEPS.items(), start=1):
        await maker.read_cautions()
        assert f"Step {number} of 10 · {step}" in maker.lines[0]
        await fill(maker, answers)
        if number < len(STEPS):
            await maker.press("enter")


@pytest.mark.parametrize("size", SIZES)
async def test_ten_steps_by_keys_alone(
    opened: Opening, folder: Path, size: tuple[int, int]
) -> None:
    async with opened(size=size) as maker:
        await walk(maker)
        await maker.press("enter")
        await maker.until("Numbers (± is one standard")
        page = maker.app.screen.query_one("Lines")
        shown = str(page.render())
    (path,) = folder.glob("*.toml")
    build = open_profile(path).build
    assert build.weighing.mass
    assert build.weighing.mass.text == "13,62 g"
    assert build.build.step == "review"
    run = [sys.executable, "-m", "wizard", "review", str(path)]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    numbers = [line.split("  ")[-1].strip() for line in said.splitlines() if " ± " in line]
    assert len(numbers) > 15
    squeezed = "".join(shown.split())
    assert [n for n in numbers if "".join(n.split()) not in squeezed] == []
    as_json = subprocess.run([*run, "--json"], capture_output=True, text=True, check=True).stdout
    assert {"ballast_mass", "chance_aim", "sink_rate"} <= set(json.loads(as_json)["numbers"])
