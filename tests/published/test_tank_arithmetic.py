"""Heel test, bottle and the meeting of two ways, against textbooks and other arithmetic."""

from __future__ import annotations

import math

import gsw
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.certainty import Cause, Uncertain, exact, measured, total
from wizard.certainty.adjusting import adjusted, agrees, covariance, widened
from wizard.physics.proving import (
    bottle_reading,
    density_by_bottle,
    density_by_hanging,
    metacentric_height_by_heel,
)
from wizard.physics.validity import OutsideValidity

FOOT, TON = 0.3048, 1016.0469088

# Nicholls's Seamanship and Nautical Knowledge, exercises on stability, numbers 18 and 19:
# read with their printed answers in a scanned copy.
# (weight [ton], shift [ft], displacement [ton], heel [rad], printed GM [ft])
NICHOLLS = [
    (100.0, 30.0, 9000.0, math.radians(8.0), 2.37),
    (3.0, 40.0, 2600.0, math.atan((2.0 / 12.0) / 29.5), 8.17),
]


@pytest.mark.parametrize(("weight", "shift", "ship", "heel", "printed"), NICHOLLS)
def test_inclining_experiments_of_a_seamanship_book(
    weight: float, shift: float, ship: float, heel: float, printed: float
) -> None:
    gm = metacentric_height_by_heel(weight * TON, shift * FOOT, ship * TON, heel)
    assert gm / FOOT == pytest.approx(printed, abs=0.005)


def test_a_list_in_a_ship_stability_text() -> None:
    """Barrass and Derrett, Ship Stability for Masters and Mates, exercise 14.4: 9 deg 27 min.

    10 t shifted 10 m in a ship of 1500 t with KM 3.1 m and KG 2.7 m; read in a worked copy.
    """
    listed = math.radians(9.0 + 27.0 / 60.0)
    assert metacentric_height_by_heel(10.0, 10.0, 1500.0, listed) == pytest.approx(0.4, abs=1e-3)


def test_the_inclining_example_of_the_same_text() -> None:
    """The same book, chapter on the inclining experiment (figures from memory): KG 6.06 m.

    25 t shifted 15 m in a ship of 8000 t deflect a plumb line of 4 m by 20 cm; KM is 7 m.
    """
    gm = metacentric_height_by_heel(25.0, 15.0, 8000.0, math.atan(0.20 / 4.0))
    assert 7.0 - gm == pytest.approx(6.06, abs=0.005)


@pytest.mark.parametrize(
    ("weight", "distance", "mass", "heel"),
    [(0.0, 1.0, 1.0, 0.1), (1.0, 0.0, 1.0, 0.1), (1.0, 1.0, 0.0, 0.1), (1.0, 1.0, 1.0, 0.0),
     (1.0, 1.0, 1.0, math.pi / 2)],
)  # fmt: skip
def test_a_heel_test_without_a_heel_is_refused(
    weight: float, distance: float, mass: float, heel: float
) -> None:
    with pytest.raises(OutsideValidity):
        metacentric_height_by_heel(weight, distance, mass, heel)


# A scale adjusted with masses of 8000 kg/m3 in air of 1.2 kg/m3 (OIML D 28).
def _in_air(mass: float, volume: float) -> float:
    return float((mass - 1.2 * volume) / (1.0 - 1.2 / 8000.0))


def test_a_bottle_tells_the_density_of_sea_water() -> None:
    """Readings made up from TEOS-10 densities (gsw) and the law of the lever in air."""
    volume, glass = 0.5e-3, 0.2512
    tap = float(gsw.rho(0.0, gsw.CT_from_t(0.0, 20.0, 0.0), 0.0))
    sea = float(gsw.rho(35.165, gsw.CT_from_t(35.165, 20.0, 0.0), 0.0))
    empty = _in_air(glass, glass / 2500.0)
    full_of = {d: _in_air(glass + d * volume, glass / 2500.0 + volume) for d in (tap, sea)}
    found = density_by_bottle(empty, full_of[sea], full_of[tap], tap)
    assert found == pytest.approx(sea, abs=1e-6 * sea)
    assert bottle_reading(empty, full_of[tap], tap, sea) == pytest.approx(full_of[sea], rel=1e-9)


def test_an_object_that_just_hangs() -> None:
    """50 mL that hang in water of 1024.8 kg/m3 read 51.18 g in air: Archimedes twice."""
    assert density_by_hanging(51.18e-3, 50e-6) == pytest.approx(1024.8, abs=1e-9)


# Two ways to one value -----------------------------------------------------


def test_two_independent_ways_meet_at_their_weighted_mean() -> None:
    """Weights 1 / u^2 (JCGM 100:2008, 5.1.2 for independent values)."""
    a = measured(1.0, 0.3, Cause("a", "stated"))
    b = measured(2.0, 0.4, Cause("b", "stated"))
    best = adjusted(a, a - b)
    weights = 1 / 0.09, 1 / 0.16
    assert best.value == pytest.approx((weights[0] + 2 * weights[1]) / sum(weights))
    assert best.u == pytest.approx(sum(weights) ** -0.5)
    assert adjusted(b, a - b).value == pytest.approx(best.value)


@st.composite
def rows(draw: st.DrawFn) -> list[list[float]]:
    size = st.floats(-3.0, 3.0)
    return draw(st.lists(st.lists(size, min_size=5, max_size=5), min_size=2, max_size=2))


@settings(max_examples=60, deadline=None)
@given(rows(), st.floats(-5.0, 5.0))
def test_adjusting_is_conditioning_of_a_normal_vector(
    slopes: list[list[float]], off: float
) -> None:
    """Mean and variance by the covariance matrix of a normal vector (numpy)."""
    causes = [Cause(f"cause {i}", "stated") for i in range(5)]

    def built(middle: float, row: list[float]) -> Uncertain:
        terms = (s * measured(0.0, 1.0, c) for s, c in zip(row, causes, strict=True))
        return middle + total(terms)

    value, gap = built(7.0, slopes[0]), built(off, slopes[1])
    matrix = np.array(slopes) @ np.array(slopes).T
    assert covariance(value, gap) == pytest.approx(matrix[0, 1], abs=1e-9)
    if matrix[1, 1] < 1e-3:
        return
    after = adjusted(value, gap)
    mean = 7.0 - matrix[0, 1] / matrix[1, 1] * off
    assert after.value == pytest.approx(mean, rel=1e-9, abs=1e-9)
    left = matrix[0, 0] - matrix[0, 1] ** 2 / matrix[1, 1]
    assert after.u**2 == pytest.approx(left, rel=1e-6, abs=1e-8)


def test_doubt_grows_only_where_the_ways_disagree() -> None:
    a = measured(1.0, 0.3, Cause("a", "stated"))
    near, far = (measured(v, 0.3, Cause("b", "stated")) for v in (1.8, 4.0))
    assert agrees(a - near)
    assert not agrees(a - far)
    best = adjusted(a, a - near)
    assert widened(best, a - near, "trial").u == pytest.approx(best.u)
    best = adjusted(a, a - far)
    apart = widened(best, a - far, "trial")
    # Of equal certainty: the interval at k = 2 just reaches both.
    assert apart.value - 2 * apart.u == pytest.approx(1.0)
    assert apart.value + 2 * apart.u == pytest.approx(4.0)


def test_a_gap_without_doubt_says_nothing() -> None:
    a = measured(1.0, 0.3, Cause("a", "stated"))
    assert adjusted(a, exact(0.5)) is a
