"""The marking-out sheet against sums that a maker can do, and the girth factor taken in."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.drawing.marking import MarkingSheet, marking_sheet
from wizard.drawing.marking_text import WIDTH, lines
from wizard.plug.body.drawing import drawn_body
from wizard.plug.body.girth import girth_applied, is_worth_taking
from wizard.plug.derive import derive
from wizard.plug.record import Build
from wizard.plug.rule import Rule, bare, drawable_above, shown
from wizard.store.profile import read

STATIONS = """
format = 1
[build]
name = "Keel Test"
[stock]
length = "4 in"
width = "28 mm"
thickness = "{thickness}"
[shape]
allowance = "3 mm"
[shape.line_tie]
x = "0 mm"
z = "15 mm"
[[shape.station]]
x = "0 mm"
top = "15 mm"
bottom = "15 mm"
half_breadth = "0 mm"
[[shape.station]]
x = "20 mm"
top = "24 mm"
bottom = "4 mm"
half_breadth = "8 mm"
[[shape.station]]
x = "50 mm"
top = "26 mm"
bottom = "2 mm"
half_breadth = "10 mm"
[[shape.station]]
x = "90 mm"
top = "17 mm"
bottom = "13 mm"
half_breadth = "2 mm"
[ballast]
[[ballast.hole]]
x = "50 mm"
y = "2 mm"
diameter = "1/4 in"
depth = "10 mm"
[[ballast.hole]]
x = "30 mm"
axis = "across"
z = "12 mm"
diameter = "6 mm"
depth = "7 mm"
"""
FORM = """
format = 1
[build]
units = {{ length = "{unit}" }}
[shape]
form = "{form}"
length = "4 in"
height = "1 in"
thickness = "3/4 in"
"""


def sheet_of(text: str) -> MarkingSheet:
    found = marking_sheet(read(text.encode(), "test")[0])
    assert found is not None
    return found


def by_stations(thickness: str = "30 mm") -> Build:
    return read(STATIONS.format(thickness=thickness).encode(), "test")[0]


def by_form(form: str = "round taper", unit: str = "in") -> Build:
    return read(FORM.format(form=form, unit=unit).encode(), "test")[0]


def test_the_blank_is_the_body_and_the_allowance_on_every_side() -> None:
    sheet = sheet_of(STATIONS.format(thickness="30 mm"))
    sides = sheet.blank.sides
    # 90, 26 - 2 and 2 x 10 mm, each with 3 mm on either side
    assert (sides.length, sides.height, sides.thickness) == pytest.approx((0.096, 0.030, 0.026))


def test_offsets_are_the_readings_from_the_lower_edge() -> None:
    sheet = sheet_of(STATIONS.format(thickness="30 mm"))
    # The lower edge lies 3 mm under the lowest belly, 2 mm above the baseline: at -1 mm.
    assert [o.along for o in sheet.offsets] == pytest.approx([0.0, 0.02, 0.05, 0.09])
    assert [o.back for o in sheet.offsets] == pytest.approx([0.016, 0.025, 0.027, 0.018])
    assert [o.belly for o in sheet.offsets] == pytest.approx([0.016, 0.005, 0.003, 0.014])
    assert [o.half_breadth for o in sheet.offsets] == pytest.approx([0, 0.008, 0.010, 0.002])
    # The widest level of a section stands at 0.45 of its height when nothing else is said.
    assert [o.widest for o in sheet.offsets] == pytest.approx([0.016, 0.014, 0.0138, 0.0158])


def test_marks_stand_where_they_were_typed() -> None:
    marks = {m.name: m for m in sheet_of(STATIONS.format(thickness="30 mm")).marks}
    assert marks["line tie"].where == "nose"
    assert marks["line tie"].up == pytest.approx(0.016)
    assert marks["hole 1"].where == "belly"
    assert marks["hole 1"].off == pytest.approx(0.002)
    assert marks["hole 1"].drill == pytest.approx((0.25 * 0.0254, 0.010))
    assert (marks["hole 2"].where, marks["hole 2"].way) == ("port side", "straight across")
    assert marks["hole 2"].up == pytest.approx(0.013)


@pytest.mark.parametrize(
    ("thickness", "warned"), [("30 mm", False), ("26 mm", False), ("25.9 mm", True)]
)
def test_a_blank_too_thin_for_the_widest_point_is_seen_before_it_is_cut(
    thickness: str, warned: bool
) -> None:
    findings = sheet_of(STATIONS.format(thickness=thickness)).findings
    thin = [f for f in findings if f.path == ("shape", "thickness")]
    assert bool(thin) is warned
    # 28 mm of width are too little for 24 mm and twice 3 mm; 4 in are enough for 96 mm.
    assert [f.path for f in findings if f not in thin] == [("shape", "height")]
    if warned:
        assert "25.9 mm" in thin[0].wrong
        assert "26 mm" in thin[0].wrong


def test_planned_sizes_are_enough_for_the_blank() -> None:
    text = 'format = 1\n[shape]\nlength = "90 mm"\nheight = "24 mm"\nthickness = "20 mm"'
    sheet = sheet_of(text)
    assert sheet.offsets == ()
    assert sheet.blank.sides.length == pytest.approx(0.09)
    assert sheet.blank.allowance is None


def test_a_slanted_face_is_a_straight_line_to_a_third_of_the_length() -> None:
    build = by_form("slant face")
    body, sheet = drawn_body(build), marking_sheet(build)
    assert body is not None
    assert sheet is not None
    assert sheet.face is not None
    assert sheet.face.slanted
    assert sheet.face.back_to == pytest.approx(4 * 0.0254 / 3)
    edge = float(body.top(body.length / 3)) - sheet.face.high
    for share in (0.25, 0.5, 0.75):  # halfway along the line, the back stands on it
        straight = sheet.face.low + share * (sheet.face.high - sheet.face.low)
        assert float(body.top(share * body.length / 3)) - edge == pytest.approx(
            straight, abs=0.2e-3
        )


@pytest.mark.parametrize("form", ["slant face", "flat back", "blunt face", "deep oval"])
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_text_keeps_to_its_width_and_its_unit(form: str, unit: str) -> None:
    sheet = marking_sheet(by_form(form, unit))
    assert sheet is not None
    text = lines(sheet)
    assert max(map(len, text)) <= WIDTH
    whole = "\n".join(text)
    assert ("4 in" in whole) is (unit == "in")
    assert ("101.5 mm" in whole) is (unit == "mm")  # 101.6 mm, to the nearest 0.5 mm


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=300), st.text(max_size=300))
def test_no_name_breaks_the_text(name: str, hung: str) -> None:
    from dataclasses import replace

    from wizard.plug.record import Hardware, Heading
    from wizard.quantity.reading import Quantity

    at = Quantity("10 mm", 0.01, "length", "mm")
    build = replace(
        by_stations(),
        build=Heading(name=name),
        hardware=(Hardware(name=hung, x=at, z=at),),
    )
    sheet = marking_sheet(build)
    assert sheet is not None
    for line in lines(sheet):
        assert len(line) <= WIDTH
        assert line.isprintable()


# Rules ---------------------------------------------------------------------


def in_metres(text: str, rule: Rule) -> float:
    number = sum(Fraction(part) for part in text.split())
    return float(number) * {"in": 0.0254, "mm": 0.001}[rule]


@given(st.floats(0.0, 3.0), st.sampled_from(["in", "mm"]))
def test_a_length_is_shown_to_the_nearest_pencil_line(length: float, rule: Rule) -> None:
    finest = {"in": 0.0254 / 32, "mm": 0.0005}[rule]
    text = shown(length, rule)
    assert text == f"{bare(length, rule)} {rule}"
    assert in_metres(bare(length, rule), rule) == pytest.approx(length, abs=finest / 2 + 1e-9)
    above = drawable_above(length, rule)
    assert length - 1e-8 <= above < length + finest


# Girth ---------------------------------------------------------------------


@pytest.mark.parametrize("girth", [0.93, 1.04, 1.12])
@pytest.mark.parametrize("form", ["slant face", "deep oval", "flat back"])
def test_the_volume_of_a_form_goes_with_the_square_of_the_girth(form: str, girth: float) -> None:
    before = by_form(form)
    after = girth_applied(before, girth)
    old, new = drawn_body(before), drawn_body(after)
    assert old is not None
    assert new is not None
    assert new.volume / old.volume == pytest.approx(girth**2, rel=1e-3)
    assert after.shape.length == before.shape.length
    assert after.shape.height is not None
    assert after.shape.height.unit == "in"
    # 1 in times the girth, to the nearest 0.0005 in
    assert after.shape.height.value / 0.0254 == pytest.approx(girth, abs=0.00026)
    assert round(after.shape.height.value / 0.0254 / 0.0005, 6).is_integer()


def test_stations_grow_about_their_own_middle() -> None:
    before = by_stations()
    after = girth_applied(before, 1.1)
    for old, new in zip(before.shape.station, after.shape.station, strict=True):
        assert old.top and old.bottom and old.half_breadth  # noqa: PT018
        assert new.top and new.bottom and new.half_breadth  # noqa: PT018
        assert new.x == old.x
        middle = (old.top.value + old.bottom.value) / 2
        assert (new.top.value + new.bottom.value) / 2 == pytest.approx(middle, abs=1e-5)
        span = 1.1 * (old.top.value - old.bottom.value)
        assert new.top.value - new.bottom.value == pytest.approx(span, abs=1.1e-5)
        assert new.half_breadth.value == pytest.approx(1.1 * old.half_breadth.value, abs=5.1e-6)
        assert new.top.unit == "mm"


@pytest.mark.parametrize("weighed", ["10 g", "13 g"])
def test_once_applied_the_factor_is_one(weighed: str) -> None:
    more = f"""
[weighing]
mass = "{weighed}"
[[density.sample]]
method = "known"
density = "0.4 g/mL"
"""
    for text in (FORM.format(form="round taper", unit="mm"), STATIONS.format(thickness="30 mm")):
        build = read((text + more).encode(), "test")[0]
        girth = derive(build).value("girth")
        assert girth is not None
        assert is_worth_taking(girth.value)
        again = derive(girth_applied(build, girth.value)).value("girth")
        assert again is not None
        assert again.value == pytest.approx(1.0, abs=2e-3)
        assert not is_worth_taking(again.value)


# V_b = m_b / rho over the drawn volume goes with the square of height and breadth.
@pytest.mark.parametrize(("share", "cause"), [(0.7, "slimmer"), (1.0, ""), (1.4, "fuller")])
def test_a_girth_factor_far_from_one_names_its_causes(share: float, cause: str) -> None:
    build = read(FORM.format(form="round taper", unit="mm").encode(), "test")[0]
    drawn = derive(build).value("shape_volume")
    assert drawn is not None
    more = f'''
[weighing]
mass = "{400.0 * drawn.value * share * 1e3:.4f} g"
[[density.sample]]
method = "known"
density = "0.4 g/mL"
'''
    text = FORM.format(form="round taper", unit="mm") + more
    derived = derive(read(text.encode(), "test")[0])
    girth = derived.value("girth")
    assert girth is not None
    assert girth.value == pytest.approx(math.sqrt(share), rel=1e-4)
    said = [f for f in derived.warnings if "girth factor" in f.wrong]
    assert bool(said) is bool(cause)
    assert all(cause in f.remedy for f in said)
