"""Drawn bodies against SciPy's PCHIP and beta functions, trimesh, and their own symmetries."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.interpolate import PchipInterpolator
from scipy.special import beta, betainc

from wizard.physics import skin
from wizard.physics.curve import highest, shape_preserving
from wizard.physics.section import integrals
from wizard.physics.shape import Body, Section, ShapeError, Station

fractions = st.floats(0.0, 1.0)
exponents = st.floats(1.0, 8.0)


@st.composite
def sections(draw: st.DrawFn) -> Section:
    return Section(
        widest=draw(st.floats(0.2, 0.8)),
        upper=draw(exponents),
        lower=draw(exponents),
        flat_back=draw(st.sampled_from([0.0, 0.0, 0.2, 0.6])),
    )


@st.composite
def bodies(draw: st.DrawFn) -> Body:
    """Plugs of 4 to 12 stations, pointed, edged or flat at the ends."""
    count = draw(st.integers(4, 12))
    gaps = draw(st.lists(st.floats(0.3, 1.0), min_size=count - 1, max_size=count - 1))
    x = 0.1 * np.concatenate([[0.0], np.cumsum(gaps)]) / sum(gaps)
    stations = []
    for i, at in enumerate(x.tolist()):
        end = i in (0, count - 1)
        thick = draw(st.floats(0.0 if end else 0.01, 0.03))
        broad = draw(st.floats(0.0 if end else 0.004, 0.015))
        if end and draw(st.booleans()):
            thick = draw(st.sampled_from([0.0, thick]))
            broad = draw(st.sampled_from([0.0, broad]))
        middle = draw(st.floats(0.0, 0.004))
        stations.append(Station(at, middle + thick / 2, middle - thick / 2, broad))
    return Body.through(stations, draw(sections()))


def solid(body: Body, n_along: int = 300, n_around: int = 120) -> Any:
    vertices, faces = body.mesh(n_along, n_around)
    return trimesh.Trimesh(vertices, faces, process=False)


# Curves -------------------------------------------------------------------


@settings(deadline=None, max_examples=100)
@given(
    st.lists(st.integers(-5000, 5000).map(lambda v: v / 1000), min_size=2, max_size=12),
    st.lists(st.floats(0.05, 3.0), min_size=11, max_size=11),
    st.lists(fractions, min_size=5, max_size=5),
)
def test_curve_is_scipys(values: list[float], gaps: list[float], where: list[float]) -> None:
    knots = np.concatenate([[0.0], np.cumsum(gaps)])[: len(values)]
    curve = shape_preserving(knots, np.array(values)[:, np.newaxis])
    reference = PchipInterpolator(knots, values)
    at = np.concatenate([knots, np.array(where) * knots[-1]])
    assert_allclose(curve(at)[:, 0], reference(at), rtol=1e-12, atol=1e-12)
    assert_allclose(curve.slope(at)[:, 0], reference(at, 1), rtol=1e-9, atol=1e-9)


@settings(deadline=None, max_examples=50)
@given(st.lists(st.tuples(*[st.floats(-2, 2)] * 4), min_size=1, max_size=4))
def test_highest_of_cubics(rows: list[tuple[float, ...]]) -> None:
    coefficients, widths = np.array(rows).T, np.full(len(rows), 1.5)
    seen = max(float(np.polyval(row, np.linspace(0.0, 1.5, 3001)).max()) for row in rows)
    found = highest(coefficients, widths)
    assert seen - 1e-12 <= found <= seen + 1e-5


# Sections -----------------------------------------------------------------


@settings(deadline=None, max_examples=100)
@given(
    st.floats(1.0, 50.0),
    st.sampled_from([(0, 1), (1, 1), (2, 1), (0, 3)]),
    st.lists(st.floats(0.01, 1.0), min_size=1, max_size=6),
)
def test_partial_integrals_are_incomplete_beta_functions(
    n: float, powers: tuple[int, int], heights: list[float]
) -> None:
    # Integral of h^j (1 - h^n)^(p/n) from 0 to t = B((j+1)/n, 1 + p/n; t^n) / n, DLMF 8.17.1.
    j, p = powers
    t = np.array(heights)
    a, b = (j + 1) / n, 1 + p / n
    (ours,) = integrals(n, (powers,), t)
    assert_allclose(ours, betainc(a, b, t**n) * beta(a, b) / n, rtol=1e-9, atol=1e-11)


@settings(deadline=None, max_examples=50)
@given(sections(), st.floats(-0.1, 1.1))
def test_section_is_where_the_superellipse_is(section: Section, level: float) -> None:
    body = Body.through([Station(0, 1, 0, 2), Station(1, 1, 0, 2)], section)
    half = float(body.half_breadth_at(0.5, level))
    if level < 0 or level > 1:
        assert half == 0.0
        return
    w = section.widest
    if level < w:
        n, h = section.lower, (w - level) / w
    else:
        n, h = section.upper, (level - w) / (1 - w) * (1 - section.flat_back)
    assert (half / 2) ** n + h**n == pytest.approx(1.0, abs=1e-9)
    assert bool(body.inside(0.5, half * 0.999, level))
    assert not bool(body.inside(0.5, half * 1.001 + 1e-9, level))
    assert not bool(body.inside(1.01, 0.0, level))


# Bodies -------------------------------------------------------------------


@settings(deadline=None, max_examples=20)
@given(bodies())
def test_body_agrees_with_a_mesh(body: Body) -> None:
    mesh = solid(body)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    # 0.2 % is what faceting leaves where a section has corners.
    assert body.volume == pytest.approx(mesh.volume, rel=2e-3)
    assert body.area == pytest.approx(mesh.area, rel=2e-3)
    centre = [body.centroid.x, 0.0, body.centroid.z]
    assert_allclose(mesh.center_mass, centre, atol=1e-3 * body.height)
    of_skin = [body.skin_centroid.x, 0.0, body.skin_centroid.z]
    assert_allclose(mesh.centroid, of_skin, atol=2e-3 * body.height)
    assert_allclose(np.diag(mesh.moment_inertia), body.second_moments, rtol=4e-3)


@settings(deadline=None, max_examples=25)
@given(bodies(), st.floats(0.5, 2.0), st.floats(0.5, 2.0))
def test_scaling(body: Body, girth: float, size: float) -> None:
    fat = body.scaled(girth)
    assert fat.volume == pytest.approx(girth**2 * body.volume, rel=1e-9)
    assert fat.length == body.length
    assert fat.height == pytest.approx(girth * body.height, rel=1e-9)
    like = Body.through(
        [Station(s.x * size, s.top, s.bottom, s.half_breadth) for s in body.stations],
        body.section,
    ).scaled(size)
    assert like.volume == pytest.approx(size**3 * body.volume, rel=1e-9)
    assert like.area == pytest.approx(size**2 * body.area, rel=1e-9)
    assert_allclose(like.second_moments, size**5 * np.array(body.second_moments), rtol=1e-9)


@settings(deadline=None, max_examples=25)
@given(bodies(), st.floats(-0.3, 0.3), st.floats(0.1, 0.9))
def test_wetted_skin_agrees_with_a_cut_mesh(body: Body, pitch: float, part: float) -> None:
    mesh = solid(body, 150, 80)
    normal = np.array([math.sin(pitch), 0.0, math.cos(pitch)])
    heights = mesh.vertices @ normal
    level = float(heights.min() + part * np.ptp(heights))

    def below(height: float) -> float:
        return float(mesh.slice_plane(normal * height, -normal).area / mesh.area)

    # A face that lies level in the water is wetted little by little, over a fiftieth of
    # the height. The coarse patches have to be right to about 1 % of a film of a few
    # per cent.
    share = skin.wetted(body, pitch, level).share
    assert below(level - body.height / 50) - 0.02 < share < below(level) + 0.02


@pytest.mark.parametrize("thick", [0.0, 1e-240, 1e-12, 1e-7])
@pytest.mark.parametrize("broad", [0.0, 1e-300, 1e-12, 1e-7])
def test_a_mesh_closes_at_thin_ends(thick: float, broad: float) -> None:
    end = Station(0.0, 0.01 + thick, 0.01 - thick, broad)
    body = Body.through([end, Station(0.05, 0.02, 0.0, 0.01), Station(0.1, 0.01, 0.01, 0.0)])
    mesh = solid(body, 40, 24)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0


def test_a_thousand_stations() -> None:
    angle = np.linspace(0.0, math.pi, 1000)
    body = Body.through(
        [
            Station(50 - 50 * math.cos(t), 12 * math.sin(t), -12 * math.sin(t), 10 * math.sin(t))
            for t in angle.tolist()
        ],
        Section(widest=0.5),
    )
    assert body.volume == pytest.approx(4 / 3 * math.pi * 50 * 10 * 12, rel=1e-8)


@pytest.mark.parametrize("length", [0.005, 2.0])
def test_a_tiny_and_a_huge_body(length: float) -> None:
    # A cone of radius length / 5, as in any table of solids.
    radius = length / 5
    body = Body.through(
        [Station(0, 0, 0, 0), Station(length, radius, -radius, radius)], Section(widest=0.5)
    )
    assert body.volume == pytest.approx(math.pi * radius**2 * length / 3, rel=1e-12)
    assert body.area == pytest.approx(
        math.pi * radius * (math.hypot(radius, length) + radius), rel=1e-9
    )


def test_height_may_lie_between_stations() -> None:
    # The greatest height where back and belly peak at different places.
    body = Body.through(
        [
            Station(0.0, 1.0, 1.0, 1.0),
            Station(1.0, 3.0, 0.6, 1.0),
            Station(2.0, 2.8, 0.0, 1.0),
            Station(3.0, 1.0, 1.0, 1.0),
        ]
    )
    x = np.linspace(0.0, 3.0, 30001)
    assert body.height == pytest.approx(float((body.top(x) - body.bottom(x)).max()), abs=1e-7)
    assert body.height > 2.8


# Bad input ----------------------------------------------------------------

GOOD = (Station(0.0, 5.0, 5.0, 0.0), Station(1.0, 9.0, 1.0, 3.0), Station(2.0, 5.0, 5.0, 0.0))


@pytest.mark.parametrize(
    ("stations", "index", "field"),
    [
        (GOOD[:1], None, "stations"),
        ((), None, "stations"),
        ((GOOD[0], GOOD[2], GOOD[1]), 2, "x"),
        ((GOOD[0], GOOD[1], GOOD[1]), 2, "x"),
        ((GOOD[0], Station(1.0, 1.0, 2.0, 3.0), GOOD[2]), 1, "top"),
        ((GOOD[0], Station(1.0, 9.0, 2.0, -3.0), GOOD[2]), 1, "half_breadth"),
        ((GOOD[0], Station(1.0, math.nan, 2.0, 3.0), GOOD[2]), 1, "top"),
        ((GOOD[0], GOOD[2]), None, "half_breadth"),
        ((Station(0, 1, 1, 1), Station(1, 1, 1, 1)), None, "top"),
    ],
)
def test_the_impossible_is_refused(
    stations: tuple[Station, ...], index: int | None, field: str
) -> None:
    with pytest.raises(ShapeError) as refused:
        Body.through(stations)
    assert refused.value.station_index == index
    assert refused.value.field == field
    assert str(refused.value) == refused.value.message != ""


@pytest.mark.parametrize(
    ("field", "value"),
    [("widest", 0.0), ("widest", 1.0), ("upper", 0.5), ("lower", math.nan), ("flat_back", 1.0)],
)
def test_an_impossible_section_is_refused(field: str, value: float) -> None:
    with pytest.raises(ShapeError) as refused:
        Section(**{field: value})
    assert refused.value.field == field
