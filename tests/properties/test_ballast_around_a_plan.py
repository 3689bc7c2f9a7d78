"""What stands around a drill plan, by hand: holes and what is in them, screws, resin, metals."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.properties.planned import CARVED, MM, build_of, case
from wizard.physics.flotation import Appendage, carried_at_pitch, float_at_rest
from wizard.plug.ballast.after import after_ballast
from wizard.plug.ballast.backfill import backfill
from wizard.plug.ballast.drilling import (
    drill_diameter,
    drill_name,
    set_above,
    set_below,
    typed_diameter,
    typed_length,
    usual_drills,
)
from wizard.plug.ballast.obstacles import hook_fouls, obstacles
from wizard.plug.ballast.other_metals import metal_costs
from wizard.plug.ballast.parts import contents
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derive import derive
from wizard.plug.onward.whatif import what_moves
from wizard.plug.record import Build
from wizard.plug.rule import Rule

LEAD, WOOD, EPOXY = 11340.0, 410.0, 1150.0
WATER = 1023.0
"""Of CARVED's water, 12 degC and 30 g/kg [kg/m3]: UNESCO tables, to 0.1 %."""


def said(build: Build) -> str:
    return " ".join(finding.text for finding in derive(build).warnings)


def laid_out(*rows: tuple[dict[str, Any], list[dict[str, Any]]], **ballast: Any) -> Build:
    """The carved build with holes, and pieces in each."""
    pieces = [p | {"hole": n} for n, (_, own) in enumerate(rows, start=1) for p in own]
    holes = {"hole": [hole for hole, _ in rows], "piece": pieces}
    return build_of(ballast=holes | ballast)


def part(build: Build, name: str) -> Any:
    return next(p for p in derive(build).parts if p.name == name)


HOLE = {"x": "60 mm", "diameter": "8 mm", "depth": "20 mm"}
SLUG = {"mass": "3.2063 g", "form": "cylinder", "diameter": "6 mm", "length": "10 mm"}


# What lies in a hole -----------------------------------------------------------


def test_a_slug_stands_on_the_blind_end() -> None:
    # By hand: belly at 0, blind end at 20 mm, slug of 10 mm: its middle at 15. What is left of
    # the hole is 320 pi less 90 pi mm3; its middle follows from the moments.
    build = laid_out((HOLE, [SLUG]))
    assert part(build, "ballast in hole 1").place.z == pytest.approx(15 * MM, abs=1e-6)
    fill = part(build, "backfill in hole 1")
    assert fill.mass.value == pytest.approx(EPOXY * math.pi * (320 - 90) * 1e-9, rel=1e-4)
    assert fill.place.z == pytest.approx((320 * 10 - 90 * 15) / 230 * MM, rel=1e-4)


def test_a_drill_point_lets_a_slug_down_as_far_as_its_edge() -> None:
    # By hand: point of 90 deg in 8 mm is 4 mm high; a slug of 6 mm stops 3 mm above the tip.
    build = laid_out((HOLE | {"point": "90 deg"}, [SLUG]))
    assert part(build, "ballast in hole 1").place.z == pytest.approx((24 - 3 - 5) * MM, abs=1e-6)
    out = part(build, "wood out of hole 1")
    volume = math.pi * 16e-6 * (20e-3 + 4e-3 / 3)
    assert out.mass.value == pytest.approx(-WOOD * volume)
    moment = 20 * 10 + 4 / 3 * (20 + 1)
    assert out.place.z == pytest.approx(moment / (20 + 4 / 3) * MM)


def test_pieces_of_no_form_fill_the_hole_as_a_column() -> None:
    # By hand: 5.7 g of lead in 8 mm is a column of 10 mm.
    mass = LEAD * math.pi * 16e-6 * 10e-3
    build = laid_out((HOLE, [{"mass": f"{mass * 1e3:.6f} g"}]))
    assert part(build, "ballast in hole 1").place.z == pytest.approx(15 * MM, abs=1e-7)


def test_holes_across_and_from_the_back() -> None:
    down = laid_out((HOLE | {"axis": "down"}, [SLUG]))
    assert part(down, "ballast in hole 1").place.z == pytest.approx((33 - 15) * MM, abs=1e-6)
    across = laid_out((HOLE | {"axis": "across", "z": "15 mm"}, [SLUG]))
    body = drawn_body(across)
    assert body is not None
    place = part(across, "ballast in hole 1").place
    assert place.z == pytest.approx(15 * MM)
    side = float(body.half_breadth_at(60 * MM, 15 * MM))
    assert place.y == pytest.approx(side - 15 * MM)


def test_hollow_holes_weigh_their_dowels_alone() -> None:
    hollow = {"filler": "hollow", "filler_density": "0.7 g/mL", "dowel": "4 mm"}
    build = laid_out((HOLE, [SLUG]), **hollow)
    dowel = part(build, "dowel in hole 1")
    assert dowel.mass.value == pytest.approx(700 * math.pi * 16e-6 * 4e-3)
    assert dowel.place.z == pytest.approx(2 * MM)
    assert not [p for p in derive(build).parts if p.name == "backfill in hole 1"]
    found = derive(build)
    total = sum((d.mass.value for d in found.differences), 0.0)
    bench_sum, full = found.value("bench_ballast"), found.value("ballast_mass")
    assert bench_sum
    assert full
    assert total == pytest.approx(full.value - bench_sum.value, abs=1e-12)


def test_contents_are_known_by_hole() -> None:
    build = laid_out((HOLE, [SLUG]), ({"diameter": "8 mm", "depth": "9 mm"}, []))
    found = contents(build, None)
    assert found[0] is not None
    assert found[0].held.free_depth == pytest.approx(10 * MM)
    assert found[1] is None


# What is wrong with holes --------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([(HOLE, [SLUG | {"diameter": "9 mm"}])], "9 mm wide and its hole 8 mm"),
        ([(HOLE, [SLUG, SLUG | {"length": "12 mm"}])], "stands 2 mm out of this hole"),
        ([(HOLE | {"depth": "31 mm"}, [SLUG])], "at its thinnest; 3 mm is the least"),
        ([(HOLE | {"x": "129 mm", "depth": "6 mm"}, [SLUG])], "comes out through the skin"),
        ([(HOLE, [SLUG]), (HOLE | {"x": "70 mm"}, [SLUG])], "Only 2 mm of wood stands between"),
        ([(HOLE | {"x": "51 mm"}, [SLUG])], "of wood stand before the screw eye"),
        ([(HOLE | {"x": "46 mm"}, [SLUG])], "meets the screw eye"),
    ],
)
def test_holes_laid_out_by_hand_are_judged(
    rows: list[tuple[dict[str, Any], list[dict[str, Any]]]], words: str
) -> None:
    assert words in said(laid_out(*rows))


def test_good_holes_are_left_alone() -> None:
    plan = case("a sinker")
    assert said(plan.build) == ""


# Screws, wires and hooks -----------------------------------------------------------


def test_shanks_go_from_the_skin_into_the_wood() -> None:
    # By hand: the eye hangs under the belly at 45 mm; its 12 mm of shank hold 55 % of 0.6 g.
    build = build_of()
    body = drawn_body(build)
    assert body is not None
    eye, tie = obstacles(build)
    (shank,) = eye.capsules
    bottom = float(body.bottom(45 * MM))
    assert shank.start == pytest.approx((45 * MM, 0.0, bottom))
    assert shank.end == pytest.approx((45 * MM, 0.0, bottom + 12 * MM))
    volume = 0.55 * 0.0006 / 7900
    assert math.pi * shank.radius**2 * 12 * MM == pytest.approx(volume)
    assert eye.measured
    (shank,) = tie.capsules
    assert shank.start == pytest.approx((0.0, 0.0, 15 * MM))
    assert shank.end[0] > 10 * MM
    assert shank.end[1:] == pytest.approx((0.0, 15 * MM))
    assert not tie.measured


def test_a_through_wire_runs_from_the_line_tie_to_the_tail() -> None:
    wire = {"name": "through-wire", "mass": "2 g", "density": "7.9 g/mL", "x": "65 mm",
            "z": "16 mm", "outside": 0.25}  # fmt: skip
    (found,) = obstacles(build_of(hardware=[wire]))
    assert [c.start for c in found.capsules] == [(0.0, 0.0, 15 * MM), (65 * MM, 0.0, 16 * MM)]
    assert found.capsules[-1].end == pytest.approx((130 * MM, 0.0, 14.5 * MM))
    assert math.pi * found.capsules[0].radius ** 2 * 130 * MM == pytest.approx(2e-3 / 7900)


def test_hooks_that_can_meet_are_a_warning() -> None:
    near = [dict(row) for row in CARVED["hardware"]]
    near[2] |= {"x": "100 mm", "z": "-3 mm"}
    build = build_of(hardware=near)
    (foul,) = [f for f in hook_fouls(build) if "line tie" not in f.second]
    assert (foul.first, foul.second) == ("treble hook 1", "treble hook 2")
    # By hand: 55 mm apart, 30 and 30 mm of reach.
    assert foul.short == pytest.approx(5 * MM)
    assert "5 mm further apart" in said(build)
    assert "further apart" not in said(build_of())


# Drills ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "inch"), [("3/8 in", 0.375), ("#7", 0.201), ("letter F", 0.257), ("F", 0.257)]
)
def test_drills_by_their_names(name: str, inch: float) -> None:
    # ANSI/ASME B94.11M.
    assert drill_diameter(name) == pytest.approx(inch * 0.0254)
    assert typed_diameter(inch * 0.0254, "in").value == pytest.approx(inch * 0.0254)


def test_an_owned_drill_keeps_its_name() -> None:
    quarter = 0.25 * 0.0254
    assert drill_name(quarter, "in") == "1/4 in"
    assert drill_name(quarter, "in", ("letter E",)) == "letter E"  # also 0.250 in
    assert drill_name(9.5e-3, "mm") == "9.5 mm"
    assert drill_name(9.37e-3, "mm") == "9.37 mm"
    assert drill_diameter("nothing") is None


def test_usual_sets_are_sets_of_the_rule() -> None:
    assert all(abs(d / 0.0254 * 64 - round(d / 0.0254 * 64)) < 1e-9 for d in usual_drills("in"))
    assert all(abs(d / 0.1e-3 - round(d / 0.1e-3)) < 1e-9 for d in usual_drills("mm"))


@pytest.mark.parametrize("rule", ["mm", "in"])
def test_a_drill_stop_goes_by_the_lines_of_its_rule(rule: Rule) -> None:
    line = 0.5e-3 if rule == "mm" else 0.0254 / 32
    above, below = set_above(10.2e-3, rule), set_below(10.2e-3, rule)
    assert below <= 10.2e-3 <= above
    assert above - below == pytest.approx(line)
    assert typed_length(above, rule).value == pytest.approx(above, abs=1e-12)


# Resin -----------------------------------------------------------------------------


def test_resin_is_measured_out_by_the_tin() -> None:
    # By hand: 2 to 1 by volume of 0.7226 mL and 30 % more: two thirds and one third.
    tin = {"resin_parts": 2, "hardener_parts": 1, "parts_by": "volume",
           "resin_density": "1.12 g/mL", "hardener_density": "0.98 g/mL", "pot_life": "30 min",
           "pot_temperature": "23 degC"}  # fmt: skip
    found = backfill(laid_out((HOLE, [SLUG]), resin=tin))
    assert found is not None
    room = math.pi * 320e-9 - 3.2063e-3 / LEAD
    assert found.volume == pytest.approx(room)
    assert found.mass == pytest.approx(EPOXY * room)
    assert found.resin_volume == pytest.approx(room * 1.3 * 2 / 3)
    assert found.hardener_volume == pytest.approx(room * 1.3 / 3)
    assert found.resin_mass == pytest.approx(1120 * room * 1.3 * 2 / 3)
    assert found.hardener_mass == pytest.approx(980 * room * 1.3 / 3)
    assert (found.pot_life, found.pot_temperature) == (1800.0, 23.0)
    assert found.missing == ()
    assert found.step_share == pytest.approx(1e-5 / (1120 * room * 1.3 * 2 / 3))


def test_a_ratio_by_mass_without_densities_gives_masses() -> None:
    # By hand: 100 to 47 by mass of a mix that weighs what the hard filler does.
    tin = {"resin_parts": 100, "hardener_parts": 47, "parts_by": "mass", "waste": "10 %"}
    found = backfill(laid_out((HOLE, [SLUG]), resin=tin))
    assert found is not None
    whole = EPOXY * found.volume * 1.1
    assert found.resin_mass == pytest.approx(whole * 100 / 147)
    assert found.hardener_mass == pytest.approx(whole * 47 / 147)
    assert found.resin_volume is None
    assert found.missing == ("the densities of resin and hardener",)


def test_no_tin_says_what_is_missing() -> None:
    found = backfill(laid_out((HOLE, [SLUG])))
    assert found is not None
    assert len(found.missing) == 3
    assert found.resin_mass is None
    assert backfill(build_of()) is None


# Other metals ----------------------------------------------------------------------


def test_another_metal_adds_as_much_in_its_own_room() -> None:
    # By hand: m (1 - rho_wood / rho) is the same for all, holes as large as the metal.
    costs = {one.name: one for one in metal_costs(build_of(), derive(build_of()))}
    lead = costs["lead, pure"]
    assert lead.chosen
    assert lead.more == pytest.approx(0.0)
    for one in costs.values():
        same = lead.mass * (1 - WOOD / LEAD) / (1 - WOOD / one.density)
        assert one.mass == pytest.approx(same, rel=1e-6)
        assert one.volume == pytest.approx(one.mass / one.density)
        assert one.more == pytest.approx(one.volume - lead.volume)
    assert costs["tungsten, pure"].more < 0 < costs["tin (white)"].more
    assert any("rules" in name for name in lead.cautions)
    assert costs["tungsten, pure"].cautions == ()
    area = math.pi / 4 * 9.5e-3**2
    tin = costs["tin (white)"]
    assert tin.depth_more(9.5e-3) == pytest.approx(tin.more / area)


# After the ballast is in -----------------------------------------------------------


def weighed(gap: float, **changed: Any) -> Build:
    """The planned sinker with a weighing so much heavier than planned [kg]."""
    build = case("a sinker").build
    parts = [p for p in derive(build).parts if p.stage in ("bare", "ballasted")]
    planned_mass = sum(p.mass.value for p in parts if p.mass)
    from wizard.plug.record import PlugWeighing
    from wizard.quantity.reading import Quantity, read

    mass = read(f"{(planned_mass + gap) * 1e3:.6f} g", "mass")
    assert isinstance(mass, Quantity)
    row = PlugWeighing("ballasted", mass)
    return build.__class__(**{**vars(build), "weight": (row,), **changed})


def explained(build: Build) -> dict[str, float]:
    found = after_ballast(build, derive(build))
    assert found is not None
    return {one.kind: one.amount for one in found.because}


def test_a_heavier_plug_may_hold_more_filler_or_deeper_holes() -> None:
    build = weighed(1.15e-3)
    causes = explained(build)
    assert causes["more filler"] == pytest.approx(1e-6)
    assert build.ballast
    area = sum(math.pi / 4 * h.diameter.value**2 for h in build.ballast.hole if h.diameter)
    assert causes["deeper"] == pytest.approx(1.15e-3 / ((EPOXY - WOOD) * area))


def test_a_lighter_plug_may_hold_a_void_or_lack_a_piece() -> None:
    causes = explained(weighed(-0.575e-3))
    assert causes["void"] == pytest.approx(0.5e-6)
    ball = 0.0051 * (1 - EPOXY / LEAD)
    assert explained(weighed(-ball))["piece"] == -1.0


def test_a_weighing_within_its_doubt_needs_no_explanation() -> None:
    build = weighed(2e-6)
    found = after_ballast(build, derive(build))
    assert found is not None
    assert found.agrees
    assert found.because == ()
    assert found.on_course
    assert found.remains == ()


def test_what_remains_makes_up_for_it() -> None:
    # By hand: 2 g too heavy in the water. A gram of steel hook taken off saves 1 - rho / 7850,
    # of lead drilled out and filled with epoxy 1 - 1150 / 11340.
    build = weighed(2e-3)
    found = after_ballast(build, derive(build))
    assert found is not None
    assert found.lacking is not None
    ways = {one.kind: one for one in found.remains}
    assert ways["hardware"].amount == pytest.approx(found.lacking / (1 - WATER / 7850), rel=1e-3)
    assert ways["ballast out"].amount == pytest.approx(found.lacking / (1 - EPOXY / LEAD))
    assert found.lacking == pytest.approx(-2e-3, abs=found.band)
    light = weighed(-2e-3)
    found = after_ballast(light, derive(light))
    assert found is not None
    ways = {one.kind: one for one in found.remains}
    assert found.lacking is not None
    assert ways["ballast in"].amount == pytest.approx(found.lacking / (1 - WOOD / LEAD))
    assert not ways["coat"].sensible  # it would take millimetres of topcoat


def test_no_weighing_says_nothing() -> None:
    assert after_ballast(build_of(), derive(build_of())) is None


# What if ---------------------------------------------------------------------------


def test_two_grams_less_move_the_numbers_that_hang_on_them() -> None:
    build = case("a sinker").build
    assert build.ballast
    fewer = build.__class__(**{**vars(build), "ballast": _without_last_piece(build)})
    before, after = derive(build), derive(fewer)
    moves = {one.name: one for one in what_moves(before, after)}
    assert {"finished_mass", "net_in_water", "rest_pitch", "sink_rate"} <= set(moves)
    mass = build.ballast.piece[-1].mass
    assert mass
    change = moves["finished_mass"].change
    assert change == pytest.approx(-mass.value * (1 - EPOXY / LEAD), rel=1e-6)
    assert what_moves(before, derive(build)) == ()


def _without_last_piece(build: Build) -> Any:
    from dataclasses import replace

    assert build.ballast
    return replace(build.ballast, piece=build.ballast.piece[:-1])


# Afloat ----------------------------------------------------------------------------


def test_a_plug_rests_where_it_is_carried_at_its_pitch() -> None:
    # The other way round: at the pitch of rest, CB stands on the vertical of CG.
    body = drawn_body(build_of())
    assert body is not None
    hung = [Appendage(0.3e-6, 0.04, -0.004)]
    rest = float_at_rest(body, body.volume, 1e-6, hung, 0.045, 0.058, 0.012, 998.0)
    assert rest is not None
    found = carried_at_pitch(body, body.volume, 1e-6, hung, 0.045, rest.pitch, 998.0)
    assert found is not None
    assert math.tan(rest.pitch) == pytest.approx((found.cb_x - 0.058) / (found.cb_z - 0.012))
    assert carried_at_pitch(body, body.volume, 1e-6, hung, 0.2, 0.0, 998.0) is None
