"""The bench that learns: simulated makers with known habits, tables there and back, offers."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t as student

from tests.properties.simulated_plug import AREA, FILM, RHO, RHO_W, plug_and_profile
from wizard.learning.habits import Calibration, Habit, calibration, habit, progress, start
from wizard.learning.keeping import counted_from, counting_from, from_table, to_table
from wizard.learning.observing import Observation, Seen, seen
from wizard.learning.offering import learn, offers, without
from wizard.physics.drag import DRAG_SPREAD
from wizard.physics.sinking import time_to_sink
from wizard.plug.bench import Bench
from wizard.plug.derive import derive, stages
from wizard.plug.record import Build
from wizard.report.learning import learned_lines, offer_lines
from wizard.store import profile

FIRST = datetime(2026, 1, 5, 12, 0, tzinfo=UTC)


def read(tables: dict[str, Any]) -> Build:
    return profile.read(tomli_w.dumps(tables).encode(), "a.toml")[0]


def dated(tables: dict[str, Any], day: int) -> dict[str, Any]:
    heading = {"name": f"plug {day}", "created": FIRST + timedelta(days=day)}
    return {**tables, "build": heading, "shown": {"at": FIRST + timedelta(days=day)}}


# 500 makers ---------------------------------------------------------------------

MAKERS = 500
RATE = 0.95


def within(inside: int, cases: int = MAKERS, rate: float = RATE) -> bool:
    """Whether a count is what the rate gives, within four standard deviations of chance."""
    return abs(inside - rate * cases) <= 4 * math.sqrt(rate * (1 - rate) * cases)


@pytest.mark.parametrize("count", [3, 5, 12])
def test_the_true_habit_lies_in_the_interval_at_the_stated_rate(count: int) -> None:
    """500 makers, each with a bias of its own, one build off from the next by 8 %."""
    dice = random.Random(f"habit {count}")
    inside = next_one = 0
    for _ in range(MAKERS):
        true, scatter = dice.uniform(0.7, 1.6), 0.08
        values = [true * math.exp(dice.gauss(0.0, scatter)) for _ in range(count + 1)]
        found = habit("holes", values[:-1])
        inside += found.low <= true <= found.high
        # At k = 1 the next build lies within the stated spread in 68.27 % of cases.
        next_one += abs(math.log(values[-1] / found.mean)) <= found.spread
    assert within(inside)
    assert within(next_one, rate=0.6827)


def test_the_interval_is_students() -> None:
    """Mean and t95(n - 1) s / sqrt(n) of the logarithms, by SciPy."""
    values = [1.02, 1.11, 0.97, 1.08, 1.05]
    logs = [math.log(v) for v in values]
    middle = sum(logs) / 5
    s = math.sqrt(sum((x - middle) ** 2 for x in logs) / 4)
    half = float(student.ppf(0.975, 4)) * s / math.sqrt(5)
    found = habit("holes", values)
    assert found.mean == pytest.approx(math.exp(middle))
    assert found.low == pytest.approx(math.exp(middle - half))
    assert found.high == pytest.approx(math.exp(middle + half))
    assert found.spread == pytest.approx(
        float(student.ppf(0.5 + 0.6827 / 2, 4)) * s * math.sqrt(1.2), rel=1e-6
    )


# Observations from whole builds, bias by bias -----------------------------------------


def _coated(dice: random.Random, bias: float) -> dict[str, Any]:
    """A maker whose films weigh so much more than planned."""
    _, tables = plug_and_profile(dice, 0.10)
    film = FILM * AREA * 0.15e-3 * bias * math.exp(dice.gauss(0.0, 0.1))
    tables["coat"][0] = {"name": "epoxy topcoat", "mass": f"{film * 1e3:.3f} g"}
    return tables


def _drilled(dice: random.Random, bias: float) -> dict[str, Any]:
    """A maker whose holes come out so much larger, weighed with the ballast in."""
    _, tables = plug_and_profile(dice, 0.10)
    wood = float(tables["density"]["sample"][0]["density"].split()[0])
    body = float(tables["weighing"]["mass"].split()[0]) * 1e-3
    lead = float(tables["ballast"]["piece"][0]["mass"].split()[0]) * 1e-3
    hole = 3e-6 * bias * math.exp(dice.gauss(0.0, 0.03))
    mass = body - wood * hole + lead + 1150.0 * (hole - lead / 11340.0)
    tables["weight"] = [{"stage": "ballasted", "mass": f"{mass * 1e3:.2f} g"}]
    return tables


def _hung(dice: random.Random, bias: float) -> dict[str, Any]:
    """A maker whose hooks are so much heavier than the table's."""
    _, tables = plug_and_profile(dice, 0.10)
    # The geometric middle of the table's 0.8 to 2.0 g for a size 4 treble.
    mass = math.sqrt(0.8 * 2.0) * bias * math.exp(dice.gauss(0.0, 0.04))
    tables["hardware"][0] |= {"name": "treble hook, size 4", "mass": f"{mass:.3f} g"}
    return tables


def _timed(dice: random.Random, bias: float) -> dict[str, Any]:
    """A maker whose plugs drag so much more than published, timed and weighed under water."""
    from wizard.physics.drag import terminal_speed

    _, tables = plug_and_profile(dice, 0.12)
    sums = next(stages(read(tables)))
    V, N = sums.value("displaced_volume"), 3.5e-3
    assert V is not None
    f = bias * math.exp(dice.gauss(0.0, 0.06))
    speed = terminal_speed(N, V.value, AREA, RHO_W, 1.0016e-3, f)
    time = time_to_sink(1.2, speed, N / (RHO_W * V.value))
    tables["trial"] = [
        {"kind": "weigh", "weight": f"{N * 1e3:.2f} g"},
        {"kind": "sink", "depth": "120 cm", "time": f"{time:.3f} s"},
    ]
    return tables


BIASES: dict[str, tuple[str, Callable[[random.Random, float], dict[str, Any]], float]] = {
    "films": ("coat:epoxy topcoat", _coated, FILM * 0.15e-3),
    "holes": ("holes", _drilled, 1.0),
    "hooks": ("hardware:treble hook, size 4", _hung, 1.0),
    "drag": ("drag", _timed, 1.0),
}


@pytest.mark.parametrize(("key", "built", "unit"), BIASES.values(), ids=BIASES.keys())
def test_a_makers_bias_is_recovered_from_whole_builds(
    key: str, built: Callable[[random.Random, float], dict[str, Any]], unit: float
) -> None:
    """500 builds of 100 makers for each habit, read as profiles."""
    dice = random.Random(f"bias {key}")
    inside, makers = 0, 100
    for _ in range(makers):
        bias = dice.uniform(0.85, 1.30)
        builds = [read(dated(built(dice, bias), day)) for day in range(5)]
        found = learn(builds).habit(key)
        assert found is not None
        assert found.count == 5
        inside += found.low <= bias * unit <= found.high
        assert found.mean == pytest.approx(bias * unit, rel=0.25)
    assert within(inside, makers)


def test_wood_against_the_table() -> None:
    """Basswood of 0.41 g/mL in the table (its typical value), boards a tenth heavier."""
    from wizard.tables import find_wood

    row = find_wood("basswood")
    assert row is not None
    dice = random.Random("wood")
    builds = []
    for day in range(4):
        _, tables = plug_and_profile(dice, 0.10)
        density = 1.1 * row.density.typical * (1 + 0.01 * (day - 1.5))
        tables["density"]["sample"][0] |= {"density": f"{density:.3f} kg/m3"}
        tables["stock"] = {"wood": "basswood"}
        builds.append(read(dated(tables, day)))
    found = learn(builds).habit(f"wood:{row.name}")
    assert found is not None
    assert found.low <= 1.1 <= found.high


def test_films_between_two_weighings_count_too() -> None:
    _, tables = plug_and_profile(random.Random("between"), 0.10)
    tables["weight"] = [
        {"stage": "ballasted", "mass": "30.00 g"},
        {"stage": "coated", "mass": "31.50 g"},
    ]
    build = read(tables)
    found = {o.key: o.value for o in seen(build, derive(build)).found}
    planned = FILM * AREA * 0.15e-3
    assert found["coats"] == pytest.approx(1.5e-3 / planned)
    assert found["coat:epoxy topcoat"] == pytest.approx(1.5e-3 / AREA)


# Drag narrows, honestly ------------------------------------------------------------------


def test_an_accepted_drag_narrows_the_spread_and_holds_its_rate() -> None:
    """After five timed builds the next speed lies within the stated k = 1 in 68 % of cases."""
    from wizard.physics.drag import terminal_speed

    dice = random.Random("narrower")
    inside, makers, narrower = 0, 60, 0
    for _ in range(makers):
        bias = dice.uniform(0.9, 1.4)
        builds = [read(dated(_timed(dice, bias), day)) for day in range(5)]
        known = learn(builds)
        _, tables = plug_and_profile(dice, 0.12)
        target = read(tables)
        found = [o for o in offers(known, target) if o.habit.key == "drag"]
        assert len(found) == 1
        taken = found[0].accepted(target)
        assert taken.drag.factor is not None
        assert taken.drag.builds == 5
        derived = derive(taken)
        speed, V = derived.value("sink_rate"), derived.value("displaced_volume")
        N = derived.value("net_in_water")
        assert speed is not None
        assert V is not None
        assert N is not None
        f = bias * math.exp(dice.gauss(0.0, 0.06))
        real = terminal_speed(N.value, V.value, AREA, RHO_W, 1.0016e-3, f)
        by_drag = taken.drag.doubt
        assert by_drag is not None
        narrower += by_drag.value < DRAG_SPREAD / 2
        inside += abs(real / speed.value - 1) <= by_drag.value
    assert narrower >= 0.9 * makers
    assert within(inside, makers, 0.6827)


def test_a_drag_that_scatters_wider_than_published_is_not_offered() -> None:
    wild = habit("drag", [0.5, 1.0, 2.2])
    assert wild.spread / 2 > DRAG_SPREAD
    known = Calibration(builds=3, habits=(wild,))
    assert offers(known, read(plug_and_profile(random.Random(1), 0.1)[1])) == ()


def test_too_few_are_shown_and_not_offered() -> None:
    known = Calibration(builds=2, habits=(habit("drag", [1.20, 1.21]),))
    assert offers(known, Build()) == ()
    assert "too few to offer" in " ".join(learned_lines(known))


# Where one starts down, and whether it helps -----------------------------------------------


def shown_plug(margin: float, down: bool, miss: float | None = None, day: int = 0) -> Seen:
    return Seen(FIRST + timedelta(days=day), (), miss, margin, down)


def test_the_margin_that_starts_one_down_lies_between_the_last_up_and_the_first_down() -> None:
    told = [shown_plug(m, m > 0.012) for m in (-0.03, 0.004, 0.009, 0.016, 0.05)]
    found = start([*told, shown_plug(0.3, True)])
    assert found is not None
    assert (found.count, found.stayed, found.went) == (5, 0.009, 0.016)
    known = calibration(told)
    assert "+0.9 % to +1.6 %" in " ".join(learned_lines(known))


def test_makers_start_margin_is_bracketed() -> None:
    """200 makers with a sticky surface of their own: the bracket holds it always."""
    dice = random.Random("start")
    for _ in range(200):
        true = dice.uniform(0.0, 0.03)
        told = [shown_plug(m, m > true) for m in (dice.uniform(-0.05, 0.08) for _ in range(8))]
        found = start(told)
        assert found is not None
        assert found.stayed is None or found.stayed <= true
        assert found.went is None or found.went > true


def test_progress_compares_the_first_with_the_last() -> None:
    """Root mean squares of 2 and 2 out of 4: sqrt((9 + 16) / 2) and sqrt((1 + 4) / 2) per cent."""
    told = [shown_plug(0.1, True, miss, day) for day, miss in enumerate((0.03, -0.04, 0.01, -0.02))]
    found = progress(told)
    assert found is not None
    assert found.first == pytest.approx(math.sqrt(12.5) / 100)
    assert found.last == pytest.approx(math.sqrt(2.5) / 100)
    said = " ".join(learned_lines(calibration(told)))
    assert "missed by 3.5 % of the weight at first and 1.6 % of late" in said
    assert progress(told[:1]) is None


def test_builds_are_taken_in_the_order_of_their_days() -> None:
    told = [shown_plug(0.1, True, 0.01, 9), shown_plug(0.1, True, 0.05, 1)]
    found = calibration(told).progress
    assert found is not None
    assert found.first == pytest.approx(0.05)
    assert found.last == pytest.approx(0.01)


def test_misses_are_tank_less_sum_over_the_weight() -> None:
    _, tables = plug_and_profile(random.Random("miss"), 0.10)
    tables["trial"] = [{"kind": "weigh", "weight": "3.00 g"}]
    build = read(tables)
    derived = derive(build)
    N, M = derived.value("net_in_water"), derived.value("finished_mass")
    V = derived.value("displaced_volume")
    assert N is not None
    assert M is not None
    assert V is not None
    found = seen(build, derived)
    assert found.miss == pytest.approx((3e-3 - N.value) / M.value)
    assert found.margin == pytest.approx(3e-3 / (RHO * V.value), rel=0.01)


# Keeping, resetting, offering ------------------------------------------------------------------

positive = st.floats(1e-6, 1e3)


@st.composite
def calibrations(draw: st.DrawFn) -> Calibration:
    names = st.sampled_from(("drag", "holes", "coats", "coat:clear sealer", "wood:basswood"))
    values = draw(st.dictionaries(names, st.lists(positive, min_size=1, max_size=5), max_size=4))
    when = draw(st.none() | st.datetimes(timezones=st.just(UTC)))
    told = [
        shown_plug(draw(st.floats(-0.09, 0.09)), draw(st.booleans()), draw(st.floats(-0.1, 0.1)), d)
        for d in range(draw(st.integers(0, 4)))
    ]
    known = calibration(told)
    rows = tuple(habit(key, found) for key, found in values.items())
    return replace(known, since=when.replace(microsecond=0) if when else None, habits=rows)


@settings(max_examples=60, deadline=None)
@given(calibrations())
def test_a_calibration_survives_its_table(known: Calibration) -> None:
    import tomllib

    table = tomllib.loads(tomli_w.dumps(to_table(known)))
    back = from_table(table)
    assert to_table(back) == to_table(known)
    assert (back.since, back.builds) == (known.since, known.builds)
    for one, other in zip(known.habits, back.habits, strict=True):
        assert other.key == one.key
        assert other.mean == pytest.approx(one.mean, rel=1e-5)


@settings(max_examples=100, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(("since", "builds", "habit", "start", "progress", "other")),
        st.recursive(
            st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
            lambda inner: (
                st.lists(inner, max_size=3)
                | st.dictionaries(
                    st.sampled_from(("key", "count", "mean", "low", "high", "scatter", "went")),
                    inner,
                    max_size=6,
                )
            ),
            max_leaves=12,
        ),
    )
)
def test_a_spoiled_table_is_no_error(table: dict[str, Any]) -> None:
    known = from_table(table)
    assert isinstance(known, Calibration)
    assert all(isinstance(h, Habit) and h.mean > 0 for h in known.habits)
    assert learned_lines(known)


def test_two_hooks_of_one_build_are_no_two_builds() -> None:
    """Of the table's 1.265 g: two that weigh 1.1 and 1.3 times as much speak once, by 1.196."""
    _, tables = plug_and_profile(random.Random("two hooks"), 0.10)
    (hooks,) = tables["hardware"]
    named = hooks | {"name": "treble hook, size 4", "count": 1}
    middle = math.sqrt(0.8 * 2.0)
    tables["hardware"] = [named | {"mass": f"{middle * f:.6f} g"} for f in (1.1, 1.3)]
    known = learn([read(dated(tables, 1))])
    found = known.habit("hardware:treble hook, size 4")
    assert found is not None
    assert found.count == 1
    assert found.mean == pytest.approx(math.sqrt(1.1 * 1.3), rel=1e-5)
    assert "(1 build: no range yet)" in " ".join(" ".join(learned_lines(known)).split())


def test_a_reset_bench_counts_from_then_on() -> None:
    dice = random.Random("reset")
    builds = [read(dated(_hung(dice, 1.1), day)) for day in range(6)]
    assert learn(builds).builds == 6
    bench = Bench(learned={"other": "kept"})
    anew = counting_from(bench, FIRST + timedelta(days=3, hours=12))
    assert counted_from(anew) == FIRST + timedelta(days=3, hours=12)
    later = learn(builds, counted_from(anew))
    assert later.builds == 2
    assert counting_from(anew, None) == bench
    assert "Counted from 2026-01-09 on." in learned_lines(later)


def test_offers_are_plain_answers_and_nothing_happens_unasked() -> None:
    known = Calibration(
        builds=6,
        habits=(
            habit("drag", [1.22, 1.25, 1.19, 1.24]),
            habit("holes", [1.04, 1.05, 1.06]),
            habit("coat:epoxy topcoat", [0.19, 0.20, 0.21]),
            habit("hardware:treble hook, size 4", [1.1, 1.12, 1.08]),
        ),
    )
    _, tables = plug_and_profile(random.Random("offers"), 0.10)
    tables["hardware"].append({"name": "treble hook, size 4", "density": "7.85 g/mL"})
    build = read(tables)
    before = profile.write(build)
    found = offers(known, build)
    lines = offer_lines(known, build)
    assert profile.write(build) == before
    assert [o.habit.key for o in found] == [h.key for h in known.habits]
    assert len([line for line in lines if line[:1].isdigit()]) == 4
    for offer in found:
        build = offer.accepted(build)
    text = profile.write(build).decode()
    assert 'doubt = "' in text
    for answer in ("factor = 1.225", "hole_factor = 1.05", 'mass = "1.39 g"', "builds = 4"):
        assert answer in text
    # Film of 0.2 kg/m2 at 1120 kg/m3.
    assert f'thickness = "{0.19983 / 1120 * 1e3:.3f} mm"' in text
    assert read_again(build) == build
    assert offers(known, build) == ()
    assert without(build).drag.factor is None


def read_again(build: Build) -> Build:
    return profile.read(profile.write(build), "a.toml")[0]


def test_unfinished_observations_are_left_out() -> None:
    assert calibration([]).habits == ()
    odd = Seen(None, (Observation("drag", math.nan), Observation("drag", -1.0)), None, None, None)
    assert calibration([odd]).habits == ()
    assert learned_lines(Calibration())[0].startswith("No finished build speaks yet")
