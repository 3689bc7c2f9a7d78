"""A reading that stands apart, by Grubbs's test, against the published example and scipy."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from wizard.certainty.readings import critical_distance, standing_apart

# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1: mass spectrometer readings of
# a uranium isotope (Tietjen and Moore 1972). Printed: G = 2.468765, one-sided critical value
# 2.032 at 5 %, and the outlier 245.57.
URANIUM = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)


def test_the_handbooks_example() -> None:
    found = standing_apart(URANIUM)
    assert found is not None
    assert found.index == 7
    assert found.distance == pytest.approx(2.468765, abs=5e-7)
    assert critical_distance(8, 0.10) == pytest.approx(2.032, abs=5e-4)  # one side at 5 %


def test_without_its_outlier_none_is_named() -> None:
    assert standing_apart(URANIUM[:-1]) is None


@pytest.mark.parametrize("n", [3, 4, 5, 8, 12, 20, 50])
def test_critical_distance_against_scipy(n: int) -> None:
    t = stats.t.ppf(1 - 0.05 / (2 * n), n - 2)
    expected = (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))
    assert critical_distance(n) == pytest.approx(expected, rel=1e-9)


# Two-sided critical values at 5 % as tables of Grubbs's test print them (from memory):
@pytest.mark.parametrize(("n", "printed"), [(3, 1.1543), (4, 1.4812), (5, 1.7150), (10, 2.2900)])
def test_critical_distance_against_tables(n: int, printed: float) -> None:
    assert critical_distance(n) == pytest.approx(printed, abs=2e-3)


def test_readings_that_are_equal_have_none_apart() -> None:
    assert standing_apart([0.41, 0.41, 0.41]) is None
    assert standing_apart([0.40, 0.50]) is None
