"""Arithmetic with correlated doubts, beside the `uncertainties` package on the same sums."""

from __future__ import annotations

import operator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from wizard.certainty import Cause, Uncertain, exact, measured, total

CAUSES = [Cause(where, "stated") for where in ("scale", "caliper", "water", "tin")]
ACTS = (operator.add, operator.sub, operator.mul, operator.truediv)
NUMBER = st.floats(0.2, 5.0)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(NUMBER, st.floats(0.0, 0.5), st.integers(0, 3)), min_size=2, max_size=5),
    st.lists(
        st.tuples(st.sampled_from(ACTS), st.integers(0, 4), st.integers(0, 4), NUMBER, NUMBER),
        min_size=1,
        max_size=8,
    ),
)
def test_shared_causes_through_sums_and_products(
    given_values: list[tuple[float, float, int]],
    acts: list[tuple[Any, int, int, float, float]],
) -> None:
    # Several values name the same cause, so what they share adds or cancels (JCGM 100:2008,
    # 5.2.2, eq. 16); the package keeps a derivative to each independent variable.
    variables = [ufloat(0.0, 1.0) for _ in CAUSES]
    ours = [measured(value, u, CAUSES[cause]) for value, u, cause in given_values]
    theirs: list[Any] = [value + u * variables[cause] for value, u, cause in given_values]
    for act, i, j, before, behind in acts:
        i, j = i % len(ours), j % len(ours)
        if act is operator.truediv and abs(ours[j].value) < 0.05:
            act = operator.mul
        ours.append(behind - act(ours[i], ours[j]) * before)
        theirs.append(behind - act(theirs[i], theirs[j]) * before)
        ours.append(act(before, -exact(behind) + 7.0) / 2.0 + ours[i])
        theirs.append(act(before, -behind + 7.0) / 2.0 + theirs[i])
    ours.append(total(ours))
    theirs.append(sum(theirs))
    for own, other in zip(ours, theirs, strict=True):
        alike(own, other, variables)


def alike(own: Uncertain, other: Any, variables: list[Any]) -> None:
    scale = 1e-12 + abs(other.nominal_value) * 1e-9
    assert own.value == pytest.approx(other.nominal_value, rel=1e-9, abs=scale)
    assert own.u == pytest.approx(other.std_dev, rel=1e-9, abs=scale)
    shares = own.sources()
    for cause, variable in zip(CAUSES, variables, strict=True):
        slope = other.derivatives.get(variable, 0.0)
        assert shares.get(cause, 0.0) == pytest.approx(slope, rel=1e-9, abs=scale)
