"""The density test and the weight log as plain lines, and the bars that they draw."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.weightlog import BELONGS, weight_log
from wizard.report.bars import ROOM, WIDTH, Bar, bar_lines, scale_for, step_for
from wizard.report.density import density_lines
from wizard.report.text import review
from wizard.report.weightlog import weight_log_lines
from wizard.store.profile import read

PLUG = """format = 1
[build]
name = "Pier herring"
units = { mass = "MASS" }
[water]
temperature = "18 degC"
salinity = "0 g/kg"
[aim]
behaviour = "sinks"
margin = "12 %"
[stock]
wood = "basswood"
length = "5 in"
width = "1 1/4 in"
thickness = "7/8 in"
[weighing]
mass = "13.62 g"
resolution = "0.01 g"
gain = "GAIN"
[density]
length_resolution = "0.02 mm"
mass_resolution = "0.01 g"
[[density.sample]]
method = "block"
length = "40.0 mm"
width = "25.1 mm"
thickness = "20.2 mm"
mass = "8.29 g"
[[density.sample]]
method = "block"
length = "60 mm"
width = "20 mm"
thickness = "15 mm"
[ballast]
metal = "lead"
[[hardware]]
name = "hook"
mass = "3.8 g"
density = "7.85 g/mL"
[[coat]]
name = "clear sealer"
mass = "0.4 g"
density = "1.10 g/mL"
[[coat]]
name = "topcoat"
mass = "0.9 g"
density = "1.15 g/mL"
[[coat]]
name = "topcoat"
mass = "0.9 g"
density = "1.15 g/mL"
"""


def whole(more: str = "", *, gain: str = "33.30 g", mass: str = "g") -> tuple[Build, Derived]:
    text = PLUG.replace("GAIN", gain).replace("MASS", mass) + more
    build, odd = read(text.encode(), "test")
    assert not odd
    return build, derive(build)


@pytest.mark.parametrize("gain", ["33.30 g", "37.0 g", "333 g", "1.1746 g"])
@pytest.mark.parametrize("plain", [False, True])
def test_every_line_fits(gain: str, plain: bool) -> None:
    lines = list(density_lines(*whole(gain=gain), plain=plain))
    assert lines
    assert max(map(len, lines)) <= WIDTH
    assert all(line == line.rstrip() for line in lines)


def test_the_page_says_all_that_it_should() -> None:
    text = "\n".join(density_lines(*whole(gain="37.0 g")))
    for words in (
        "sample 2, not weighed yet", "about 7.4 g", "in 95 of 100 cases", "body's volume",
        "most of that doubt", "moves the ballast", "Side by side, g/mL", "table, American",
        "dunk of the body", "stands alone", "air bubbles",
    ):  # fmt: skip
        assert words in text, words


def test_bars_are_drawn_with_ascii_alone_where_asked() -> None:
    lines = list(density_lines(*whole(), plain=True))
    start = next(i for i, line in enumerate(lines) if line.startswith("Side by side"))
    assert all(line.isascii() for line in lines[start : start + 7])
    assert any("o" in line and "|" in line for line in lines[start:])
    assert any("●" in line for line in density_lines(*whole()))


def test_amounts_follow_the_makers_unit() -> None:
    text = "\n".join(density_lines(*whole(mass="oz")))
    assert re.search(r"about 0\.26 oz", text)


def test_no_density_no_lines() -> None:
    build, _ = read(b"format = 1\n", "test")
    assert list(density_lines(build, derive(build))) == []


def test_the_review_holds_both() -> None:
    build, found = whole('[[weight]]\nstage = "ballasted"\nmass = "34.0 g"\n')
    text = review(build, found, ())
    assert "Density test\n" in text
    assert "Weight log" in text


# ---- bars

BARS = st.lists(
    st.tuples(st.floats(0.05, 0.9), st.floats(0.0, 0.2), st.booleans()).map(
        lambda t: Bar("x", t[0] - t[1] / 4, t[0], t[0] + t[1] / 4, t[2])
    ),
    min_size=1,
    max_size=8,
)


@given(BARS, st.booleans())
@settings(max_examples=80, deadline=None)
def test_bars_fit_and_keep_their_order(bars: list[Bar], plain: bool) -> None:
    lines = list(bar_lines(bars, plain=plain))
    assert len(lines) == len(bars) + 2
    assert max(map(len, lines)) <= WIDTH
    scale = scale_for(bars, ROOM)
    for bar in bars:
        if not bar.stands_out:
            assert 0 <= scale.cell(bar.low) <= scale.cell(bar.middle)
            assert scale.cell(bar.middle) <= scale.cell(bar.high) < ROOM


@given(BARS)
@settings(max_examples=60, deadline=None)
def test_the_axis_stands_where_its_numbers_say(bars: list[Bar]) -> None:
    scale = scale_for(bars, ROOM)
    *_, marks, labels = bar_lines(bars)
    indent = WIDTH - ROOM
    ticks = [i - indent for i, sign in enumerate(marks) if sign == "┬"]
    step = step_for(scale.high - scale.low)
    for found in re.finditer(r"-?[0-9.]+", labels):
        middle = (found.start() + found.end()) / 2 - indent
        cell = scale.cell(float(found.group()))
        assert cell in ticks
        assert abs(middle - cell) <= len(found.group())
    assert 2 <= len(ticks) <= 9
    assert step * (len(ticks) - 1) <= scale.high - scale.low + 1e-9


def test_what_stands_far_out_is_an_arrow() -> None:
    near = [Bar("a", 0.40, 0.41, 0.42), Bar("b", 0.39, 0.41, 0.43)]
    lines = list(bar_lines([*near, Bar("c", 4.0, 4.1, 4.2, True)]))
    assert lines[2].startswith("! c")
    assert lines[2].endswith("►")
    low = list(bar_lines([*near, Bar("c", 0.04, 0.041, 0.042, True)], plain=True))
    assert low[2].split()[-1] == "<"


# ---- the weight log

LOG = """
[[weight]]
stage = "coated"
mass = "36.40 g"
[[weight]]
stage = "ballasted"
mass = "33.90 g"
mass_again = ["33.92 g", "33.88 g"]
[[weight]]
stage = "coated"
coats = 2
mass = "35.30 g"
"""


def test_the_log_stands_in_the_order_of_the_work() -> None:
    build, found = whole(LOG)
    lines = weight_log(build, found)
    assert [(line.stage, line.coats) for line in lines] == [
        ("ballasted", None), ("coated", None), ("coated", 2),
    ]  # fmt: skip
    assert {line.stage for line in lines} <= set(BELONGS)


def test_planned_is_the_sum_of_what_is_on_the_plug() -> None:
    build, found = whole(LOG)
    bare, ballast = 13.62, found.numbers["ballast_mass"].value.value * 1e3
    wood = found.numbers["wood_density"].value.value
    drilled = ballast * wood / 11340.0
    by_stage = {(str(line.stage), line.coats): line for line in weight_log(build, found)}
    expected = {
        ("ballasted", None): bare + ballast - drilled,
        ("coated", 2): bare + ballast - drilled + 0.4 + 0.9,
        ("coated", None): bare + ballast - drilled + 0.4 + 0.9 + 0.9,
    }
    for key, grams in expected.items():
        planned = by_stage[key].planned
        assert planned is not None
        assert planned.value * 1e3 == pytest.approx(grams, abs=1e-6)
        gap = by_stage[key].gap
        assert gap is not None
        assert gap.value * 1e3 == pytest.approx(by_stage[key].actual.value * 1e3 - grams, abs=1e-6)


def test_the_running_margin_takes_the_rest_as_planned() -> None:
    build, found = whole(LOG)
    water = found.water
    volume = found.numbers["displaced_volume"].value.value
    assert water is not None
    for line in weight_log(build, found):
        later = {("ballasted", None): 0.4 + 0.9 + 0.9 + 3.8, ("coated", 2): 0.9 + 3.8}.get(
            (line.stage, line.coats), 3.8
        )
        grams = line.actual.value * 1e3 + later
        assert line.margin is not None
        assert line.margin.value == pytest.approx(
            grams * 1e-3 / (water.buoyant * volume) - 1, rel=1e-9
        )


def test_a_plug_on_plan_keeps_the_margin_asked() -> None:
    build, found = whole()
    wood = found.numbers["wood_density"].value.value
    ballast = found.numbers["ballast_mass"].value.value * 1e3
    on_plan = 13.62 + ballast * (1 - wood / 11340.0)
    build, found = whole(f'[[weight]]\nstage = "ballasted"\nmass = "{on_plan:.6f} g"\n')
    (line,) = weight_log(build, found)
    assert line.margin is not None
    assert line.margin.value == pytest.approx(0.12, abs=1e-6)
    assert line.gap is not None
    assert line.gap.value == pytest.approx(0.0, abs=1e-8)


def test_a_weighing_between_coats_leaves_the_later_ones_to_come() -> None:
    two = '[[weight]]\nstage = "coated"\ncoats = 2\nmass = "35.30 g"\n'
    _, between = whole(two)
    _, after = whole(two.replace("coats = 2\n", ""))
    M = between.numbers["finished_mass"].value.value - after.numbers["finished_mass"].value.value
    to_come = 0.9  # the last topcoat
    assert pytest.approx(to_come, abs=1e-9) == M * 1e3
    assert between.numbers["finished_mass"].value.value * 1e3 == pytest.approx(35.30 + 0.9 + 3.8)


def test_a_reading_of_the_log_may_be_repeated_and_may_drift() -> None:
    build, found = whole(
        '[[weight]]\nstage = "finished"\nmass = "40.00 g"\nmass_again = ["40.04 g"]\n'
        'zero = "0.02 g"\n'
    )
    (line,) = weight_log(build, found)
    assert line.actual.value * 1e3 == pytest.approx(40.02 - 0.01)
    assert found.numbers["finished_mass"].value.value == pytest.approx(line.actual.value)


@pytest.mark.parametrize("mass", ["g", "oz"])
def test_lines_of_the_log_fit(mass: str) -> None:
    lines = list(weight_log_lines(*whole(LOG, mass=mass)))
    assert len(lines) == 5
    assert max(map(len, lines)) <= WIDTH
    assert "asked +12.0 %" in lines[0]
    assert all("  " in line for line in lines[1:])
    assert list(weight_log_lines(*whole())) == []
