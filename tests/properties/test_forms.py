"""Body forms: they fill the box they are given and keep the proportions they are asked for."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.physics.forms import FORMS, SOURCE, Form, departures, stations
from wizard.physics.shape import Body, ShapeError

names = st.sampled_from(sorted(FORMS))
sizes = st.floats(0.005, 2.0)


@settings(deadline=None, max_examples=60)
@given(
    names,
    sizes,
    st.floats(0.05, 0.6),
    st.floats(0.05, 0.6),
    st.floats(0.05, 0.95),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 0.9),
)
def test_any_proportions_make_a_body_in_its_box(
    name: str,
    length: float,
    height: float,
    thickness: float,
    widest_at: float,
    nose: float,
    tail: float,
    face: float,
) -> None:
    drawn = stations(
        name,
        length,
        height * length,
        thickness * length,
        widest_at=widest_at,
        nose=nose,
        tail=tail,
        face=face,
    )
    body = Body.through(drawn, FORMS[name].section)
    assert body.nose == 0.0
    assert body.length == pytest.approx(length)
    assert body.breadth == pytest.approx(thickness * length)
    assert min(s.bottom for s in drawn) == pytest.approx(0.0, abs=1e-12)
    assert body.height <= height * length * (1 + 1e-9)
    assert 0.0 < body.volume < length * height * length * thickness * length
    widest = max(drawn, key=lambda s: s.half_breadth)
    if max(nose, tail) < 0.99:
        assert widest.x == pytest.approx(widest_at * length)
    assert drawn[0].half_breadth == pytest.approx(nose * thickness * length / 2)
    assert drawn[-1].half_breadth == pytest.approx(tail * thickness * length / 2)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_each_form_is_named_described_and_drawn(name: str) -> None:
    form = FORMS[name]
    assert form.name == name
    assert len(form.description) > 20
    assert form.source == SOURCE == "common practice, no source"
    body = Body.through(stations(name, 0.1, 0.03, 0.02), form.section)
    assert body.height == pytest.approx(0.03)
    assert stations(form, 0.1, 0.03, 0.02) == body.stations
    assert departures(name, 0.1, 0.03) == ()


def test_a_round_taper_holds_what_a_lathe_would_leave() -> None:
    """Solid of revolution, by the disc method on a fine grid of the outline's own formula."""
    form = Form("egg", "half an ellipsoid ahead, half an ellipsoid aft, of the same girth")
    drawn = stations(form, 0.1, 0.02, 0.02, widest_at=0.4)
    body = Body.through(drawn, FORMS["round taper"].section)
    # Two half ellipsoids of semi-axes 40 and 60 mm: 2/3 pi r^2 (40 + 60) mm.
    centred = 2 / 3 * math.pi * 0.01**2 * 0.1
    assert body.volume == pytest.approx(centred, rel=1e-3)


def test_a_slanted_face_is_straight_and_takes_a_third() -> None:
    drawn = stations("slant face", 0.09, 0.027, 0.018)
    on_face = [s for s in drawn if s.x <= 0.03 + 1e-12]
    assert on_face[-1].x == pytest.approx(0.03)
    rise = np.diff([s.top for s in on_face]) / np.diff([s.x for s in on_face])
    assert rise == pytest.approx(np.full(len(rise), rise[0]), rel=1e-9)
    assert rise[0] > 0.3
    form = FORMS["slant face"]
    assert form.line_tie == pytest.approx(1 / 3)
    assert form.least_height == 0.25
    assert 0.4 <= form.widest_at <= 0.5
    assert form.section.widest < 0.5


@pytest.mark.parametrize(
    ("height", "proportions", "fields"),
    [
        (0.030, {}, []),
        (0.020, {}, ["height"]),
        (0.030, {"face": 0.05}, ["face"]),
        (0.030, {"widest_at": 0.9}, ["widest_at"]),
    ],
)
def test_departures_from_practice(
    height: float, proportions: dict[str, float], fields: list[str]
) -> None:
    found = departures("slant face", 0.1, height, **proportions)
    assert [departure.field for departure in found] == fields
    assert all(departure.text for departure in found)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"form": "no such thing"}, "form"),
        ({"length": 0.0}, "length"),
        ({"height": -1.0}, "height"),
        ({"thickness": math.inf}, "thickness"),
        ({"widest_at": 1.0}, "widest_at"),
        ({"widest_at": 0.0, "nose": 0.0}, "widest_at"),
        ({"nose": 1.2}, "nose"),
        ({"tail": -0.1}, "tail"),
        ({"face": math.nan}, "face"),
    ],
)
def test_impossible_proportions_are_refused(change: dict[str, float | str], field: str) -> None:
    asked = {"form": "round taper", "length": 0.1, "height": 0.02, "thickness": 0.02, **change}
    with pytest.raises(ShapeError) as refused:
        stations(**asked)  # type: ignore[arg-type]
    assert refused.value.field == field
