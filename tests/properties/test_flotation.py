"""Floating plugs against meshes cut by trimesh, least energy, and their own symmetries."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import astuple
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from wizard.physics.flotation import (
    Appendage,
    Flotation,
    added_roll_inertia,
    float_at_rest,
    righting_arm,
    roll_period,
)
from wizard.physics.forms import FORMS, stations
from wizard.physics.shape import Body, Section, Station

WATER = 998.0


@st.composite
def plugs(draw: st.DrawFn) -> Body:
    """A form of random size and proportions, 60 to 140 mm long."""
    form = FORMS[draw(st.sampled_from(sorted(FORMS)))]
    length = draw(st.floats(0.06, 0.14))
    height = length * draw(st.floats(0.15, 0.4))
    thickness = height * draw(st.floats(0.5, 1.2))
    section = Section(
        draw(st.floats(0.35, 0.6)), draw(st.floats(1.5, 4.0)), draw(st.floats(1.5, 4.0))
    )
    return Body.through(stations(form, length, height, thickness), section)


def afloat(body: Body, share: float, x: float, z: float) -> Flotation:
    """The body alone, with G at x of the length and z of the height."""
    rest = float_at_rest(
        body, body.volume, 0.0, (), share * body.volume, x * body.length, z * body.height, 1.0
    )
    assert rest is not None
    return rest


def solid(body: Body, n_along: int = 300, n_around: int = 120) -> Any:
    vertices, faces = body.mesh(n_along, n_around)
    return trimesh.Trimesh(vertices, faces, process=False)


def under(mesh: Any, normal: np.ndarray[Any, Any], level: float) -> tuple[float, Any]:
    """Volume and centroid of a mesh below a plane; measured from the plane, it needs no lid."""
    part = mesh.slice_plane(normal * level, -normal)
    corners = part.triangles - normal * level
    volumes = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
    volume = float(volumes.sum())
    centroid = (volumes[:, np.newaxis] * corners.sum(axis=1) / 4).sum(axis=0) / volume
    return volume, centroid + normal * level


def upward(pitch: float, heel: float = 0.0) -> np.ndarray[Any, Any]:
    """The upward direction in the body's axes; the heel lifts the port side."""
    return np.array(
        [
            math.sin(pitch) * math.cos(heel),
            math.sin(heel),
            math.cos(pitch) * math.cos(heel),
        ]
    )


@settings(deadline=None, max_examples=30)
@given(plugs(), st.floats(0.03, 0.995), st.floats(0.3, 0.7), st.floats(0.2, 0.5))
def test_rest_balances_on_a_mesh(body: Body, share: float, x: float, z: float) -> None:
    rest = afloat(body, share, x, z)
    mesh = solid(body)
    volume, centre = under(mesh, upward(rest.pitch), rest.level)
    assert volume / mesh.volume == pytest.approx(share, abs=1e-3)
    assert rest.immersed_share == pytest.approx(share, abs=1e-9)
    assert_allclose([centre[0], centre[2]], [rest.cb_x, rest.cb_z], atol=1e-3 * body.height)
    aft = np.array([math.cos(rest.pitch), 0.0, -math.sin(rest.pitch)])
    lever = (centre - [x * body.length, 0.0, z * body.height]) @ aft
    if abs(rest.pitch) < math.pi / 2 - 1e-5:
        # As far off as G and B may stand through the faceting of the mesh.
        assert abs(lever) < 1e-3 * body.height
    heights = mesh.vertices @ upward(rest.pitch)
    assert rest.draught == pytest.approx(rest.level - heights.min(), abs=1e-3 * body.height)
    assert rest.freeboard == pytest.approx(heights.max() - rest.level, abs=1e-3 * body.height)
    at = body.length / 3
    assert math.sin(rest.pitch) * at + math.cos(rest.pitch) * rest.waterline(at) == pytest.approx(
        rest.level, abs=1e-8
    )


def centre_under(
    mesh: Any, up: np.ndarray[Any, Any], share: float, steps: int = 14
) -> np.ndarray[Any, Any]:
    """Centroid of the lowest share of a mesh, the level found by halving."""
    heights = mesh.vertices @ up
    low, high = float(heights.min()), float(heights.max())
    for _ in range(steps):
        level = (low + high) / 2
        more = under(mesh, up, level)[0] > share * mesh.volume
        low, high = (low, level) if more else (level, high)
    return np.asarray(under(mesh, up, (low + high) / 2)[1])


@settings(deadline=None, max_examples=12)
@given(plugs(), st.floats(0.1, 0.95), st.floats(0.3, 0.7), st.floats(0.2, 0.5))
def test_rest_has_least_energy(body: Body, share: float, x: float, z: float) -> None:
    rest = afloat(body, share, x, z)
    mesh, g = solid(body, 80, 48), np.array([x * body.length, 0.0, z * body.height])

    def energy(pitch: float) -> float:
        """How far G stands above B, per unit of weight."""
        up = upward(pitch)
        return float((g - centre_under(mesh, up, share)) @ up)

    others = [energy(pitch) for pitch in np.radians([-85, -60, -35, -10, 10, 35, 60, 85])]
    assert energy(rest.pitch) <= min(others) + 2e-3 * body.height


@settings(deadline=None, max_examples=20)
@given(plugs(), st.floats(0.1, 0.95), st.floats(0.35, 0.65))
def test_turned_end_for_end_it_pitches_the_other_way(body: Body, share: float, x: float) -> None:
    tail = body.tail
    turned = Body.through(
        [Station(tail - s.x, s.top, s.bottom, s.half_breadth) for s in reversed(body.stations)],
        body.section,
    )
    one, other = afloat(body, share, x, 0.2), afloat(turned, share, 1 - x, 0.2)
    assert other.pitch == pytest.approx(-one.pitch, abs=1e-6)
    assert other.draught == pytest.approx(one.draught, rel=1e-6)
    assert other.gm == pytest.approx(one.gm, abs=1e-5 * body.height)


@settings(deadline=None, max_examples=20)
@given(plugs(), st.floats(0.1, 0.95), st.floats(0.5, 20.0))
def test_size_does_not_change_how_it_lies(body: Body, share: float, size: float) -> None:
    like = Body.through(
        [Station(s.x * size, s.top, s.bottom, s.half_breadth) for s in body.stations],
        body.section,
    ).scaled(size)
    small, large = afloat(body, share, 0.47, 0.3), afloat(like, share, 0.47, 0.3)
    assert large.pitch == pytest.approx(small.pitch, abs=1e-6)
    assert large.gm == pytest.approx(size * small.gm, abs=1e-5 * size * body.height)


@settings(deadline=None, max_examples=20)
@given(plugs(), st.floats(0.2, 0.9), st.floats(0.4, 0.6))
def test_gm_along_is_the_slope_of_the_lever(body: Body, share: float, x: float) -> None:
    rest = afloat(body, share, x, 0.25)
    assume(abs(rest.pitch) < 1.3)
    # A weight moved aft by d tilts the plug by about d cos(pitch) / GM along.
    shift = 1e-4
    moved = afloat(body, share, x + shift, 0.25)
    turned = shift * body.length * math.cos(rest.pitch) / rest.gm_along
    assert rest.pitch - moved.pitch == pytest.approx(turned, rel=0.05)


# Films and appendages -------------------------------------------------------

PLUG = Body.through(stations("round taper", 0.1, 0.022, 0.02), Section(widest=0.5))
MASS = 0.75 * WATER * PLUG.volume
G = (0.046, 0.006)


def rest_of(
    film: float = 0.0,
    parts: Sequence[Appendage] = (),
    mass: float = MASS,
    at: tuple[float, float] = G,
) -> Flotation:
    rest = float_at_rest(PLUG, PLUG.volume, film, parts, mass, *at, WATER)
    assert rest is not None
    return rest


def test_a_sunk_appendage_carries_its_own_volume() -> None:
    hook = Appendage(0.25e-6, 0.04, -0.004)
    rest = rest_of(parts=[hook])
    assert rest.immersed_share * PLUG.volume + hook.volume == pytest.approx(MASS / WATER, rel=1e-9)
    # A weight that just outweighs what it displaces leaves the plug as it was.
    bare = rest_of()
    moment = (
        MASS * G[0] + WATER * hook.volume * hook.x,
        MASS * G[1] + WATER * hook.volume * hook.z,
    )
    heavy = MASS + WATER * hook.volume
    same = rest_of(parts=[hook], mass=heavy, at=(moment[0] / heavy, moment[1] / heavy))
    assert same.pitch == pytest.approx(bare.pitch, abs=1e-8)
    assert same.draught == pytest.approx(bare.draught, rel=1e-8)


def test_an_appendage_in_the_air_carries_nothing() -> None:
    dry = Appendage(0.25e-6, 0.05, 0.03)
    assert astuple(rest_of(parts=[dry])) == pytest.approx(astuple(rest_of()), rel=1e-7, abs=1e-9)


def test_a_film_counts_with_the_wetted_skin() -> None:
    film = 0.8e-6
    rest = rest_of(film=film)
    carried = rest.immersed_share * PLUG.volume + film * rest.wetted_area / PLUG.area
    assert carried == pytest.approx(MASS / WATER, rel=1e-9)
    assert 0.5 < rest.wetted_area / PLUG.area < 1.0


def test_the_real_body_may_be_larger_than_the_drawn_one() -> None:
    rest = float_at_rest(PLUG, 1.04 * PLUG.volume, 0.0, (), 1.04 * MASS, *G, WATER)
    assert rest is not None
    assert rest.draught == pytest.approx(rest_of().draught, rel=1e-9)
    assert rest.gm == pytest.approx(rest_of().gm, rel=1e-7)


@pytest.mark.parametrize("share", [1e-3, 0.05, 0.5, 0.95, 0.9995, 0.999999])
@pytest.mark.parametrize("x", [0.002, 0.03, 0.046, 0.09])
def test_extremes_still_balance(share: float, x: float) -> None:
    hooks = [Appendage(0.24e-6, 0.03, 0.0), Appendage(0.24e-6, 0.1, 0.011)]
    film, whole = 0.5e-6, PLUG.volume + 0.5e-6 + 0.48e-6
    rest = float_at_rest(PLUG, PLUG.volume, film, hooks, share * whole, x, 0.008, 1.0)
    assert rest is not None
    assert rest.immersed_volume == pytest.approx(share * whole, rel=1e-9)
    lever = (rest.cb_x - x) * math.cos(rest.pitch) - (rest.cb_z - 0.008) * math.sin(rest.pitch)
    assert abs(lever) < 1e-7
    if share > 0.01:  # a plug that hardly touches the water may stand on its hook
        assert rest.gm_along > 0


def test_what_does_not_float_has_no_rest() -> None:
    assert (
        float_at_rest(PLUG, PLUG.volume, 0.0, (), WATER * PLUG.volume * 1.0001, *G, WATER) is None
    )
    assert float_at_rest(PLUG, PLUG.volume, 0.0, (), WATER * PLUG.volume * 0.9999, *G, WATER)


def test_a_top_heavy_plug_is_told_by_its_gm() -> None:
    rest = rest_of(at=(0.046, 0.02))
    assert rest.gm < 0
    assert not rest.stable
    assert rest_of().stable


# Heeled -----------------------------------------------------------------------


@settings(deadline=None, max_examples=15)
@given(plugs(), st.floats(0.1, 0.95), st.floats(0.4, 0.6), st.floats(0.05, 2.0))
def test_righting_arm_agrees_with_a_cut_mesh(
    body: Body, share: float, x: float, heel: float
) -> None:
    g = np.array([x * body.length, 0.0, 0.3 * body.height])
    pitch = afloat(body, share, x, 0.3).pitch
    (arm,) = righting_arm(
        body, body.volume, 0.0, (), share * body.volume, g[0], g[2], 1.0, pitch, [heel]
    ).arm
    mesh, up = solid(body, 150, 96), upward(pitch, heel)
    centre = centre_under(mesh, up, share, steps=16)
    # Turning further lifts the port side: what is to starboard of G rights the plug.
    side = (upward(pitch, heel + 1e-6) - upward(pitch, heel - 1e-6)) / 2e-6
    assert arm == pytest.approx(-float((centre - g) @ side), abs=3e-3 * body.height)


@settings(deadline=None, max_examples=15)
@given(plugs(), st.floats(0.2, 0.9), st.floats(0.4, 0.6))
def test_righting_arm_begins_with_gm(body: Body, share: float, x: float) -> None:
    rest = afloat(body, share, x, 0.3)
    z, heel = 0.3 * body.height, 0.002
    none, arm = righting_arm(
        body,
        body.volume,
        0.0,
        (),
        share * body.volume,
        x * body.length,
        z,
        1.0,
        rest.pitch,
        [0.0, heel],
    ).arm
    assert none == pytest.approx(0.0, abs=1e-9)
    assert arm / heel == pytest.approx(rest.gm, abs=0.02 * body.breadth)


# Rolling ----------------------------------------------------------------------


@pytest.mark.parametrize(("a", "b"), [(1.0, 0.5), (0.3, 1.0), (1.0, 1.0)])
def test_added_inertia_of_an_ellipse(a: float, b: float) -> None:
    """Against the kinetic energy of the flow around a turning ellipse, by sources on it."""
    count = 400
    angle = 2 * math.pi * (np.arange(count) + 0.5) / count
    y, z = b * np.cos(angle), a * np.sin(angle)
    dy, dz = -b * np.sin(angle), a * np.cos(angle)
    length = np.hypot(dy, dz) * 2 * math.pi / count
    n_y, n_z = dz / np.hypot(dy, dz), -dy / np.hypot(dy, dz)
    outward = -z * n_y + y * n_z  # speed of the wall for one radian a second
    r_y, r_z = y[:, None] - y, z[:, None] - z
    square = r_y**2 + r_z**2 + np.eye(count)
    influence = (r_y * n_y[:, None] + r_z * n_z[:, None]) / square / (2 * math.pi) * length
    curvature = a * b / np.hypot(dy, dz) ** 3
    np.fill_diagonal(influence, 0.5 + curvature * length / (4 * math.pi))
    source = np.linalg.solve(influence, outward)
    logs = np.log(square) / (4 * math.pi) * length
    np.fill_diagonal(logs, length / (2 * math.pi) * (np.log(length / 2) - 1.0))
    potential = logs @ source
    energy = -np.sum(potential * outward * length)  # twice the energy, rho = 1
    cylinder = Body.through([Station(0.0, a, -a, b), Station(3.0, a, -a, b)], Section(widest=0.5))
    assert added_roll_inertia(cylinder, 1.0) == pytest.approx(3.0 * energy, rel=0.01, abs=1e-3)


def test_roll_period_is_that_of_a_pendulum() -> None:
    # The seconds pendulum (a full period of 2 s) is 0.994 m long at standard gravity, in any
    # text on mechanics; inertia M L^2, weight at L.
    period = roll_period(0.7 * 0.99362**2, 0.0, 0.7, 0.99362)
    assert period == pytest.approx(2.0, abs=1e-5)
    # Water that swings along as heavily as the bob makes it slower by sqrt(2).
    inertia = 0.7 * 0.99362**2
    assert roll_period(inertia, inertia, 0.7, 0.99362) == pytest.approx(2.0 * math.sqrt(2.0))
    assert roll_period(0.1, 0.0, 0.7, -0.001) is None
