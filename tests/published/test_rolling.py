"""Righting curves and the period of a roll, against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from wizard.physics.heeling import RightingCurve, righting_curve
from wizard.physics.shape import Body, Section, Station
from wizard.plug.derive import derive
from wizard.plug.paths import put
from wizard.plug.record import Build, Hardware
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity, read

LENGTH, RADIUS = 0.1, 0.01
GRAVITY = 9.80665


def prism(length: float, broad: float, high: float) -> Body:
    ends = [Station(x, high, 0.0, broad / 2) for x in (0.0, length)]
    return Body.through(ends, Section(0.5, 1e9, 1e9))


def curve_of(body: Body, share: float, z: float) -> RightingCurve:
    half = (body.nose + body.tail) / 2
    return righting_curve(body, body.volume, 0.0, (), share * body.volume, half, z, 1.0, 0.0)


# A round log: buoyancy always acts through its axis, so GZ = d sin(heel) with G by d under the
# axis, at any share under water (the metacentre of a circular cylinder is its axis; any text).
@pytest.mark.parametrize("share", [0.2, 0.5, 0.85])
def test_round_log_rights_from_any_heel(share: float) -> None:
    ends = [Station(x, 2 * RADIUS, 0.0, RADIUS) for x in (0.0, LENGTH)]
    log = Body.through(ends, Section(0.5, 2.0, 2.0))
    low = curve_of(log, share, RADIUS - 0.002)
    assert low.arms == pytest.approx(0.002 * np.sin(low.heels), abs=2e-7)  # sections are polygons
    arm, heel = low.largest
    assert arm == pytest.approx(0.002, rel=1e-3)
    assert math.degrees(heel) == pytest.approx(90.0, abs=1.0)
    assert low.vanishing is None
    assert low.lies_at == 0.0
    high = low.raised(0.004)
    assert high.lies_at == pytest.approx(math.pi)


# A square log of relative density s lies tilted by tan2(phi) = 12 s (1 - s) - 2 for
# 0.2113 < s <= 0.25, and corner down from 9/32 (G and B on one vertical; treated in Erdos,
# Schibler and Herndon (1992), Amer. J. Phys. 60, 335: derived here, the paper not seen).
@pytest.mark.parametrize(
    ("share", "degrees"), [(0.22, 13.674945), (0.24, 23.485487), (0.25, 26.565051), (0.4, 45.0)]
)
def test_square_log_lies_tilted(share: float, degrees: float) -> None:
    found = curve_of(prism(10.0, 1.0, 1.0), share, 0.5).lies_at
    assert math.degrees(found) == pytest.approx(degrees, abs=2.5)  # between heels 5 to 15 apart


# Face down it stands for s < 0.2113, and by symmetry of the square goes over at 45 degrees.
@pytest.mark.parametrize("share", [0.1, 0.15, 0.85])
def test_square_log_goes_over_at_its_corner(share: float) -> None:
    curve = curve_of(prism(10.0, 1.0, 1.0), share, 0.5)
    assert curve.lies_at == 0.0
    assert curve.vanishing is not None
    assert math.degrees(curve.vanishing) == pytest.approx(45.0, abs=0.1)


def test_a_thin_board_on_edge_lies_flat() -> None:
    # Twice as high as broad with G in the middle: its lowest energy is flat on its side.
    curve = curve_of(prism(10.0, 0.5, 1.0), 0.6, 0.5)
    assert math.degrees(curve.lies_at) == pytest.approx(90.0, abs=0.1)


def typed(text: str, kind: str = "length") -> Quantity:
    found = read(text, kind, negative=True)  # type: ignore[arg-type]
    assert isinstance(found, Quantity)
    return found


def rod(*hardware: Hardware) -> Build:
    """A round rod of 100 mm by 20 mm, known wood of 0.5 g/mL, lead glued on below."""
    build = Build()
    answers: dict[str, object] = {
        "water.temperature": typed("15 degC", "temperature"),
        "water.salinity": typed("0 g/kg", "salinity"),
        "aim.behaviour": "sinks",
        "aim.margin": typed("20 %", "ratio"),
        "weighing.mass": made(0.5e3 * math.pi * RADIUS**2 * LENGTH, "g", 1e-9),
        "density.sample.0.method": "known",
        "density.sample.0.density": typed("0.5 g/mL", "density"),
        "shape.section.widest": typed("0.5", "number"),
        "ballast.metal": "lead",
        "ballast.piece": (),
        "hardware": hardware,
        "coat": (),
    }
    for n, x in enumerate(("0 mm", "100 mm")):
        answers |= {
            f"shape.station.{n}.x": typed(x),
            f"shape.station.{n}.top": typed("20 mm"),
            f"shape.station.{n}.bottom": typed("0 mm"),
            f"shape.station.{n}.half_breadth": typed("10 mm"),
        }
    answers |= {
        "ballast.hole.0.x": typed("50 mm"),
        "ballast.hole.0.diameter": typed("10 mm"),
        "ballast.hole.0.depth": typed("10 mm"),
    }
    for key, value in answers.items():
        path = tuple(int(p) if p.isdigit() else p for p in key.split("."))
        build = put(build, path, value)
    return build


# Solid cylinder about its axis, m r2 / 2; all else points (m d2); Steiner's theorem to CG; no
# water turns with a round body (Lamb, Hydrodynamics, section 72); T = 2 pi sqrt(I / (M g BG)).
def test_period_of_a_rod_that_rolls_under_water() -> None:
    derived = derive(rod())
    period = derived.value("roll_period")
    assert period is not None
    inertia = mass = moment = 0.0
    for part in derived.parts:
        assert part.mass is not None
        assert part.place is not None
        own = RADIUS**2 / 2 if part.sort == "body" else 0.0
        mass += part.mass.value
        moment += part.mass.value * part.place.z
        inertia += part.mass.value * (own + part.place.z**2)
    inertia -= moment**2 / mass
    righting = RADIUS - moment / mass
    expected = 2 * math.pi * math.sqrt(inertia / (mass * GRAVITY * righting))
    assert period.value == pytest.approx(expected, rel=1e-6)
    assert "gm" not in derived.numbers


def test_what_does_not_stand_is_told_how_it_lies() -> None:
    build = put(rod(), ("aim", "behaviour"), "floats")
    build = put(build, ("ballast", "hole", 0, "axis"), "down")
    derived = derive(build)
    heel = derived.value("rest_heel")
    assert heel is not None
    assert math.degrees(heel.value) == pytest.approx(180.0)
    assert not {"rest_pitch", "roll_period", "righting_arm"} & set(derived.numbers)
    assert any("lies belly up" in f.wrong for f in derived.warnings)


def test_a_floater_that_stands_has_its_curve() -> None:
    derived = derive(put(rod(), ("aim", "behaviour"), "floats"))
    gm, largest = derived.value("gm"), derived.value("righting_arm")
    assert gm is not None
    assert largest is not None
    # The metacentre of a round section is its axis: GZ = GM sin(heel), all the way round.
    assert largest.value == pytest.approx(gm.value, rel=2e-3)
    assert "vanishing_heel" not in derived.numbers
    along = derived.value("gm_along")
    assert along is not None
    assert along.value > gm.value
