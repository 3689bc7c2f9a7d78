"""Careless readings are named in words; lists of readings survive a profile and the app."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.paths import get, parse
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity
from wizard.steps.answering import Unclear, answer, with_row
from wizard.steps.density import STEP as DENSITY
from wizard.steps.prompts import Question, questions
from wizard.steps.samples import SAMPLES
from wizard.steps.weighing import STEP as WEIGHING
from wizard.steps.wording import typed
from wizard.store.problems import ProfileError
from wizard.store.profile import read, write

BOARD = """
[stock]
length = "5 in"
width = "1 1/4 in"
thickness = "7/8 in"
"""
BENCH = """
[density]
length_resolution = "0.02 mm"
mass_resolution = "0.01 g"
"""
BLOCK = """
[[density.sample]]
method = "block"
length = "40.0 mm"
width = "25.1 mm"
thickness = "20.2 mm"
mass = "8.31 g"
"""
OTHER = BLOCK.replace("40.0", "41.5").replace("8.31", "8.58")
WEIGHED = """
[weighing]
mass = "13.62 g"
resolution = "0.01 g"
"""


def derived(*parts: str) -> Derived:
    return derive(built(*parts))


def built(*parts: str) -> Build:
    build, odd = read(("format = 1\n" + "".join(parts)).encode(), "test")
    assert not odd
    return build


def said(found: Derived) -> str:
    return " | ".join(f"{f.step}: {f.text}" for f in found.findings)


GOOD = (BOARD, WEIGHED, BENCH, BLOCK, OTHER)


def test_a_careful_test_is_not_talked_about() -> None:
    found = derived(*GOOD)
    about = [f for f in found.findings if f.step in ("weighing", "density")]
    assert about == []


# What is typed, the step that it is about, and a word that the message must have.
CARELESS = [
    ((WEIGHED + 'maximum = "10 g"\n',), "weighing", "ends at 10 g"),
    ((WEIGHED + 'zero = "0.05 g"\n',), "weighing", "drifted"),
    ((WEIGHED + 'zero = "9 g"\n',), "weighing", "weigh again"),
    ((WEIGHED + 'check_mass = "20 g"\ncheck_reading = "20.5 g"\n',), "weighing", "too much"),
    ((WEIGHED + 'check_mass = "20 g"\ncheck_reading = "19.5 g"\n',), "weighing", "too little"),
    ((WEIGHED + 'check_mass = "20 g"\n',), "weighing", "needs both"),
    ((WEIGHED + 'mass_later = "13.50 g"\nlater = "12 h"\n',), "weighing", "still dries"),
    ((WEIGHED + 'mass_later = "13.80 g"\n',), "weighing", "takes up water"),
    ((WEIGHED + 'gain = "13.6 g"\ntemperature = "20 degC"\n',), "weighing", "floated"),
    ((WEIGHED + 'gain = "9 g"\ntemperature = "20 degC"\n',), "weighing", "less than the mass"),
    ((WEIGHED + 'mass_again = ["13.62 g", "13.62 g"]\n',), "weighing", "same to the last digit"),
    ((WEIGHED + 'mass_again = ["14.62 g"]\n',), "weighing", "not at zero"),
    ((BENCH, BLOCK, BLOCK), "density", "the same as sample 1 in every reading"),
    ((BENCH, BLOCK, BLOCK), "density", "exactly the same density"),
    ((BENCH, BLOCK + 'thickness_again = ["21.2 mm"]\n'), "density", "not square"),
    ((BENCH, BLOCK + 'width_again = ["25.1 mm", "25.1 mm"]\n'), "density", "same to the last"),
    ((BENCH, BLOCK + 'mass_later = "8.20 g"\nlater = "8 h"\n'), "density", "still dries"),
    ((BENCH + 'mass_maximum = "5 g"\n', BLOCK), "density", "ends at 5 g"),
    ((BENCH + 'check_mass = "5 g"\ncheck_reading = "5.2 g"\n', BLOCK), "density", "too much"),
    ((BOARD, BENCH, BLOCK.replace("20.2 mm", "28 mm")), "density", "does not fit into a board"),
    ((BENCH, '[[density.sample]]\nmethod = "body"\n'), "density", "not weighed and dunked"),
    ((BENCH, BLOCK, OTHER, OTHER.replace("8.58", "8.60"), OTHER.replace("8.58", "9.9")),
     "density", "stands apart"),
    ((BENCH, '[[density.sample]]\nmethod = "dunk"\nmass = "8.31 g"\ngain = "8.3 g"\n'
             'temperature = "20 degC"\n'), "density", "floated"),
]  # fmt: skip


@pytest.mark.parametrize(("parts", "step", "word"), CARELESS)
def test_careless_readings_are_named(parts: tuple[str, ...], step: str, word: str) -> None:
    found = derived(*parts)
    assert any(f.step == step and word in f.text for f in found.findings), said(found)


NEGATIVE = [
    (WEIGHED + 'gain = "-3 g"\n', "weighing.gain", "adds to what the beaker's scale shows"),
    (BENCH + BLOCK.replace("block", "dunk") + 'gain = "-1 g"\n', "gain", "adds to what"),
    (BENCH + BLOCK + 'length_again = ["40.1 mm", "-4 mm"]\n', "length_again[2]", "impossible"),
    (BENCH + BLOCK + 'length_again = ["40.1"]\n', "length_again[1]", "has no unit"),
    (BENCH + BLOCK + "length_again = [{ a = 1 }]\n", "length_again[1]", "not a measurement"),
    (BENCH + BLOCK + 'tested = "last winter"\n', "tested", "no date"),
    (BENCH + BLOCK + 'moisture = "300 %"\n', "moisture", "impossible"),
]


@pytest.mark.parametrize(("text", "key", "word"), NEGATIVE)
def test_impossible_readings_are_refused_with_their_key(text: str, key: str, word: str) -> None:
    with pytest.raises(ProfileError) as stopped:
        read(f"format = 1\n{text}".encode(), "plug.toml")
    line = str(stopped.value)
    assert key in line
    assert word in line
    assert line.startswith("plug.toml: line ")


def test_a_dropped_sample_is_never_dropped() -> None:
    rows = (BLOCK, OTHER, OTHER.replace("8.58", "8.60"), OTHER.replace("8.58", "9.9"))
    found = derived(BENCH, *rows)
    assert len(found.wood.samples) == 4
    density = found.value("wood_density")
    assert density is not None
    mean = sum(s.density.value for s in found.wood.samples) / 4
    assert density.value == pytest.approx(mean)


# ---- lists and dates in profiles


READINGS = st.lists(st.decimals(20, 60, places=2).map(lambda d: f"{d} mm"), max_size=4)


@given(READINGS)
@settings(max_examples=50, deadline=None)
def test_readings_are_kept_as_typed(readings: list[str]) -> None:
    quoted = ", ".join(f'"{r}"' for r in readings)
    build = built(BENCH, BLOCK + f"length_again = [{quoted}]\n")
    assert [q.text for q in build.density.sample[0].length_again] == readings
    again, odd = read(write(build), "test")
    assert not odd
    assert again == build


def test_one_further_reading_needs_no_brackets() -> None:
    build = built(BENCH, BLOCK + 'length_again = "40.1 mm"\n')
    assert [q.text for q in build.density.sample[0].length_again] == ["40.1 mm"]
    assert b'length_again = ["40.1 mm"]' in write(build)


def test_a_date_stays_a_date() -> None:
    build = built(BENCH, BLOCK + "tested = 2026-01-31\n")
    assert build.density.sample[0].tested == date(2026, 1, 31)
    assert b"tested = 2026-01-31" in write(build)


# ---- the same through the prompts


def question(build: Build, key: str, *, thorough: bool = True) -> Question:
    if thorough:
        build = replace(build, weighing=replace(build.weighing, thorough="yes"))
    asked = [*questions(build, WEIGHING), *questions(build, DENSITY)]
    return next(q for q in asked if q.path == parse(key))


def test_further_readings_are_typed_with_semicolons() -> None:
    build = built(BENCH, BLOCK)
    asked = question(build, "density.sample.0.length_again")
    changed = answer(build, asked, "40,1; 40.0 mm ;1 9/16 in")
    assert isinstance(changed, Build)
    kept = changed.density.sample[0].length_again
    assert [q.text for q in kept] == ["40,1 mm", "40.0 mm", "1 9/16 in"]
    assert typed(kept) == "40,1 mm; 40.0 mm; 1 9/16 in"
    emptied = answer(changed, question(changed, "density.sample.0.length_again"), " ")
    assert isinstance(emptied, Build)
    assert emptied.density.sample[0].length_again == ()


@pytest.mark.parametrize("text", ["40.1 40.2", "forty", "-3; 4", "40.1; 3 kg"])
def test_unreadable_readings_say_how(text: str) -> None:
    build = built(BENCH, BLOCK)
    found = answer(build, question(build, "density.sample.0.length_again"), text)
    assert isinstance(found, Unclear)
    assert "semicolon" in found.remedy


def test_a_negative_gain_is_explained_at_the_prompt() -> None:
    build = built(WEIGHED)
    found = answer(build, question(build, "weighing.gain"), "-33")
    assert isinstance(found, Unclear)
    assert "beaker" in found.remedy


def test_the_short_path_asks_no_more_than_before() -> None:
    build = with_row(built(WEIGHED, BENCH), SAMPLES)
    keys = [".".join(str(p) for p in q.path) for q in questions(build, DENSITY)]
    needed = [
        "density.length_resolution", "density.length_accuracy", "density.mass_resolution",
        "density.mass_accuracy", "density.sample.0.method", "density.sample.0.length",
        "density.sample.0.width", "density.sample.0.thickness", "density.sample.0.mass",
        "density.board_scatter",
    ]  # fmt: skip
    assert keys == needed


def test_the_long_way_asks_and_keeps_asking_where_answered() -> None:
    build = built(WEIGHED + 'thorough = "yes"\n', BENCH, BLOCK)
    long = {q.path[-1] for q in (*questions(build, WEIGHING), *questions(build, DENSITY))}
    assert {"zero", "check_mass", "maximum", "moisture", "mass_later", "length_again"} <= long
    assert "check_reading" not in long  # nothing to read before there is a weight
    assert "later" not in long
    hand_made = built(WEIGHED + 'zero = "0.01 g"\n', BENCH, BLOCK + 'mass_again = ["8.32 g"]\n')
    short = {q.path[-1] for q in (*questions(hand_made, WEIGHING), *questions(hand_made, DENSITY))}
    assert {"zero", "mass_again"} <= short
    assert "check_mass" not in short


def test_every_prompt_has_its_place_in_the_record() -> None:
    build = built(WEIGHED + 'thorough = "yes"\n', BENCH, BLOCK)
    for step in (WEIGHING, DENSITY):
        for asked in questions(build, step):
            assert get(build, asked.path) == asked.answer
            if isinstance(asked.answer, Quantity):
                assert asked.spec.kind == asked.answer.kind
