"""Shape and floating against closed forms; the source stands beside each table.

An ellipsoid is given by 201 stations, closer towards its ends; between them the
cubics leave it by less than 1e-6 of its size, which sets the tolerances.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from wizard.physics.flotation import Flotation, float_at_rest, righting_arm, submerged_pitch
from wizard.physics.section import Half
from wizard.physics.shape import Body, Section, Station
from wizard.physics.waterplane import UPRIGHT

MANY = 201
ROUND = Section(widest=0.5)
SQUARE = Section(widest=0.5, upper=1e9, lower=1e9)
DIAMOND = Section(widest=0.5, upper=1.0, lower=1.0)


def ellipsoid(a: float, b: float, c: float, section: Section = ROUND, count: int = MANY) -> Body:
    """Semi-axes a along, b across, c up; the centre at x = a, z = 0."""
    angle = np.linspace(0.0, math.pi, count)
    radius = np.sin(angle)
    radius[[0, -1]] = 0.0
    return Body.through(
        [
            Station(float(a - a * math.cos(t)), float(c * r), float(-c * r), float(b * r))
            for t, r in zip(angle, radius, strict=True)
        ],
        section,
    )


def prism(length: float, breadth: float, depth: float, section: Section = SQUARE) -> Body:
    ends = [Station(x, depth, 0.0, breadth / 2) for x in (0.0, length)]
    return Body.through(ends, section)


def afloat(body: Body, share: float, cg_x: float, cg_z: float) -> Flotation:
    """The body alone with a density of `share` times that of the water."""
    rest = float_at_rest(body, body.volume, 0.0, (), share * body.volume, cg_x, cg_z, 1.0)
    assert rest is not None
    return rest


# Sections -----------------------------------------------------------------

# |y/b|^n + |z/c|^n = 1: area/(b c), centroid of the upper half over c, perimeter with
# b = c = 1 and with b = 12, c = 10. Source: beta-function integrals, NIST DLMF 5.12;
# perimeter by quadrature (computed with SciPy), for n = 2 the ellipse's 4 a E(m).
SUPERELLIPSES = [
    (1.5, 2.7378536239, 0.39258638895, 5.939361435, 65.52599584),
    (2.0, 3.1415926536, 0.42441318158, 6.283185307, 69.25791196),
    (2.5, 3.3809353625, 0.44368098413, 6.546704723, 72.12676242),
    (3.0, 3.5332775006, 0.45630893732, 6.74499314, 74.28841505),
    (4.0, 3.7081493546, 0.47140452079, 7.017697944, 77.26423057),
    (6.0, 3.8552425933, 0.48494383821, 7.317726359, 80.54105943),
]


@pytest.mark.parametrize(("n", "area", "centroid", "round_it", "wide"), SUPERELLIPSES)
def test_superellipse(n: float, area: float, centroid: float, round_it: float, wide: float) -> None:
    half = Half(n)
    assert 4 * half.area == pytest.approx(area, rel=1e-9)
    assert half.moment / half.area == pytest.approx(centroid, rel=1e-9)
    assert 4 * half.perimeter(1.0, 1.0) == pytest.approx(round_it, rel=3e-9)
    assert 4 * half.perimeter(10.0, 12.0) == pytest.approx(wide, rel=3e-9)


# Two halves of different height and exponent: area, centroid above the widest level.
# Source: as above.
@pytest.mark.parametrize(
    ("c_u", "c_l", "n_u", "n_l", "area", "centroid"),
    [
        (11.0, 9.0, 2.0, 2.0, 314.15926536, 0.8488263632),
        (11.0, 9.0, 2.0, 3.0, 331.78508347, 0.4632483592),
        (8.0, 12.0, 2.5, 4.0, 357.72637578, -2.176438545),
    ],
)
def test_two_halves(
    c_u: float, c_l: float, n_u: float, n_l: float, area: float, centroid: float
) -> None:
    section = Section(widest=c_l / (c_l + c_u), upper=n_u, lower=n_l)
    body = prism(1.0, 20.0, c_l + c_u, section)
    assert float(body.section_area(0.3)) == pytest.approx(area, rel=1e-9)
    assert body.volume == pytest.approx(area, rel=1e-9)
    assert body.centroid.z - c_l == pytest.approx(centroid, rel=1e-9)


def test_flat_back_leaves_a_circle_segment() -> None:
    # A circle of radius 1 cut at height 1/2 over its centre: half of the disc and of what
    # is left above. Segment area acos(d) - d sqrt(1 - d^2) (any calculus text).
    segment = math.acos(0.5) - 0.5 * math.sqrt(0.75)
    section = Section(widest=1.0 / 1.5, flat_back=0.5)
    body = prism(1.0, 2.0, 1.5, section)
    assert body.volume == pytest.approx(math.pi - segment, rel=1e-10)
    # Arc beyond the cut is 2 acos(1/2); the flat is 2 sin(acos(1/2)) wide; two end faces.
    around = 2 * math.pi - 2 * math.acos(0.5) + 2 * math.sqrt(0.75)
    assert body.area == pytest.approx(around + 2 * (math.pi - segment), rel=1e-9)
    assert float(body.half_breadth_at(0.5, 1.5)) == pytest.approx(math.sqrt(0.75), rel=1e-9)


# Solids -------------------------------------------------------------------


def test_prolate_spheroid() -> None:
    # V = 4/3 pi a b^2; S = 2 pi b^2 (1 + a asin(e)/(b e)); Ixx/m = 2 b^2/5,
    # Iyy/m = (a^2 + b^2)/5. Source: standard geometry (NIST DLMF 19.33 for the area).
    body = ellipsoid(50.0, 10.0, 10.0)
    assert body.volume == pytest.approx(20943.9510239, rel=1e-7)
    assert body.area == pytest.approx(5019.25101831, rel=1e-6)
    assert body.second_moments.roll / body.volume == pytest.approx(40.0, rel=1e-6)
    assert body.second_moments.pitch / body.volume == pytest.approx(520.0, rel=1e-6)
    assert body.second_moments.yaw / body.volume == pytest.approx(520.0, rel=1e-6)
    assert body.centroid == pytest.approx((50.0, 0.0), abs=1e-9)
    assert body.skin_centroid == pytest.approx((50.0, 0.0), abs=1e-9)


# a, b, c, V, S. Source: surface integral without elementary closed form, by quadrature (SciPy).
@pytest.mark.parametrize(
    ("a", "b", "c", "volume", "area"),
    [
        (50.0, 10.0, 12.0, 25132.74123, 5548.76393),
        (45.0, 9.0, 11.0, 18661.06036, 4543.2289),
        (60.0, 8.0, 8.0, 16084.95439, 4775.2556),
    ],
)
def test_triaxial_ellipsoid(a: float, b: float, c: float, volume: float, area: float) -> None:
    body = ellipsoid(a, b, c)
    assert body.volume == pytest.approx(volume, rel=1e-7)
    assert body.area == pytest.approx(area, rel=1e-6)
    # A maker's caliper readings: 21 stations, closer at the ends.
    measured = ellipsoid(a, b, c, count=21)
    assert measured.volume == pytest.approx(volume, rel=1e-3)
    assert measured.area == pytest.approx(area, rel=1e-3)


# n, V/(a b c) of a body with elliptic plan and profile. Source: 4/3 of area/(b c).
@pytest.mark.parametrize(
    ("n", "share"),
    [(1.5, 3.6504714986), (2.5, 4.5079138167), (3.0, 4.7110366674), (6.0, 5.1403234578)],
)
def test_superellipse_sections_on_an_elliptic_plan(n: float, share: float) -> None:
    body = ellipsoid(50.0, 10.0, 12.0, Section(0.5, n, n))
    assert body.volume == pytest.approx(share * 6000.0, rel=1e-7)


def test_cone() -> None:
    # V = pi R^2 H/3, S = pi R sqrt(R^2 + H^2) + pi R^2, centroid of the volume at 3/4 H from
    # the apex, of the slanted skin at 2/3 H (standard geometry).
    body = Body.through([Station(0, 0, 0, 0), Station(2, 1, -1, 1)], ROUND)
    slant = math.pi * math.sqrt(5.0)
    assert body.volume == pytest.approx(2 * math.pi / 3, rel=1e-12)
    assert body.area == pytest.approx(slant + math.pi, rel=1e-9)
    assert body.centroid.x == pytest.approx(1.5, rel=1e-12)
    assert body.skin_centroid.x == pytest.approx(
        (slant * 4 / 3 + math.pi * 2) / (slant + math.pi), rel=1e-9
    )


# Afloat, level ------------------------------------------------------------

# s, draught / R, zB / R, BM / R of a sphere. Source: geometry of the spherical cap.
SPHERES = [
    (0.1, 0.3916002113, -0.7438324518, 0.7438324518),
    (0.2, 0.5742814508, -0.6284756476, 0.6284756476),
    (0.25, 0.6527036447, -0.5799888023, 0.5799888023),
    (0.3, 0.7265149822, -0.5350037754, 0.5350037754),
    (0.4, 0.8658621543, -0.4520333547, 0.4520333547),
    (0.5, 1.0, -0.375, 0.375),
    (0.6, 1.134137846, -0.3013555698, 0.3013555698),
    (0.7, 1.273485018, -0.2292873323, 0.2292873323),
    (0.75, 1.347296355, -0.1933296008, 0.1933296008),
    (0.8, 1.425718549, -0.1571189119, 0.1571189119),
    (0.9, 1.608399789, -0.0826480502, 0.0826480502),
]


@pytest.mark.parametrize(("s", "draught", "z_b", "bm"), SPHERES)
def test_sphere(s: float, draught: float, z_b: float, bm: float) -> None:
    # The weight a little low, or every attitude would be a rest.
    rest = afloat(ellipsoid(1.0, 1.0, 1.0), s, 1.0, -0.1)
    assert rest.draught == pytest.approx(draught, abs=2e-6)
    assert rest.freeboard == pytest.approx(2.0 - draught, abs=2e-6)
    assert rest.cb_z == pytest.approx(z_b, abs=2e-6)
    assert rest.gm == pytest.approx(0.1, abs=5e-6)
    assert rest.gm - (rest.cb_z + 0.1) == pytest.approx(bm, abs=5e-6)


def test_sphere_of_a_textbook() -> None:
    # Kaw, Numerical Methods with Applications: R = 0.055 m, specific gravity 0.6, root of
    # x^3 - 0.165 x^2 + 3.993e-4 = 0.
    rest = afloat(ellipsoid(0.055, 0.055, 0.055), 0.6, 0.055, -0.005)
    assert rest.draught == pytest.approx(0.0623775815, abs=2e-7)


# s, draught / R, zB / R of a long circular cylinder. Source: geometry of the circular segment;
# BM = -zB.
CYLINDERS = [
    (0.1, 0.3129511739, -0.8140765103),
    (0.25, 0.5960272467, -0.6497646036),
    (0.4, 0.8422638062, -0.5108407111),
    (0.5, 1.0, -0.4244131816),
    (0.6, 1.157736194, -0.3405604741),
    (0.75, 1.403972753, -0.2165882012),
    (0.9, 1.687048826, -0.09045294559),
]


@pytest.mark.parametrize(("s", "draught", "z_b"), CYLINDERS)
def test_cylinder(s: float, draught: float, z_b: float) -> None:
    rest = afloat(prism(20.0, 2.0, 2.0, ROUND), s, 10.0, 1.0)
    assert rest.pitch == pytest.approx(0.0, abs=1e-9)
    assert rest.draught == pytest.approx(draught, abs=1e-9)
    assert rest.cb_z - 1.0 == pytest.approx(z_b, abs=1e-9)
    assert rest.gm == pytest.approx(0.0, abs=1e-8)


# a, b, c, s, draught, KB, BM across, BM along. Source: the sphere stretched along its axes.
@pytest.mark.parametrize(
    ("a", "b", "c", "s", "draught", "kb", "bm", "bm_along"),
    [
        (6.0, 1.0, 1.2, 0.4, 1.039034585, 0.6575599744, 0.3766944623, 13.56100064),
        (50.0, 10.0, 12.0, 0.6, 13.60965415, 8.383733162, 2.511296415, 62.78241038),
        (45.0, 9.0, 11.0, 0.85, 16.6231482, 9.676003074, 0.886311992, 22.1577998),
        (50.0, 10.0, 10.0, 0.5, 10.0, 6.25, 3.75, 93.75),
    ],
)
def test_ellipsoid_level(
    a: float,
    b: float,
    c: float,
    s: float,
    draught: float,
    kb: float,
    bm: float,
    bm_along: float,
) -> None:
    rest = afloat(ellipsoid(a, b, c), s, a, -0.1 * c)
    rise = rest.cb_z + 0.1 * c
    assert rest.pitch == pytest.approx(0.0, abs=1e-8)
    assert rest.draught == pytest.approx(draught, rel=1e-6)
    assert rest.cb_z + c == pytest.approx(kb, rel=2e-6)
    assert rest.gm - rise == pytest.approx(bm, rel=1e-5)
    assert rest.gm_along - rise == pytest.approx(bm_along, rel=1e-5)


def test_box_of_a_textbook() -> None:
    # Barrass and Derrett, Ship Stability for Masters and Mates, chapter 21, example 2:
    # 150 x 24 x 12 m at 5 m, KG 11.2: KB 2.5, BM 9.6, GM 0.9.
    box = prism(150.0, 24.0, 12.0)
    rest = afloat(box, 5 / 12, 75.0, 11.2)
    assert rest.draught == pytest.approx(5.0, rel=1e-9)
    assert rest.cb_z == pytest.approx(2.5, rel=1e-9)
    assert rest.gm == pytest.approx(0.9, rel=1e-7)


def test_box_of_least_metacentre() -> None:
    # Barrass and Derrett, chapter 12: breadth 10 m, KM is least at B/sqrt(6) = 4.08 m, where
    # it is 4.08 m; BM at 3.5 m is 2.38 m.
    box = prism(100.0, 10.0, 10.0)
    draught = 10.0 / math.sqrt(6.0)

    def km(at: float) -> float:
        return afloat(box, at / 10.0, 50.0, 1.0).gm + 1.0

    assert km(draught) == pytest.approx(4.0824829, rel=1e-7)
    assert km(draught) < min(km(draught - 0.2), km(draught + 0.2))
    assert km(3.5) - 1.75 == pytest.approx(2.3809524, rel=1e-7)


def test_small_box() -> None:
    # 100 x 25 x 20 at 9, KG 8: wall-sided box formulas.
    rest = afloat(prism(100.0, 25.0, 20.0), 0.45, 50.0, 8.0)
    assert rest.immersed_volume == pytest.approx(22500.0)
    assert rest.gm == pytest.approx(2.287037037, rel=1e-9)
    assert rest.gm_along == pytest.approx(89.09259259, rel=1e-9)
    assert rest.draught == pytest.approx(9.0)
    assert rest.freeboard == pytest.approx(11.0)


# Afloat, pitched ----------------------------------------------------------


# xG ahead of the middle, pitch [deg], draught at the deep and at the shallow end of the box
# above. Source: wall-sided box, exact while the water stays between deck and bottom.
@pytest.mark.parametrize(
    ("x_g", "pitch", "deep", "shallow"),
    [
        (2.0, 1.2856551, 10.122134, 7.8778659),
        (5.0, 3.2069285, 11.801499, 6.1985008),
        (12.0, 7.6015589, 15.672809, 2.327191),
    ],
)
@pytest.mark.parametrize("end", [1, -1], ids=["nose down", "tail down"])
def test_box_pitched(x_g: float, pitch: float, deep: float, shallow: float, end: int) -> None:
    rest = afloat(prism(100.0, 25.0, 20.0), 0.45, 50.0 - end * x_g, 8.0)
    assert math.degrees(rest.pitch) == pytest.approx(end * pitch, abs=1e-6)
    levels = (rest.waterline(0.0), rest.waterline(100.0))[::end]
    assert levels == pytest.approx((deep, shallow), abs=1e-5)
    assert rest.draught == pytest.approx(deep * math.cos(rest.pitch), abs=1e-5)


# a, b, c, s, xG towards the deep end, zG, pitch [deg], xB, zB, distance of the water from the
# centre. Source: affine image of the sphere; each row is the only rest within 90 degrees.
@pytest.mark.parametrize(
    ("a", "b", "c", "s", "x_g", "z_g", "pitch", "x_b", "z_b", "distance"),
    [
        (50.0, 10.0, 12.0, 0.6, 4.0, -3.0, 3.8135554, 4.03228705, -3.48437196, 1.66688575),
        (50.0, 10.0, 12.0, 0.6, 1.0, -3.0, 0.923551985, 1.00980342, -3.60813677, 1.61307154),
        (45.0, 9.0, 11.0, 0.85, 6.0, -2.5, 28.4868383, 4.93844136, -0.543780705, 12.0335945),
        (60.0, 10.0, 10.0, 0.5, 20.0, 0.0, 20.6155131, 20.5714286, -1.51901217, 0.0),
    ],
)
def test_ellipsoid_pitched(
    a: float,
    b: float,
    c: float,
    s: float,
    x_g: float,
    z_g: float,
    pitch: float,
    x_b: float,
    z_b: float,
    distance: float,
) -> None:
    rest = afloat(ellipsoid(a, b, c), s, a - x_g, z_g)
    assert math.degrees(rest.pitch) == pytest.approx(pitch, abs=2e-5)
    assert a - rest.cb_x == pytest.approx(x_b, abs=2e-6)
    assert rest.cb_z == pytest.approx(z_b, abs=2e-6)
    # The form measures from the centre, `level` from the origin at the nose.
    assert rest.level - a * math.sin(rest.pitch) == pytest.approx(distance, abs=2e-6)
    across = math.hypot(a * math.sin(rest.pitch), c * math.cos(rest.pitch))
    # The cubics are flat at the highest station, so the very top is the roughest of all.
    assert rest.draught == pytest.approx(across + distance, abs=3e-5)
    assert rest.freeboard == pytest.approx(across - distance, abs=3e-5)


# s, draught / H, GM of a cone R = 1, H = 2 floating on its point; KG = 3 H/4. Source: geometry
# of the cone. Seen from the plug it hangs nose down.
def test_cone_on_its_point() -> None:
    body = Body.through([Station(0, 0, 0, 0), Station(2, 1, -1, 1)], ROUND)
    rest = afloat(body, 0.8, 1.5, 0.0)
    assert rest.pitch == pytest.approx(UPRIGHT, abs=1e-5)
    assert rest.draught / 2 == pytest.approx(0.928317767, rel=1e-5)
    assert rest.gm == pytest.approx(0.240595813, rel=1e-4)
    assert rest.gm_along == pytest.approx(0.240595813, rel=1e-4)


# The same for the paraboloid z = H (r/R)^2: h/H = sqrt(s), KB = 2h/3, BM = R^2/(2H). Source:
# Archimedes, On Floating Bodies II. KG is H/2 here: with 2H/3 the paraboloid is stable on its
# point (GM 0.109) but has less energy lying down, and that is the rest which is asked for.
def test_paraboloid_on_its_point() -> None:
    radius = np.linspace(0.0, 1.0, MANY)
    stations = [Station(2 * r * r, r, -r, r) for r in radius.tolist()]
    rest = afloat(Body.through(stations, ROUND), 0.8, 1.0, 0.0)
    assert rest.pitch == pytest.approx(UPRIGHT, abs=1e-5)
    assert rest.draught / 2 == pytest.approx(0.894427191, rel=1e-5)
    assert rest.cb_x == pytest.approx(1.19256959, rel=1e-5)
    assert rest.gm == pytest.approx(0.109236255 + 4 / 3 - 1.0, rel=1e-4)


# Square log ---------------------------------------------------------------

LOG_LENGTH = 50.0


# s, GM face down, GM corner down, side 1, homogeneous. Source: GM/a = 1/(12 s) - (1 - s)/2 and
# (4/3) sqrt(s) - 1/sqrt(2); Gilbert, How things float, Amer. Math. Monthly 98 (1991), from memory.
@pytest.mark.parametrize(
    ("s", "face", "corner"),
    [
        (0.1, 0.38333333, -0.28546976),
        (0.21, 0.0018253968, -0.096096689),
        (0.22, -0.011212121, -0.081718013),
        (0.25, -0.041666667, -0.040440115),
        (0.3, -0.072222222, 0.023189962),
        (0.5, -0.083333333, 0.23570226),
    ],
)
def test_square_log(s: float, face: float, corner: float) -> None:
    assert afloat(prism(LOG_LENGTH, 1.0, 1.0), s, LOG_LENGTH / 2, 0.5).gm == pytest.approx(
        face, abs=1e-7
    )
    diagonal = math.sqrt(2.0)
    on_edge = prism(LOG_LENGTH, diagonal, diagonal, DIAMOND)
    rest = afloat(on_edge, s, LOG_LENGTH / 2, diagonal / 2)
    assert rest.gm == pytest.approx(corner, abs=1e-7)


# s, heel at which it lies. Source: derived from G and B on one vertical, found also by least
# potential energy of a square polygon.
@pytest.mark.parametrize(
    ("s", "heel"),
    [
        (0.22, 13.674945),
        (0.23, 19.485619),
        (0.25, 26.565051),
        (0.27, 33.690068),
        (0.28, 41.185925),
        (0.3, 45.0),
        (0.5, 45.0),
        (0.72, 41.185925),
        (0.76, 23.485487),
    ],
)
def test_square_log_lies_tilted(s: float, heel: float) -> None:
    log = prism(LOG_LENGTH, 1.0, 1.0)
    tilts = [math.radians(heel + off) for off in (-1.0, 0.0, 1.0)]
    before, at, after = righting_arm(
        log, log.volume, 0.0, (), s * log.volume, LOG_LENGTH / 2, 0.5, 1.0, 0.0, tilts
    ).arm
    assert at == pytest.approx(0.0, abs=1e-8)
    assert before < -1e-6
    assert after > 1e-6


# Submerged ----------------------------------------------------------------


def test_submerged_pitch() -> None:
    # atan2(48 - 46, 2 + 3): moment balance of two vertical forces.
    pitch = submerged_pitch(46.0, -3.0, 48.0, 2.0)
    assert pitch is not None
    assert math.degrees(pitch) == pytest.approx(21.8014095, abs=1e-7)
    assert submerged_pitch(46.0, 3.0, 48.0, 2.0) is None


# How near a body comes that a maker measured at fewer stations, closer at the ends: the
# hardest ellipsoid of the table above, pitch in degrees and draught over height.
@pytest.mark.parametrize(
    ("count", "degrees", "draught"), [(17, 0.05, 1e-3), (25, 0.01, 3e-4), (41, 2e-3, 1e-4)]
)
def test_ellipsoid_pitched_by_few_stations(count: int, degrees: float, draught: float) -> None:
    rest = afloat(ellipsoid(45.0, 9.0, 11.0, count=count), 0.85, 39.0, -2.5)
    assert math.degrees(rest.pitch) == pytest.approx(28.4868383, abs=degrees)
    expected = math.hypot(45 * math.sin(rest.pitch), 11 * math.cos(rest.pitch)) + 12.0335945
    assert rest.draught == pytest.approx(expected, abs=draught * 22.0)
