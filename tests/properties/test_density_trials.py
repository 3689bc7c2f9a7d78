"""Random trials against derivatives: the same where lines are straight, more where they bend."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.certainty import Cause, measured
from wizard.certainty.trials import is_steep, spread
from wizard.plug.density.samples import factors_of
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.store.profile import read

PATH = ("density", "sample", 0)


def block(side: float, mass: float, step: float, limit: float, scale: float) -> Build:
    text = f"""format = 1
[density]
length_resolution = "{step} mm"
length_accuracy = "{limit} mm"
mass_resolution = "{scale} g"
mass_accuracy = "{scale} g"
[[density.sample]]
method = "block"
length = "{2 * side:.2f} mm"
width = "{1.2 * side:.2f} mm"
thickness = "{side:.2f} mm"
mass = "{mass:.3f} g"
"""
    build, odd = read(text.encode(), "test")
    assert not odd
    return build


@given(
    st.floats(10.0, 40.0), st.floats(0.12, 0.8), st.sampled_from([0.01, 0.05, 0.1]),
    st.sampled_from([0.0, 0.05]), st.sampled_from([0.01, 0.02]),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_trials_agree_with_derivatives_to_two_per_cent_of_u(
    side: float, density: float, step: float, limit: float, scale: float
) -> None:
    mass = 2 * 1.2 * side**3 * density / 1000
    build = block(side, mass, step, limit, scale)
    factors, _ = factors_of(build, build.density.sample[0], PATH)
    assert factors is not None
    values = tuple(factors.values.values())
    if any(v.u > 0.03 * v.value for v in values):
        return  # too steep for this comparison
    straight = factors.formula(*values)
    seen = spread(factors.formula, *values)
    assert seen.u == pytest.approx(straight.u, rel=0.02)
    assert seen.mean == pytest.approx(straight.value, abs=0.05 * straight.u)


def test_a_cause_shared_by_two_factors_is_drawn_once() -> None:
    shared = measured(0.0, 1.0, Cause("caliper", "accuracy"))
    apart = spread(lambda a, b: a - b, 50.0 + shared, 49.0 + shared)
    assert apart.u == pytest.approx(0.0, abs=1e-9)
    together = spread(lambda a, b: a + b, 50.0 + shared, 49.0 + shared)
    assert together.u == pytest.approx(2.0, rel=0.01)


def test_the_same_answers_give_the_same_numbers() -> None:
    mass = measured(0.4, 0.06, Cause("mass", "accuracy"))
    side = measured(10.0, 0.1, Cause("side", "resolution"))
    first, again = (spread(lambda m, s: m / s**3, mass, side) for _ in range(2))
    assert first == again


@given(st.floats(0.02, 0.25))
@settings(max_examples=25, deadline=None)
def test_a_rectangular_side_against_its_closed_form(relative: float) -> None:
    # 1/x of x even on 1 -+ a: mean atanh(a) / a, mean square 1 / (1 - a^2).
    a = relative * math.sqrt(3.0)
    side = measured(1.0, relative, Cause("side", "accuracy"))
    seen = spread(lambda x: 1.0 / x, side, trials=400_000)
    middle = math.atanh(a) / a
    assert seen.mean == pytest.approx(middle, rel=2e-3)
    assert seen.u == pytest.approx(math.sqrt(1.0 / (1.0 - a * a) - middle**2), rel=0.01)
    assert seen.low == pytest.approx(1.0 / (1.0 + 0.95 * a), rel=3e-3)
    assert seen.high == pytest.approx(1.0 / (1.0 - 0.95 * a), rel=3e-3)
    assert is_steep(side) == (relative > 0.1)


def small(thickness: str) -> Derived:
    text = f"""format = 1
[density]
length_resolution = "0.5 mm"
length_accuracy = "0.5 mm"
mass_resolution = "0.01 g"
[[density.sample]]
method = "block"
length = "8 mm"
width = "6 mm"
thickness = "{thickness}"
mass = "0.05 g"
"""
    build, _ = read(text.encode(), "test")
    return derive(build)


def test_a_very_small_sample_falls_back_on_trials_and_says_so() -> None:
    found = small("2 mm")
    (said,) = (f for f in found.warnings if "random trials" in f.wrong)
    assert "thickness" in said.wrong
    assert said.step == "density"
    density = found.value("wood_density")
    assert density is not None
    bent = [u for cause, u in density.sources().items() if cause.what == "curvature"]
    assert len(bent) == 1
    straight = density.without(c for c in density.sources() if c.what == "curvature")
    assert density.u > straight.u
    assert density.value == pytest.approx(0.05e-3 / (8e-3 * 6e-3 * 2e-3))


def test_a_sample_of_fair_size_needs_no_trials() -> None:
    found = small("7 mm")
    assert not any("random trials" in f.wrong for f in found.warnings)


def test_trials_below_zero_are_left_out() -> None:
    thin = measured(0.1, 0.09, Cause("side", "stated"))
    seen = spread(lambda x: x, thin)
    assert seen.low > 0.0
