"""Undo and redo against the plainest model: a list of builds and a place in it."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.paths import get, put
from wizard.plug.record import Build
from wizard.session.opening import resume
from wizard.session.timeline import LONGEST, Moment, Timeline
from wizard.steps.answering import answer
from wizard.steps.prompts import questions
from wizard.steps.walk import STEPS
from wizard.steps.wording import typed
from wizard.store import profile
from wizard.store.opening import open_profile

PROFILES = sorted((Path(__file__).parents[2] / "profiles").glob("*.toml"))

ACTS = st.lists(st.sampled_from(["edit", "edit", "undo", "redo", "amend"]), max_size=40)


def named(number: int) -> Build:
    return put(Build(), ("build", "name"), str(number))


@settings(max_examples=100, deadline=None)
@given(ACTS)
def test_any_edits_undone_and_done_again(acts: list[str]) -> None:
    timeline = Timeline((Moment(named(0)),))
    builds, at = [named(0)], 0
    for number, act in enumerate(acts, start=1):
        if act == "edit":
            builds, at = [*builds[: at + 1], named(number)], at + 1
            timeline = timeline.then(named(number), ("build", "name"), f"edit {number}")
        elif act == "amend":
            builds[at] = named(-number)
            timeline = timeline.amended(named(-number))
        elif act == "undo":
            back = timeline.undone()
            assert (back is None) == (at == 0)
            if back is not None:
                at -= 1
                timeline = back[0]
        else:
            forward = timeline.redone()
            assert (forward is None) == (at == len(builds) - 1)
            if forward is not None:
                at += 1
                timeline, made = forward
                assert made.build == builds[at]
        assert timeline.now.build == builds[at]


def test_any_answer_is_taken_back_and_given_again(tmp_path: Path) -> None:
    """Every question of every step: cleared, answered as another build has it, undone, redone."""
    builds = [profile.read(path.read_bytes(), path.name)[0] for path in PROFILES]
    undone = 0
    path = tmp_path / "it.toml"
    path.write_bytes(profile.write(builds[0]))
    session = resume(path, lambda kept: None)
    for question in (q for step in STEPS for q in questions(builds[0], step)):
        for text in ("", *{typed(get(other, question.path)) for other in builds[1:]}):
            before = session.build
            taken = answer(before, question, text)
            if not isinstance(taken, Build) or taken == before:
                continue
            session.change(taken, question.path, question.prompt.ask)
            after = session.build
            moment = session.undo()
            assert moment is not None
            assert session.build == before
            assert session.redo() is not None
            assert session.build == after
            session.undo()
            undone += 1
    assert undone > 100
    assert session.close(20)
    assert open_profile(path).build == builds[0]


def test_edits_beyond_the_longest_memory_drop_the_oldest_ones() -> None:
    timeline = Timeline((Moment(named(0)),))
    for number in range(1, LONGEST + 10):
        timeline = timeline.then(named(number), ("build", "name"), "")
    back = 0
    while (undone := timeline.undone()) is not None:
        timeline, back = undone[0], back + 1
    assert back == LONGEST - 1
    assert timeline.now.build == named(10)
