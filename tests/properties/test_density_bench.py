"""What is said of a density test must come true when it is followed."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.certainty.expanded import expanded
from wizard.physics.density import (
    Bench,
    accuracy_u,
    block_dimensions,
    cylinder_dimensions,
    length_needed,
    relative_u,
    resolution_u,
    samples_needed,
    sides_needed,
)
from wizard.plug.density.advice import advice
from wizard.plug.density.bench_plan import expected, expected_dunk
from wizard.plug.density.quality import WANTED, Trust, part_of, shares, trust
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.store.profile import read


def build_of(
    sample: str, *, scale: str = "0.1 g", caliper: str = "0.02 mm", more: str = "", body: str = ""
) -> Build:
    text = f"""format = 1
[water]
temperature = "18 degC"
salinity = "0 g/kg"
[aim]
behaviour = "suspends"
[stock]
wood = "basswood"
length = "12 in"
width = "3 in"
thickness = "2 in"
[weighing]
mass = "13.62 g"
resolution = "0.01 g"
{body}
[density]
length_resolution = "{caliper}"
mass_resolution = "{scale}"
{more}
{sample}
[ballast]
metal = "lead"
[[hardware]]
name = "hook"
mass = "3.8 g"
density = "7.85 g/mL"
"""
    build, odd = read(text.encode(), "test")
    assert not odd
    return build


def block(length: float, width: float, thickness: float, mass: float | None) -> str:
    weighed = "" if mass is None else f'mass = "{mass:.3f} g"\n'
    return f"""[[density.sample]]
method = "block"
length = "{length:.3f} mm"
width = "{width:.3f} mm"
thickness = "{thickness:.3f} mm"
{weighed}"""


def trusted(build: Build) -> tuple[Trust, Derived]:
    found = derive(build)
    known = trust(build, found)
    assert known is not None
    return known, found


SCATTERED = 'board_scatter = "0.1 %"'


# ---- physics of the size of a piece


def test_cube_sizes_of_a_table_worked_elsewhere() -> None:
    # Worked with GTC 1.5.1: cubes of 0.40 g/mL, caliper of 0.01 mm and +-0.02 mm.
    for side, step, limit, percent in (
        (10.0, 0.01, 0.02, 2.996), (20.0, 0.01, 0.02, 0.4111), (20.0, 0.1, 0.1, 2.025),
        (30.0, 0.01, 0.02, 0.1605), (40.0, 0.1, 0.1, 0.2669),
    ):  # fmt: skip
        scale_u = math.hypot(resolution_u(step * 1e-3), accuracy_u(limit * 1e-3))
        bench = Bench(0.01e-3, 0.02e-3, scale_u)
        dimensions = block_dimensions(*[side * 1e-3] * 3)
        mass = 400.0 * (side * 1e-3) ** 3
        assert 100 * relative_u(dimensions, mass, bench) == pytest.approx(percent, rel=2e-3)


@given(
    st.floats(100.0, 800.0), st.floats(1e-3, 0.05), st.floats(1e-6, 1e-3), st.floats(0.0, 1e-4),
    st.floats(1e-6, 1e-4),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_a_cube_of_the_length_needed_is_just_good_enough(
    density: float, wanted: float, step: float, accuracy: float, scale_u: float
) -> None:
    side = length_needed(density, wanted, step, accuracy, scale_u)
    bench = Bench(step, accuracy, scale_u)
    got = relative_u(block_dimensions(side, side, side), density * side**3, bench)
    assert got == pytest.approx(wanted, rel=1e-6)


@given(
    st.tuples(*[st.floats(5e-3, 0.04)] * 3), st.floats(1e-3, 0.03), st.floats(1e-6, 1e-4),
    st.floats(1.0, 3.0),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_sides_needed_keep_within_the_board(
    sides: tuple[float, float, float], wanted: float, scale_u: float, room: float
) -> None:
    dimensions = block_dimensions(*sides)
    mass = 400.0 * math.prod(sides)
    bench = Bench(0.05e-3, 0.02e-3, scale_u)
    limits = tuple(side * room for side in sides)
    grown = sides_needed(dimensions, mass, bench, wanted, limits)
    largest = relative_u(block_dimensions(*limits), mass * room**3, bench)
    if grown is None:
        assert largest > wanted
        return
    assert all(side <= limit * (1 + 1e-9) for side, limit in zip(grown, limits, strict=True))
    got = relative_u(block_dimensions(*grown), 400.0 * math.prod(grown), bench)
    assert got == pytest.approx(wanted, rel=1e-6)


def test_a_diameter_counts_twice() -> None:
    bench = Bench(0.1e-3, 0.0, 0.0)
    both = relative_u(cylinder_dimensions(0.02, 0.04), 1.0, bench)
    assert both == pytest.approx(resolution_u(0.1e-3) * math.hypot(2 / 0.02, 1 / 0.04))


@pytest.mark.parametrize(("scatter", "wanted", "pieces"), [(0.01, 0.0152, 5), (0.01, 0.03, 3)])
def test_samples_needed_by_hand(scatter: float, wanted: float, pieces: int) -> None:
    # t95: 4.303 / sqrt(3) = 2.48, 3.182 / 2 = 1.59, 2.776 / sqrt(5) = 1.24 (GUM, Table G.2)
    assert samples_needed(scatter, wanted) == pieces


def test_more_samples_than_anyone_cuts() -> None:
    assert samples_needed(0.05, 0.01) is None


# ---- what is said, followed


def followed_size(text: str) -> tuple[float, float, float]:
    found = re.search(r"at least ([0-9.]+) x ([0-9.]+) x ([0-9.]+) mm", text)
    assert found is not None, text
    a, b, c = (float(number) for number in found.groups())
    return a, b, c


@given(st.floats(9.0, 16.0), st.floats(1.0, 2.0), st.sampled_from(["0.05 g", "0.1 g"]))
@settings(max_examples=30, deadline=None)
def test_a_sample_of_the_size_advised_is_good_enough(
    thickness: float, longer: float, scale: str
) -> None:
    sides = (2 * thickness * longer, 1.2 * thickness, thickness)
    mass = 0.41 * math.prod(sides) / 1000
    build = build_of(block(*sides, mass), scale=scale, more=SCATTERED)
    found, whole = trusted(build)
    text = advice(build, whole, found)
    if found.good:
        assert text.startswith("Good enough")
        return
    sides = followed_size(text)
    better = build_of(block(*sides, 0.41 * math.prod(sides) / 1000), scale=scale, more=SCATTERED)
    again, whole = trusted(better)
    assert again.good
    assert again.volume is not None
    assert again.volume <= WANTED
    assert advice(better, whole, again).startswith("Good enough")


def test_the_scale_advised_is_good_enough() -> None:
    sides, mass = (30.0, 18.0, 15.0), 3.32
    build = build_of(block(*sides, mass), more=SCATTERED)
    found, whole = trusted(build)
    text = advice(build, whole, found)
    step = re.search(r"weigh the samples to ([0-9.]+ g)", text)
    assert step is not None, text
    better, _ = trusted(build_of(block(*sides, mass), scale=step[1], more=SCATTERED))
    assert better.good


def test_a_lone_sample_is_never_good_enough() -> None:
    build = build_of(block(60, 40, 30, 29.5), scale="0.01 g")
    found, whole = trusted(build)
    assert found.relative < WANTED  # its own readings would do
    assert not found.scatter_known
    assert not found.good
    assert "second" in advice(build, whole, found)


def test_scatter_asks_for_more_pieces_or_the_dunk() -> None:
    rows = block(40, 25, 20, 8.2) + block(40, 25, 20, 8.26) + block(40, 25, 20, 8.14)
    build = build_of(rows, scale="0.01 g")
    found, whole = trusted(build)
    assert found.shares[0].part == "scatter of the board"
    text = advice(build, whole, found)
    count = re.search(r"Test ([0-9]+) pieces in all, ([0-9]+) more", text)
    assert count is not None, text
    assert int(count[1]) - int(count[2]) == 3
    assert "dunk" in text


def test_the_dunk_advised_gives_what_was_promised() -> None:
    build = build_of(block(12, 10, 8, 0.4), more='board_scatter = "3 %"')
    found, whole = trusted(build)
    assert not found.good
    promised = expected_dunk(build, whole)
    assert promised is not None
    assert "dunk" in advice(build, whole, found)
    dunked = build_of(
        '[[density.sample]]\nmethod = "body"\n', body='gain = "33.40 g"\n', scale="0.01 g"
    )
    again, _ = trusted(dunked)
    assert again.good
    assert again.volume == pytest.approx(promised, rel=0.05)


def test_a_body_dunked_gives_its_volume_straight() -> None:
    # V = gain / rho with rho = 0.99860 - 0.0012 g/mL at 18 degC, whatever the body weighs.
    body = 'gain = "33.40 g"\n'
    found = derive(build_of('[[density.sample]]\nmethod = "body"\n', body=body))
    volume = found.value("body_volume")
    assert volume is not None
    assert volume.value * 1e6 == pytest.approx(33.40 / (0.99860 - 0.0012), rel=2e-5)
    causes = {c.where for c, u in volume.sources().items() if abs(u) > 1e-12 * volume.value}
    assert "weighing.mass" not in causes  # it cancels


def test_without_any_instrument_nothing_is_certain() -> None:
    text = """format = 1
[weighing]
mass = "13.62 g"
[[density.sample]]
method = "known"
density = "0.41 g/mL"
"""
    build, _ = read(text.encode(), "test")
    found, whole = trusted(build)
    assert found.relative == 0.0
    assert not found.good
    assert advice(build, whole, found).startswith("State what the caliper and the scale")


# ---- ahead of the saw


@given(
    st.tuples(st.floats(15.0, 60.0), st.floats(10.0, 40.0), st.floats(6.0, 30.0)),
    st.sampled_from(["0.01 g", "0.1 g"]), st.sampled_from(["0.02 mm", "0.5 mm"]),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_what_is_expected_of_a_piece_is_what_it_gives(
    sides: tuple[float, float, float], scale: str, caliper: str
) -> None:
    ahead = build_of(block(*sides, None), scale=scale, caliper=caliper)
    plan = expected(ahead, derive(ahead), 0)
    assert plan is not None
    assert plan.mass == pytest.approx(414.4 * math.prod(sides) * 1e-9, rel=1e-3)  # basswood
    text = block(*sides, plan.mass * 1e3)
    cut = build_of(text, scale=scale, caliper=caliper)
    found = derive(cut)
    if any("random trials" in f.wrong for f in found.warnings):
        return
    density = found.value("wood_density")
    assert density is not None
    got = expanded(density).half_width / density.value
    assert plan.relative == pytest.approx(got, rel=1e-2)
    assert expected(cut, found, 0) is None  # weighed by now


def test_nothing_is_expected_of_half_a_size() -> None:
    build = build_of('[[density.sample]]\nmethod = "block"\nlength = "40 mm"\n')
    assert expected(build, derive(build), 0) is None


# ---- shares, ballast, chance


@given(st.floats(8.0, 40.0), st.sampled_from(["0.01 g", "0.1 g"]))
@settings(max_examples=30, deadline=None)
def test_shares_add_up_and_name_every_cause(thickness: float, scale: str) -> None:
    mass = 0.41 * 2 * 1.2 * thickness**3 / 1000
    build = build_of(
        block(2 * thickness, 1.2 * thickness, thickness, mass), scale=scale, more=SCATTERED
    )
    found, whole = trusted(build)
    assert math.fsum(s.share for s in found.shares) == pytest.approx(1.0)
    ordered = [s.share for s in found.shares]
    assert ordered == sorted(ordered, reverse=True)
    volume = whole.value("body_volume")
    assert volume is not None
    u = math.sqrt(math.fsum(s.u**2 for s in found.shares))
    assert u == pytest.approx(volume.u / volume.value)
    assert {part_of(c) for c in volume.sources()} >= {s.part for s in shares(volume)}


def test_ballast_moves_as_the_density_does() -> None:
    build = build_of(block(40, 25, 20, 8.2), more=SCATTERED)
    found, whole = trusted(build)
    assert found.ballast is not None
    up = build_of(block(40, 25, 20, 8.2 * (1 + found.relative)), more=SCATTERED)
    moved = derive(up).numbers["ballast_mass"].value.value
    stays = whole.numbers["ballast_mass"].value.value
    assert abs(moved - stays) == pytest.approx(found.ballast, rel=0.03)


def test_a_density_without_doubt_makes_the_aim_surer() -> None:
    build = build_of(block(20, 15, 10, 1.2), more=SCATTERED)
    found, _ = trusted(build)
    assert found.chance is not None
    assert found.chance_if_known is not None
    assert found.chance < 0.5 < 0.99 < found.chance_if_known


# ---- what the scale showed of itself


def test_a_check_weight_missed_counts_as_the_scales_accuracy() -> None:
    body = 'check_mass = "20 g"\ncheck_reading = "20.3 g"\naccuracy = "0.05 g"\n'
    found = derive(build_of(block(40, 25, 20, 8.2), body=body))
    volume = found.value("body_volume")
    assert volume is not None
    shown = {c.where: abs(u) for c, u in volume.sources().items()}
    assert shown["weighing.accuracy"] / volume.value == pytest.approx(0.3 / math.sqrt(3) / 13.62)


def test_a_check_weight_met_changes_nothing() -> None:
    rows = block(40, 25, 20, 8.2)
    plain = derive(build_of(rows, body='accuracy = "0.05 g"\n')).numbers
    body = 'accuracy = "0.05 g"\ncheck_mass = "20 g"\ncheck_reading = "20.03 g"\n'
    checked = derive(build_of(rows, body=body)).numbers
    assert checked["body_volume"].published == plain["body_volume"].published


@given(st.floats(-0.2, 0.2).filter(lambda z: abs(z) > 0.005))
@settings(max_examples=30, deadline=None)
def test_half_of_a_drift_is_taken_off_and_half_of_it_is_its_limit(zero: float) -> None:
    rows = block(40, 25, 20, 8.2)
    steady = derive(build_of(rows)).numbers["body_volume"].value
    drifted = derive(build_of(rows, body=f'zero = "{zero:.4f} g"\n')).numbers["body_volume"].value
    z = float(f"{zero:.4f}")
    assert drifted.value / steady.value == pytest.approx((13.62 - z / 2) / 13.62, rel=1e-9)
    shown = {c.where: abs(u) for c, u in drifted.sources().items()}
    limit = abs(z) / 2 / math.sqrt(3) / (13.62 - z / 2)
    assert shown["weighing.zero"] / drifted.value == pytest.approx(limit, rel=1e-6)
