"""What a bench offers to a new build: in its own words, at the questions that it answers."""

from __future__ import annotations

import pytest

from wizard.plug.bench import Bench
from wizard.plug.paths import get, parse, put, spec_at
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity, read
from wizard.session.layout import Asked, lay_out
from wizard.steps.answering import Unclear, answer
from wizard.steps.offers import bench_picks, offers, started, with_offer
from wizard.steps.prompts import Question
from wizard.steps.walk import STEPS
from wizard.steps.wording import prompt_at
from wizard.store.bench import read as read_bench

BENCH, _ = read_bench(
    b"""format = 1
[bench]
units = { length = "in", mass = "oz" }
[scale]
resolution = "0.01 g"
maximum = "200 g"
[caliper]
resolution = "0.001 in"
[drills]
owned = ["3/8 in", "#7", "9.5 mm"]
wall = "1/8 in"
[[piece]]
mass = "10 g"
count = 2
metal = "lead"
[[piece]]
mass = "30 g"
metal = "tungsten"
[[board]]
name = "spring board"
wood = "basswood"
width = "1 1/2 in"
density = "0.41 g/mL"
uncertainty = "0.006 g/mL"
[[coat]]
name = "Epoxy topcoat"
thickness = "0.15 mm"
density = "1.15 g/mL"
[[resin]]
name = "epoxy"
resin_parts = 100
parts_by = "mass"
density = "1.16 g/mL"
""",
    "bench.toml",
)


def question(build: Build, dotted: str) -> Question:
    path = parse(dotted)
    found = prompt_at(path)
    assert found is not None
    return Question(path, found[1], spec_at(path), get(build, path))


def with_answer(build: Build, dotted: str, typed: str) -> Build:
    changed = answer(build, question(build, dotted), typed)
    assert not isinstance(changed, Unclear)
    return changed


@pytest.mark.parametrize(
    ("dotted", "offered"),
    [
        ("weighing.resolution", "0.01 g"),
        ("weighing.accuracy", ""),
        ("density.mass_resolution", "0.01 g"),
        ("density.length_resolution", "0.001 in"),
        ("stock.wood", "basswood"),
        ("stock.width", "1 1/2 in"),
        ("ballast.metal", "tungsten"),
        ("ballast.filler", "epoxy"),
        ("ballast.filler_density", "1.16 g/mL"),
        ("ballast.wall", "1/8 in"),
        ("aim.margin", ""),
    ],
)
def test_a_new_build_is_offered_what_the_bench_knows(dotted: str, offered: str) -> None:
    assert offers(BENCH, Build(), question(Build(), dotted)) == offered


def test_a_coat_is_known_by_its_name() -> None:
    build = with_answer(Build(), "coat.0.name", "epoxy TOPCOAT")
    assert offers(BENCH, build, question(build, "coat.0.thickness")) == "0.15 mm"
    other = with_answer(Build(), "coat.0.name", "primer")
    assert offers(BENCH, other, question(other, "coat.0.thickness")) == ""


def test_a_tested_board_is_offered_to_a_known_sample_alone() -> None:
    known = with_answer(Build(), "density.sample.0.method", "known")
    assert offers(BENCH, known, question(known, "density.sample.0.density")) == "0.41 g/mL"
    block = with_answer(Build(), "density.sample.0.method", "block")
    assert offers(BENCH, block, question(known, "density.sample.0.density")) == ""


def test_the_scale_of_the_body_is_offered_to_the_samples() -> None:
    build = with_answer(Build(), "weighing.resolution", "0.1 g")
    build = with_answer(build, "weighing.accuracy", "0.2 g")
    assert offers(BENCH, build, question(build, "density.mass_resolution")) == "0.1 g"
    assert offers(BENCH, build, question(build, "density.mass_accuracy")) == "0.2 g"


def test_another_wood_has_no_board() -> None:
    build = with_answer(Build(), "stock.wood", "balsa")
    assert offers(BENCH, build, question(build, "stock.width")) == ""


def test_what_is_offered_can_be_taken_as_it_stands() -> None:
    asked = with_offer(BENCH, Build(), question(Build(), "stock.width"))
    taken = answer(Build(), asked, asked.prompt.offer)
    assert not isinstance(taken, Unclear)
    assert taken.stock.width == read("1 1/2 in", "length")


def test_an_empty_bench_leaves_the_usual_offer() -> None:
    asked = question(Build(), "ballast.metal")
    assert with_offer(Bench(), Build(), asked) is asked


def test_a_new_build_is_begun_in_the_units_of_the_bench() -> None:
    begun = started(BENCH, Build())
    assert begun.build.units == {"length": "in", "mass": "oz"}
    own = put(Build(), ("build", "units"), {"mass": "g"})
    assert started(BENCH, own) is own


def test_own_things_can_be_picked() -> None:
    drills = [pick.text for pick in bench_picks(BENCH, ("ballast", "hole", 0, "diameter"))]
    # ANSI/ASME B94.11M: number 7 is 0.201 in.
    assert drills == ["3/8 in", "0.201 in", "9.5 mm"]
    for text in drills:
        assert isinstance(read(text, "length"), Quantity)
    assert [pick.text for pick in bench_picks(BENCH, ("coat", 1, "name"))] == ["Epoxy topcoat"]
    assert bench_picks(BENCH, ("weighing", "mass")) == ()


FACED = {
    "shape.form": "slant face",
    "shape.length": "100 mm",
    "shape.height": "25 mm",
    "shape.thickness": "17 mm",
}


def drawn(**changed: str) -> Build:
    build = Build()
    for dotted, typed in {**FACED, **changed}.items():
        build = with_answer(build, dotted, typed)
    return build


def test_a_lipless_body_is_offered_its_line_tie_a_third_back_on_the_face() -> None:
    # Common practice, no source: the line tie of a lipless plug a third of the length back.
    build = drawn()
    assert offers(Bench(), build, question(build, "shape.line_tie.x")) == "33.5 mm"
    height = offers(Bench(), build, question(build, "shape.line_tie.z"))
    assert 20.0 < float(height.removesuffix(" mm")) <= 25.0
    inches = drawn(**{"shape.length": "4 1/8 in"})
    assert offers(Bench(), inches, question(inches, "shape.line_tie.x")) == "1 3/8 in"
    plain = drawn(**{"shape.form": "round taper"})
    assert offers(Bench(), plain, question(plain, "shape.line_tie.x")) == ""


@pytest.mark.parametrize(
    ("dotted", "counts"),
    [
        ("shape.widest_at", "48 %"),
        ("shape.nose", "12 %"),
        ("shape.section.lower", "2.2"),
        ("hardware.0.density", "7.93 g/mL"),
        ("ballast.density", "11.34 g/mL"),
    ],
)
def test_what_counts_while_a_line_is_empty_is_said_there(dotted: str, counts: str) -> None:
    build = drawn(**{"hardware.0.name": "screw eye", "ballast.metal": "lead"})
    how = with_offer(Bench(), build, question(build, dotted)).prompt.how
    assert how.endswith(f"Empty: {counts}.")


def test_nothing_counts_for_hardware_that_no_table_knows() -> None:
    build = drawn(**{"hardware.0.name": "brass bell"})
    asked = with_offer(Bench(), build, question(build, "hardware.0.density"))
    assert "Empty" not in asked.prompt.how


def test_fifteen_per_cent_is_offered_to_a_sinker_alone() -> None:
    # Common practice, no source: about 15 % above neutral starts a sinker down for sure.
    def margins(behaviour: str) -> list[str]:
        build = with_answer(Build(), "aim.behaviour", behaviour)
        rows = lay_out(build, STEPS[0], {})
        asked = [row.question.prompt for row in rows if isinstance(row, Asked)]
        return [prompt.offer for prompt in asked if prompt.key == "aim.margin"]

    assert margins("sinks") == ["15 %"]
    assert margins("floats") == [""]
    assert margins("suspends") == []
