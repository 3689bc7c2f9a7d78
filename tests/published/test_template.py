"""The paper template and the solid, measured from outside.

The PDF is rasterised by PDFium (pypdfium2) and measured in pixels, the SVG is read
by the standard library's XML parser, the STL by trimesh. One point is 1/72 in
(ISO 32000-1, 8.3.2.3); A4 is 210 x 297 mm (ISO 216); Letter 8 1/2 x 11 in (ANSI Y14.1).
"""

from __future__ import annotations

import io
import math
import re
from datetime import date
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
import trimesh
from numpy.typing import NDArray
from scipy import ndimage

from wizard.drawing.pages import MOST_PAGES, Paper, TooLarge
from wizard.drawing.template import NotDrawn, file, ours
from wizard.plug.body.drawing import drawn_body
from wizard.plug.record import Build
from wizard.store.profile import read

DAY = date(2026, 4, 3)
PROFILES = Path(__file__).parents[2] / "profiles"
DPI = 300
MM = 25.4 / DPI  # mm in a pixel
PEN = 0.3  # mm, of an outline
CLOSE = 0.3  # mm: what a template must be true to

FORM = """
format = 1
[build]
name = "{name}"
[shape]
form = "{form}"
length = "{length}"
height = "{height}"
thickness = "{thickness}"
"""
HOLES = """
[ballast]
[[ballast.hole]]
x = "40 mm"
diameter = "8 mm"
depth = "12 mm"
"""


def built(
    length: str = "95 mm",
    height: str = "25 mm",
    thickness: str = "20 mm",
    form: str = "blunt face",
    name: str = "Slow Minnow",
    more: str = "",
) -> Build:
    text = FORM.format(name=name, form=form, length=length, height=height, thickness=thickness)
    return read((text + more).encode(), "test")[0]


def sheets(build: Build, paper: Paper = "a4") -> list[NDArray[np.uint8]]:
    document = pypdfium2.PdfDocument(file(build, ".pdf", paper, DAY))
    return [
        np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()
        for page in document
    ]


def blobs(sheet: NDArray[np.uint8]) -> list[tuple[float, float, float, float]]:
    """Left, top, width and height [mm] of whatever hangs together in black, widest first."""
    marked, _ = ndimage.label(sheet < 70, structure=np.ones((3, 3)))
    found = []
    for down, right in ndimage.find_objects(marked):
        width, height = (s.stop - s.start for s in (right, down))
        found.append((right.start * MM, down.start * MM, width * MM, height * MM))
    return sorted(found, key=lambda blob: -blob[2])


@pytest.mark.parametrize(
    ("paper", "length", "expected"),
    [("a4", "95 mm", 95.0), ("letter", "4 1/2 in", 114.3), ("a4", "255 mm", 255.0)],
)
def test_outlines_are_printed_at_their_true_size(
    paper: Paper, length: str, expected: float
) -> None:
    first, *_ = sheets(built(length), paper)
    long = [blob for blob in blobs(first) if abs(blob[2] - expected) < 2.0][:2]
    (_, side_top, side_long, high), (_, plan_top, plan_long, broad) = sorted(
        long, key=lambda blob: blob[1]
    )
    assert side_top < plan_top
    assert side_long - PEN == pytest.approx(expected, abs=CLOSE)
    assert plan_long - PEN == pytest.approx(expected, abs=CLOSE)
    assert high - PEN == pytest.approx(25.0, abs=CLOSE)
    assert broad - PEN == pytest.approx(20.0, abs=CLOSE)


@pytest.mark.parametrize(("paper", "high"), [("a4", 297.0), ("letter", 279.4)])
def test_the_check_rule_measures_100_mm_and_4_in(paper: Paper, high: float) -> None:
    for sheet in sheets(built(), paper):
        foot = [blob for blob in blobs(sheet) if blob[1] > high - 27.0]
        lengths = sorted(blob[2] - 0.2 for blob in foot[:2])
        assert lengths == pytest.approx([100.0, 4 * 25.4], abs=CLOSE)


def test_the_check_rule_has_a_tick_every_millimetre_and_eighth_of_an_inch() -> None:
    sheet = sheets(built())[0]
    inch, mm = blobs(sheet)[:2] if blobs(sheet)[0][2] > 100.5 else blobs(sheet)[1::-1]
    across_mm = sheet[round((mm[1] + mm[3] - 0.9) / MM)] < 110
    across_in = sheet[round((inch[1] + 0.9) / MM)] < 110
    for row, blob, ticks in ((across_mm, mm, 101), (across_in, inch, 33)):
        span = row[int(blob[0] / MM) : int((blob[0] + blob[2]) / MM) + 1]
        starts = np.flatnonzero(np.diff(np.concatenate([[False], span]).astype(int)) == 1)
        assert len(starts) == ticks


@pytest.mark.parametrize(
    ("paper", "points"), [("a4", (210 / 25.4 * 72, 297 / 25.4 * 72)), ("letter", (612.0, 792.0))]
)
def test_sheets_have_the_size_of_the_paper(paper: Paper, points: tuple[float, float]) -> None:
    document = pypdfium2.PdfDocument(file(built(), ".pdf", paper, DAY))
    for page in document:
        assert sorted(page.get_size()) == pytest.approx(points, abs=0.1)


def test_readers_are_told_not_to_scale() -> None:
    # ISO 32000-1, table 150: /PrintScaling /None.
    assert re.search(rb"/PrintScaling\s*/None", file(built(), ".pdf", "a4", DAY))


# Tiling --------------------------------------------------------------------


def crosses(sheet: NDArray[np.uint8]) -> list[tuple[float, float]]:
    """Centres of the register marks [mm]: crosses 8 mm across."""
    return sorted(
        (left + width / 2, top + height / 2)
        for left, top, width, height in blobs(sheet)
        if abs(width - 8.0) < 0.5 and abs(height - 8.0) < 0.5
    )


def longest(sheet: NDArray[np.uint8], top: float) -> tuple[float, float]:
    """Left and right end of the outline that begins highest on a sheet [mm]."""
    tall = [b for b in blobs(sheet) if b[3] > 25.0 and b[1] > top]
    left, _, width, _ = min(tall, key=lambda b: b[1])
    return left + PEN / 2, left + width - PEN / 2


def test_tiles_laid_cross_on_cross_give_the_whole_length() -> None:
    first, second, *_ = sheets(built("330 mm", "60 mm", "45 mm"))
    (upper, lower), (upper_too, lower_too) = crosses(first), crosses(second)
    assert lower[1] - upper[1] == pytest.approx(lower_too[1] - upper_too[1], abs=0.1)
    nose, _ = longest(first, 30.0)
    _, tail = longest(second, 30.0)
    assert (upper[0] - nose) + (tail - upper_too[0]) == pytest.approx(330.0, abs=CLOSE)


def test_tiles_overlap_so_that_both_show_the_seam() -> None:
    first, second, *_ = sheets(built("330 mm", "60 mm", "45 mm"))
    _, cut = longest(first, 30.0)
    start, _ = longest(second, 30.0)
    assert cut - crosses(first)[0][0] > 5.0
    assert crosses(second)[0][0] - start > 5.0


def test_a_body_taller_than_the_paper_is_tiled_both_ways() -> None:
    build = built("420 mm", "310 mm", "60 mm")
    document = pypdfium2.PdfDocument(file(build, ".pdf", "a4", DAY))
    words = [page.get_textpage().get_text_range() for page in document]
    whole = next(int(m[1]) for w in words if (m := re.search(r"side.*part 1 of (\d+)", w)))
    assert whole >= 4
    assert sum("side" in w and "part" in w for w in words) >= whole
    for number, text in enumerate(words, start=1):
        assert f"sheet {number} of {len(words)}" in text


def test_an_absurd_length_is_refused_before_it_is_drawn() -> None:
    with pytest.raises(TooLarge) as caught:
        file(built("10 m", "900 mm", "900 mm"), ".pdf", "a4", DAY)
    assert caught.value.pages > MOST_PAGES


@pytest.mark.parametrize("length", ["5 mm", "2 m"])
def test_the_smallest_and_largest_bodies_work(length: str) -> None:
    build = built(length, "3 mm", "3 mm")
    assert len(sheets(build)) <= MOST_PAGES
    assert file(build, ".svg", "letter", DAY).startswith(b"<?xml")


def test_a_thousand_stations_work() -> None:
    rows = "\n".join(
        f'[[shape.station]]\nx = "{i * 0.1:.1f} mm"\ntop = "{20 + math.sin(i / 40):.3f} mm"\n'
        f'bottom = "5 mm"\nhalf_breadth = "8 mm"'
        for i in range(1000)
    )
    build = read(f"format = 1\n{rows}".encode(), "test")[0]
    assert 1 <= len(sheets(build)) <= 4


# What is on it -------------------------------------------------------------


def text_of(build: Build) -> str:
    document = pypdfium2.PdfDocument(file(build, ".pdf", "a4", DAY))
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def test_name_date_and_stations_are_written() -> None:
    text = text_of(built(more=HOLES))
    for words in ("Slow Minnow", "2026-04-03", "A4", "hole 1", "10: 95 mm", "Check rule"):
        assert words in text


def test_a_hole_is_drawn_where_it_is_drilled() -> None:
    root = ElementTree.fromstring(file(built(more=HOLES), ".svg", "a4", DAY))
    side, plan = (part(root, name) for name in ("side", "plan"))
    nose = outline(side)[:, 0].min()
    for figure, high in ((side, 12.0), (plan, 8.0)):
        hidden = points(figure, "hidden")
        (left, top), (right, bottom) = hidden.min(axis=0), hidden.max(axis=0)
        assert right - left == pytest.approx(8.0, abs=0.01)
        assert (left + right) / 2 - nose == pytest.approx(40.0, abs=0.01)
        assert bottom - top == pytest.approx(high, abs=0.01)


def test_hangers_and_line_tie_are_marked() -> None:
    more = """
[shape.line_tie]
x = "10 mm"
z = "20 mm"
[[hardware]]
name = "belly hanger"
x = "50 mm"
z = "-2 mm"
"""
    root = ElementTree.fromstring(file(built(more=more), ".svg", "a4", DAY))
    side = part(root, "side")
    nose = outline(side)[:, 0].min()
    centres = sorted((points_of(p)[:, 0].mean() - nose) for p in paths(side, "rule"))
    assert centres == pytest.approx([10.0, 10.0, 50.0, 50.0], abs=0.01)
    words = [t.text for t in side.iter(f"{SVG}text")]
    assert {"belly hanger", "line tie"} <= set(words)


def test_names_are_not_written_over_one_another() -> None:
    hung = "".join(
        f'[[hardware]]\nname = "{name}"\nx = "50 mm"\nz = "{z} mm"\n'
        for name, z in (("belly hanger", 1), ("ring", -2), ("hook", -5))
    )
    root = ElementTree.fromstring(file(built(more=hung), ".svg", "a4", DAY))
    side, plan = (
        {t.text for t in part(root, name).iter(f"{SVG}text")} for name in ("side", "plan")
    )
    assert {"belly hanger", "ring", "hook"} <= side  # apart in height, one place from above
    assert plan & {"belly hanger", "ring", "hook"} == {"belly hanger"}


# SVG -----------------------------------------------------------------------

SVG = "{http://www.w3.org/2000/svg}"


def part(root: ElementTree.Element, name: str) -> ElementTree.Element:
    return next(g for g in root.iter(f"{SVG}g") if g.get("data-name") == name)


def paths(group: ElementTree.Element, style: str) -> list[ElementTree.Element]:
    return [p for p in group.iter(f"{SVG}path") if p.get("class") == style]


def points_of(path: ElementTree.Element) -> NDArray[np.float64]:
    numbers = re.findall(r"-?[0-9.]+", path.get("d", ""))
    return np.array(numbers, dtype=float).reshape(-1, 2)


def points(group: ElementTree.Element, style: str) -> NDArray[np.float64]:
    return np.concatenate([points_of(path) for path in paths(group, style)])


def outline(group: ElementTree.Element) -> NDArray[np.float64]:
    return points(group, "outline")


@pytest.mark.parametrize(("paper", "width"), [("a4", "210"), ("letter", "215.9")])
def test_svg_is_in_mm_and_true(paper: Paper, width: str) -> None:
    root = ElementTree.fromstring(file(built(), ".svg", paper, DAY))
    assert root.get("width") == f"{width}mm"
    assert root.get("viewBox", "").split()[2] == width  # so that a unit is a mm
    for name, size in (("side", (95.0, 25.0)), ("plan", (95.0, 20.0))):
        drawn = outline(part(root, name))
        assert drawn.max(axis=0) - drawn.min(axis=0) == pytest.approx(size, abs=0.01)


def test_svg_sections_have_the_height_and_breadth_of_their_station() -> None:
    build = built()
    body = drawn_body(build)
    assert body is not None
    root = ElementTree.fromstring(file(build, ".svg", "a4", DAY))
    for number in range(11):
        drawn = outline(part(root, f"section {number}"))
        x = body.length * number / 10
        broad, high = drawn.max(axis=0) - drawn.min(axis=0)
        assert broad == pytest.approx(2e3 * float(body.half_breadth(x)), abs=0.02)
        assert high == pytest.approx(1e3 * float(body.top(x) - body.bottom(x)), abs=0.02)


# Names ---------------------------------------------------------------------

HOSTILE = (
    "<script>alert(1)</script>",
    "]]> & \\\" ' (unbalanced",
    "\\u001b]8;;x\\u0007 \\u0000 \\u202E",
    "Łódź ßtör, 深海の魚 🐟",
    "\\uFFFE\\uFFFF",
    "M" * 5000,
    "",
)


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_stops_or_steers_a_writer(name: str) -> None:
    build = built(name=name)
    root = ElementTree.fromstring(file(build, ".svg", "a4", DAY))
    drawn = outline(part(root, "side"))
    assert np.ptp(drawn[:, 0]) == pytest.approx(95.0, abs=0.01)
    assert {e.tag for e in root.iter()} <= {
        SVG + tag for tag in ("svg", "title", "desc", "style", "g", "path", "text")
    } | {e.tag for e in root.iter() if not e.tag.startswith(SVG)}
    text = text_of(build)
    assert "sheet 1 of" in text
    assert not re.search("[\\x00-\\x08\\x0b\\x0e-\\x1f\\x7f\u202e]", text)


def test_letters_beyond_the_fonts_of_a_pdf_lose_their_accents_only() -> None:
    assert "Lódz" in text_of(built(name="Łódź"))


# STL -----------------------------------------------------------------------


def solid(build: Build) -> trimesh.Trimesh:
    mesh = trimesh.load(io.BytesIO(file(build, ".stl", "a4", DAY)), file_type="stl")
    assert isinstance(mesh, trimesh.Trimesh)
    return mesh


@pytest.mark.parametrize(
    "form",
    ["slant face", "round taper", "full cylinder", "deep oval", "blunt face", "flat back"],
)
def test_the_solid_is_watertight_and_holds_the_volume_of_the_body(form: str) -> None:
    build = built(form=form)
    body, mesh = drawn_body(build), solid(build)
    assert body is not None
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(body.volume * 1e9, rel=1e-3)
    assert mesh.extents == pytest.approx((95.0, 20.0, 25.0), abs=0.05)


def test_an_elliptic_cylinder_holds_pi_a_b_l() -> None:
    rows = "".join(
        f'[[shape.station]]\nx="{x} mm"\ntop="20 mm"\nbottom="4 mm"\nhalf_breadth="6 mm"\n'
        for x in (0, 30, 60)
    )
    mesh = solid(read(f"format = 1\n{rows}".encode(), "test")[0])
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(math.pi * 8.0 * 6.0 * 60.0, rel=1e-3)


# Files ---------------------------------------------------------------------


@pytest.mark.parametrize("suffix", [".pdf", ".svg", ".stl"])
def test_the_same_build_gives_the_same_file_and_it_is_known_again(suffix: str) -> None:
    (wanted,) = (s for s in (".pdf", ".svg", ".stl") if s == suffix)
    data = file(built(), wanted, "a4", DAY)
    assert data == file(built(), wanted, "a4", DAY)
    assert ours(data)
    assert not ours(data.replace(b"Plugwright", b"Somebodyel"))


def test_without_a_body_there_is_no_template() -> None:
    with pytest.raises(NotDrawn, match="no body is drawn yet"):
        file(Build(), ".pdf", "a4", DAY)


TOUCH = 0.5  # points: tails of letters may touch the line below


@pytest.mark.parametrize("demo", ["harbour-dart", "reed-skimmer", "stillpool-hover"])
def test_no_name_lies_on_another(demo: str) -> None:
    profile = PROFILES / f"{demo}.toml"
    build = read(profile.read_bytes(), profile.name)[0]
    words = pypdfium2.PdfDocument(file(build, ".pdf", "a4", DAY))[0].get_textpage()
    boxes = [words.get_rect(n) for n in range(words.count_rects())]
    assert len(boxes) > 30
    for (left, bottom, right, top), other in combinations(boxes, 2):
        beside = right <= other[0] + TOUCH or other[2] <= left + TOUCH
        above = top <= other[1] + TOUCH or other[3] <= bottom + TOUCH
        assert beside or above, (left, bottom, right, top, other)
