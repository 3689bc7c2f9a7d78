"""Cautions: each where it belongs, short enough to be read, and the page true to the table."""

import re
from pathlib import Path
from textwrap import wrap
from typing import get_args

import pytest

from wizard import tables
from wizard.report.cautions import cautions_page, write_page
from wizard.tables import DEFERS, Step, cautions, cautions_for

PAGE = Path(__file__).parents[2] / "docs" / "cautions.md"

SHOWN: list[tuple[Step, str]] = [
    ("plan", "lead-tackle-rules"),
    ("stock", "wood-dust"),
    ("shape", "wood-dust"),
    ("shape", "sanders"),
    ("shape", "saws"),
    ("shape", "drill-press"),
    ("shape", "knives"),
    ("shape", "eye-protection"),
    ("shape", "no-gloves"),
    ("density", "wood-dust"),
    ("density", "mains-water"),
    ("ballast", "lead-handling"),
    ("ballast", "lead-take-home"),
    ("ballast", "lead-drilling"),
    ("ballast", "lead-melting"),
    ("ballast", "epoxy-skin"),
    ("ballast", "epoxy-heat"),
    ("ballast", "polyester-styrene"),
    ("ballast", "drill-press"),
    ("hardware", "hooks"),
    ("coating", "epoxy-skin"),
    ("coating", "solvents"),
    ("coating", "isocyanate"),
    ("coating", "spray-mist"),
    ("coating", "uv-lamp"),
    ("coating", "coat-dust"),
    ("proof", "hooks"),
    ("proof", "lead-drilling"),
    ("proof", "mains-water"),
    ("review", "lead-inside"),
    ("review", "lead-tackle-rules"),
]


@pytest.mark.parametrize(("step", "caution"), SHOWN)
def test_a_step_shows_the_caution_that_it_needs(step: Step, caution: str) -> None:
    assert caution in {shown.id for shown in cautions_for(step)}


def test_every_caution_is_shown_at_a_step_that_exists() -> None:
    steps = set(get_args(Step))
    assert len(steps) == 10
    for caution in cautions().values():
        assert caution.steps, caution.id
        assert set(caution.steps) <= steps, caution.id
        assert caution in cautions_for(caution.steps[0])


def test_a_chosen_material_brings_no_caution_that_its_step_hides() -> None:
    shown = {caution.id for caution in cautions_for("coating")}
    for coat in tables.coats().values():
        assert set(coat.cautions) <= shown, coat.id


def sentences(text: str) -> int:
    return len(re.findall(r"[.!?](?=\s|$)", text))


def test_cautions_fit_four_lines_and_say_one_thing() -> None:
    for caution in cautions().values():
        assert len(wrap(f"{caution.hazard} {caution.precaution}", 76)) <= 4, caution.id
        assert sentences(caution.hazard) == 1, caution.id
        assert 1 <= sentences(caution.precaution) <= 2, caution.id
        assert len(caution.name) <= 34, caution.id


def test_each_caution_gives_way_to_something_nearer() -> None:
    assert len(DEFERS) <= 76
    for caution in cautions().values():
        assert caution.defers_to, caution.id


def test_melting_is_advised_against() -> None:
    assert "advised against" in cautions()["lead-melting"].precaution


def test_the_page_is_what_the_table_says() -> None:
    assert PAGE.read_text(encoding="utf-8") == cautions_page()


def test_the_page_holds_every_caution_and_source_in_full(tmp_path: Path) -> None:
    write_page(tmp_path / "page.md")
    page = " ".join((tmp_path / "page.md").read_text(encoding="utf-8").split())
    for caution in cautions().values():
        for text in (caution.hazard, caution.precaution, caution.source, caution.defers_to):
            assert text in page, caution.id
        assert page.count(caution.precaution) == len(caution.steps), caution.id
