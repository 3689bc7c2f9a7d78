"""What the drawing promises before cutting, and what is said of how a plug lies."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pytest
import tomli_w

from tests.properties.plugs import ballast_with, build_with
from wizard.physics.capacity import capacity
from wizard.physics.shape import Body, Section, Station
from wizard.plug.ballast.planned import planned
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.paths import parse, put
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity, read
from wizard.quantity.units import Kind
from wizard.report.lying import lying_lines
from wizard.report.planning import planning_lines
from wizard.report.righting import MANNERS, manner
from wizard.session.standing import drilling
from wizard.store import profile


def block(length: float, broad: float, high: float) -> Body:
    ends = [Station(x, high, 0.0, broad / 2) for x in (0.0, length)]
    return Body.through(ends, Section(0.5, 1e9, 1e9))


# A block of wood is the one body whose holes are counted on paper: walls of 3 mm at both ends,
# between holes and over their blind ends, so n (d + 3) + 3 mm must go into the length.
@pytest.mark.parametrize(("length", "count"), [(0.100, 4), (0.045, 3), (0.030, 2), (0.025, 1)])
def test_capacity_of_a_block(length: float, count: int) -> None:
    drill = 0.010
    found = capacity(block(length, 0.02, 0.025), [drill])
    assert found is not None
    assert found.count == count
    depth = 0.025 - 3e-3
    assert found.volume == pytest.approx(count * math.pi / 4 * drill**2 * depth, rel=0.05)


def test_no_drill_leaves_walls_in_a_lath() -> None:
    assert capacity(block(0.1, 0.008, 0.02), [0.003, 0.006]) is None


def typed(text: str, kind: Kind) -> Quantity:
    found = read(text, kind, negative=True)
    assert isinstance(found, Quantity)
    return found


ANSWERS: dict[str, object] = {
    "water.temperature": typed("15 degC", "temperature"),
    "water.salinity": typed("0 g/kg", "salinity"),
    "aim.behaviour": "sinks",
    "aim.margin": typed("12 %", "ratio"),
    "stock.wood": "basswood",
    "shape.form": "round taper",
    "shape.length": typed("95 mm", "length"),
    "shape.height": typed("26 mm", "length"),
    "shape.thickness": typed("20 mm", "length"),
}


def build(**more: object) -> Build:
    out = Build()
    for key, value in (ANSWERS | {k.replace("__", "."): v for k, v in more.items()}).items():
        out = put(out, parse(key), value)
    return out


def test_weight_and_ballast_by_hand() -> None:
    from wizard.tables import find_wood

    plan = planned(build())
    row = find_wood("basswood")
    assert plan is not None
    assert row is not None
    assert plan.body.value == pytest.approx(row.density.typical * plan.volume)
    assert plan.body.u == pytest.approx(row.standard_uncertainty * plan.volume, rel=1e-3)
    # m_L = [(1 + s) rho V - m_b] / (1 - rho_wood / rho_lead), rho = 999.1 - 1.2 at 15 degC.
    loaded = 1.12 * (999.1 - 1.2) * plan.volume - plan.body.value
    expected = loaded / (1.0 - row.density.typical / 11340.0)
    assert plan.ballast is not None
    assert plan.ballast.value == pytest.approx(expected, rel=2e-3)
    assert plan.takes == pytest.approx(plan.ballast.value / 11340.0, rel=1e-3)
    assert plan.fits is True
    assert any("There is room" in line for line in planning_lines(build(), plan))


def test_a_slim_body_has_no_room() -> None:
    slim = build(shape__height=typed("9 mm", "length"), shape__thickness=typed("9 mm", "length"))
    plan = planned(slim)
    assert plan is not None
    assert plan.fits is False
    assert any("no room" in line for line in planning_lines(slim, plan))


@pytest.mark.parametrize("missing", ["stock.wood", "shape.form", "shape.length"])
def test_nothing_is_promised_without_wood_or_drawing(missing: str) -> None:
    assert planned(put(build(), parse(missing), None)) is None


def test_a_weighed_body_needs_no_promise() -> None:
    assert planned(build(weighing__mass=typed("9 g", "mass"))) is None


def test_water_is_needed_for_the_ballast_alone() -> None:
    plan = planned(put(build(), ("water", "temperature"), None))
    assert plan is not None
    assert plan.ballast is None
    assert plan.fits is None


# Words ----------------------------------------------------------------------


def whole(behaviour: str, axis: str) -> tuple[Build, Derived]:
    made = build(
        aim__behaviour=behaviour,
        weighing__mass=typed("9 g", "mass"),
        density__sample__0__method="known",
        density__sample__0__density=typed("0.38 g/mL", "density"),
        ballast__metal="lead",
        ballast__hole__0__x=typed("44 mm", "length"),
        ballast__hole__0__diameter=typed("12 mm", "length"),
        ballast__hole__0__depth=typed("10 mm", "length"),
        ballast__hole__0__axis=axis,
        hardware=(),
        coat=(),
    )
    return made, derive(made)


def said(behaviour: str, axis: str) -> Iterator[str]:
    yield from lying_lines(*whole(behaviour, axis))


def test_a_sinker_is_told_its_attitude_and_its_roll() -> None:
    made, derived = whole("sinks", "up")
    text = " ".join(lying_lines(made, derived))
    pitch = derived.value("rest_pitch")
    assert pitch is not None
    degrees = round(abs(math.degrees(pitch.value)))
    assert f"nose {'down' if pitch.value > 0 else 'up'} {degrees} degrees" in text
    assert "It will right itself" in text
    assert "A free roll would take" in text


def test_a_floater_is_told_how_far_it_may_heel() -> None:
    text = " ".join(said("floats", "up"))
    assert "above the water" in text
    assert "Metacentric height" in text
    assert "heel" in text


@pytest.mark.parametrize("behaviour", ["floats", "sinks"])
def test_ballast_on_the_back_is_told_to_lie_belly_up(behaviour: str) -> None:
    text = " ".join(said(behaviour, "down"))
    assert "turns over in the water and lies belly up" in text
    assert "right itself" not in text


def test_manners_go_from_hardly_to_stiffly() -> None:
    words = [manner(limit * 0.02 * 0.99, 0.02) for limit, _ in MANNERS[:-1]]
    assert words == [text for _, text in MANNERS[:-1]]
    assert manner(0.02, 0.02) == MANNERS[-1][1]


HOOK = {"name": "treble hook", "mass": "1.9 g", "density": "7.85 g/mL", "x": "45 mm", "z": "-4 mm"}
HOLES = [{"x": f"{x} mm", "diameter": "11 mm", "depth": "13 mm"} for x in (30, 60)]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"hardware": None}, "Provisional: waits for the hardware. Do not drill."),
        ({"coat": None}, "Provisional: waits for the coats. Do not drill."),
        ({"hole": None}, "Lay out the holes, then drill: hardware and coats are counted."),
        ({"hole": HOLES[:1]}, "Do not drill yet: look at the holes and pieces"),
        ({}, "Drill now: hardware and coats are counted."),
        ({"weight": [{"stage": "ballasted", "mass": "30 g"}]}, None),
    ],
)
def test_drill_now_is_said_only_when_nothing_speaks_against_it(
    changes: dict[str, Any], said: str | None
) -> None:
    holes = changes.get("hole", HOLES)
    at = {"hardware": [HOOK], "ballast": ballast_with(hole=holes, piece=None)}
    tables = build_with(**(at | {key: changes[key] for key in changes if key != "hole"}))
    read_back, _ = profile.read(tomli_w.dumps({"format": 1, **tables}).encode(), "a.toml")
    found = drilling(read_back, derive(read_back))
    assert found is None if said is None else found and found[1].startswith(said)
