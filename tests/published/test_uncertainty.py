"""Propagation of uncertainty against the GUM's rules and examples, the block against GTC."""

from __future__ import annotations

import math

import pytest
from GTC import uncertainty as gtc_u
from GTC import ureal
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm
from scipy.stats import t as student

from tests.properties.plugs import numbers
from wizard.certainty import Cause, Uncertain, apply, chance_above, exact, measured, total
from wizard.certainty.readings import variance_between
from wizard.certainty.student import coverage, t_factor
from wizard.physics.density import accuracy_u, mean_density, resolution_u


def u(where: str, value: float, standard: float) -> Uncertain:
    """A value with a cause of its own."""
    return measured(value, standard, Cause(where, "stated"))


def test_limits_and_steps() -> None:
    # JCGM 100:2008, 4.3.7, example 1: copper's expansion, +-0.40e-6 per degC, u = 0.23e-6.
    assert accuracy_u(0.40e-6) == pytest.approx(0.23e-6, rel=0.005)
    assert accuracy_u(0.02) == pytest.approx(0.0115470054, rel=5e-9)  # eq. 7, a / sqrt(3)
    # JCGM 100:2008, F.2.2.1: 0.29 of the step.
    assert resolution_u(1.0) == pytest.approx(0.29, abs=0.005)
    assert resolution_u(0.01) == pytest.approx(0.00288675135, rel=5e-9)


# JCGM 100:2008, Table G.2, columns 95 %, 95.45 % and 99 % as scipy.stats gives them; the
# table prints the same to two decimals (from memory: 12.71, 4.30, 3.18, 2.78, 2.57 at 95 %).
G_2 = [
    (1, 12.7062, 13.9678, 63.6567),
    (2, 4.3027, 4.5266, 9.9248),
    (3, 3.1824, 3.3068, 5.8409),
    (4, 2.7764, 2.8693, 4.6041),
    (5, 2.5706, 2.6487, 4.0321),
    (9, 2.2622, 2.3198, 3.2498),
    (10, 2.2281, 2.2837, 3.1693),
    (30, 2.0423, 2.0868, 2.7500),
    (100, 1.9840, 2.0253, 2.6259),
]


@pytest.mark.parametrize(("freedom", "t95", "t9545", "t99"), G_2)
def test_students_t(freedom: int, t95: float, t9545: float, t99: float) -> None:
    for probability, printed in ((0.95, t95), (0.9545, t9545), (0.99, t99)):
        assert t_factor(freedom, probability) == pytest.approx(printed, abs=6e-5)
    # The table's first column, 68.27 %, against scipy.
    assert t_factor(freedom) == pytest.approx(student.ppf((1 + 0.6827) / 2, freedom), rel=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.01, 30), st.integers(1, 200))
def test_coverage_against_scipy(t: float, freedom: int) -> None:
    both_sides = student.cdf(t, freedom) - student.cdf(-t, freedom)
    assert coverage(t, freedom) == pytest.approx(both_sides, abs=1e-12)


def test_one_reading_has_no_t() -> None:
    with pytest.raises(ValueError, match="degrees of freedom"):
        t_factor(0)


def test_the_gums_end_gauge() -> None:
    # JCGM 100:2008, H.1: l = ls + d - ls (dalpha theta + alpha_s dtheta), in nm.
    # Printed: l = 50 000 838 nm, u_c = 32 nm (31.66 to first order, as GTC 1.5.1 gives it).
    standard = u("ls", 50_000_623.0, 25.0)
    d = u("mean", 215.0, 5.8) + u("random", 0.0, 3.9) + u("systematic", 0.0, 6.7)
    alpha = u("alpha", 11.5e-6, accuracy_u(2e-6))
    dalpha = u("dalpha", 0.0, accuracy_u(1e-6))
    dtheta = u("dtheta", 0.0, accuracy_u(0.05))
    theta = u("theta", -0.1, 0.2) + u("cyclic", 0.0, 0.5 / math.sqrt(2))
    length = standard + d - standard * (dalpha * theta + alpha * dtheta)
    assert length.value == pytest.approx(50_000_838.0, abs=0.5)
    assert length.u == pytest.approx(32.0, abs=0.5)
    assert length.u == pytest.approx(31.6639, rel=1e-5)


def test_the_gums_correlated_impedance() -> None:
    # JCGM 100:2008, H.2: V, I and phi measured together, with r(V, I) = -0.36,
    # r(V, phi) = 0.86, r(I, phi) = -0.65. Printed in Table H.4: R = 127.732 (0.071),
    # X = 219.847 (0.295), Z = 254.260 (0.236) ohm.
    r_VI, r_Vp, r_Ip = -0.36, 0.86, -0.65
    a, b, c = (u(name, 0.0, 1.0) for name in "abc")
    l_22 = math.sqrt(1 - r_VI**2)
    l_32 = (r_Ip - r_Vp * r_VI) / l_22
    V = 4.999 + 0.0032 * a
    current = 0.019661 + 9.5e-6 * (r_VI * a + l_22 * b)
    phi = 1.04446 + 0.00075 * (r_Vp * a + l_32 * b + math.sqrt(1 - r_Vp**2 - l_32**2) * c)
    R = apply(lambda V, i, p: V * math.cos(p) / i, V, current, phi)
    X = apply(lambda V, i, p: V * math.sin(p) / i, V, current, phi)
    Z = V / current
    for found, value, standard in ((R, 127.732, 0.071), (X, 219.847, 0.295), (Z, 254.26, 0.236)):
        assert found.value == pytest.approx(value, abs=6e-4)
        assert found.u == pytest.approx(standard, rel=0.02)  # printed inputs are rounded


def test_a_standard_solution() -> None:
    # EURACHEM/CITAC Guide CG 4 (2012), example A1: c = 1000 m P / V = 1002.7 mg/L, u = 0.9.
    m, P, V = u("m", 100.28, 0.05), u("P", 0.9999, 0.0001 / math.sqrt(3)), u("V", 100.0, 0.07)
    c = 1000.0 * m * P / V
    assert c.value == pytest.approx(1002.7, abs=0.05)
    assert c.u == pytest.approx(0.9, abs=0.05)


BLOCK = {
    "length_resolution": "0.01 mm",
    "length_accuracy": "0.02 mm",
    "mass_resolution": "0.01 g",
    "mass_accuracy": "0.02 g",
    "sample": [
        {"method": "block", "length": "40.02 mm", "width": "25.10 mm", "thickness": "20.15 mm",
         "mass": "8.31 g"}
    ],
}  # fmt: skip
"""A block after JCGM 100:2008; the caliper's accuracy is one error common to its sides."""


def test_a_block_carries_what_another_package_says() -> None:
    found = numbers({"density": BLOCK})["wood_density"]
    bias = ureal(0.0, 0.02 / math.sqrt(3))
    sides = [side + ureal(0.0, 0.01 / math.sqrt(12)) + bias for side in (40.02, 25.10, 20.15)]
    mass = 8.31 + ureal(0.0, 0.01 / math.sqrt(12)) + ureal(0.0, 0.02 / math.sqrt(3))
    density = 1000.0 * mass / (sides[0] * sides[1] * sides[2])
    assert found["u"] == pytest.approx(gtc_u(density), rel=1e-9)
    # The figures of both packages when this was set down: 0.410558613 and 0.000804225;
    # with the sides' common error taken for three independent ones, 0.000676.
    assert found["value"] == pytest.approx(0.410558613, rel=1e-8)
    assert found["u"] == pytest.approx(0.000804225, rel=1e-5)


# The same instruments on cubes of 0.40 g/mL, or a scale of 0.1 g good to 0.1 g: relative
# standard uncertainty in per cent, by GTC 1.5.1 and uncertainties 3.2.3.
CUBES = [
    (10.0, 0.01, 0.02, 0.4, 2.996),
    (20.0, 0.01, 0.02, 3.2, 0.4111),
    (20.0, 0.10, 0.10, 3.2, 2.025),
    (30.0, 0.01, 0.02, 10.8, 0.1605),
    (40.0, 0.10, 0.10, 25.6, 0.2669),
]


@pytest.mark.parametrize(("side", "step", "accuracy", "grams", "percent"), CUBES)
def test_a_small_cube_is_no_density_test(
    side: float, step: float, accuracy: float, grams: float, percent: float
) -> None:
    scale = {"mass_resolution": f"{step} g", "mass_accuracy": f"{accuracy} g"}
    edge = f"{side} mm"
    cube = {"method": "block", "length": edge, "width": edge, "thickness": edge}
    found = numbers({"density": BLOCK | scale | {"sample": [cube | {"mass": f"{grams} g"}]}})
    density = found["wood_density"]
    assert 100 * density["u"] / density["value"] == pytest.approx(percent, rel=5e-4)


FIVE = (0.402, 0.411, 0.396, 0.407, 0.414)


def five(common: float) -> Uncertain:
    """The mean of five samples, all with one common error [kg/m3]."""
    instrument = u("instrument", 0.0, common)
    return mean_density([1000.0 * x + instrument for x in FIVE], "density.sample").density


def test_the_mean_of_five_samples() -> None:
    # JCGM 100:2008, 4.2.1 to 4.2.4 and G.3: mean 0.4060, s = 0.00717635, u = s / sqrt(5)
    # = 0.0032093613 with 4 degrees of freedom, U95 = 2.77645 u = 0.00891062 (numpy, scipy).
    mean = five(0.0)
    assert mean.value == pytest.approx(406.0, rel=1e-12)
    assert mean.u / t_factor(4) == pytest.approx(3.2093613, rel=1e-7)
    assert t_factor(4, 0.95) * mean.u / t_factor(4) == pytest.approx(8.91062, rel=1e-6)


def test_an_error_common_to_all_samples_does_not_average_out() -> None:
    # The scatter above with 0.000804225 common to all: 0.00330859 g/mL (GTC 1.5.1).
    mean = five(0.804225)
    scatter = 3.20936  # before Student's t widens it
    widened = math.sqrt(mean.u**2 - (t_factor(4) ** 2 - 1) * scatter**2)
    assert widened == pytest.approx(3.30859, rel=1e-5)


# Nine laboratories' means and squared uncertainties, the example of Kacker (2004), Combining
# information from interlaboratory evaluations using a random effects model, Metrologia 41,
# 132; Table 1, first row, prints 0.8399 for the standard deviation between them by Paule and
# Mandel's way.
LABORATORIES = (61.00, 61.40, 62.21, 62.30, 62.34, 62.60, 62.70, 62.84, 65.90)
SQUARED = (0.2025, 1.2100, 0.0900, 0.2025, 0.3844, 0.5625, 0.0676, 0.0225, 1.8225)


def test_what_scatters_beyond_its_own_uncertainty() -> None:
    between = variance_between(LABORATORIES, [math.sqrt(v) for v in SQUARED])
    assert math.sqrt(between) == pytest.approx(0.8399, abs=5e-5)
    assert variance_between((61.0, 61.1), (0.2, 0.2)) == 0.0


def test_a_finer_sample_of_a_board_that_scatters_counts_no_more() -> None:
    # 0.4163 known to 0.02 % and 0.4097 known to 0.3 % differ by 1.6 %: that is the board, of
    # which each is one piece. JCGM 100:2008, 4.2.3: the plain mean, s / sqrt(2), t(1) = 1.837.
    found = mean_density([u("dunk", 416.3, 0.08), u("block", 409.7, 1.3)], "density.sample")
    assert not found.weighted
    assert found.density.value == pytest.approx(413.0)
    assert found.density.u == pytest.approx(math.hypot(1.8373 * 3.3, 0.65, 0.04), rel=1e-3)


def test_a_poor_sample_counts_for_little_where_its_own_doubt_explains_the_gap() -> None:
    # JCGM 100:2008, 5.1.2 on the mean weighted by 1 / u^2: 0.41 to 0.3 %, and 0.45 to 10 %.
    found = mean_density([u("block", 410.0, 1.23), u("cube", 450.0, 45.0)], "density.sample")
    assert found.weighted
    assert found.density.value == pytest.approx(410.03, abs=0.005)


def test_a_dunk() -> None:
    # V = gain / rho_w(t), 20.47 g at 20 +- 1 degC, scale 0.01 g good to 0.02 g:
    # 20.506766 mL, u = 0.012172 mL (GTC 1.5.1 with water by IAPWS-95, 0.9982072 g/mL).
    gain = u("scale", 20.47, math.hypot(resolution_u(0.01), accuracy_u(0.02)))
    warm = u("thermometer", 0.0, accuracy_u(1.0))
    volume = gain / (0.9982072 - 0.0002064 * warm)
    assert volume.value == pytest.approx(20.506766, rel=1e-7)
    assert volume.u == pytest.approx(0.012172, rel=1e-4)


# Conventional value of weighing in air, OIML D 28 (convention from memory): how much a
# reading is low, in per cent, for a density in g/mL.
AIR = [(0.1, 1.1852), (0.16, 0.7351), (0.3, 0.3851), (0.4, 0.2850), (0.7, 0.1565), (1.0, 0.1050)]


@pytest.mark.parametrize(("density", "low"), AIR)
def test_a_scale_reads_light_wood_low(density: float, low: float) -> None:
    # What the buoyant density leaves out is the air's push on the scale's own weights,
    # 0.015 % of every reading alike.
    ours = 100 * 1.2 / (1000 * density)
    assert ours == pytest.approx(low + 0.015, abs=0.0005 + 0.0002 * low)


def test_the_chance_that_it_sinks() -> None:
    # N = m_b + m_o - rho_w (m_b / rho_wood + V_o); by GTC 1.5.1 and uncertainties 3.2.3
    # N = 0.1997346 g, u = 0.251042 g, P = 0.786874.
    m_b, rho = u("m_b", 13.62, 0.011902), u("rho_wood", 0.4065, 0.003)
    m_o, V_o = u("m_o", 22.92, 0.03), u("V_o", 2.9, 0.03)
    N = m_b + m_o - 0.9982072 * (m_b / rho + V_o)
    assert N.value == pytest.approx(0.1997346, rel=1e-5)
    assert N.u == pytest.approx(0.251042, rel=1e-5)
    assert chance_above(N) == pytest.approx(0.786874, rel=1e-5)
    shares = {c.cause.where: c.u for c in N.contributions()}
    assert list(shares) == ["rho_wood", "m_o", "V_o", "m_b"]
    for where, share in (("rho_wood", 0.2468), ("m_b", 0.01733), ("V_o", 0.02995)):
        assert shares[where] == pytest.approx(share, rel=1e-3)
    assert math.hypot(*shares.values()) == pytest.approx(N.u, rel=1e-12)


@settings(max_examples=50, deadline=None)
@given(st.floats(-5, 5), st.floats(0.01, 3), st.floats(-5, 5))
def test_chance_against_scipy(value: float, standard: float, limit: float) -> None:
    chance = chance_above(u("x", value, standard), limit)
    assert chance == pytest.approx(norm.sf(limit, value, standard), abs=1e-12)


def test_an_error_in_both_cancels_and_an_exact_value_has_no_chance() -> None:
    x, y = u("x", 3.0, 0.1), u("y", 2.0, 0.1)
    assert (x + y - x).u == pytest.approx(0.1)
    assert total([x, -x]).u == 0
    assert (x / x).u == pytest.approx(0.0, abs=1e-15)
    assert chance_above(exact(1.0)) is None
    assert x.given().u == 0
