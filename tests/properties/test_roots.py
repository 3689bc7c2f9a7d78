"""The root finder against closed forms and SciPy's."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from wizard.physics.roots import root_between


@given(target=st.floats(1e-6, 1e6))
@settings(max_examples=100, deadline=None)
def test_a_cube_root(target: float) -> None:
    root = root_between(lambda x: x**3 - target, 0.0, 200.0)
    assert root == pytest.approx(target ** (1.0 / 3.0), rel=1e-11)


@given(a=st.floats(0.05, 20.0), c=st.floats(-5.0, 5.0))
@settings(max_examples=100, deadline=None)
def test_one_bend_and_two_slopes_as_scipy(a: float, c: float) -> None:
    def bent(x: float) -> float:
        return a * (x - c) + math.tanh(3.0 * (x - c)) + 0.5 * math.expm1(0.3 * (x - c))

    theirs = brentq(bent, -12.0, 11.0, xtol=1e-14, rtol=1e-14)
    assert root_between(bent, -12.0, 11.0) == pytest.approx(theirs, abs=1e-11)


def test_a_root_at_an_end_and_ends_the_other_way_round() -> None:
    assert root_between(lambda x: x, 0.0, 1.0) == 0.0
    assert root_between(lambda x: x - 1.0, 0.0, 1.0) == 1.0
    assert root_between(lambda x: 2.0 - x, 5.0, 1.0) == pytest.approx(2.0, rel=1e-14)


def test_no_change_of_sign_is_refused() -> None:
    with pytest.raises(ValueError, match="sign"):
        root_between(lambda x: x * x + 1.0, -1.0, 1.0)
