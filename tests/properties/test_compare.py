"""Builds side by side: what counts as a difference, and what doesn't."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wizard.plug.derive import derive
from wizard.plug.onward.compare import COVERAGE, answers, comparison, differ
from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.quantity.reading import read
from wizard.report.comparing import comparison_document, comparison_page
from wizard.store import profile

DEMOS = Path(__file__).parents[2] / "profiles"


def demo(name: str) -> Build:
    path = DEMOS / name
    return profile.read(path.read_bytes(), str(path))[0]


DART, SKIMMER = demo("harbour-dart.toml"), demo("reed-skimmer.toml")


def test_a_build_against_itself_says_so() -> None:
    found = comparison([DART, DART], [derive(DART)] * 2)
    assert found.one_build
    assert not any(row.differs for row in found.answers)
    assert not any(any(row.differs) for row in found.numbers)
    page = comparison_page([DART, DART], [derive(DART)] * 2, found)
    assert "one and the same build" in page.lead[0]


def test_a_copy_under_another_name_is_the_same_build() -> None:
    copy = put(put(DART, ("build", "name"), "Another"), ("build", "step"), "plan")
    found = comparison([DART, copy], [derive(DART), derive(copy)])
    assert found.one_build


def test_inches_and_millimetres_are_no_difference_of_the_plug() -> None:
    copy = put(DART, ("build", "units"), {"length": "mm"})
    assert comparison([DART, copy], [derive(DART), derive(copy)]).one_build


def test_one_other_answer_is_one_difference() -> None:
    other = put(DART, ("water", "salinity"), read("0 g/kg", "salinity"))
    found = comparison([DART, other], [derive(DART), derive(other)])
    assert [row.path for row in found.answers if row.differs] == [("water", "salinity")]
    differing = {row.name for row in found.numbers if row.differs[1]}
    assert "water_density" in differing
    assert "wood_density" not in differing


def test_a_mark_stands_only_beside_a_difference_that_can_be_read() -> None:
    builds = [DART, SKIMMER]
    told = [derive(build) for build in builds]
    # Both would roll in 0.24 s, to a digit that nobody can time, and no doubt is known of it.
    page = comparison_page(builds, told, comparison(builds, told))
    numbers = next(section for section in page.sections if section.title == "Numbers")
    rows = {row[0]: row[1:] for row in numbers.rows}
    assert rows["period of a free roll, to compare builds"] == ("0.24 s", "0.24 s")
    for first, *others in rows.values():
        assert all(one.removeprefix("≠ ") != first for one in others if one.startswith("≠ "))
    assert rows["all hardware"][1].startswith("≠ ")


def test_every_answer_has_a_name_of_its_own() -> None:
    from wizard.steps.wording import label

    paths = [path for path, _ in answers(DART) if any(isinstance(part, int) for part in path)]
    assert len({label(path) for path in paths}) == len(paths)
    assert label(("hardware", 4, "stage")) == "piece of hardware 5, stage"


def test_every_answer_of_each_is_listed_once_in_the_order_of_the_profile() -> None:
    found = comparison([DART, SKIMMER], [derive(DART), derive(SKIMMER)])
    paths = [row.path for row in found.answers]
    assert len(paths) == len(set(paths))
    for n, build in enumerate((DART, SKIMMER)):
        own = dict(answers(build))
        assert {row.path: row.answers[n] for row in found.answers if row.answers[n]} == own
        order = [path for path in paths if path in own]
        assert order == list(own)


@pytest.mark.parametrize(("u", "v"), [(1.0, 1.0), (0.3, 2.0)])
def test_equal_plugs_are_told_apart_as_seldom_as_k_2_says(u: float, v: float) -> None:
    draw = np.random.default_rng(95)
    pairs = zip(draw.normal(10.0, u, 20_000), draw.normal(10.0, v, 20_000), strict=True)
    told = np.mean([differ((a, u), (b, v)) for a, b in pairs])
    # Two-sided normal probability beyond k, by SciPy.
    assert told == pytest.approx(2 * stats.norm.sf(COVERAGE), abs=0.005)


@settings(deadline=None, max_examples=100)
@given(a=st.floats(-1e3, 1e3), b=st.floats(-1e3, 1e3), u=st.floats(0, 10), v=st.floats(0, 10))
def test_a_difference_is_one_either_way(a: float, b: float, u: float, v: float) -> None:
    assert differ((a, u), (b, v)) == differ((b, v), (a, u))
    assert not differ((a, u), (a, v))


def test_the_document_holds_all_numbers_in_their_units() -> None:
    builds, derived = [DART, SKIMMER], [derive(DART), derive(SKIMMER)]
    found = json.loads(comparison_document(["a", "b"], comparison(builds, derived)))
    assert found["format"] == 1
    for name, row in found["numbers"].items():
        for one, value in zip(derived, row["values"], strict=True):
            entry = one.numbers.get(name)
            assert (value is None) == (entry is None)
            if entry is not None:
                assert (value["value"], value["u"]) == entry.published
