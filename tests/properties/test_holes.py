"""Holes, stacks and walls against closed forms, a general minimiser and meshes."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize

from wizard.physics.clearance import (
    gap,
    hole_gap,
    least_gap,
    segment_distance,
    thinnest_wall,
    wire,
)
from wizard.physics.holes import Axis, Hole, drilled
from wizard.physics.pieces import Form, Piece
from wizard.physics.shape import Body, Section, Station
from wizard.physics.stacking import BUNDLES, bundle, hollow, size, stack

LEAD = 11340.0
MM = 1e-3
closest_point: Any = trimesh.proximity.closest_point_naive
ANGLES = [None, math.radians(118.0), math.radians(135.0)]

lengths = st.floats(2.0, 30.0).map(lambda v: v * MM)


def ball(diameter: float, count: int = 1) -> Piece:
    mass = LEAD * math.pi / 6 * diameter**3
    return Piece(f"ball {diameter}", mass, count, LEAD, "ball", diameter)


def flat_hole(diameter: float, depth: float, angle: float | None = None) -> Hole:
    return Hole(0.05, 0.0, 0.0, "up", diameter, depth, angle)


@pytest.mark.parametrize(
    ("angle", "cone"),
    [
        # Cone of 5 mm radius by hand: height 5 / tan(angle / 2) = 3.00430 and 2.07107 mm, a third
        # of it times the area.
        (None, 0.0),
        (118.0, math.pi * 25 * 3.004303 / 3),
        (135.0, math.pi * 25 * 2.071068 / 3),
    ],
)
def test_volume_counts_the_drill_point(angle: float | None, cone: float) -> None:
    hole = flat_hole(10 * MM, 20 * MM, angle and math.radians(angle))
    assert hole.volume / MM**3 == pytest.approx(math.pi * 25 * 20 + cone, rel=1e-6)


@given(lengths, lengths, st.sampled_from(ANGLES), st.sampled_from(["up", "down", "across"]))
@settings(deadline=None)
def test_volume_and_centroid_are_integrals_of_the_section(
    diameter: float, depth: float, angle: float | None, axis: Axis
) -> None:
    hole = Hole(0.05, 0.01, 0.02, axis, diameter, depth, angle)

    def section(s: float) -> float:
        left = (hole.length - s) * math.tan((angle or math.pi) / 2) if angle else math.inf
        return math.pi * min(hole.radius, left) ** 2

    ends = [0.0, depth, hole.length]
    volume = sum(quad(section, a, b)[0] for a, b in itertools.pairwise(ends))
    moment = sum(quad(lambda s: s * section(s), a, b)[0] for a, b in itertools.pairwise(ends))
    assert hole.volume == pytest.approx(volume, rel=1e-7)
    away = [
        (getattr(hole.centroid, k) - getattr(hole, k)) * d
        for k, d in zip("xyz", hole.direction, strict=True)
    ]
    assert sum(away) == pytest.approx(moment / volume, rel=1e-7)
    whole = hole.volume_behind(hole.length)
    assert whole == pytest.approx(volume, rel=1e-7)
    assert hole.moment_behind(hole.length) == pytest.approx(whole * hole.length - moment, rel=1e-6)


# Stacks


@given(lengths, st.integers(1, 6))
@settings(deadline=None)
def test_balls_as_wide_as_the_hole_stand_on_each_other(diameter: float, count: int) -> None:
    held = stack(flat_hole(diameter, 0.2), [ball(diameter, count)])
    assert held.height == pytest.approx(count * diameter)
    assert held.free_depth == pytest.approx(0.2 - count * diameter)


@given(st.floats(1.02, 1.95), st.integers(2, 9))
@settings(deadline=None)
def test_narrower_balls_lie_zigzag(ratio: float, count: int) -> None:
    # Closed form: centres D - d apart across, so sqrt(d2 - (D - d)2) apart along the hole; for
    # wide holes a ball lies on the last but one, so no two steps are below one diameter.
    d = 5 * MM
    held = stack(flat_hole(ratio * d, 0.2), [ball(d, count)])
    step = math.sqrt(d**2 - (ratio * d - d) ** 2)
    if 2 * step >= d:
        assert held.height == pytest.approx(d + (count - 1) * step)
    else:
        pairs = (count - 1) // 2
        assert held.height == pytest.approx(d * (1 + pairs) + step * ((count - 1) % 2))


def test_wide_holes_take_balls_in_pairs() -> None:
    held = stack(flat_hole(10 * MM, 0.2), [ball(5 * MM, 6)])
    assert held.height == pytest.approx(15 * MM)


def profile(form: Form, d: float, l: float, t: np.ndarray) -> np.ndarray:
    """Radius of a piece at a distance t from its deep end."""
    if form in ("ball", "egg"):
        return np.asarray(d / l * np.sqrt(np.maximum(t * (l - t), 0.0)))
    return d / 2 * t / l if form == "bullet" else np.full_like(t, d / 2)


@given(
    st.sampled_from(["ball", "egg", "bullet", "cylinder"]),
    st.floats(0.2, 1.0),
    st.floats(0.3, 4.0),
    st.sampled_from([60.0, 90.0, 118.0, 135.0]),
)
@settings(deadline=None)
def test_the_first_piece_touches_the_drill_point(
    form: Form, share: float, slender: float, angle: float
) -> None:
    # Slide a dense profile of the piece down the hole until it first touches.
    hole = flat_hole(10 * MM, 60 * MM, math.radians(angle))
    d = share * hole.diameter
    l = d if form == "ball" else slender * d
    t = np.linspace(0.0, l, 20001)
    cone = math.tan(math.radians(angle) / 2)
    lowest = float(np.max(np.maximum(profile(form, d, l, t) / cone - t, 0.0)))
    held = stack(hole, [Piece("one", 0.005, 1, LEAD, form, d, l)])
    assert held.height == pytest.approx(lowest + l, abs=2e-6)


@pytest.mark.parametrize(
    ("form", "share"),
    # Centroids from the point: cone 3/4 of its height; the others in the middle.
    [("ball", 0.5), ("egg", 0.5), ("cylinder", 0.5), ("wire", 0.5), ("bullet", 0.75)],
)
def test_a_piece_weighs_at_its_own_centroid(form: Form, share: float) -> None:
    hole = flat_hole(8 * MM, 30 * MM)
    length = 8 * MM if form == "ball" else 12 * MM
    held = stack(hole, [Piece("one", 0.005, 1, LEAD, form, 8 * MM, length)])
    assert held.place is not None
    assert held.place.z == pytest.approx(30 * MM - share * length)


@pytest.mark.parametrize(("n", "ratio"), BUNDLES.items())
def test_bundles_can_be_laid(n: int, ratio: float) -> None:
    # Built from rings that touch: every circle of radius 1 inside, no two closer than 2.
    inner = {7: 1, 8: 1, 9: 1, 13: 3, 19: 7}.get(n, 0)
    rings = [(n - inner, ratio - 1, 0.0)]
    if inner == 3:
        rings.append((3, 2 / math.sqrt(3), 0.1))
    if inner == 7:
        rings.append((6, 2.0, math.pi / 12))
    if inner in (1, 7):
        rings.append((1, 0.0, 0.0))
    centres = [
        (r * math.cos(2 * math.pi * i / k + turn), r * math.sin(2 * math.pi * i / k + turn))
        for k, r, turn in rings
        for i in range(k)
    ]
    assert len(centres) == n
    assert all(math.dist(a, b) >= 2 - 1e-9 for a, b in itertools.combinations(centres, 2))
    assert all(math.hypot(*c) <= ratio - 1 + 1e-9 for c in centres)
    assert bundle(ratio * 3 * MM, 3 * MM) == n


def test_wires_stand_side_by_side() -> None:
    wires = Piece("wire", LEAD * math.pi / 4 * 9e-6 * 0.01, 8, LEAD, "wire", 3 * MM)
    assert size(wires) == pytest.approx((3 * MM, 10 * MM))
    held = stack(flat_hole(9 * MM, 40 * MM), [wires])
    assert held.height == pytest.approx(20 * MM)  # seven and one
    assert stack(flat_hole(3 * MM, 90 * MM), [wires]).height == pytest.approx(80 * MM)


pieces = st.lists(
    st.builds(
        lambda mass, form, d: Piece(f"{form} {mass}", mass * MM, 1, LEAD, form, d * MM),
        st.floats(0.5, 9.0),
        st.sampled_from(["ball", "bullet", "egg", "cylinder", "wire", "putty", "sheet"]),
        st.floats(6.0, 11.0),
    ),
    max_size=6,
)


@given(pieces, st.sampled_from(ANGLES), st.sampled_from(["up", "down", "across"]))
@settings(deadline=None)
def test_metal_and_backfill_make_up_the_hole(
    going_in: list[Piece], angle: float | None, axis: Axis
) -> None:
    going_in = [Piece(p.id, p.mass, 1, LEAD, "ball") if p.form == "ball" else p for p in going_in]
    hole = Hole(0.05, 0.0, 0.01, axis, 12.0 * MM, 0.4, angle)
    held = stack(hole, going_in)
    assert held.fits
    assert held.mass == pytest.approx(sum(p.mass for p in going_in))
    assert held.volume + held.backfill_volume == pytest.approx(hole.volume)
    assert hole.volume_behind(held.height) >= held.volume * (1 - 1e-9)
    assert held.backfill_place is not None
    for axis_name in "xyz":
        metal = sum(s.piece.volume * getattr(s.place, axis_name) for s in held.seated)
        fill = held.backfill_volume * getattr(held.backfill_place, axis_name)
        whole = hole.volume * getattr(hole.centroid, axis_name)
        assert metal + fill == pytest.approx(whole, abs=1e-12)


def test_putty_takes_the_form_of_the_hole() -> None:
    # 1 mL in a plain hole of 10 mm: 1000 / (25 pi) = 12.732 mm high, weighing at half of it.
    hole = flat_hole(10 * MM, 30 * MM)
    held = stack(hole, [Piece("putty", 0.010, 1, 10_000.0, "putty")])
    assert held.place is not None
    assert held.height == pytest.approx(12.7324 * MM, rel=1e-5)
    assert held.place.z == pytest.approx((30 - 12.7324 / 2) * MM, rel=1e-5)


def test_what_does_not_go_in_is_named() -> None:
    hole = flat_hole(6 * MM, 10 * MM)
    held = stack(hole, [ball(7 * MM), ball(6 * MM, 2), Piece("odd", 0.001, 1, LEAD, "egg")])
    assert [piece.diameter for piece in held.too_wide] == [7 * MM]
    assert [piece.id for piece in held.unsized] == ["odd"]
    assert not held.fits
    assert held.free_depth < 0


def test_a_hollow_hole_keeps_a_plug_and_a_void() -> None:
    hole = flat_hole(6 * MM, 20 * MM)
    held = stack(hole, [ball(6 * MM)])
    plug, place, void = hollow(hole, held, 5 * MM)
    assert plug == pytest.approx(math.pi * 9 * 5 * MM**3)
    assert place.z == pytest.approx(2.5 * MM)
    assert plug + void == pytest.approx(held.backfill_volume)


# Gaps

Triple = tuple[float, float, float]
points = st.tuples(*[st.floats(-30.0, 30.0)] * 3)


def convex_distance(a: np.ndarray, b: np.ndarray) -> float:
    """Least distance of two convex hulls by a general minimiser (SLSQP over both weights)."""

    def square(w: np.ndarray) -> float:
        return float(np.sum((w[: len(a)] @ a - w[len(a) :] @ b) ** 2))

    start = np.concatenate([np.full(len(a), 1 / len(a)), np.full(len(b), 1 / len(b))])
    whole = [
        {"type": "eq", "fun": lambda w: np.sum(w[: len(a)]) - 1},
        {"type": "eq", "fun": lambda w: np.sum(w[len(a) :]) - 1},
    ]
    solve: Any = minimize
    found = solve(
        square, start, bounds=[(0, 1)] * len(start), constraints=whole, options={"ftol": 1e-12}
    )
    return math.sqrt(found.fun)


@given(points, points, points, points)
@settings(deadline=None, max_examples=60)
def test_distance_of_segments_is_what_a_minimiser_finds(
    a: Triple, b: Triple, c: Triple, d: Triple
) -> None:
    expected = convex_distance(np.array([a, b]), np.array([c, d]))
    assert segment_distance(a, b, c, d) == pytest.approx(expected, abs=2e-3)


def hull(hole: Hole, around: int = 24) -> np.ndarray:
    """Corner points of a hole in mm: rings at mouth and shoulder, and the tip."""
    turns = np.linspace(0, 2 * np.pi, around, endpoint=False)
    along = np.array(hole.direction)
    side = np.cross(along, [1.0, 0.0, 0.0])
    ring = np.cos(turns)[:, None] * [1.0, 0.0, 0.0] + np.sin(turns)[:, None] * side
    mouth = np.array([hole.x, hole.y, hole.z])
    return 1e3 * np.concatenate(
        [
            mouth + hole.radius * ring,
            mouth + hole.depth * along + hole.radius * ring,
            [mouth + hole.length * along],
        ]
    )


@pytest.mark.parametrize("seed", range(8))
def test_gap_to_a_wire_is_that_of_convex_hulls(seed: int) -> None:
    rng = np.random.default_rng(seed)
    axis: Axis = ("up", "down", "across")[seed % 3]
    angle = ANGLES[seed % 2]
    hole = Hole(0.0, 0.0, 0.0, axis, rng.uniform(4, 12) * MM, rng.uniform(5, 25) * MM, angle)
    ends = [rng.uniform(-30, 30, 3) for _ in range(2)]
    expected = convex_distance(hull(hole), np.array(ends))
    (shank,) = wire([(x * MM, y * MM, z * MM) for x, y, z in ends], 0.7 * MM)
    found = gap(hole, shank) / MM + 0.7
    if expected < 0.05:
        assert found <= 0.05
    else:
        assert found == pytest.approx(expected, abs=0.06)


def test_a_wire_over_the_blind_end_clears_it_by_the_wood_between() -> None:
    # By hand: wire of 1.5 mm at 20 mm over a mouth at 0, hole 15 mm deep: 20 - 15 - 0.75.
    along = wire([(0.0, 0.0, 0.020), (0.05, 0.0, 0.020), (0.1, 0.0, 0.03)], 0.75 * MM)
    plain = Hole(0.040, 0.0, 0.0, "up", 8 * MM, 15 * MM)
    pointed = Hole(0.040, 0.0, 0.0, "up", 8 * MM, 15 * MM, math.radians(118))
    assert least_gap(plain, along) == pytest.approx(4.25 * MM)
    assert least_gap(pointed, along) == pytest.approx((4.25 - 4 / math.tan(1.02974)) * MM, abs=1e-6)
    through = Hole(0.040, 0.0, 0.0, "up", 8 * MM, 30 * MM)
    assert least_gap(through, along) == pytest.approx(-4.75 * MM, abs=1e-7)
    assert least_gap(plain, ()) == math.inf


@pytest.mark.parametrize(
    ("second", "wood"),
    [
        # By hand from a hole of 8 mm, 15 mm deep, at x = 40, z = 0.
        (Hole(0.055, 0.0, 0.0, "up", 6 * MM, 10 * MM), 8.0),
        (Hole(0.055, 0.0, 0.030, "down", 6 * MM, 20 * MM), 8.0),
        (Hole(0.040, 0.0, 0.030, "down", 8 * MM, 10 * MM), 5.0),
        (Hole(0.050, 0.0, 0.030, "down", 6 * MM, 11 * MM), 5.0),
        (Hole(0.044, 0.0, 0.0, "up", 6 * MM, 10 * MM), -3.0),
        (Hole(0.060, 0.01, 0.005, "across", 6 * MM, 20 * MM), 13.0),
    ],
)
def test_wood_between_two_holes(second: Hole, wood: float) -> None:
    first = Hole(0.040, 0.0, 0.0, "up", 8 * MM, 15 * MM)
    assert hole_gap(first, second) == pytest.approx(wood * MM)
    assert hole_gap(second, first) == pytest.approx(wood * MM)


@pytest.mark.parametrize("seed", range(6))
def test_wood_between_parallel_holes_is_that_of_convex_hulls(seed: int) -> None:
    rng = np.random.default_rng(seed)
    first = Hole(0.0, 0.0, 0.0, "up", 8 * MM, rng.uniform(8, 12) * MM, ANGLES[seed % 3])
    second = Hole(
        rng.uniform(5, 12) * MM, 0.0, 0.030, "down", 6 * MM, rng.uniform(8, 14) * MM, ANGLES[1]
    )
    expected = convex_distance(hull(first), hull(second))
    assert hole_gap(first, second) / MM == pytest.approx(expected, abs=0.06)


# Walls


def round_log(radius: float = 10 * MM, length: float = 0.2) -> Body:
    return Body.through(
        [Station(x, 2 * radius, 0.0, radius) for x in (0.0, length / 2, length)],
        Section(widest=0.5),
    )


def plank(half_breadth: float, height: float, length: float = 0.1) -> Body:
    return Body.through(
        [Station(x, height, 0.0, half_breadth) for x in (0.0, length)],
        Section(widest=0.5, upper=1e6, lower=1e6),
    )


@pytest.mark.parametrize(("y", "depth"), [(0.0, 15.0), (3.0, 12.0), (0.0, 18.0), (-2.0, 14.0)])
def test_wall_in_a_round_log(y: float, depth: float) -> None:
    # Closed form: past the widest level the nearest skin lies along the radius of the section
    # through the outer corner of the blind end.
    r = 10 * MM
    hole = drilled(round_log(r), "up", 0.1, 6 * MM, depth * MM, y=y * MM)
    corner = math.hypot(abs(hole.y) + 3 * MM, hole.z + hole.depth - r)
    assert thinnest_wall(hole, round_log(r)).thickness == pytest.approx(r - corner, abs=5e-5)


@pytest.mark.parametrize(
    ("axis", "x", "y", "depth", "wall"),
    [
        # By hand: 8 mm hole in a plank 24 mm wide, 20 high, 100 long.
        ("up", 50.0, 0.0, 10.0, 8.0),
        ("up", 50.0, 5.0, 10.0, 3.0),
        ("up", 50.0, 0.0, 14.5, 5.5),
        ("down", 50.0, 0.0, 18.0, 2.0),
        ("up", 6.0, 0.0, 10.0, 2.0),
        ("up", 95.5, 0.0, 10.0, 0.5),
        ("across", 50.0, 0.0, 15.0, 6.0),
        ("across", 50.0, -1.0, 22.0, 2.0),
        ("up", 50.0, 9.0, 10.0, -1.0),
        ("up", 50.0, 0.0, 21.0, -1.0),
    ],
)
def test_wall_in_a_plank(axis: Axis, x: float, y: float, depth: float, wall: float) -> None:
    body = plank(12 * MM, 20 * MM)
    hole = drilled(body, axis, x * MM, 8 * MM, depth * MM, y=y * MM)
    assert thinnest_wall(hole, body).thickness == pytest.approx(wall * MM, abs=5e-5)


def random_body(rng: np.random.Generator) -> Body:
    belly, back, breadth = rng.uniform(0, 3), rng.uniform(22, 32), rng.uniform(9, 15)
    n, end = rng.uniform(1.8, 3), rng.uniform(1, 3)
    rows = [
        (0.0, 12.0, 12.0, 0.0),
        (25.0, back * 0.9, 2.0, breadth * 0.85),
        (50.0, back, belly, breadth),
        (80.0, back * 0.8, 4.0, breadth * 0.6),
        (110.0, 13.0, 9.0, end),
    ]
    stations = [Station(*(value * MM for value in row)) for row in rows]
    return Body.through(stations, Section(rng.uniform(0.4, 0.6), n, n))


def mesh_wall(hole: Hole, body: Body) -> float:
    """The same wall from a mesh: the skin cut off below each level, distances by trimesh."""
    vertices, faces = body.mesh(110, 56)
    whole = trimesh.Trimesh(vertices, faces, process=False)
    along = np.array(hole.direction)
    within = np.flatnonzero(np.abs(whole.triangles_center[:, 0] - hole.x) < 0.022)
    near: Any = whole.submesh([within], append=True)
    lines: list[list[float]] = []
    turns = np.linspace(0, 2 * np.pi, 36, endpoint=False)
    side = np.cross(along, [1.0, 0.0, 0.0])
    ring = np.cos(turns)[:, None] * [1.0, 0.0, 0.0] + np.sin(turns)[:, None] * side
    mouth = np.array([hole.x, hole.y, hole.z])
    levels = [(s, hole.radius) for s in np.linspace(0.0, hole.depth, 17)]
    levels += [
        (hole.depth + (1 - k) * hole.point_height, k * hole.radius) for k in (0.75, 0.5, 0.25, 0.0)
    ]
    for s, r in levels:
        points = mouth + s * along + r * ring
        beyond = near.slice_plane(mouth + s * along, along)
        _, away, _ = closest_point(beyond, points)
        inside = body.inside(points[:, 0], points[:, 1], points[:, 2])
        lines.append(np.where(inside, away, -1.0).tolist())
    worst = math.inf
    for column in zip(*lines, strict=True):
        straight, point = list(column[:17]), column[17:]
        while straight and straight[0] < 0:
            straight.pop(0)
        if not straight:
            return -math.inf
        while len(straight) > 1 and straight[1] > straight[0] - 2e-5:
            straight.pop(0)
        worst = min(worst, *straight, *point)
    return worst


@pytest.mark.parametrize("axis", ["up", "down", "across"])
@pytest.mark.parametrize("seed", range(3))
def test_wall_is_what_a_mesh_says(seed: int, axis: Axis) -> None:
    rng = np.random.default_rng(seed)
    body = random_body(rng)
    expected = -math.inf
    while expected < 5e-4:
        x, angle = rng.uniform(0.025, 0.085), ANGLES[rng.integers(3)]
        height = float(body.top(x) - body.bottom(x))
        through = 2 * float(body.half_breadth(x)) if axis == "across" else height
        depth, y = rng.uniform(0.4, 0.8) * through, rng.uniform(-2, 2) * MM
        diameter = rng.uniform(5, 9) * MM
        hole = drilled(body, axis, x, diameter, depth, y=y, point_angle=angle)
        expected = mesh_wall(hole, body)
    assert thinnest_wall(hole, body).thickness == pytest.approx(expected, abs=1.5e-4)


def test_a_drill_wider_than_the_body_leaves_no_wall() -> None:
    body = round_log()
    assert thinnest_wall(drilled(body, "up", 0.1, 24 * MM, 8 * MM), body).thickness < 0


def test_off_the_body_is_refused() -> None:
    with pytest.raises(ValueError, match="no wood"):
        drilled(round_log(), "up", 0.3, 6 * MM, 8 * MM)
    with pytest.raises(ValueError, match="off the body"):
        thinnest_wall(Hole(0.3, 0, 0, "up", 6 * MM, 8 * MM), round_log())
