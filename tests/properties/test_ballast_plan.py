"""Drill plans of whole builds: what they promise is summed again, and limits are worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.properties.planned import (
    CARVED,
    CASES,
    DRAWER,
    MM,
    bench_of,
    build_of,
    case,
    planned,
)
from wizard.physics.clearance import hole_gap, least_gap, thinnest_wall
from wizard.physics.layout import propose
from wizard.plug.ballast.obstacles import obstacles
from wizard.plug.ballast.parts import drilled_hole
from wizard.plug.ballast.plan import DrillPlan
from wizard.plug.ballast.plan_goal import PITCH_TOLERANCE
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derive import derive
from wizard.plug.onward.needs import needs
from wizard.plug.record import Ballast, Build
from wizard.report.ballast_plan import verdict_lines
from wizard.report.plan_words import Speaker, limit_words, remedy_words
from wizard.store import profile

MEETING = [name for name in CASES if "back" not in name]


def ballast_of(plan: DrillPlan) -> Ballast:
    assert plan.build.ballast is not None
    return plan.build.ballast


def value(build: Build, name: str) -> float:
    found = derive(build).value(name)
    assert found is not None
    return found.value


def limit(plan: DrillPlan, kind: str) -> float:
    """By how much the one limit of a kind binds; its words name no code."""
    (found,) = [one for one in plan.limits if one.kind == kind]
    said = limit_words(plan, found, Speaker.of(plan))
    assert said.endswith((".", "!"))
    return found.by


@pytest.mark.parametrize("name", MEETING)
def test_a_plan_meets_what_was_asked(name: str) -> None:
    plan = case(name)
    assert plan.meets_all, [limit.kind for limit in plan.limits]
    assert 1 <= len(plan.holes) <= 4


@pytest.mark.parametrize("name", MEETING)
def test_the_plan_survives_the_file(name: str) -> None:
    build = case(name).build
    again, odd = profile.read(profile.write(build), "build.toml")
    assert again == build
    assert odd == ()


@pytest.mark.parametrize("name", MEETING)
def test_the_plug_weighs_what_its_parts_weigh(name: str) -> None:
    # By hand: body, hardware less the wood that shanks replace, films of the drawn skin; wood
    # out, metal in, filler or dowels on top. Only the rows of the build are read.
    plan, ballast = case(name), ballast_of(case(name))
    body = drawn_body(plan.build)
    assert body is not None
    wood, filler = 410.0, 0.0 if name == "hollow holes" else 1150.0
    holes, dowels = 0.0, 0.0
    for row in ballast.hole:
        assert row.diameter
        assert row.depth
        assert row.point
        r, tip = row.diameter.value / 2, row.diameter.value / 2 / math.tan(row.point.value / 2)
        holes += math.pi * r**2 * (row.depth.value + tip / 3)
        dowels += math.pi * r**2 * 4 * MM if filler == 0.0 else 0.0
    metal = sum(p.count * p.mass.value for p in ballast.piece if p.mass)
    others = 0.0221 + 2 * 0.0019 + 0.0006 - 0.55 * 0.0006 / 7900 * wood
    others += body.area * (0.05e-3 * 1100 + 0.2e-3 * 1150)
    birch = 616.0  # Wood Handbook FPL-GTR-190, Table 5-3a: 0.55 at 12 %, times 1.12
    total = others - wood * holes + metal + filler * (holes - metal / 11340) + birch * dowels
    assert value(plan.build, "finished_mass") == pytest.approx(total, rel=1e-9)
    share = 1 - filler / 11340
    target = value(plan.build, "target_mass")
    assert abs(total - target) <= plan.goal.band * (1 + 1e-9) if plan.goal else False
    assert plan.wanted == pytest.approx(metal + (target - total) / share, rel=1e-9)


@pytest.mark.parametrize("name", MEETING)
def test_numbers_of_the_plan_are_those_of_its_build(name: str) -> None:
    plan = case(name)
    assert plan.wanted == pytest.approx(value(plan.build, "ballast_mass"), rel=1e-12)
    assert plan.mass == pytest.approx(
        sum(p.count * p.mass.value for p in ballast_of(plan).piece if p.mass), abs=1e-8
    )
    fresh = derive(plan.build).numbers
    assert {n: x.value.value for n, x in fresh.items()} == {
        n: x.value.value for n, x in plan.derived.numbers.items()
    }


@pytest.mark.parametrize("name", [n for n in MEETING if n != "no pitch asked"])
def test_it_lies_as_asked(name: str) -> None:
    plan = case(name)
    asked = plan.build.aim.pitch
    assert asked is not None
    assert value(plan.build, "rest_pitch") == pytest.approx(asked.value, abs=PITCH_TOLERANCE)


@pytest.mark.parametrize("name", MEETING)
def test_walls_and_screws_are_measured_on_what_was_typed(name: str) -> None:
    plan = case(name)
    body = drawn_body(plan.build)
    assert body is not None
    holes = [drilled_hole(plan.build, row) for row in ballast_of(plan).hole]
    in_the_way = [c for thing in obstacles(plan.build) for c in thing.capsules]
    assert len(in_the_way) == 2
    for n, hole in enumerate(holes):
        assert hole is not None
        assert thinnest_wall(hole, body).thickness >= 2.9 * MM
        assert least_gap(hole, in_the_way) >= 2.9 * MM
        for other in holes[:n]:
            assert other is not None
            assert hole_gap(hole, other) >= 2.9 * MM


def test_lengths_are_typed_as_rule_and_drill_stop_have_them() -> None:
    for row in ballast_of(case("a sinker")).hole:
        assert row.x
        assert row.depth
        assert row.x.value / 0.5e-3 == pytest.approx(round(row.x.value / 0.5e-3), abs=1e-9)
        assert row.depth.value / 0.5e-3 == pytest.approx(round(row.depth.value / 0.5e-3), abs=1e-9)
        assert row.x.text.endswith(" mm")
    for row in ballast_of(case("a sinker in inches")).hole:
        assert row.x
        ticks = row.x.value / 0.0254 * 32
        assert ticks == pytest.approx(round(ticks), abs=1e-9)
        assert row.x.text.endswith(" in")


def test_pieces_come_from_the_drawer_as_they_stand_there() -> None:
    stock = {row["name"]: row for row in DRAWER}
    taken: dict[str, int] = {}
    for piece in ballast_of(case("a sinker")).piece:
        row = stock[piece.name or ""]
        taken[row["name"]] = taken.get(row["name"], 0) + piece.count
        assert piece.form == row["form"]
        assert piece.hole in range(1, 5)
        if row["form"] != "wire":
            assert piece.mass
            assert piece.mass.text == row["mass"]
    assert all(count <= stock[name].get("count", 99) for name, count in taken.items())


def test_the_same_question_has_the_same_answer() -> None:
    plan = case("a sinker")
    assert planned(plan.before).build == plan.build


def test_what_was_laid_out_before_does_not_matter() -> None:
    plan = case("a sinker")
    assert planned(plan.build).build == plan.build


def test_applied_leaves_all_else_as_it_is() -> None:
    plan = case("a sinker")
    other = build_of(build={"notes": "typed meanwhile"})
    put_in = plan.applied(other)
    assert put_in.build.notes == "typed meanwhile"
    assert ballast_of(plan).hole == (put_in.ballast.hole if put_in.ballast else ())
    assert replace(put_in, ballast=other.ballast) == other


def test_most_holes_and_the_wall_are_heeded() -> None:
    plan = planned(build_of(ballast={"most_holes": 2, "wall": "4 mm"}, aim={"pitch": None}))
    body = drawn_body(plan.build)
    assert body is not None
    assert len(plan.holes) <= 2
    for one in plan.holes:
        assert thinnest_wall(one.hole, body).thickness >= 3.9 * MM


def test_holes_across_open_on_a_side() -> None:
    small: list[dict[str, Any]] = [
        {"name": "shot", "mass": "2 g", "count": 12, "form": "ball", "metal": "lead"},
        {"name": "wire", "mass": "50 g", "form": "wire", "metal": "lead", "diameter": "4 mm"},
    ]
    aim = {"behaviour": "floats", "margin": "20 %", "pitch": None}
    plan = planned(
        build_of(ballast={"drilled": "across", "height": "low"}, aim=aim), bench_of(small)
    )
    assert plan.meets_all
    for row in ballast_of(plan).hole:
        assert row.axis == "across"
        assert row.z is not None


def test_low_ballast_lies_lower_than_high() -> None:
    low, high = (
        planned(build_of(ballast={"height": height}, aim={"pitch": None}))
        for height in ("low", "high")
    )
    assert value(low.build, "cg_z") < value(high.build, "cg_z")


def test_an_empty_drawer_is_filled_with_metal_in_the_form_of_its_holes() -> None:
    nothing: list[dict[str, Any]] = []
    plan = planned(build_of(), bench_of(nothing))
    assert plan.drawer_is_empty
    assert plan.meets_all
    assert {piece.form for piece in ballast_of(plan).piece} == {"putty"}


def test_metals_mix_and_still_balance() -> None:
    # By hand: what pieces add is m (1 - rho_fill / rho) each, whatever their metal.
    mixed: list[dict[str, Any]] = [
        {"name": "rod", "mass": "16 g", "count": 2, "form": "cylinder", "metal": "tungsten",
         "diameter": "8 mm"},
        {"name": "lead wire", "mass": "60 g", "form": "wire", "metal": "lead",
         "diameter": "3 mm"},
    ]  # fmt: skip
    plan = planned(build_of(), bench_of(mixed))
    assert plan.meets_all
    pieces = ballast_of(plan).piece
    assert {p.density.text if p.density else "" for p in pieces} == {"19.3 g/mL", ""}
    added = sum(
        p.count * p.mass.value * (1 - 1150 / (p.density.value if p.density else 11340))
        for p in pieces
        if p.mass
    )
    assert plan.mass == pytest.approx(added / (1 - 1150 / 11340), abs=2e-7)
    bought = [one for one in needs(plan.build, plan.derived, None).items if one.kind == "ballast"]
    assert {one.what for one in bought} == {"tungsten, pure, rod", "lead, lead wire"}
    total = sum(one.count * one.mass for one in bought if one.mass)
    assert total == pytest.approx(sum(p.count * p.mass.value for p in pieces if p.mass), rel=1e-12)
    off = value(plan.build, "finished_mass") - value(plan.build, "target_mass")
    assert plan.goal
    assert abs(off) <= plan.goal.band


# Which pieces ----------------------------------------------------------------

MIXED: list[dict[str, Any]] = [
    {"name": "10 g slug", "mass": "10.1 g", "count": 6, "form": "cylinder", "metal": "lead",
     "diameter": "9.3 mm"},
    {"name": "bullet", "mass": "5.05 g", "count": 6, "form": "cone", "metal": "lead",
     "diameter": "7.8 mm"},
    {"name": "egg", "mass": "2.02 g", "count": 10, "form": "egg", "metal": "lead",
     "diameter": "6 mm"},
    {"name": "shot", "mass": "0.8 g", "count": 20, "form": "ball", "metal": "lead"},
    {"name": "tungsten", "mass": "1.2 g", "count": 20, "form": "ball", "metal": "tungsten"},
    {"name": "wire", "mass": "90 g", "form": "wire", "metal": "lead", "diameter": "3.2 mm"},
]  # fmt: skip
MIXED_DRILLS = {"owned": ["6 mm", "8 mm", "3/8 in", "#7", "letter F", "10 mm"]}


@pytest.mark.parametrize(
    ("name", "too_long"),
    [
        ("reed-skimmer", {"10 g slug", "bullet"}),
        ("slate-minnow", {"10 g slug", "bullet"}),
        ("stillpool-hover", {"bullet"}),
    ],
)
def test_pieces_that_fit_nowhere_leave_the_rest_of_a_drawer_to_be_used(
    name: str, too_long: set[str]
) -> None:
    # A cone of 5.05 g and 7.8 mm is 28 mm long, a slug 13 mm and 9.3 mm wide; with walls of
    # 3 mm and the drill's point they go into none of the smaller bodies.
    data = (Path("profiles") / f"{name}.toml").read_bytes()
    build = profile.read(data, name)[0]
    plan = planned(build, bench_of(MIXED, drills=MIXED_DRILLS))
    assert plan.meets_all, plan.limits
    assert {what for what, _ in plan.unusable} == too_long
    body = drawn_body(plan.build)
    assert body is not None
    for one in plan.holes:
        assert thinnest_wall(one.hole, body).thickness >= 2.9 * MM


@pytest.mark.parametrize("pitch", ["4.5 deg", "6 deg"])
def test_of_equally_many_pieces_those_with_the_best_trim_are_taken(pitch: str) -> None:
    # One slug in one hole, behind the hanger's screw: the thin one comes nearer to it. The fat
    # one is nearer to the mass wanted, which does not count within the tolerance.
    fat, thin = (
        {"name": name, "mass": mass, "form": "cylinder", "diameter": d}
        for name, mass, d in (("fat", "14.6 g", "11.8 mm"), ("thin", "14.55 g", "9.4 mm"))
    )
    aim = {"behaviour": "floats", "margin": "25 %", "pitch": pitch}
    build = build_of(aim=aim, ballast={"most_holes": 1})
    one, other, both = (planned(build, bench_of(row)) for row in ([fat], [thin], [fat, thin]))
    lies = [value(plan.build, "rest_pitch") for plan in (one, other)]
    assert lies[0] < lies[1] < math.radians(4.5)
    assert value(both.build, "rest_pitch") == pytest.approx(lies[1], rel=1e-6)
    assert both.meets_all == (pitch == "4.5 deg")


def test_pieces_that_just_miss_are_laid_out_and_said_to_be_short() -> None:
    # By hand: what is wanted hangs on the holes, so the shortage is that with these holes.
    plan = planned(build_of(aim={"pitch": None}), bench_of(DRAWER[:1]))
    assert plan.holes
    with_holes = value(plan.build, "ballast_mass")
    assert plan.goal
    assert limit(plan, "mass") == pytest.approx(
        abs(with_holes - plan.mass) - plan.goal.tolerance, rel=1e-9
    )


def test_a_cut_that_the_tolerance_makes_needless_is_not_made() -> None:
    # The trim may want a scrap of wire all the same, so none is asked for here.
    data = Path("profiles/reed-skimmer.toml").read_bytes()
    plan = planned(profile.read(data, "reed")[0], bench_of(MIXED, drills=MIXED_DRILLS))
    assert plan.goal
    for piece in ballast_of(plan).piece:
        less = plan.mass - (piece.mass.value if piece.mass else 0.0)
        needless = abs(less - (plan.wanted or 0.0)) <= plan.goal.tolerance
        assert not (needless and piece.form == "wire")
    assert sum(piece.count for piece in ballast_of(plan).piece) == 3


# Limits ----------------------------------------------------------------------

FIRST = 0.0382
"""Roughly what the sinker needs before holes are laid out [kg]."""


def test_a_piece_heavier_than_the_plug() -> None:
    plan = planned(build_of(), bench_of([{"name": "anchor", "mass": "500 g", "form": "ball"}]))
    assert not plan.holes
    assert plan.build == plan.before
    wanted, band = plan.wanted, plan.goal.tolerance if plan.goal else 0.0
    assert wanted == pytest.approx(FIRST, rel=0.05)
    assert limit(plan, "pieces too heavy") == pytest.approx(0.5 - (wanted or 0.0) - band, abs=1e-5)


def test_a_drawer_that_is_too_light() -> None:
    few = [{"name": "shot", "mass": "1 g", "count": 3, "form": "ball"}]
    plan = planned(build_of(), bench_of(few))
    wanted, band = plan.wanted or 0.0, plan.goal.tolerance if plan.goal else 0.0
    assert limit(plan, "drawer too light") == pytest.approx(wanted - band - 0.003, abs=1e-5)


def test_pieces_that_leave_a_gap_between_two_sums() -> None:
    eggs = [{"name": "egg", "mass": "22 g", "count": 5, "form": "egg", "diameter": "11 mm"}]
    plan = planned(build_of(), bench_of(eggs))
    (found,) = plan.limits
    assert found.kind == "between two sums"
    assert [found.below, found.above] == pytest.approx([0.022, 0.044])
    assert "22 g or 44 g" in limit_words(plan, found, Speaker.of(plan))


def test_where_far_too_much_is_wanted_it_says_how_much_would_fit() -> None:
    # Walls of 9 mm leave a core of some 10 mm, and the shot would fill it several times over.
    shot = [{"name": "shot", "mass": "1.5 g", "count": 60, "form": "ball", "metal": "tin"}]
    plan = planned(build_of(aim={"pitch": None}, ballast={"wall": "9 mm"}), bench_of(shot))
    assert not plan.holes
    assert plan.wanted
    (less,) = [one for one in plan.remedies if one.kind == "less ballast"]
    assert less.value < plan.wanted / 2
    assert propose(less.order).holes
    said = remedy_words(plan, less, Speaker.of(plan))
    assert said
    assert said.endswith("with which it floats.")


def test_a_drill_wider_than_the_body() -> None:
    drills = {"owned": ["60 mm"], "point": "118 deg"}
    plan = planned(build_of(), bench_of(drills=drills))
    assert not plan.holes
    # The body is 28 mm broad at its broadest; 3 mm of wall on either side leave 22.
    assert limit(plan, "drill too wide") == pytest.approx(38 * MM, abs=1 * MM)


def test_pieces_wider_than_any_drill() -> None:
    wide = [{"name": "slug", "mass": "38 g", "count": 2, "form": "cylinder", "diameter": "14 mm"}]
    plan = planned(build_of(), bench_of(wide))
    assert not plan.holes
    assert plan.limits


@pytest.mark.parametrize("margin", ["60 %", "80 %"])
def test_a_floater_that_is_too_heavy_without_any_ballast(margin: str) -> None:
    # A contradictory aim: it is to float so high that lead would have to be taken out.
    build = build_of(aim={"behaviour": "floats", "margin": margin, "pitch": None})
    plan = planned(build)
    assert not plan.holes
    over = value(build, "target_mass") - derive_others(build)
    assert limit(plan, "nothing wanted") == pytest.approx(-over / (1 - 1150 / 11340), rel=1e-9)


def derive_others(build: Build) -> float:
    inside = ("hole", "ballast", "backfill")
    return sum(p.mass.value for p in derive(build).parts if p.sort not in inside and p.mass)


def test_forty_grams_of_lead_in_a_floater_are_called_what_they_are() -> None:
    hole = [{"x": "60 mm", "diameter": "13 mm", "depth": "28 mm"}]
    laid_out = {"hole": hole, "piece": [{"mass": "40 g", "hole": 1}]}
    build = build_of(aim={"behaviour": "floats", "pitch": None}, ballast=laid_out)
    said = " ".join(finding.text for finding in derive(build).warnings)
    assert "It is to float, and with the ballast laid out it sinks" in said
    assert "40 g is laid out" in said
    plan = planned(build)
    assert plan.meets_all
    assert value(plan.build, "net_in_water") < 0


def test_a_trim_that_cannot_be_had_says_by_how_much() -> None:
    lead = {"name": "nose", "mass": "20 g", "density": "11.3 g/mL", "x": "4 mm", "z": "14 mm"}
    plan = planned(
        build_of(aim={"pitch": "-20 deg"}, hardware=[*CARVED["hardware"], lead]),
        bench_of(DRAWER[:1]),
    )
    assert plan.holes
    kinds = {one.kind for one in plan.limits}
    assert kinds >= {"aim", "pitch"}
    off = value(plan.build, "rest_pitch") - math.radians(-20)
    assert limit(plan, "pitch") == pytest.approx(off - math.radians(2), rel=1e-9)


def test_a_steep_pitch_that_is_met_is_not_called_missed() -> None:
    # Near 90 deg a lever of a millimetre is nothing: what counts is how it lies.
    plan = planned(build_of(aim={"pitch": "-80 deg"}))
    assert value(plan.build, "rest_pitch") == pytest.approx(-math.radians(80), abs=PITCH_TOLERANCE)
    assert plan.meets_all


def test_ballast_at_the_back_turns_it_over() -> None:
    plan = case("from the back, turned nose down")
    assert limit(plan, "turns over") >= 0
    assert "belly" in limit_words(plan, plan.limits[-1], Speaker.of(plan))


@pytest.mark.parametrize(
    ("changed", "waits"),
    [
        ({"shape": None}, "the shape"),
        ({"aim": {"behaviour": None, "margin": None}}, "the aim"),
        ({"weighing": None}, "the mass of the bare body"),
        ({"density": None}, "the density of the wood"),
        ({"ballast": {"metal": "unheard of", "density": None}}, "the density of the ballast metal"),
        ({"ballast": {"filler": "mud", "filler_density": None}}, "the density of the filler"),
        ({"hardware": [{"name": "treble hook"}]}, "the mass of treble hook"),
    ],
)
def test_a_plan_waits_for_what_it_needs(changed: dict[str, Any], waits: str) -> None:
    plan = planned(build_of(**changed))
    assert waits in plan.waits
    assert not plan.holes
    assert plan.build == plan.before


def test_rows_that_cannot_be_taken_are_named() -> None:
    odd: list[dict[str, Any]] = [
        *DRAWER,
        {"name": "mystery", "mass": "3 g", "metal": "unheard of"},
        {"name": "blank"},
    ]
    plan = planned(build_of(), bench_of(odd))
    assert {name for name, _ in plan.unusable} == {"mystery", "blank"}
    assert plan.meets_all


def test_many_rows_that_cannot_be_taken_are_one_line() -> None:
    plan = replace(case("a sinker"), unusable=tuple((f"p{n}", "it is odd") for n in range(9)))
    (line,) = [one for one in verdict_lines(plan, Speaker.of(plan)) if "Not taken" in one]
    assert line.strip() == "Not taken: p0, p1, p2, p3, p4, p5 and 3 more: it is odd."


def test_a_part_without_a_place_leaves_the_trim_out() -> None:
    hung = [{"name": "treble hook", "mass": "3.8 g", "density": "7.85 g/mL"}]
    plan = planned(build_of(hardware=hung))
    assert plan.goal
    assert plan.goal.trim is None
    assert plan.holes
    assert not plan.limits


@pytest.mark.parametrize("form", ["putty", "sheet"])
def test_what_is_moulded_goes_into_as_many_holes_as_it_takes(form: str) -> None:
    """In a thin body no hole takes all of it; an empty drawer's metal in the same form goes in."""
    shape: dict[str, Any] = {"form": "round taper", "length": "110 mm", "height": "18 mm"}
    build = build_of(
        aim={"margin": "10 %", "pitch": None},
        shape=shape | {"thickness": "14 mm", "station": None, "line_tie": None},
        weighing={"mass": "3.8 g"},
        density={"sample": [{"method": "known", "density": "0.278 g/mL"}]},
        hardware=None,
    )
    row = {"name": "a lump", "mass": "30 g", "form": form, "metal": "lead"}
    empty, plan = planned(build, bench_of([])), planned(build, bench_of([row]))
    assert empty.meets_all
    assert plan.meets_all
    assert len(plan.holes) == len(empty.holes) > 1
    assert plan.mass == pytest.approx(empty.mass, abs=0.02e-3)
    assert sum(piece.count for piece in ballast_of(plan).piece) == len(plan.holes)


def test_a_screw_without_a_height_is_named_as_not_kept_clear_of() -> None:
    rows = [{**CARVED["hardware"][1], "z": "-1 mm"}, {**CARVED["hardware"][1], "x": "70 mm"}]
    del rows[1]["z"]
    plan = planned(build_of(hardware=rows, aim={"pitch": None}))
    lines = " ".join(verdict_lines(plan, Speaker.of(plan)))
    assert lines.count("! Not kept clear of screw eye: its height above the baseline") == 1
    said = [f for f in derive(plan.build).warnings if "not kept clear" in f.wrong]
    assert [f.path for f in said] == [("hardware", 1, "z")]
