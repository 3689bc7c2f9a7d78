"""The sheet read back by other libraries: pypdf, pypdfium2, html5lib, markdown-it, csv, numpy."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from unicodedata import category

import html5lib
import numpy as np
import pypdfium2 as pdfium
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from pypdf import PdfReader

from wizard.papers.export import SUFFIXES, Item, OneOnly, Suffix, exported
from wizard.plug.derive import derive
from wizard.plug.onward.personal import without_personal
from wizard.plug.onward.scaled import Wish, factor_to, scaled
from wizard.plug.paths import put
from wizard.plug.record import Build, Shown, Swim
from wizard.plug.weightlog import weight_log
from wizard.quantity.reading import read
from wizard.report.account_csv import account_csv
from wizard.report.as_html import html
from wizard.report.as_markdown import markdown
from wizard.report.as_text import WIDTH, text
from wizard.report.finishing import finished, numbers_shown
from wizard.report.page import LOUD, Page, Section, columns
from wizard.report.sheet import sheet
from wizard.store import profile

DEMOS = Path(__file__).parents[2] / "profiles"
DAY = date(2026, 4, 2)


def demo(name: str) -> Build:
    path = DEMOS / name
    return profile.read(path.read_bytes(), str(path))[0]


DART, SKIMMER = demo("harbour-dart.toml"), demo("reed-skimmer.toml")


def made(suffix: Suffix, *builds: Build) -> bytes:
    return exported([Item("plug.toml", b) for b in builds], suffix, DAY, paper="a4")


def squeezed(words: str) -> str:
    return "".join(words.split())


def cells(page: Page) -> list[str]:
    """Everything that a page says."""
    said = [page.title, *page.lead, page.foot]
    for section in page.sections:
        said += [section.title, *section.lines, *(c.head for c in section.columns)]
        said += [cell for row in section.rows for cell in row]
    return [one for one in said if one.strip()]


# PDF --------------------------------------------------------------------------


@pytest.mark.parametrize("build", [DART, SKIMMER])
def test_the_pdf_says_all_that_the_page_says(build: Build) -> None:
    reader = PdfReader(io.BytesIO(made(".pdf", build)))
    assert 1 <= len(reader.pages) <= 2
    told = squeezed("".join(page.extract_text() for page in reader.pages))
    page = sheet(build, derive(build), DAY, "0.1.0")
    # The PDF's one font has the signs of ISO 8859-1; typographic quotes become straight.
    for cell in cells(page):
        for word in re.findall(r"[A-Za-z0-9.±]+", cell):
            assert word in told, word


def drawn_share(image: Any, box: Sequence[float]) -> float:
    """The share of dark dots in a part of a page, given as shares of its size."""
    grey = np.asarray(image.convert("L"))
    height, width = grey.shape
    left, top, right, bottom = box
    part = grey[int(top * height) : int(bottom * height), int(left * width) : int(right * width)]
    return float((part < 128).mean())


@pytest.mark.parametrize("build", [DART, SKIMMER])
def test_the_picture_and_the_outline_are_on_the_paper(build: Build) -> None:
    pages = pdfium.PdfDocument(made(".pdf", build))
    images = [page.render(scale=2).to_pil() for page in pages]
    bare = replace(build, shape=type(build.shape)())
    without = pdfium.PdfDocument(made(".pdf", bare))[0].render(scale=2).to_pil()
    picture, outline = (0.05, 0.10, 0.95, 0.20), (0.05, 0.68, 0.95, 0.95)
    assert 0.002 < drawn_share(images[0], picture) < 0.2
    assert 0.002 < drawn_share(images[-1], outline) < 0.2
    # The hull is a long curve: dark dots in nearly every column of its half of the strip.
    grey = np.asarray(images[0].convert("L"))
    height, width = grey.shape
    strip = grey[int(0.11 * height) : int(0.19 * height), int(0.08 * width) : int(0.38 * width)]
    assert float((strip < 160).any(axis=0).mean()) > 0.95
    assert images[0].size == without.size


def test_two_sheets_stand_side_by_side_on_one_leaf() -> None:
    sibling = scaled(DART, Wish(factor_to(DART, 0.14))).build
    reader = PdfReader(io.BytesIO(made(".pdf", DART, sibling)))
    first = reader.pages[0]
    width, height = float(first.mediabox.width), float(first.mediabox.height)
    assert width == pytest.approx(297 * 72 / 25.4, abs=1)
    assert height == pytest.approx(210 * 72 / 25.4, abs=1)
    at: dict[str, float] = {}

    def place(words: str, _: Any, matrix: Any, font: Any, size: float) -> None:
        if words.strip():
            at.setdefault(words.strip(), float(matrix[4]))

    first.extract_text(visitor_text=place)
    assert DART.build.name is not None
    assert sibling.build.name is not None
    assert at[DART.build.name] < width / 2 < at[sibling.build.name]


def test_the_same_build_gives_the_same_file() -> None:
    assert made(".pdf", SKIMMER) == made(".pdf", SKIMMER)
    assert made(".html", SKIMMER) == made(".html", SKIMMER)


def test_notes_without_end_lose_nothing() -> None:
    words = [f"word{n}x" for n in range(4000)]
    lines = "\n".join(" ".join(words[n : n + 20]) for n in range(0, 4000, 20))
    long = put(SKIMMER, ("build", "notes"), lines)
    reader = PdfReader(io.BytesIO(made(".pdf", long)))
    told = "".join(page.extract_text() for page in reader.pages)
    assert [word for word in words if word not in told] == []


# HTML -------------------------------------------------------------------------

HOSTILE = '<script>alert("x")</script> & </style> "quoted" \x1b[31m \u202e [x](javascript:y)'


def parsed(data: bytes) -> Any:
    """The document by a strict parser: any error of the standard stops it."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return parser.parse(data.decode())


@pytest.mark.parametrize("builds", [(DART,), (SKIMMER,), (DART, SKIMMER)])
def test_the_html_is_valid_and_stands_alone(builds: tuple[Build, ...]) -> None:
    document = parsed(made(".html", *builds))
    tags = {element.tag for element in document.iter() if isinstance(element.tag, str)}
    assert not tags & {"script", "link", "iframe", "object", "img", "form"}
    links = [v for e in document.iter() for k, v in e.attrib.items() if k in ("href", "src")]
    assert links == []
    assert len(document.findall(".//h1")) == len(builds)
    assert len(document.findall(".//{*}svg")) == len(builds)


def test_nothing_that_was_typed_acts_in_the_html() -> None:
    bad = put(put(DART, ("build", "name"), HOSTILE), ("build", "notes"), HOSTILE)
    bad = put(bad, ("hardware", 0, "name"), HOSTILE)
    data = made(".html", bad)
    document = parsed(data)
    assert not [e for e in document.iter() if e.tag == "script"]
    assert "".join(document.find(".//h1").itertext()).startswith("<script>alert")
    assert b"\x1b" not in data
    assert "\u202e" not in data.decode()


@settings(deadline=None, max_examples=60)
@given(st.text(max_size=60))
def test_any_text_comes_back_from_the_html_and_none_acts(cell: str) -> None:
    page = Page(cell, (), (Section("s", (cell,), columns("a", "b"), ((cell, "x"),)),))
    told = html([page], [""])
    assert [c for c in told if category(c)[0] == "C" and c != "\n"] == []
    document = parsed(told.encode())
    if not any(category(c)[0] == "C" for c in "".join(cell.split())):
        for place in (".//td", ".//section/p", ".//h1"):
            assert "".join(document.find(place).itertext()) == " ".join(cell.split())


# Markdown ---------------------------------------------------------------------


def rendered(source: str) -> Any:
    """The Markdown as another library renders it, every extension on that it has."""
    engine = MarkdownIt("js-default", {"html": True, "linkify": False})
    return html5lib.HTMLParser(namespaceHTMLElements=False).parse(engine.render(source))


@pytest.mark.parametrize("build", [DART, SKIMMER])
def test_the_markdown_renders_to_the_page(build: Build) -> None:
    page = sheet(build, derive(build), DAY, "0.1.0")
    document = rendered(markdown(page))
    assert "".join(document.find(".//h1").itertext()) == page.title
    assert len(document.findall(".//h2")) == len(page.sections)
    tables = document.findall(".//table")
    with_rows = [section for section in page.sections if section.rows]
    assert len(tables) == len(with_rows)
    for table, section in zip(tables, with_rows, strict=True):
        rows = [["".join(c.itertext()) for c in row] for row in table.findall(".//tbody/tr")]
        wanted = [[" ".join(cell.split()) for cell in row] for row in section.rows]
        loud = [[f"{LOUD} {row[0]}", *row[1:]] for row in wanted]
        for n, row in enumerate(rows):
            assert row == (loud[n] if n in section.loud else wanted[n])


MARKUP = st.text(alphabet="#*_`[]()<>|~!&\\-+=.1 ax:/@w$^\t", max_size=40)


@settings(deadline=None, max_examples=100)
@given(MARKUP)
@example("1 #")
@example("#")
@example("a ## ")
def test_nothing_that_was_typed_is_markup(cell: str) -> None:
    shown = " ".join(cell.split())
    section = Section("s", (f"x{shown}", shown), columns("a", "b"), ((shown, "x"),))
    document = rendered(markdown(Page(f"t{shown}", (shown,) if shown else (), (section,))))
    assert "".join(document.find(".//h1").itertext()) == f"t{shown}"
    paragraphs = ["".join(p.itertext()) for p in document.findall(".//p")]
    assert paragraphs == [one for one in (shown, f"x{shown}", shown) if one]
    assert "".join(document.find(".//td").itertext()) == shown
    for tag in ("em", "strong", "code", "a", "s", "li", "hr", "blockquote"):
        assert document.findall(f".//{tag}") == []


# Text, CSV --------------------------------------------------------------------


@pytest.mark.parametrize("build", [DART, SKIMMER])
def test_the_text_is_78_wide_and_says_all(build: Build) -> None:
    page = sheet(build, derive(build), DAY, "0.1.0")
    told = text(page)
    assert max(len(line) for line in told.splitlines()) <= WIDTH
    whole = squeezed(told)
    for cell in cells(page):
        for word in cell.split():
            assert word in whole, word


@pytest.mark.parametrize("build", [DART, SKIMMER])
def test_the_account_adds_up_in_a_spreadsheet(build: Build) -> None:
    told = account_csv(build, derive(build))
    rows = list(csv.DictReader(io.StringIO(told)))
    parts = [row for row in rows if row["row"] == "part"]
    (whole,) = [row for row in rows if row["row"] == "sum"]
    for key in ("mass_g", "volume_mL"):
        total = sum(float(row[key]) for row in parts if row[key])
        assert total == pytest.approx(float(whole[key]), rel=1e-4)
    # numpy reads it as columns, as a spreadsheet does.
    plain = re.sub(r'"[^"]*"', "name", told).replace("'", "")
    table = np.genfromtxt(io.StringIO(plain), delimiter=",", names=True, dtype=None, encoding=None)
    masses = table["mass_g"][: len(parts)]
    assert float(np.nansum(masses)) == pytest.approx(float(whole["mass_g"]), rel=1e-4)
    weighed = [row for row in rows if row["row"] == "weighing"]
    assert len(weighed) == len(weight_log(build, derive(build)))


@pytest.mark.parametrize("name", ["=1+1", "+cmd", "-2", "@sum", 'a "quoted", name'])
def test_no_name_is_a_formula_in_a_spreadsheet(name: str) -> None:
    bad = put(DART, ("hardware", 0, "name"), name)
    rows = list(csv.DictReader(io.StringIO(account_csv(bad, derive(bad)))))
    (cell,) = [row["name"] for row in rows if name in row["name"]]
    assert cell[0] not in "=+-@"


# What is on it ----------------------------------------------------------------


def section(page: Page, title: str) -> Section:
    return next(s for s in page.sections if s.title.startswith(title))


def test_holes_that_nobody_said_are_drilled_are_not_called_drilled() -> None:
    page = sheet(DART, derive(DART), DAY, "0.1.0")
    assert section(page, "Ballast").title == "Ballast"


def test_a_lead_plug_carries_its_cautions_and_another_does_not() -> None:
    tin = put(DART, ("ballast", "metal"), "tin")
    with_lead, without = (sheet(b, derive(b), DAY, "0.1.0") for b in (DART, tin))
    assert any("lead" in line.lower() for line in section(with_lead, "Cautions").lines)
    assert not any(s.title.startswith("Cautions") for s in without.sections)


def test_numbers_shown_when_finished_stand_beside_todays_where_they_differ() -> None:
    derived = derive(DART)
    kept = finished(DART, derived, "0.1.0", datetime(2026, 4, 2, tzinfo=UTC))
    same = section(sheet(kept, derived, DAY, "0.1.0"), "Numbers")
    assert "every number is the same" in same.lines[0]
    then = {**numbers_shown(derived, DART.build.units), "finished_mass": "1 g"}
    other = replace(kept, shown=Shown("0.0.9", kept.shown.at if kept.shown else None, then))
    moved = section(sheet(other, derived, DAY, "0.1.0"), "Numbers")
    assert len(moved.loud) == 1
    (row,) = (moved.rows[n] for n in moved.loud)
    assert row[1] == "1 g"
    assert row[2] == numbers_shown(derived, DART.build.units)["finished_mass"]


def test_every_carried_over_answer_is_marked_on_the_sheet() -> None:
    sibling = scaled(DART, Wish(1.3)).build
    page = sheet(sibling, derive(sibling), DAY, "0.1.0")
    (line,) = section(page, "Carried over").lines
    assert sibling.origin is not None
    assert [mark for mark in sibling.origin.carried if mark not in line] == []
    for row in section(page, "Coats").rows:
        assert row[0].endswith("*")
        assert row[1].endswith("*")


def test_swim_notes_are_on_the_sheet() -> None:
    swum = replace(DART, swim=(Swim(action="a slow roll", line="0.25 mm", on=DAY),))
    assert "a slow roll" in section(sheet(swum, derive(swum), DAY, "0.1.0"), "Swim").rows[0]


# What is left out -------------------------------------------------------------


def test_nothing_personal_goes_with_a_build_that_is_handed_on() -> None:
    secret = "a maker who wants no name"
    told = replace(DART, swim=(Swim(water=secret, action="rolls"),), other={"x": secret})
    for path in (("build", "maker"), ("build", "notes"), ("trial", 0, "notes"),
                 ("density", "sample", 0, "note"), ("weighing", "note")):  # fmt: skip
        told = put(told, path, secret)
    told = put(told, ("build", "tags"), (secret,))
    told = put(told, ("schedule", "zone"), "Pacific/Auckland")
    assert without_personal(told).schedule.zone is None
    for suffix in SUFFIXES:
        wanted = [Item("plug.toml", told)]
        whole = exported(wanted, suffix, DAY, paper="a4")
        bare = exported(wanted, suffix, DAY, personal=False, paper="a4")
        assert secret.encode() not in bare, suffix
        assert b"Auckland" not in bare, suffix
        if suffix in (".toml", ".html", ".md", ".txt"):
            assert secret.encode() in whole, suffix
    numbers = derive(without_personal(told)).numbers
    assert {n: v.published for n, v in numbers.items()} == {
        n: v.published for n, v in derive(told).numbers.items()
    }


def test_the_profile_that_is_handed_on_opens_again() -> None:
    build, odd = profile.read(made(".toml", SKIMMER), "gift.toml")
    assert odd == ()
    assert build == SKIMMER


def test_a_file_for_one_build_takes_one() -> None:
    with pytest.raises(OneOnly, match="one build"):
        made(".csv", DART, SKIMMER)


def test_a_build_with_nothing_in_it_has_a_sheet_of_every_kind() -> None:
    salted = put(Build(), ("water", "salinity"), read("35 g/kg", "salinity"))
    for suffix in SUFFIXES:
        assert made(suffix, Build())
        assert made(suffix, salted)
