"""The drill list and the number at the ballast step: what stands large at the drill press."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from wizard.plug.derive import derive
from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity, read
from wizard.session.card import Card
from wizard.session.drill_list import drill_list
from wizard.session.large import alert_at, card
from wizard.store.opening import open_profile

DART = Path(__file__).parents[2] / "profiles" / "harbour-dart.toml"


def length(text: str) -> Quantity:
    found = read(text, "length", negative=True)
    assert isinstance(found, Quantity)
    return found


def build() -> Build:
    """A plug whose holes are laid out, before the ballast went in."""
    return replace(open_profile(DART).build, weight=(), trial=())


def texts(shown: Card) -> list[str]:
    return [big.text for big in shown.bigs]


def test_every_hole_has_its_card_in_order() -> None:
    first, second = drill_list(build())
    assert texts(first) == ["7/16 in", "1 1/4 in", "1/2 in", "straight up"]
    assert texts(second) == ["7/16 in", "2 11/16 in", "3/8 in", "straight up"]
    assert second.bigs[0].over == "hole 2 of 2: drill"
    assert second.notes == ("Into it, first to the blind end: 2 x 3.8 g metal.",)
    assert drill_list(Build()) == ()


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("axis", "down", "straight down"),
        ("axis", "across", "across"),
        ("y", length("-2 mm"), "3/32 in to starboard of the centre line."),
        ("depth", None, "not answered"),
        ("diameter", None, "not answered"),
    ],
)
def test_a_hole_is_drilled_as_it_was_answered(key: str, value: object, said: str) -> None:
    # 2 mm are 2.52 of 32nds of an inch: the third line from the centre, 3/32 in.
    changed = put(build(), ("ballast", "hole", 0, key), value)
    first = drill_list(changed)[0]
    assert said in (*texts(first), *first.notes)


def test_places_are_measured_from_the_nose_wherever_the_drawing_begins() -> None:
    text = """
format = 1
[[shape.station]]
x = "10 mm"
top = "14 mm"
bottom = "10 mm"
half_breadth = "2 mm"
[[shape.station]]
x = "55 mm"
top = "25 mm"
bottom = "0 mm"
half_breadth = "10 mm"
[[shape.station]]
x = "110 mm"
top = "15 mm"
bottom = "11 mm"
half_breadth = "2 mm"
[[ballast.hole]]
x = "50 mm"
diameter = "8 mm"
depth = "12 mm"
"""
    from wizard.store.profile import read as read_profile

    drawn, _ = read_profile(text.encode(), "it")
    assert texts(drill_list(drawn)[0])[1] == "40 mm"


def test_the_number_at_the_ballast_step_is_what_is_still_to_be_added() -> None:
    has = build()
    derived = derive(has)
    full = derived.numbers["ballast_mass"].published[0]
    laid_out = 2 * 5.8 + 2 * 3.8  # the pieces of the profile, in grams
    shown = card(has, "ballast", None, derived).bigs[-1]
    assert shown.over.startswith("ballast to add, ±")
    assert float(shown.text.removesuffix(" g")) == pytest.approx(full - laid_out, abs=0.051)
    assert has.ballast is not None
    heavy = read("4.8 g", "mass")
    assert isinstance(heavy, Quantity)
    pieces = (*has.ballast.piece, replace(has.ballast.piece[0], mass=heavy, count=1))
    more = put(has, ("ballast", "piece"), pieces)
    derived = derive(more)
    full = derived.numbers["ballast_mass"].published[0]
    shown = card(more, "ballast", None, derived).bigs[-1]
    assert shown.over.startswith("ballast to take out, ±")
    assert float(shown.text.removesuffix(" g")) == pytest.approx(laid_out + 4.8 - full, abs=0.051)


def test_it_is_said_whether_the_holes_may_be_drilled() -> None:
    has = build()
    assert alert_at(has, "ballast", derive(has)).startswith("Drill now")
    early = put(put(has, ("hardware",), None), ("coat",), None)
    assert "Do not drill." in alert_at(early, "ballast", derive(early))
    assert alert_at(has, "weighing", derive(has)) == ""
