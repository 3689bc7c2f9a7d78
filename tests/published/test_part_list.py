"""The list of parts against closed forms, Archimedes both ways, and facts of the trade."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.properties.plugs import numbers, round_body
from wizard.certainty import exact
from wizard.physics.ballast import ballast_mass, ballast_mass_in_holes, target_mass
from wizard.physics.parts import (
    Part,
    Place,
    centre_of_buoyancy,
    centre_of_gravity,
    mass,
    volume,
    weighed,
)

LEAD = 11340.0


def part(m: float, v: float, x: float = 0.0, z: float = 0.0) -> Part:
    """A part without doubt on the finished plug."""
    return Part("part", "body", exact(m), exact(v), Place(x, z), "finished")


@settings(max_examples=100, deadline=None)
@given(
    radius=st.floats(0.008, 0.03),
    wood=st.floats(100, 750),
    film=st.floats(0, 3e-4),
    film_density=st.floats(1000, 1500),
    water=st.floats(990, 1030),
    margin=st.floats(-0.2, 0.3),
)
def test_a_coated_sphere_with_a_lead_core(
    radius: float, wood: float, film: float, film_density: float, water: float, margin: float
) -> None:
    """Ball of wood, core of lead that replaces wood, shell of varnish: weight by geometry alone."""
    ball = 4 / 3 * math.pi * radius**3
    shell = 4 / 3 * math.pi * ((radius + film) ** 3 - radius**3)
    body, coat = part(wood * ball, ball), part(film_density * shell, shell)
    whole = volume([body, coat])
    others = mass([body, coat])
    assert whole is not None
    assert others is not None
    target = target_mass(margin, water, whole)
    lead = ballast_mass(target, others, exact(wood), LEAD, 1150.0, 1.0).value
    core = lead / LEAD
    # Straight from the densities of the three regions.
    weight = wood * (ball - core) + LEAD * core + film_density * shell
    push = water * 4 / 3 * math.pi * (radius + film) ** 3
    assert weight == pytest.approx((1 + margin) * push, rel=1e-12)


@settings(max_examples=100, deadline=None)
@given(
    st.floats(1.0, 2.5), st.floats(100, 750), st.floats(900, 1900), st.floats(6000, 19300)
)  # fmt: skip
def test_a_hole_larger_than_its_ballast_filled_flush(
    ratio: float, wood: float, filler: float, metal: float
) -> None:
    """The answer, put back region by region, weighs what was asked; either way of asking agrees."""
    V = 4e-5
    target, others = exact(1.1 * 998.0 * V), exact(wood * V)
    lead = ballast_mass(target, others, exact(wood), metal, filler, ratio).value
    hole = ratio * lead / metal
    weight = wood * (V - hole) + lead + filler * (hole - lead / metal)
    assert weight == pytest.approx(1.1 * 998.0 * V, rel=1e-12)
    laid_out = ballast_mass_in_holes(target, others, exact(wood), metal, filler, hole).value
    assert laid_out == pytest.approx(lead, rel=1e-9)


def test_centres_are_levers() -> None:
    """Two weights on a beam balance at the point between them that their ratio gives."""
    left, right = part(0.010, 1e-5, x=0.0, z=0.0), part(0.030, 3e-5, x=0.08, z=0.02)
    for centre in (centre_of_gravity([left, right]), centre_of_buoyancy([left, right])):
        assert centre is not None
        assert (centre.x.value, centre.z.value) == pytest.approx((0.06, 0.015))


@settings(max_examples=50, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(1e-3, 0.1), st.floats(1e-6, 1e-4), st.floats(0, 0.2)),
        min_size=2,
        max_size=6,
    )
)
def test_the_order_of_parts_is_irrelevant(rows: list[tuple[float, float, float]]) -> None:
    parts = [part(m, v, x) for m, v, x in rows]
    for these in (
        parts,
        parts[::-1],
        sorted(parts, key=lambda p: p.volume.value if p.volume else 0),
    ):
        m, v, g = mass(these), volume(these), centre_of_gravity(these)
        assert m is not None
        assert v is not None
        assert g is not None
        assert m.value == pytest.approx(math.fsum(r[0] for r in rows), rel=1e-12)
        assert v.value == pytest.approx(math.fsum(r[1] for r in rows), rel=1e-12)
        moment = math.fsum(r[0] * r[2] for r in rows)
        assert g.x.value * m.value == pytest.approx(moment, rel=1e-12, abs=1e-15)


def test_a_weighing_replaces_what_was_on_and_later_parts_add_to_it() -> None:
    body = Part("body", "body", exact(0.014), exact(3e-5), Place(0, 0), "bare")
    lead = Part("lead", "ballast", None, exact(0.0), Place(0, 0), "ballasted")
    hook = Part("hook", "hardware", exact(0.002), exact(2.5e-7), Place(0, 0), "finished")
    after = mass(weighed([body, lead, hook], "ballasted", exact(0.0321)))
    assert after is not None
    assert after.value == pytest.approx(0.0341, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(grams=st.floats(8, 40), millilitres=st.floats(45, 90), t=st.floats(1, 39))
def test_archimedes_both_ways(grams: float, millilitres: float, t: float) -> None:
    """What a body lacks in weight under water is what the water's scale gains.

    A dunk gives the density, the density the volume, the volume the push: the gain is back.
    """
    fresh = {"temperature": f"{t} degC", "salinity": "0 g/kg"}
    found = numbers({"water": fresh})["water_density"]["value"] - 0.0012
    gain = millilitres * found
    tables = {
        "water": fresh,
        "aim": {"behaviour": "suspends"},
        "shape": round_body(90, 10),
        "weighing": {"mass": f"{grams:.9f} g"},
        "density": {
            "sample": [{"method": "dunk", "mass": f"{grams:.9f} g", "gain": f"{gain:.9f} g"}]
        },
    }
    dunked = numbers(tables)
    assert dunked["body_volume"]["value"] == pytest.approx(millilitres, rel=1e-9)
    assert dunked["neutral_mass"]["value"] == pytest.approx(gain, rel=1e-8)
    ballast = {"density": "11.34 g/mL", "filler_density": "1.1 g/mL"}
    afloat = numbers(tables | {"ballast": ballast | {"piece": [{"mass": "1 g"}]}})
    wood_out = 1 / 11.34 * grams / millilitres
    assert afloat["net_in_water"]["value"] == pytest.approx(grams + 1 - wood_out - gain, abs=1e-7)


def test_a_body_that_hangs_at_its_own_displacement() -> None:
    """Common practice, no source: 20.17 g of wood of 0.371 g/mL push 54.4 mL of water aside."""
    bare = {
        "aim": {"behaviour": "suspends"},
        "weighing": {"mass": "20.17 g"},
        "density": {"sample": [{"method": "known", "density": "0.371 g/mL"}]},
    }
    found = numbers(bare)
    assert found["body_volume"]["value"] == pytest.approx(54.4, abs=0.05)
    # In water of 1 g/mL it hangs at 54.4 g, and the bench sum adds the rest.
    hangs_at = target_mass(0.0, 1000.0, exact(found["body_volume"]["value"] * 1e-6)).value
    assert 1000 * hangs_at == pytest.approx(54.4, abs=0.05)
    assert found["bench_ballast"]["value"] == pytest.approx(54.4 - 20.17, abs=0.05)


def test_a_margin_of_fifteen_per_cent_sinks() -> None:
    """Common practice, no source: about 15 % above neutral is sure to start down."""
    plug = {
        "water": {"temperature": "4 degC", "salinity": "0 g/kg"},
        "aim": {"behaviour": "sinks", "margin": "15 %"},
        "weighing": {"mass": "20.17 g", "resolution": "0.01 g"},
        "density": {
            "sample": [{"method": "known", "density": "0.371 g/mL", "uncertainty": "0.005 g/mL"}]
        },
        "ballast": {"density": "11.34 g/mL", "filler_density": "1.1 g/mL", "hole_ratio": 1.3},
        "hardware": [],
        "coat": [],
    }
    found = numbers(plug)
    # Scale readings: the air has taken 0.0012 g/mL off already.
    assert found["target_mass"]["value"] == pytest.approx(1.15 * 54.4 * 0.9988, abs=0.1)
    assert found["chance_sinks"]["value"] > 0.999
