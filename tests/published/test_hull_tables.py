"""Hulls of the books: Wigley's lines, and worked examples by Simpson's rule.

Wigley's own sections are parabolas, y = (B/2)(1 - (2x/L)^2)(1 - (z/T)^2), which no
superellipse is. His waterplane is ours all the same, and with it every coefficient that
the sections have no part in; with superellipse sections the others follow in closed form.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from wizard.physics.shape import Body, Section, Station
from wizard.physics.waterplane import Hull, Immersed

LENGTH, BREADTH, DRAUGHT = 1.0, 0.1, 0.0625  # as the ITTC benchmark has them


def wigley_plan(exponent: float, count: int = 201) -> Body:
    """Wigley's waterplane over a keel at constant depth, with superellipse sections."""
    x = (1.0 - np.cos(np.linspace(0.0, np.pi, count))) / 2.0 * LENGTH
    half = BREADTH / 2 * (1.0 - (2.0 * x / LENGTH - 1.0) ** 2)
    half[[0, -1]] = 0.0
    stations = [
        Station(float(at), DRAUGHT, -DRAUGHT, float(y)) for at, y in zip(x, half, strict=True)
    ]
    return Body.through(stations, Section(0.5, exponent, exponent))


def at_its_draught(exponent: float) -> tuple[Body, Immersed]:
    body = wigley_plan(exponent)
    return body, Hull.of(body).immersed(0.0, 0.0)


def fullness(n: float) -> float:
    """Area of a half superellipse over its box: Gamma(1+1/n)^2 / Gamma(1+2/n), DLMF 5.12."""
    return math.gamma(1 + 1 / n) ** 2 / math.gamma(1 + 2 / n)


def centroid(n: float) -> float:
    """Depth of its centroid over its height: B(2/n, 1+1/n) / B(1/n, 1+1/n), DLMF 5.12."""

    def beta(a: float, b: float) -> float:
        return math.gamma(a) * math.gamma(b) / math.gamma(a + b)

    return beta(2 / n, 1 + 1 / n) / beta(1 / n, 1 + 1 / n)


# Wigley (1934), the mathematical hull of the ITTC benchmarks: C_wp = C_p = 2/3,
# I_T = 4 L B^3 / 105 and I_L = B L^3 / 30, integrals of the parabola.
@pytest.mark.parametrize("exponent", [1.0, 1.5, 2.0, 3.0])
def test_waterplane_of_wigley(exponent: float) -> None:
    _, cut = at_its_draught(exponent)
    assert cut.waterplane == pytest.approx(2 / 3 * LENGTH * BREADTH, rel=1e-5)
    assert cut.across == pytest.approx(4 * LENGTH * BREADTH**3 / 105, rel=1e-5)
    assert cut.along == pytest.approx(BREADTH * LENGTH**3 / 30, rel=1e-5)
    midship = BREADTH * DRAUGHT * fullness(exponent)
    assert cut.volume / (midship * LENGTH) == pytest.approx(2 / 3, rel=1e-5)
    assert cut.x == pytest.approx(LENGTH / 2, rel=1e-9)


# With these sections C_m is their fullness, C_b = 2/3 C_m, and G M = KB + BM - KG with
# BM = I / V; the wedge (n = 1) has KB = 2/3 T, the ellipse 1 - 4/(3 pi).
@pytest.mark.parametrize("exponent", [1.0, 1.5, 2.0, 3.0])
def test_coefficients_below_wigleys_waterplane(exponent: float) -> None:
    _, cut = at_its_draught(exponent)
    block = cut.volume / (LENGTH * BREADTH * DRAUGHT)
    assert block == pytest.approx(2 / 3 * fullness(exponent), rel=1e-5)
    assert -cut.z / DRAUGHT == pytest.approx(centroid(exponent), rel=1e-6)
    across, along = cut.across / cut.volume, cut.along / cut.volume
    assert across == pytest.approx(2 * BREADTH**2 / (35 * fullness(exponent) * DRAUGHT), rel=1e-5)
    assert along == pytest.approx(LENGTH**2 / (20 * fullness(exponent) * DRAUGHT), rel=1e-5)


def test_the_wedge_and_the_ellipse_are_those_of_the_school() -> None:
    assert centroid(1.0) == pytest.approx(1 / 3)
    assert centroid(2.0) == pytest.approx(4 / (3 * math.pi))
    assert fullness(1.0) == pytest.approx(0.5)
    assert fullness(2.0) == pytest.approx(math.pi / 4)


def box_sided(interval: float, breadths: list[float]) -> Body:
    """Vertical sides, unit depth: the volume is the area of the plan."""
    rows = [Station(interval * n, 1.0, 0.0, y) for n, y in enumerate(breadths)]
    return Body.through(rows, Section(0.5, 1e9, 1e9))


# Barrass and Derrett, Ship Stability for Masters and Mates, chapter 10: half-ordinates of a
# waterplane 120 m long, area 1207 m2 by Simpson's rule (sum of functions 90.5). Simpson lays
# parabolas where we lay shape-preserving cubics: two rules for the same seven ordinates.
def test_waterplane_of_a_textbook() -> None:
    body = box_sided(20.0, [0.0, 3.7, 5.9, 7.6, 7.5, 4.6, 0.1])
    assert body.volume == pytest.approx(1207.0, rel=0.012)
    assert body.centroid.x == pytest.approx(62.3646409, rel=0.005)  # by the same rule
    cut = Hull.of(body).immersed(0.0, 0.5)
    assert cut.across == pytest.approx(16010.5289, rel=0.02)  # by the same rule


# An exercise of naval architecture, read in print (the title was not kept): eleven section
# areas 10 m apart (half of each here), volume 11748 m3 by Simpson's 1-4-1, centre 50.70 m
# from the first.
def test_volume_from_section_areas() -> None:
    areas = [0.0, 19.4, 45.7, 73.6, 94.4, 104.1, 97.1, 76.4, 48.5, 23.5, 2.8]
    body = box_sided(10.0, areas)
    assert body.volume == pytest.approx(11748.0, rel=2e-3)
    assert body.centroid.x == pytest.approx(50.7048008, rel=1e-3)


# The rule itself, on the ordinates that our lines give in between: where Simpson's parabolas
# are fine enough both must meet (any text on numerical integration).
def test_simpson_on_our_own_lines() -> None:
    body = box_sided(20.0, [0.0, 3.7, 5.9, 7.6, 7.5, 4.6, 0.1])
    x = np.linspace(0.0, 120.0, 6 * 40 + 1)
    weights = np.ones(len(x))
    weights[1:-1:2], weights[2:-1:2] = 4.0, 2.0
    area = float(weights @ (2.0 * body.half_breadth(x))) * (x[1] - x[0]) / 3.0
    assert body.volume == pytest.approx(area, rel=1e-7)
