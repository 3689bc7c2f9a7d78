"""Any proof that can be typed has a page, every line of it fits, and the short way is short."""

from __future__ import annotations

import json
import random
from copy import deepcopy
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.properties.simulated_plug import plug_and_profile
from wizard.plug.derive import derive
from wizard.plug.record import TRIALS as KINDS
from wizard.plug.record import Build
from wizard.report.tank_page import document, page
from wizard.steps.answering import Unclear, answer, with_row
from wizard.steps.prompts import row_questions
from wizard.steps.proof import MENDS, STEP, SWIMS, TRIALS
from wizard.store import profile
from wizard.store.profile import ProfileError

_, PLUG = plug_and_profile(random.Random("page"), 0.10)


def amount(low: float, high: float, unit: str) -> st.SearchStrategy[str]:
    return st.floats(low, high).map(lambda x: f"{x:.5f} {unit}")


def rows(required: dict[str, Any], maybe: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(required, optional=maybe)


WATERS = {
    "temperature": amount(0, 45, "degC"),
    "salinity": amount(0, 45, "g/kg"),
    "salt": amount(0, 120, "g/kg"),
}
RUN = {
    "depth": amount(3, 200, "cm"),
    "time": amount(0.01, 60, "s"),
    "time_again": st.lists(amount(0.01, 60, "s"), max_size=3),
    "time_accuracy": amount(0, 1, "s"),
}
HUNG = {"weight": amount(0, 40, "g"), "density": amount(1.2, 19, "g/mL")}
ASKED: dict[str, dict[str, Any]] = {
    "look": {"as_asked": st.sampled_from(("yes", "no"))},
    "sink": RUN,
    "rise": RUN,
    "float": HUNG | {"weight_step": amount(0, 5, "g")},
    "weigh": {"weight": amount(0, 40, "g")},
    "freeboard": {"height": amount(0.1, 30, "mm"), "share": amount(1, 99, "%")},
    "attitude": {"angle": amount(-90, 90, "deg"), "angle_accuracy": amount(0, 9, "deg")},
    "heel": {
        "weight": amount(0, 4, "g"),
        "moved": amount(1, 40, "mm"),
        "angle": amount(0.1, 60, "deg"),
    },
    "soak": {"before": amount(20, 60, "g"), "after": amount(20, 60, "g")},
    "taped": HUNG
    | {
        "result": st.just("floats"),
        "ballast": amount(0.1, 50, "g"),
        "tape": amount(0, 4, "g"),
        "angle": amount(-90, 90, "deg"),
        "x": amount(0, 95, "mm"),
    },
}
TRIAL = st.one_of(
    *(rows({"kind": st.just(kind), **keys}, WATERS) for kind, keys in ASKED.items()),
    *(rows({"kind": st.just(kind)}, keys | WATERS) for kind, keys in ASKED.items()),
)
DONE = {
    "mass": amount(0.01, 5, "g"),
    "density": amount(0.2, 19, "g/mL"),
    "x": amount(-5, 95, "mm"),
    "z": amount(-10, 30, "mm"),
}
DRILLED = {
    "off": amount(0.01, 5, "g"),
    "hole": st.just(1),
    "diameter": amount(1, 15, "mm"),
    "depth": amount(0.3, 15, "mm"),
}
SORTS = st.sampled_from(("add", "inside", "remove", "swap"))
MEND = st.one_of(
    rows({"kind": SORTS, **DONE}, DRILLED | {"hardware": st.just(1)}),
    rows({"kind": SORTS}, DONE | DRILLED | {"hardware": st.just(1)}),
)
TANK = rows(
    {},
    {
        "volume": amount(1, 200, "L"),
        "width": amount(3, 100, "cm"),
        "temperature": amount(0, 45, "degC"),
        "salinity": amount(0, 45, "g/kg"),
        "salt": amount(0, 120, "g/kg"),
        "density": amount(0.98, 1.2, "g/mL"),
        "bottle_empty": amount(100, 300, "g"),
        "bottle_tap": amount(310, 900, "g"),
        "bottle_full": amount(310, 900, "g"),
        "float_mass": amount(1, 90, "g"),
        "float_volume": amount(1, 90, "mL"),
    },
)
AIM = st.sampled_from(
    (
        {},
        {"behaviour": "suspends"},
        {"behaviour": "sinks", "margin": "10 %"},
        {"behaviour": "sinks", "sink_rate": "15 cm/s"},
        {"behaviour": "floats", "margin": "12 %"},
        {"behaviour": "floats", "freeboard_fraction": "9 %"},
    )
)


@settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
@given(
    st.lists(TRIAL, max_size=3),
    st.lists(MEND, max_size=2),
    TANK,
    AIM,
    st.sampled_from((None,) * 6 + ("shape", "coat", "density", "weighing", "water")),
)
def test_whatever_is_typed_has_a_page(
    trials: list[dict[str, Any]],
    mends: list[dict[str, Any]],
    tank: dict[str, Any],
    aim: dict[str, Any],
    gone: str | None,
) -> None:
    tables = deepcopy(PLUG) | {"trial": trials, "mend": mends, "tank": tank, "aim": aim}
    tables = {key: value for key, value in tables.items() if key != gone}
    for i, trial in enumerate(trials):
        trial["mends"] = i % (len(mends) + 1)
    try:
        build, _ = profile.read(tomli_w.dumps(tables).encode(), "a.toml")
    except ProfileError:  # a trial weight lighter than its brine
        return
    derived = derive(build)
    text = page(build, derived)
    assert max(len(line) for line in text.splitlines()) <= 78
    told = json.loads(document("a.toml", build, derived))
    assert told["format"] == 1
    for number in told["numbers"].values():
        assert number["u"] >= 0
    assert profile.read(profile.write(build), "a.toml")[0] == build


def test_text_from_a_file_acts_nowhere() -> None:
    """Terminal escapes in names and notes are shown as codes."""
    tables = deepcopy(PLUG)
    tables["build"] = {"name": "a\x1b]52;c;eA==\x07b"}
    tables["hardware"][0]["name"] = "treble hook\x1b[2J"
    tables["trial"] = [{"kind": "weigh", "weight": "1.0 g"}]
    tables["swim"] = [{"water": "pond\x9b31m", "action": "\x1b[0mroll"}]
    build, _ = profile.read(tomli_w.dumps(tables).encode(), "a.toml")
    text = page(build, derive(build))
    assert not [c for c in text if (ord(c) < 32 and c != "\n") or 127 <= ord(c) < 160]


# The step -------------------------------------------------------------------------

TYPED = {
    "look": {"as_asked": "yes"},
    "sink": {"depth": "60 cm", "time": "3.1 s"},
    "float": {"weight": "2 g", "density": "11.34 g/mL"},
    "weigh": {"weight": "1.2 g"},
    "rise": {"depth": "60 cm", "time": "3.1 s"},
    "freeboard": {"height": "5 mm"},
    "attitude": {"angle": "12 deg"},
    "heel": {"weight": "0.5 g", "moved": "8 mm", "angle": "4 deg"},
    "soak": {"before": "40 g", "after": "40.1 g"},
    "taped": {"result": "floats", "weight": "3 g", "density": "11.34 g/mL"},
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_trial_asks_for_what_it_needs_and_no_more(kind: str) -> None:
    build = with_row(Build(), TRIALS)
    for key, text in {"kind": kind, **TYPED[kind]}.items():
        question = next(q for q in row_questions(build, TRIALS, 0) if q.path[-1] == key)
        changed = answer(build, question, text)
        assert not isinstance(changed, Unclear), changed
        build = changed
    left = [q for q in row_questions(build, TRIALS, 0) if q.answer is None]
    assert all(q.prompt.optional for q in left)
    needed = [q for q in row_questions(build, TRIALS, 0) if not q.prompt.optional]
    assert len(needed) <= 4
    assert len({q.path for q in row_questions(build, TRIALS, 0)}) == len(
        row_questions(build, TRIALS, 0)
    )


def test_the_short_way_is_one_question_of_the_tank_and_one_of_the_trial() -> None:
    build = profile.read(tomli_w.dumps(PLUG).encode(), "a.toml")[0]
    asked = [item for item in STEP.items if item.when(build, None)]
    assert [getattr(item, "key", "") for item in asked] == ["tank.temperature", "trial"]
    build = with_row(build, TRIALS)
    assert [q.path[-1] for q in row_questions(build, TRIALS, 0)] == ["kind", "as_asked", "notes"]
    asked = [item for item in STEP.items if item.when(build, None)]
    assert [item.key for item in asked] == ["tank.temperature", "trial", "mend", "swim"]


def test_a_trial_begun_after_a_mend_knows_of_it() -> None:
    build = with_row(Build(), TRIALS)
    assert build.trial[0].mends is None
    build = with_row(with_row(build, MENDS), TRIALS)
    assert (build.trial[0].mends, build.trial[1].mends) == (None, 1)


def test_a_weighing_begun_after_a_mend_knows_of_it() -> None:
    from wizard.steps.review import WEIGHINGS

    build = with_row(Build(), WEIGHINGS)
    assert build.weight[0].mends is None
    build = with_row(with_row(build, MENDS), WEIGHINGS)
    assert (build.weight[0].mends, build.weight[1].mends) == (None, 1)


def test_a_mend_and_a_swim_are_asked_field_by_field() -> None:
    build = profile.read(tomli_w.dumps(PLUG).encode(), "a.toml")[0]
    build = with_row(with_row(build, MENDS), SWIMS)
    answers = {"kind": "remove", "hole": "1", "mass": "0.8 g", "depth": "4 mm", "diameter": "6 mm"}
    for key, text in answers.items():
        question = next(q for q in row_questions(build, MENDS, 0) if q.path[-1] == key)
        changed = answer(build, question, text)
        assert not isinstance(changed, Unclear)
        build = changed
    assert build.mend[0].mass is not None
    assert build.mend[0].mass.value == pytest.approx(0.8e-3)
    asked = [q.prompt.ask for q in row_questions(build, SWIMS, 0)]
    assert "Speed of the retrieve" in asked
    speed = next(q for q in row_questions(build, SWIMS, 0) if q.path[-1] == "speed")
    assert "not predicted" in speed.prompt.why
