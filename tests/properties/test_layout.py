"""Drill plans: what they promise is measured again, and limits are worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from wizard.physics.clearance import Capsule, hole_gap, least_gap, thinnest_wall, wire
from wizard.physics.drill_order import Aim, Order, at_pitch, at_x
from wizard.physics.hangers import Hanger, fouls
from wizard.physics.holes import Axis, Hole, drilled
from wizard.physics.layout import Proposal, fits, propose
from wizard.physics.parts import Place
from wizard.physics.pieces import Piece
from wizard.physics.remedies import denser, remedies
from wizard.physics.room import Room
from wizard.physics.shape import Body, Section, Station
from wizard.physics.stacking import size, stack
from wizard.plug.ballast import plan_sets

LEAD = 11340.0
MM = 1e-3
DRILLS = tuple(d * MM for d in (4.0, 5.0, 6.0, 6.35, 8.0, 9.525, 10.0, 12.0))


def ball(d: float, count: int = 1) -> Piece:
    return Piece(f"ball {d}", LEAD * math.pi / 6 * (d * MM) ** 3, count, LEAD, "ball", d * MM)


def slug(d: float, l: float, count: int = 1) -> Piece:
    mass = LEAD * math.pi / 4 * d**2 * l * MM**3
    return Piece(f"slug {d} x {l}", mass, count, LEAD, "cylinder", d * MM, l * MM)


def carved(k: float = 1.0) -> Body:
    rows = [
        (0.0, 12.0, 12.0, 0.0),
        (20.0, 21.0, 3.0, 8.5),
        (45.0, 25.0, 0.0, 11.0),
        (75.0, 20.0, 3.0, 8.0),
        (100.0, 14.0, 9.0, 3.0),
    ]
    return Body.through([Station(*(k * v * MM for v in row)) for row in rows])


def plank(height: float, length: float = 100.0, half_breadth: float = 12.0) -> Body:
    ends = (0.0, length * MM)
    return Body.through(
        [Station(x, height * MM, 0.0, half_breadth * MM) for x in ends],
        Section(widest=0.5, upper=1e6, lower=1e6),
    )


def binds(plan: Proposal, kind: str) -> float:
    """By how much the one limit of a kind binds."""
    (limit,) = plan.binding
    assert limit.kind == kind
    return limit.by


def random_order(seed: int) -> Order:
    rng = np.random.default_rng(seed)
    k = rng.uniform(0.9, 1.8)
    pieces = [slug(round(rng.uniform(4, 9), 1), round(rng.uniform(4, 12), 1), 1) for _ in range(2)]
    pieces.append(ball(round(rng.uniform(4, 9), 1), int(rng.integers(0, 3))))
    shanks = (
        Capsule((0.55 * k * 0.1, 0.0, 0.0), (0.55 * k * 0.1, 0.0, k * 10 * MM), 1 * MM),
        *wire([(0.0, 0.0, 17 * k * MM), (0.1 * k, 0.0, 13 * k * MM)], 0.7 * MM),
    )
    return Order(
        carved(k),
        tuple(piece for piece in pieces if piece.count),
        DRILLS,
        at_x(rng.uniform(0.3, 0.65) * k * 0.1),
        wall=rng.uniform(2, 4) * MM,
        gap=rng.uniform(1, 3) * MM,
        obstacles=shanks if seed % 2 else (),
        height=(None, "low", "high")[seed % 3],
        axis=("up", "down", "up", "across")[seed % 4],
        point_angle=(None, math.radians(118.0))[seed // 2 % 2],
    )


def names(pieces: tuple[Piece, ...]) -> list[str]:
    return sorted(piece.id for piece in pieces for _ in range(piece.count))


def keeps_its_promises(order: Order, plan: Proposal) -> None:
    """Everything that a plan says, measured again."""
    assert names(tuple(p for group in plan.pieces for p in group)) == names(order.pieces)
    assert 1 <= len(plan.holes) <= order.most_holes
    for n, hole in enumerate(plan.holes):
        held = stack(hole, plan.pieces[n])
        assert held.fits
        assert held.free_depth >= order.plug - 1e-6
        again = drilled(order.body, hole.axis, hole.x, hole.diameter, hole.depth, z=hole.z)
        assert (hole.y, hole.z) == pytest.approx((again.y, again.z), abs=1e-9)
        assert hole.diameter in order.drills
        assert thinnest_wall(hole, order.body).thickness >= order.wall - 0.1 * MM
        assert least_gap(hole, order.obstacles) >= order.gap - 0.1 * MM
        for other in plan.holes[:n]:
            assert hole_gap(hole, other) >= order.gap - 0.1 * MM
    assert plan.place is not None
    masses = [sum(p.mass for p in group) for group in plan.pieces]
    places = [held.place for held in plan.stacks]
    for axis in "xyz":
        mean = sum(m * getattr(p, axis) for m, p in zip(masses, places, strict=True)) / sum(masses)
        assert getattr(plan.place, axis) == pytest.approx(mean)
    assert plan.place.y == pytest.approx(0.0, abs=1e-9)
    assert plan.away is not None
    assert plan.reached == (abs(plan.away) <= order.tolerance)
    assert bool(plan.binding) == (not plan.reached)


@cache
def random_plan(seed: int) -> tuple[Order, Proposal]:
    order = random_order(seed)
    return order, propose(order)


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_keeps_its_promises(seed: int) -> None:
    order, plan = random_plan(seed)
    if not plan.holes:
        assert plan.binding
        assert not plan.reached
        return
    keeps_its_promises(order, plan)
    assert plan.place is not None
    assert plan.away == pytest.approx(plan.place.x - order.aim.lever, abs=1e-9)


def test_most_random_orders_are_met() -> None:
    assert sum(random_plan(seed)[1].reached for seed in range(12)) >= 8


def test_the_same_question_has_the_same_answer() -> None:
    order, plan = random_plan(1)
    assert propose(replace(order)) == plan


def test_one_slug_is_drilled_as_deep_as_it_needs() -> None:
    # By hand: 10 mm of slug and 2 mm of backfill, where it is wanted.
    plan = propose(Order(carved(), (slug(6, 10),), DRILLS, at_x(45 * MM)))
    (hole,) = plan.holes
    assert plan.reached
    assert (hole.x, hole.diameter, hole.depth) == pytest.approx((45 * MM, 6 * MM, 12 * MM))


@pytest.mark.parametrize("aim", [2.0, 30.0, 99.0])
def test_ends_of_a_plank_stop_a_hole_at_its_wall(aim: float) -> None:
    # By hand: a 6 mm hole with 3 mm of wall stays 6 mm from the flat ends of 100 mm.
    plan = propose(Order(plank(20.0), (slug(6, 10),), (6 * MM,), at_x(aim * MM)))
    nearest = min(max(aim, 6.0), 94.0)
    assert plan.holes[0].x == pytest.approx(nearest * MM, abs=0.01 * MM)
    assert plan.away == pytest.approx((nearest - aim) * MM, abs=0.01 * MM)
    if aim != nearest:
        by = abs(nearest - aim) * MM - 0.5 * MM
        assert binds(plan, "aim") == pytest.approx(by, abs=0.01 * MM)


@pytest.mark.parametrize("wanted", [14.0, 84.0])
def test_nearest_place_on_a_carved_body_is_that_of_a_scan(wanted: float) -> None:
    # Brute force: every millimetre towards that end, measured on the true skin.
    body, piece = carved(), slug(4, 8)
    order = Order(body, (piece,), (4 * MM,), at_x(wanted * MM), wall=2.5 * MM)
    away = [
        abs(x - wanted)
        for x in np.arange(wanted - 12.0, wanted + 13.0)
        if thinnest_wall(drilled(body, "up", x * MM, 4 * MM, 10 * MM), body).thickness >= 2.5 * MM
    ]
    found = propose(order).away
    assert found is not None
    assert abs(found) / MM == pytest.approx(min(away), abs=1.01)


def test_low_and_high_move_the_ballast() -> None:
    order = Order(carved(), (slug(6, 8, 3),), DRILLS, at_x(45 * MM))
    plans = [propose(replace(order, height=height)) for height in ("low", None, "high")]
    levels = [plan.place.z for plan in plans if plan.place]
    assert all(plan.reached for plan in plans)
    assert levels[0] < levels[1] < levels[2]


def test_holes_across_keep_the_ballast_on_the_centre_line() -> None:
    order = Order(carved(), (slug(6, 8, 2),), (6 * MM, 8 * MM), at_x(45 * MM), axis="across")
    plan = propose(order)
    keeps_its_promises(order, plan)
    assert plan.reached


@pytest.mark.parametrize("densities", [(0.0, 0.0), (420.0, 1150.0)])
@pytest.mark.parametrize("pitch", [-4.0, 0.0, 6.0])
def test_the_plug_hangs_at_the_pitch_asked_for(
    pitch: float, densities: tuple[float, float]
) -> None:
    # Independent sum: CG of the whole plug from its parts, then tan(pitch) = dx / dz.
    others_mass, others, buoyancy = 0.020, Place(0.047, 0.0125), Place(0.046, 0.0127)
    wood, fill = densities
    order = Order(
        carved(),
        (slug(6, 8, 3),),
        DRILLS,
        at_pitch(math.radians(pitch), buoyancy, others_mass, others),
        wood_density=wood,
        filler_density=fill,
    )
    plan = propose(order)
    assert plan.reached
    parts = [(others_mass, others)]
    for hole, held in zip(plan.holes, plan.stacks, strict=True):
        parts.append((-wood * hole.volume, hole.centroid))
        parts += [(one.piece.mass, one.place) for one in held.seated]
        if held.backfill_place:
            parts.append((fill * held.backfill_volume, held.backfill_place))
    mass = sum(m for m, _ in parts)
    x = sum(m * p.x for m, p in parts) / mass
    z = sum(m * p.z for m, p in parts) / mass
    off = buoyancy.x - x - math.tan(math.radians(pitch)) * (buoyancy.z - z)
    ballast = sum(held.mass for held in plan.stacks)
    assert plan.away == pytest.approx(-off * mass / ballast, abs=1e-6)
    assert abs(off) <= order.tolerance * ballast / mass + 1e-9


# Limits, by hand in a plank 20 mm high with 3 mm of wall: a hole up may be 17 mm deep.


def deep_order(length: float = 18.0) -> Order:
    return Order(plank(20.0), (slug(6, length),), (6 * MM, 8 * MM), at_x(50 * MM))


def test_too_long_a_slug_lacks_depth() -> None:
    plan = propose(deep_order())
    assert not plan.holes
    assert binds(plan, "depth") == pytest.approx(3 * MM, abs=0.5 * MM)


def test_remedies_for_a_slug_that_is_too_long() -> None:
    # By hand: 18 + 2 + 3 mm ask for 3 mm more thickness; cast denser by a factor s the slug
    # is 18 / s^(1/3) long, 15 when s = 1.728: 19 596 kg/m3. One slug leaves nothing to leave out.
    order = deep_order()
    found = {one.kind: one for one in remedies(order, propose(order))}
    assert set(found) == {"thicker blank", "denser metal"}
    assert found["thicker blank"].value == pytest.approx(3 * MM, abs=0.7 * MM)
    assert found["denser metal"].value == pytest.approx(LEAD * 1.728, rel=0.05)
    for one in found.values():
        keeps_its_promises(one.order, propose(one.order))


def test_a_larger_drill_takes_slugs_side_by_side() -> None:
    # By hand: two slugs of 6 x 10 mm one on the other need 22 mm, side by side 12 mm in 12 mm.
    order = Order(plank(20.0), (slug(6, 10, 2),), (6 * MM,), at_x(50 * MM), most_holes=1)
    found = {one.kind: one for one in remedies(order, propose(order))}
    assert found["larger drill"].value == pytest.approx(12 * MM)
    assert found["less ballast"].value == pytest.approx(slug(6, 10).mass)
    keeps_its_promises(found["larger drill"].order, propose(found["larger drill"].order))


def test_the_fewest_of_hundreds_that_do_not_fit_together_take_few_trials(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # By hand: 17 mm of depth less 2 mm of backfill take one slug of 10 mm a hole, and four
    # holes four; five are the fewest that do not fit. One trial less for each slug would be 200.
    trials: list[int] = []

    def counted(order: Order, space: Room) -> bool:
        trials.append(sum(piece.count for piece in order.pieces))
        return fits(order, space)

    monkeypatch.setattr(plan_sets, "fits", counted)
    fitting = plan_sets.Fitting(Order(plank(20.0), (), (6 * MM,), at_x(50 * MM)))
    assert not fitting.together([slug(6, 10, 200)])
    assert len(trials) < 12
    trials.clear()
    assert not fitting.together([slug(6, 10, 5)])
    assert trials == []  # known already
    assert fitting.together([slug(6, 10, 4)])


def test_a_short_plank_lacks_length() -> None:
    # By hand: two holes of 6 mm, 3 mm of wood between and at the ends: 21 mm of 20.
    order = Order(
        plank(20.0, length=20.0), (slug(6, 14, 2),), (6 * MM,), at_x(10 * MM), most_holes=2
    )
    plan = propose(order)
    assert binds(plan, "length") == pytest.approx(1 * MM, abs=0.55 * MM)
    assert propose(replace(order, body=plank(20.0, length=21.5))).reached


def test_a_wire_over_the_hole_is_named() -> None:
    # By hand: a wire of 1.5 mm at 10 mm leaves 10 - 0.75 - 3 = 6.25 mm; 10 + 2 are needed.
    along = wire([(0.0, 0.0, 10 * MM), (0.1, 0.0, 10 * MM)], 0.75 * MM)
    plan = propose(replace(deep_order(10.0), obstacles=along))
    assert binds(plan, "obstacle") == pytest.approx(5.75 * MM, abs=0.1 * MM)
    assert propose(deep_order(10.0)).reached


def test_a_screw_where_the_ballast_should_be_is_named() -> None:
    screw = Capsule((0.05, 0.0, 0.0), (0.05, 0.0, 12 * MM), 1 * MM)
    plan = propose(replace(deep_order(10.0), obstacles=(screw,), most_holes=1))
    # By hand: 3 mm of hole, 1 of screw and 3 of wood: 7 mm beside it.
    assert plan.away in (pytest.approx(7 * MM, abs=1e-5), pytest.approx(-7 * MM, abs=1e-5))
    assert [limit.kind for limit in plan.binding] == ["aim", "obstacle"]


@pytest.mark.parametrize(
    ("pieces", "drills", "kind", "by"),
    [
        ((), (6.0,), "no pieces", 0.0),
        ((slug(6, 10),), (), "no drills", 0.0),
        ((slug(9, 10),), (6.0, 8.0), "drill too narrow", 1.0),
        # 24 mm of breadth less two walls leave 18.
        ((slug(20, 10),), (20.0,), "drill too wide", 2.0),
    ],
)
def test_what_cannot_be_drilled(
    pieces: tuple[Piece, ...], drills: tuple[float, ...], kind: str, by: float
) -> None:
    order = Order(plank(30.0), pieces, tuple(d * MM for d in drills), at_x(50 * MM))
    (limit,) = propose(order).binding
    assert limit.kind == kind
    assert limit.by == pytest.approx(by * MM, abs=0.1 * MM)


@pytest.mark.parametrize("change", [{"wall": 0.0}, {"gap": -1.0}, {"drills": (math.nan,)}])
def test_the_impossible_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="above 0"):
        propose(replace(deep_order(), **change))  # type: ignore[arg-type]


def test_a_denser_piece_keeps_its_mass() -> None:
    cast = denser(ball(8), 19300.0)
    known = size(cast)
    assert known is not None
    assert cast.mass == ball(8).mass
    assert 19300.0 * math.pi / 6 * known[0] ** 3 == pytest.approx(cast.mass)


def test_aims_are_levers() -> None:
    assert at_x(0.05) == Aim(0.05, 0.0, 0.0)
    level = at_pitch(0.0, Place(0.05, 0.012), 0.02, Place(0.04, 0.011))
    # By hand: level, ballast must make up 20 g that weigh 10 mm ahead of the CB.
    assert (level.lever, level.moment) == pytest.approx((0.05, 0.0002))


# Hangers


def test_hooks_that_can_meet_are_named() -> None:
    # By hand: hangers 30 mm apart with reaches of 18 and 15 mm lack 3 mm; the nose is 20 away.
    belly = Hanger("belly", Place(0.020, 0.0), 18 * MM)
    tail = Hanger("tail", Place(0.050, 0.0), 15 * MM)
    (foul,) = fouls([belly, tail], Place(0.0, 0.0))
    assert (foul.first, foul.second) == ("belly", "tail")
    assert foul.short == pytest.approx(3 * MM)
    near = fouls([belly], Place(0.008, 0.009))
    assert [(one.second, round(one.distance / MM, 6)) for one in near] == [("line tie", 15.0)]
    assert fouls([belly, replace(tail, place=Place(0.0531, 0.0))], None) == ()


@pytest.mark.parametrize("axis", ["up", "down"])
def test_mouths_lie_on_belly_or_back(axis: Axis) -> None:
    order = replace(deep_order(10.0), axis=axis)
    (hole,) = propose(order).holes
    assert isinstance(hole, Hole)
    assert hole.z == pytest.approx(0.0 if axis == "up" else 20 * MM)
