"""The picture and the figures for any body: what holds whatever was typed."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from wizard.drawing.canvas import Canvas
from wizard.drawing.scene import Scene, scene
from wizard.drawing.sheets import Window, clipped
from wizard.drawing.terminal import NARROWEST, lines
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derive import derive
from wizard.plug.record import Ballast, Build, Hardware, Hole, Place, Shape, Station
from wizard.quantity.reading import Quantity, read
from wizard.store import profile

FLOATER = """
format = 1
[build]
units = {{ length = "{unit}" }}
[water]
temperature = "18 degC"
salinity = "0 g/kg"
[aim]
behaviour = "floats"
margin = "{margin}"
[shape]
form = "round taper"
length = "95 mm"
height = "25 mm"
thickness = "20 mm"
[weighing]
mass = "10 g"
[[density.sample]]
method = "known"
density = "0.42 g/mL"
uncertainty = "0.01 g/mL"
[ballast]
metal = "lead"
filler = "epoxy"
[[ballast.hole]]
x = "{x}"
diameter = "9 mm"
depth = "14 mm"
"""


def mm(value: float) -> Quantity:
    found = read(f"{value:.4f} mm", "length", negative=True)
    assert isinstance(found, Quantity)
    return found


lengths = st.floats(5.0, 2000.0)


@st.composite
def builds(draw: st.DrawFn) -> Build:
    """Any drawn body from 5 mm to 2 m with holes and hardware anywhere."""
    length = draw(lengths)
    count = draw(st.integers(2, 8))
    gaps = draw(st.lists(st.floats(0.1, 1.0), min_size=count - 1, max_size=count - 1))
    along = np.concatenate([[0.0], np.cumsum(gaps)]) / sum(gaps) * length
    girth = length * draw(st.floats(0.02, 1.0))
    base = draw(st.floats(-50.0, 50.0))
    rows = []
    for x in along:
        high, broad, lift = (draw(st.floats(0.05, 1.0)) * girth for _ in range(3))
        rows.append(Station(mm(x), mm(base + lift + high), mm(base + lift), mm(broad / 2)))
    anywhere = st.floats(-0.5, 1.5).map(lambda share: mm(share * length))
    axis = st.sampled_from([None, "up", "down", "across"])
    holes = tuple(
        Hole(
            x=mm(draw(st.floats(0.0, 1.0)) * length),
            axis=draw(axis),
            diameter=mm(girth * 0.2 + 0.1),
            depth=mm(girth * 0.3 + 0.1),
            point=None,
        )
        for _ in range(draw(st.integers(0, 3)))
    )
    hung = tuple(
        Hardware(name=draw(st.text(max_size=12)), x=draw(anywhere), z=draw(anywhere))
        for _ in range(draw(st.integers(0, 3)))
    )
    tie = draw(st.none() | st.builds(Place, x=anywhere, z=anywhere))
    return Build(
        shape=Shape(station=tuple(rows), line_tie=tie),
        ballast=Ballast(hole=holes),
        hardware=hung,
    )


def drawn(build: Build) -> Scene:
    found = scene(build, derive(build))
    assert found is not None
    return found


@settings(max_examples=80, deadline=None)
@given(builds(), st.integers(20, 200), st.booleans(), st.sampled_from([None, 0.0, 0.3, 1.0]))
def test_any_body_fits_any_width(
    build: Build, width: int, plain: bool, share: float | None
) -> None:
    body = drawn_body(build)
    assert body is not None
    station = None if share is None else body.nose + share * body.length
    found = scene(build, derive(build), station)
    assert found is not None
    picture = lines(found, width, plain=plain)
    assert max(map(len, picture)) <= width
    assert len(picture) < 3 * (10 + width // 5) + 16
    assert any(set(line) & set("/\\|_-'." if plain else map(chr, range(0x2800, 0x2900)))
               for line in picture)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(builds(), st.integers(1, 200))
def test_the_plain_picture_is_ascii(build: Build, width: int) -> None:
    picture = lines(drawn(build), width, plain=True)
    assert all(line.isascii() and line.isprintable() for line in picture)
    assert max(map(len, picture)) <= max(width, NARROWEST)


@settings(max_examples=40, deadline=None)
@given(builds(), st.floats(-1.5, 1.5))
def test_tilting_keeps_distances(build: Build, pitch: float) -> None:
    level = drawn(build).side
    tilted = level.tilted(pitch)
    gaps = [np.hypot(*(view.outline - view.outline[0]).T) for view in (level, tilted)]
    assert gaps[1] == pytest.approx(gaps[0], rel=1e-9, abs=1e-12)


def test_nose_down_brings_the_tail_up() -> None:
    tilted = drawn(floater()).side.tilted(0.3)
    nose, tail = (tilted.outline[pick(tilted.outline[:, 0])] for pick in (np.argmin, np.argmax))
    assert tail[1] > nose[1] + 0.02


@settings(max_examples=60, deadline=None)
@given(builds(), st.floats(0.0, 1.0))
def test_a_section_has_the_height_and_breadth_of_its_place(build: Build, share: float) -> None:
    body = drawn_body(build)
    assert body is not None
    x = body.nose + share * body.length
    found = scene(build, derive(build), x)
    assert found is not None
    assert found.station == pytest.approx(x)
    size = np.ptp(found.section.outline, axis=0)
    assert size[0] == pytest.approx(2 * float(body.half_breadth(x)), abs=1e-9)
    assert size[1] == pytest.approx(float(body.top(x) - body.bottom(x)), abs=1e-9)


# A floating plug -----------------------------------------------------------


def floater(x: str = "40 mm", margin: str = "15 %", unit: str = "mm") -> Build:
    return profile.read(FLOATER.format(x=x, margin=margin, unit=unit).encode(), "test")[0]


def side_rows(picture: tuple[str, ...]) -> list[str]:
    return list(picture[1 : picture.index("from above (mm)") - 1])


@pytest.mark.parametrize("width", [40, 60])
@pytest.mark.parametrize("margin", ["8 %", "15 %", "30 %"])
def test_the_water_stands_where_draught_and_freeboard_put_it(margin: str, width: int) -> None:
    build = floater(margin=margin)
    derived = derive(build)
    draught, freeboard = derived.value("draught"), derived.value("freeboard")
    assert draught is not None
    assert freeboard is not None
    found = scene(build, derived)
    assert found is not None
    rows = side_rows(lines(found, width, plain=True))
    (water,) = (n for n, row in enumerate(rows) if "~" in row)
    share = freeboard.value / (freeboard.value + draught.value)
    assert water == pytest.approx(share * len(rows) - 0.5, abs=1.0)


def test_gravity_and_buoyancy_stand_on_one_vertical_afloat() -> None:
    found = drawn(floater())
    assert found.lies == "floats"
    marks = {m.sign: m for m in found.side.marks}
    assert marks["gravity"].right == pytest.approx(marks["buoyancy"].right, abs=1e-6)
    assert found.water is not None
    assert marks["buoyancy"].up < found.water


@pytest.mark.parametrize("width", [40, 80, 120])
def test_letters_and_the_legend_agree(width: int) -> None:
    picture = lines(drawn(floater()), width, plain=True)
    body = "\n".join(picture[1:-1])
    for letter in ("G", "B", "~", "#"):
        assert letter in body
    for entry in picture[-1].split("  "):
        assert entry[0] in body


@settings(max_examples=20, deadline=None)
@given(st.integers(15, 80), st.integers(40, 160))
@example(40, 100)
def test_the_lead_is_drawn_where_its_hole_is(x: int, width: int) -> None:
    found = drawn(floater(x=f"{x} mm"))
    picture = lines(found, width, plain=True)
    start = picture.index("from above (mm)")
    ruler = next(n for n in range(start, len(picture)) if set(picture[n]) <= set(" |^"))
    ticks = [n for n, sign in enumerate(picture[ruler]) if sign in "|^"]
    numbers = picture[ruler + 1].split()
    scale = (ticks[-1] - ticks[0]) / float(numbers[-1])
    lead = [n for row in picture[start:ruler] for n, sign in enumerate(row) if sign == "#"]
    middle = (min(lead) + max(lead)) / 2
    assert middle - ticks[0] == pytest.approx(x * scale, abs=1.6)


def test_inches_are_read_off_a_ruler_in_inches() -> None:
    picture = lines(drawn(floater(unit="in")), 80)
    assert "from above (in)" in picture
    assert any({"0", "1", "2", "3"} <= set(line.split()) for line in picture)


@pytest.mark.parametrize("width", [30, 46, 78])
def test_a_picture_for_few_rows_keeps_the_side_view_longest(width: int) -> None:
    whole = drawn(floater(margin="15 %"))
    full = lines(whole, width)
    views = ("section at", "from above", "floats")
    seen = [
        tuple(any(view in line for line in lines(whole, width, rows=rows)) for view in views)
        for rows in range(len(full), 2, -1)
    ]
    assert seen[0] == (True, True, True)
    assert all(after <= before for before, after in pairwise(seen))  # what went stays away
    assert seen[-1] == (False, False, True)
    for rows in range(3, len(full) + 1):
        assert len(lines(whole, width, rows=rows)) <= rows


def test_without_a_body_there_is_no_picture() -> None:
    assert scene(Build(), derive(Build())) is None


# Canvas and clipping -------------------------------------------------------

corner = st.tuples(st.floats(4.0, 70.0), st.floats(4.0, 70.0))


@settings(max_examples=80, deadline=None)
@given(corner, st.floats(6.0, 30.0), st.floats(6.0, 30.0), st.floats(0.0, math.pi))
def test_a_filled_rectangle_has_its_own_area(
    middle: tuple[float, float], wide: float, high: float, turn: float
) -> None:
    # Closed form: width times height, to the dots that its edge may cut.
    c, s = math.cos(turn), math.sin(turn)
    square = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)]) / 2
    points = square @ np.array([[c, s], [-s, c]]) + middle + 30.0
    canvas = Canvas(70, 35)
    canvas.fill(points, lead=True)
    signs = "".join(canvas.lines(plain=False)).replace(" ", "")
    dots = sum((ord(sign) - 0x2800).bit_count() for sign in signs)
    assert dots == pytest.approx(wide * high, abs=wide + high + 2)


@settings(max_examples=60, deadline=None)
@given(corner, corner)
def test_a_stroke_is_one_dot_thick_and_reaches_both_ends(
    start: tuple[float, float], end: tuple[float, float]
) -> None:
    canvas = Canvas(40, 20)
    canvas.stroke(np.array([start, end]), closed=False)
    picture = canvas.lines(plain=False)
    for right, down in (start, end):
        sign = picture[int(down) // 4].ljust(40)[int(right) // 2]
        assert sign != " "
    dots = sum((ord(s) - 0x2800).bit_count() for row in picture for s in row if s != " ")
    reach = max(abs(start[0] - end[0]), abs(start[1] - end[1]))
    assert reach - 1 <= dots <= 2 * reach + 3


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=2, max_size=6),
    st.booleans(),
)
def test_clipping_keeps_exactly_what_a_window_shows(
    points: list[tuple[float, float]], closed: bool
) -> None:
    # Independent: walk the line in small steps and count those inside.
    window = Window(-20.0, -10.0, 40.0, 25.0)
    corners = np.array([*points, points[0]] if closed else points)
    steps = np.linspace(0.0, 1.0, 2001)[:-1] + 1 / 4000
    inside = 0.0
    for a, b in pairwise(corners):
        walk = a + np.outer(steps, b - a)
        held = (np.abs(walk[:, 0]) <= 20.0) & (walk[:, 1] >= -10.0) & (walk[:, 1] <= 15.0)
        inside += held.mean() * float(np.hypot(*(b - a)))
    pieces = clipped(np.array(points), closed, window)
    kept = sum(float(np.hypot(*np.diff(piece, axis=0).T).sum()) for piece in pieces)
    assert kept == pytest.approx(inside, abs=0.15 * len(corners))
    for piece in pieces:
        assert piece[:, 0].min() >= -20.0 - 1e-9
        assert piece[:, 1].max() <= 15.0 + 1e-9
