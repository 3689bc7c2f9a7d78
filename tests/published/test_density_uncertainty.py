"""Expanded uncertainty, repeated readings and random trials against the GUM and worked examples."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from wizard.certainty import Cause, measured
from wizard.certainty.expanded import coverage_factor, effective_freedom, expanded
from wizard.certainty.readings import deviation, mean, scatter_u
from wizard.certainty.student import t_factor
from wizard.certainty.trials import is_steep, spread

# Five densities of one board [g/mL], worked with numpy and scipy.
SAMPLES = (0.402, 0.411, 0.396, 0.407, 0.414)


def test_mean_and_deviation_against_numpy() -> None:
    assert mean(SAMPLES) == pytest.approx(np.mean(SAMPLES), rel=1e-12)
    assert deviation(SAMPLES) == pytest.approx(np.std(SAMPLES, ddof=1), rel=1e-9)


@pytest.mark.parametrize("n", [2, 3, 4, 5])
def test_scatter_is_widened_by_students_t(n: int) -> None:
    readings = SAMPLES[:n]
    half = stats.t.ppf(0.5 + 0.6827 / 2, n - 1) * stats.sem(readings)
    assert scatter_u(readings) == pytest.approx(half, rel=1e-6)


def test_one_reading_shows_no_scatter() -> None:
    assert scatter_u([0.41]) == 0.0


def test_freedom_of_the_gums_end_gauge() -> None:
    # JCGM 100:2008, H.1, in nm: the standard 25 (18), the comparator 5.8 (24), 3.9 (5) and
    # 6.7 (8), the expansion 2.9 (50), the temperature 16.6 (2). Printed: u_c = 32 nm,
    # nu_eff = 16, k = t99(16) = 2.92, U99 = 93 nm.
    expansion = 50e6 * 0.1 * 1e-6 / math.sqrt(3)
    temperature = 50e6 * 11.5e-6 * 0.05 / math.sqrt(3)
    parts = [(25.0, 18), (5.8, 24), (3.9, 5), (6.7, 8), (expansion, 50), (temperature, 2)]
    u = math.sqrt(math.fsum(u * u for u, _ in parts))
    nu = effective_freedom(parts)
    assert round(u) == 32
    assert int(nu) == 16
    assert t_factor(int(nu), 0.99) == pytest.approx(2.92, abs=5e-3)
    assert t_factor(int(nu), 0.99) * 32 == pytest.approx(93, abs=0.6)


def test_freedom_of_two_parts() -> None:
    # Welch-Satterthwaite by hand: 5^2 / (2^4 / 4) = 6.25.
    assert effective_freedom([(2.0, 4.0), (1.0, math.inf)]) == pytest.approx(6.25)


@pytest.mark.parametrize(
    ("freedom", "factor"),
    [(1.0, 12.71), (2.9, 4.30), (4.0, 2.78), (9.99, 2.26), (20.0, 2.09), (math.inf, 2.0)],
)
def test_coverage_factor_is_the_gums_table(freedom: float, factor: float) -> None:
    # JCGM 100:2008, Table G.2, 95 %: 12.71, 4.30, 2.78, 2.26, 2.09 for nu = 1, 2, 4, 9, 20.
    assert coverage_factor(freedom) == pytest.approx(factor, abs=6e-3)


def test_simple_weighing_of_a_university_course() -> None:
    # University of Tartu, course on measurement uncertainty, file "Uncertainty of Simple
    # Weighing": repeatability 0.17 mg with 15 degrees of freedom, drift within 0.2 mg,
    # readability within 0.05 mg; u = 0.207525 mg and nu_eff = 33 stand in the file.
    repeated = 0.17 * t_factor(15)
    mass = (
        measured(324.0, repeated, Cause("repeatability", "scatter", 15))
        + measured(0.0, 0.2 / math.sqrt(3), Cause("drift", "drift"))
        + measured(0.0, 0.05 / math.sqrt(3), Cause("readability", "accuracy"))
    )
    found = expanded(mass)
    assert int(found.freedom) == 33
    assert found.half_width / found.factor == pytest.approx(0.207525098883645, rel=1e-9)
    assert found.factor == pytest.approx(2.03, abs=5e-3)  # t95(33), Table G.2 between 30 and 35


# JCGM 101:2008 (Supplement 1 to the GUM), worked examples; figures from memory of the text.


def _sum(*values: Any) -> Any:
    return sum(values)


def test_trials_add_four_rectangular_inputs() -> None:
    # JCGM 101:2008, 9.2.3: four rectangular inputs of standard deviation 1: u = 2.00 and
    # 95 % within +-3.88, not the +-3.92 of a normal distribution.
    inputs = [measured(100.0, 1.0, Cause(f"x{i}", "accuracy")) for i in range(4)]
    found = spread(_sum, *inputs, trials=400_000)
    assert found.mean == pytest.approx(400.0, abs=0.02)
    assert found.u == pytest.approx(2.00, abs=0.01)
    assert (found.high - found.low) / 2 == pytest.approx(3.88, abs=0.015)


def test_trials_add_inputs_one_of_which_dominates() -> None:
    # JCGM 101:2008, 9.2.4: one rectangular input of 10 among three of 1: u = 10.1 and 95 %
    # within +-17.0, where the normal distribution would say +-19.9.
    widths = (1.0, 1.0, 1.0, 10.0)
    inputs = [measured(100.0, u, Cause(f"x{i}", "accuracy")) for i, u in enumerate(widths)]
    found = spread(_sum, *inputs, trials=400_000)
    assert found.u == pytest.approx(10.15, abs=0.05)
    assert (found.high - found.low) / 2 == pytest.approx(17.0, abs=0.08)


def test_trials_see_what_derivatives_miss() -> None:
    # JCGM 101:2008, 9.3: calibration of a weight by substitution in air. First-order u is
    # 0.0539 mg; the trials give 0.0754 mg and the interval [1.0834, 1.3825] mg.
    reference = measured(100_000.0, 0.050, Cause("reference", "stated"))
    added = measured(1.234, 0.020, Cause("added", "stated"))
    air = measured(1.20, 0.10 / math.sqrt(3), Cause("air", "accuracy"))
    weight = measured(8000.0, 1000.0 / math.sqrt(3), Cause("weight", "accuracy"))
    standard = measured(8000.0, 50.0 / math.sqrt(3), Cause("standard", "accuracy"))

    def deviation_of(r: Any, d: Any, a: Any, w: Any, s: Any) -> Any:
        return (r + d) * (1.0 + (a - 1.2) * (1.0 / w - 1.0 / s)) - 100_000.0

    inputs = (reference, added, air, weight, standard)
    assert deviation_of(*inputs).u == pytest.approx(0.0539, abs=5e-5)
    found = spread(deviation_of, *inputs, trials=1_000_000)
    assert found.mean == pytest.approx(1.234, abs=5e-4)
    assert found.u == pytest.approx(0.0754, abs=3e-4)
    assert found.low == pytest.approx(1.0834, abs=1.5e-3)
    assert found.high == pytest.approx(1.3825, abs=1.5e-3)


def test_a_disk_too_thin_for_its_caliper() -> None:
    # A disk of 3.2(1) cm, 0.6 cm thick and 45.4(1) g, as in a course example of propagation
    # by trials, here with its thickness to a tenth. By the series of 1/x the mean of the
    # density is larger than its best estimate by the squares of the relative doubts.
    diameter = measured(3.2, 0.1, Cause("d", "stated"))
    thickness = measured(0.6, 0.06, Cause("t", "stated"))
    mass = measured(45.4, 0.1, Cause("m", "stated"))
    assert not is_steep(diameter)

    def density(m: Any, d: Any, t: Any) -> Any:
        return m / (math.pi / 4 * d * d * t)

    best = density(mass, diameter, thickness)
    assert best.value == pytest.approx(4 * 45.4 / (math.pi * 3.2**2 * 0.6), rel=1e-12)
    found = spread(density, mass, diameter, thickness, trials=400_000)
    shift = 0.1**2 + 3 * (0.1 / 3.2) ** 2  # second order of 1/t and of 1/d^2
    assert found.mean / best.value - 1 == pytest.approx(shift, rel=0.06)
    assert found.u > 1.01 * best.u
