"""Undo and redo against the plainest model: a list of builds and a place in it."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.session.timeline import LONGEST, Moment, Timeline

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


def test_edits_beyond_the_longest_memory_drop_the_oldest_ones() -> None:
    timeline = Timeline((Moment(named(0)),))
    for number in range(1, LONGEST + 10):
        timeline = timeline.then(named(number), ("build", "name"), "")
    back = 0
    while (undone := timeline.undone()) is not None:
        timeline, back = undone[0], back + 1
    assert back == LONGEST - 1
    assert timeline.now.build == named(10)
