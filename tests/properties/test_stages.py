"""Numbers that are shown before all are worked out are the ones that stand at the end."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from wizard.plug.derive import derive, stages
from wizard.plug.derived import Derived
from wizard.plug.numbers import CATALOGUE
from wizard.plug.paths import parse, put
from wizard.report.machine import numbers_of
from wizard.report.showing import number
from wizard.session.figures import Room, numbers, picture
from wizard.session.standing import STILL, readings
from wizard.steps.answering import Unclear, answer
from wizard.steps.prompts import questions
from wizard.steps.walk import step_named
from wizard.store.opening import open_profile

PROFILES = sorted((Path(__file__).parents[2] / "profiles").glob("*.toml"))
FLOATS = next(path for path in PROFILES if path.stem == "reed-skimmer")


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
@pytest.mark.parametrize("left_out", ["", "ballast.piece", "shape.form", "hardware", "trial"])
def test_what_is_told_first_stands_at_the_end(path: Path, left_out: str) -> None:
    build = open_profile(path).build
    if left_out:
        none = () if left_out in ("trial", "ballast.piece") else None
        build = put(build, parse(left_out), none)
    *first, whole = stages(build)
    assert whole.is_whole
    for sums in first:
        assert not sums.is_whole
        told = {name: number(found, {}) for name, found in sums.numbers.items()}
        assert told.items() <= {n: number(f, {}) for n, f in whole.numbers.items()}.items()
        assert set(sums.findings) <= set(whole.findings)


def test_a_number_still_worked_out_is_not_shown_as_it_was() -> None:
    build = open_profile(FLOATS).build
    weighed = next(q for q in questions(build, step_named("weighing")) if q.path[-1] == "mass")
    heavier = answer(build, weighed, "21 g")
    assert not isinstance(heavier, Unclear)
    sums, whole = stages(heavier)
    shown = {r.name: r for r in readings(CATALOGUE, sums, derive(build), {})}
    after = {r.name: r for r in readings(CATALOGUE, whole, derive(build), {})}
    assert shown["draught"].shown == STILL
    assert not shown["draught"].was
    assert after["draught"].shown not in ("", STILL)
    assert shown["body_volume"] == after["body_volume"]
    assert shown["body_volume"].was


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_what_comes_through_the_pipe_is_what_was_worked_out(path: Path) -> None:
    build = open_profile(path).build
    sent = list(numbers(build))
    come = pickle.loads(pickle.dumps(sent))
    assert b"numpy" not in pickle.dumps(sent)  # else the app would load it to read them
    for one, other in zip(sent, come, strict=True):
        if isinstance(one, Derived):
            assert isinstance(other, Derived)
            assert numbers_of(other) == numbers_of(one)
            assert other.findings == one.findings
        else:
            assert other == one
    assert isinstance(sent[-1], str)
    room = Room(80, None, is_plain=False)
    drawn = picture(build, come[-2], None, room)
    assert b"numpy" not in pickle.dumps(drawn)
    assert any("from port" in line for line in drawn.lines)
