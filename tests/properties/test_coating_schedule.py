"""The coating schedule of a build: proposed, planned, marked, kept in its file, refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.properties.plugs import PLUG
from wizard.plug.bench import Bench
from wizard.plug.checks import odd
from wizard.plug.coats.proposing import (
    coats_laid,
    coats_to_come,
    one_more_coat,
    with_every_coat,
    with_proposal,
    with_tin_kept,
    without_coat,
    without_operation,
)
from wizard.plug.coats.schedule import (
    finished,
    ids,
    jumped,
    next_due,
    planned,
    started,
    timetable,
    unmarked,
)
from wizard.plug.coats.tins import tin
from wizard.plug.paths import put
from wizard.plug.record import COATING, OPERATIONS, Build, Operation, Trial
from wizard.quantity.reading import Quantity
from wizard.steps.answering import less_row
from wizard.steps.coating import COATS
from wizard.store import profile
from wizard.store.problems import ProfileError

HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
MONDAY = datetime(2026, 6, 1, 19, tzinfo=UTC)
EVENINGS = {"hours": "Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00", "zone": "UTC"}
NAMES = (
    "clear sealer", "clear sealer", "white primer", "airbrush paint", "airbrush paint",
    "epoxy topcoat", "epoxy topcoat",
)  # fmt: skip


def read(**tables: Any) -> Build:
    return profile.read(tomli_w.dumps({"format": 1, **tables}).encode(), "a.toml")[0]


def coated(*names: str, **tables: Any) -> Build:
    """A plug by hand with these coats and the operations that they ask for."""
    coat = [{"name": name, "thickness": "0.02 mm"} for name in names]
    return with_proposal(read(**{**PLUG, "schedule": EVENINGS, **tables, "coat": coat}))


def kinds(build: Build) -> list[str | None]:
    return [row.kind for row in build.operation]


# Proposed.


def test_a_full_list_in_the_order_of_the_bench() -> None:
    assert kinds(coated(*NAMES)) == [
        "degrease", "seal", "seal", "fill", "sand", "glue", "base", "colour", "colour", "eyes",
        "clear", "clear", "cure", "hang",
    ]  # fmt: skip


@given(st.lists(st.sampled_from(sorted(set(NAMES))), max_size=8))
@settings(max_examples=60, deadline=None)
def test_whatever_the_coats_each_has_one_operation_in_their_order(names: list[str]) -> None:
    build = coated(*names)
    assert [row.coat for row in build.operation if row.coat] == list(range(1, len(names) + 1))
    assert len(set(ids(build))) == len(build.operation)
    assert {"degrease", "fill", "sand", "glue", "eyes", "cure", "hang"} <= set(kinds(build))
    assert not [f.text for f in odd(build) if f.path[0] == "operation"]
    made = timetable(build, MONDAY)
    assert made.ready is not None
    assert len(made.entries) == len(build.operation) + made.scuffs


def test_without_hardware_nothing_is_glued_in_and_nothing_hung() -> None:
    build = with_proposal(read(hardware=[], coat=[{"name": "clear sealer"}]))
    assert not {"glue", "hang"} & set(kinds(build))


def test_a_coat_added_later_gets_its_operation_after_the_others() -> None:
    build = coated("clear sealer", "epoxy topcoat")
    more = put(build, ("coat",), (*(build.coat or ()), replace((build.coat or ())[1])))
    assert with_every_coat(build) == build
    laid = [row.coat for row in with_every_coat(more).operation if row.coat]
    assert laid == [1, 2, 3]
    assert kinds(with_every_coat(more))[-3:] == ["clear", "cure", "hang"]


def test_one_more_coat_is_counted_and_planned() -> None:
    build = one_more_coat(coated("clear sealer", "epoxy topcoat"))
    assert [coat.name for coat in build.coat or ()][-2:] == ["epoxy topcoat"] * 2
    assert [row.name for row in build.operation if row.coat in (2, 3)] == [
        "epoxy topcoat",
        "epoxy topcoat 2",
    ]


# Coats and operations, taken out together.


def test_without_a_coat_the_others_keep_their_operations() -> None:
    build = coated("clear sealer", "airbrush paint", "epoxy topcoat")
    for changed in (without_coat(build, 1), less_row(build, COATS, 1)):
        named = [(row.name, row.coat) for row in changed.operation if row.coat]
        assert named == [("clear sealer", 1), ("epoxy topcoat", 2)]


def test_the_operation_of_a_coat_takes_it_along_but_one_that_was_done_stays() -> None:
    build = coated("clear sealer", "epoxy topcoat")
    place = next(i for i, row in enumerate(build.operation) if row.coat == 1)
    assert [c.name for c in without_operation(build, place).coat or ()] == ["epoxy topcoat"]
    done = finished(build, place + 1, MONDAY)
    assert [row.name for row in without_coat(done, 0).operation if row.finished] == ["clear sealer"]


def test_a_trial_before_its_coats_are_marked_as_done_is_doubted() -> None:
    build = coated("clear sealer", "epoxy topcoat")
    dry = replace(build, trial=(Trial(kind="taped"),))
    wet = replace(build, trial=(Trial(kind="taped"), Trial(kind="look")))

    def said(of: Build) -> list[str]:
        return [f.text for f in odd(of) if f.path[:2] == ("trial", 1) and "schedule" in f.text]

    assert said(dry) == []
    assert len(said(wet)) == 1
    assert "“clear sealer” and 1 more are not marked as done" in said(wet)[0]
    for place, row in enumerate(wet.operation):
        if row.coat:
            wet = finished(wet, place + 1, MONDAY)
    assert said(wet) == []


# What the tin says wins.


def test_typical_values_come_from_the_coat_of_that_name() -> None:
    build = coated("clear sealer")
    seal = next(one for one in planned(build) if one.kind == "seal")
    # wizard/tables/coats.toml, thin-sealer: handling 0.5 to 4 h, so sqrt(2) h, to 5 min.
    assert seal.touch_dry == timedelta(minutes=85)
    assert (seal.recoat_earliest, seal.recoat_latest) == (HOUR, 24 * HOUR)
    assert {"epoxy-skin", "solvents"} <= set(seal.cautions)


def typed(text: str, seconds: float) -> Quantity:
    return Quantity(text, seconds, "time", text.split()[1])


@pytest.mark.parametrize(
    ("answers", "window"),
    [
        ({"recoat_earliest": typed("6 h", 21600)}, (6.0, 24.0)),
        ({"recoat_latest": typed("40 min", 2400)}, (2 / 3, 2 / 3)),  # typical 1 h gives way
        ({"recoat_earliest": typed("30 h", 108000)}, (30.0, None)),  # and typical 24 h
    ],
)
def test_what_is_typed_wins_and_the_typical_gives_way(
    answers: dict[str, Quantity], window: tuple[float, float | None]
) -> None:
    build = coated("clear sealer")
    row = replace(build.operation[1], **answers)  # type: ignore[arg-type]
    known = tin(build, row)
    hours = [None if (s := known[k]) is None else s / 3600.0
             for k in ("recoat_earliest", "recoat_latest")]  # fmt: skip
    assert hours == [pytest.approx(w) if w is not None else None for w in window]
    assert not set(answers) & known.typical


def test_airbrush_paint_has_no_latest_limit() -> None:
    build = coated("airbrush paint", "acrylic paint")
    assert [one.recoat_latest for one in planned(build) if one.kind == "colour"] == [None, None]


def test_a_tin_kept_on_the_bench_begins_the_next_timetable() -> None:
    build = coated("epoxy topcoat", "epoxy topcoat")
    place = next(i for i, row in enumerate(build.operation) if row.coat == 1)
    build = put(build, ("operation", place, "recoat_earliest"), typed("7 h", 25200))
    bench = with_tin_kept(Bench(), build, place)
    assert [(row.name, row.kind) for row in bench.operation] == [("epoxy topcoat", "clear")]
    again = with_proposal(read(coat=[{"name": "Epoxy topcoat"}]), bench)
    clear = next(row for row in again.operation if row.kind == "clear")
    assert clear.recoat_earliest == typed("7 h", 25200)
    assert clear.started is None
    assert with_tin_kept(bench, build, place) == bench
    assert with_tin_kept(bench, build, 0) == bench  # nothing is typed of degreasing


# Marks.


def test_marks_and_tins_survive_the_file() -> None:
    build = coated(*NAMES)
    build = finished(started(build, 1, MONDAY), 1, MONDAY + 5 * MINUTE)
    build = started(build, "clear-sealer-1", MONDAY + 6 * MINUTE)
    again, odd_keys = profile.read(profile.write(build), "a.toml")
    assert again == build
    assert not odd_keys
    assert again.operation[0].finished == MONDAY + 5 * MINUTE
    assert b"started = 2026-06-01 19:06:00+00:00" in profile.write(build)


def test_marks_carry_the_offset_of_the_zone_of_the_bench() -> None:
    build = coated("clear sealer", schedule={"zone": "America/New_York"})
    mark = started(build, 1, MONDAY).operation[0].started
    assert mark == MONDAY
    assert mark.utcoffset() == timedelta(hours=-4)


def test_a_mark_taken_back_is_gone() -> None:
    build = coated("clear sealer")
    assert unmarked(finished(build, 1, MONDAY), 1) == build


@pytest.mark.parametrize("line", [0, 99, "no such line"])
def test_a_line_that_is_none_cannot_be_marked(line: int | str) -> None:
    with pytest.raises(KeyError):
        started(coated("clear sealer"), line, MONDAY)


def missed() -> tuple[Build, datetime]:
    """Two coats of a sealer, the first one two days ago, and the moment now."""
    build = coated("clear sealer", "clear sealer")
    build = finished(build, 1, MONDAY)
    build = finished(build, 2, MONDAY + 20 * MINUTE)
    return build, MONDAY + 48 * HOUR


def test_two_days_later_the_second_coat_is_overdue_and_a_scuff_is_planned() -> None:
    build, now = missed()
    said = next_due(build, now)
    assert said == "clear sealer 2 is overdue by 23 h 40 min: scuff first"
    made = timetable(build, now)
    assert [e.operation.id for e in made.entries if e.inserted] == ["scuff-clear-sealer-2"]


def test_the_scuff_that_the_plan_put_in_becomes_an_operation_when_it_is_marked() -> None:
    build, now = missed()
    marked = finished(build, "scuff-clear-sealer-2", now + 10 * MINUTE)
    assert [row.kind for row in marked.operation[1:4]] == ["seal", "sand", "seal"]
    assert marked.operation[2].finished == now + 10 * MINUTE
    made = timetable(marked, now + 11 * MINUTE)
    assert made.scuffs == 0
    assert next_due(marked, now + 11 * MINUTE) == "clear sealer 2 is due now"
    assert [f for f in odd(marked) if f.path[0] == "operation"] == []


def test_ids_stay_when_operations_come_between() -> None:
    build, now = missed()
    marked = finished(build, "scuff-clear-sealer-2", now)
    assert set(ids(build)) < set(ids(marked))


def test_coats_on_the_plug_and_to_come_by_the_marks() -> None:
    build = coated("clear sealer", "airbrush paint", "epoxy topcoat")
    done = finished(build, "clear-sealer", MONDAY)
    assert (coats_laid(done), coats_to_come(done)) == ((1,), (2, 3))


def test_nothing_is_due_without_operations() -> None:
    assert next_due(read(**PLUG), MONDAY) is None


def test_a_clock_that_stands_before_a_mark_was_set_back() -> None:
    build = finished(coated("clear sealer"), 1, MONDAY)
    assert jumped(build, MONDAY + HOUR) is None
    jump = jumped(build, MONDAY - HOUR)
    assert jump is not None
    assert (jump.way, jump.by) == ("back", HOUR)


def test_nothing_is_planned_before_the_start_that_the_build_names() -> None:
    later = MONDAY + 72 * HOUR
    build = coated("clear sealer", schedule={**EVENINGS, "start": later})
    assert timetable(build, MONDAY).entries[0].start == later
    assert timetable(build, later + HOUR).entries[0].start == later + HOUR


def test_several_plugs_take_several_times_as_long() -> None:
    one, three = (coated("clear sealer", schedule={**EVENINGS, "plugs": n}) for n in (1, 3))
    lengths = [timetable(b, MONDAY).entries[0] for b in (one, three)]
    assert [e.finish - e.start for e in lengths] == [5 * MINUTE, 15 * MINUTE]


# Bad input: a clear answer.


@pytest.mark.parametrize(
    ("tables", "named"),
    [
        (
            {"operation": [{"kind": "clear", "recoat_earliest": "8 h", "recoat_latest": "4 h"}]},
            "operation[1].recoat_latest",
        ),
        ({"operation": [{"kind": "clear", "coat": 3}]}, "operation[1].coat"),
        ({"operation": [{"kind": "varnish"}]}, "operation[1].kind"),
        ({"operation": [{"kind": "cure", "full_cure": "400 d"}]}, "operation[1].full_cure"),
        (
            {"operation": [{"kind": "seal", "started": datetime(2026, 6, 1, 19)}]},
            "operation[1].started",
        ),
        (
            {"operation": [{"kind": "seal", "started": MONDAY, "finished": MONDAY - HOUR}]},
            "operation[1].finished",
        ),
        (
            {"operation": [{"kind": "seal", "temperature_low": "30 degC",
                            "temperature_high": "20 degC"}]},
            "operation[1].temperature_low",
        ),
        ({"schedule": {"hours": ""}}, "schedule.hours"),
        ({"schedule": {"hours": "Mon 19:00-19:00"}}, "schedule.hours"),
        ({"schedule": {"hours": "evenings"}}, "schedule.hours"),
        ({"schedule": {"plugs": 0}}, "schedule.plugs"),
        ({"schedule": {"start": datetime(2026, 6, 1)}}, "schedule.start"),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_refused_with_its_key(
    tables: dict[str, Any], named: str
) -> None:
    with pytest.raises(ProfileError) as refusal:
        read(**tables)
    (problem,) = refusal.value.problems
    assert f"line {problem.line}: {named}: " in str(refusal.value)
    assert problem.line
    assert problem.expected


@pytest.mark.parametrize(
    ("tables", "path"),
    [
        ({"schedule": {"zone": "Nowhere/Else"}}, ("schedule", "zone")),
        ({"operation": [{"name": "odd job"}]}, ("operation", 0, "kind")),
        ({"operation": [{"kind": "clear"}]}, ("operation", 0, "coat")),
        (
            {"coat": [{"name": "epoxy"}, {"name": "epoxy"}],
             "operation": [{"kind": "clear", "coat": 1}]},
            ("coat", 1),
        ),
        (
            {"coat": [{"name": "epoxy"}], "operation": [{"kind": "clear", "coat": 1}] * 2},
            ("coat", 0),
        ),
        ({"coat": [{"name": "epoxy", "thickness": "0.9 mm"}]}, ("coat", 0, "thickness")),
        ({"coat": [{"name": "airbrush paint", "thickness": "0.2 mm"}]}, ("coat", 0, "thickness")),
        (
            {"operation": [{"kind": "seal", "started": MONDAY}, {"kind": "degrease"}],
             "schedule": {"temperature": "8 degC"}},
            None,
        ),
        (
            {"coat": [{"name": "epoxy"}], "operation": [{"kind": "clear", "coat": 1}],
             "schedule": {"temperature": "8 degC"}},
            ("operation", 0, "temperature_low"),
        ),
        (
            {"coat": [{"name": "epoxy"}],
             "operation": [{"kind": "clear", "coat": 1, "pot_life": "5 min"}]},
            ("operation", 0, "pot_life"),
        ),
    ],
)  # fmt: skip
def test_what_is_odd_is_a_warning_where_it_stands(
    tables: dict[str, Any], path: tuple[str | int, ...] | None
) -> None:
    found = [f.path for f in odd(read(**tables)) if f.level == "warning"]
    assert path in found if path else ("operation", 0, "coat") in found


def test_a_zone_that_is_not_known_here_leaves_the_computers_own() -> None:
    build = coated("clear sealer", schedule={"zone": "Nowhere/Else"})
    assert timetable(build, MONDAY).ready is not None


def test_golden_timetables_warn_of_nothing() -> None:
    build = coated(*NAMES)
    assert [f.text for f in odd(build)] == [f.text for f in odd(read(**PLUG))]


def test_two_hundred_operations_are_planned() -> None:
    rows = tuple(Operation(name=f"job {n}", kind=OPERATIONS[n % 9]) for n in range(200))
    build = put(read(**PLUG, schedule=EVENINGS), ("operation",), rows)
    made = timetable(build, MONDAY)
    assert len(made.entries) == 200 + made.scuffs
    assert made.ready is not None
    assert len(odd(build)) < 400
    assert any(row.kind in COATING for row in rows)
