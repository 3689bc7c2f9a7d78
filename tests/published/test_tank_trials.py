"""What single trials say of the weight in water, against closed forms and solvers of others."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest
import tomli_w
from scipy.integrate import solve_ivp

from wizard.physics.drag import drag_coefficient, equivalent_diameter, sphericity
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.store import profile
from wizard.store.profile import ProfileError

RHO_W, AIR, G = 998.2053, 1.2, 9.80665  # fresh water of 20 degC: EOS-80; air: OIML D 28
RHO = RHO_W - AIR
LENGTH, RADIUS = 0.100, 0.012
BODY = math.pi * RADIUS**2 * LENGTH
STEEL, LEAD = 7850.0, 11340.0


def cylinder(wood: float, lead: float = 2e-3, **more: Any) -> dict[str, Any]:
    """A circular cylinder of known wood with lead in its middle, filled flush; no coats."""
    tables: dict[str, Any] = {
        "format": 1,
        "water": {"temperature": "20 degC", "salinity": "0 g/kg"},
        "aim": {"behaviour": "floats", "margin": "10 %"},
        "shape": {
            "section": {"widest": 0.5, "upper": 2.0, "lower": 2.0},
            "station": [
                {"x": f"{x} mm", "top": "24 mm", "bottom": "0 mm", "half_breadth": "12 mm"}
                for x in (0, 50, 100)
            ],
        },
        "weighing": {"mass": f"{wood * BODY * 1e3:.9f} g", "resolution": "0.01 g"},
        "density": {"sample": [{"method": "known", "density": f"{wood} kg/m3"}]},
        "ballast": {
            "density": "11.34 g/mL",
            "filler": "epoxy",
            "filler_density": "1.15 g/mL",
            "hole": [{"x": "50 mm", "diameter": "8 mm", "depth": "8 mm"}],
            "piece": [{"mass": f"{lead * 1e3:.6f} g", "hole": 1}],
        },
        "hardware": [],
        "coat": [],
    }
    return {**tables, **more}


def read(tables: Mapping[str, Any]) -> Build:
    return profile.read(tomli_w.dumps(tables).encode(), "a.toml")[0]


def derived(tables: Mapping[str, Any]) -> Derived:
    return derive(read(tables))


def number(found: Derived, name: str) -> float:
    value = found.value(name)
    assert value is not None, name
    return value.value


def doubt(found: Derived, name: str) -> float:
    value = found.value(name)
    assert value is not None, name
    return value.u


# Trial weights and weighings -------------------------------------------------


def test_half_of_the_last_piece_is_taken_off_a_trial_weight() -> None:
    """Between 2.8 and 3.0 g: 2.9 with 0.2 / sqrt(12), times 1 - 0.997005/11.34 (Archimedes)."""
    trial = {"kind": "float", "weight": "3.0 g", "weight_step": "0.2 g", "density": "11.34 g/mL"}
    found = derived(cylinder(500.0, trial=[trial]))
    share = 1.0 - RHO / LEAD
    assert number(found, "proof_net") == pytest.approx(-2.9e-3 * share, rel=1e-6)
    whole = math.hypot(0.2e-3, 0.01e-3) / math.sqrt(12.0) * share
    assert doubt(found, "proof_net") == pytest.approx(whole, rel=1e-6)


def test_a_plug_hung_from_the_scale_under_water_shows_its_net_weight() -> None:
    """Read straight in the fishing water; from the sea by V (rho_sea - rho_fresh)."""
    plain = derived(cylinder(500.0, trial=[{"kind": "weigh", "weight": "1.23 g"}]))
    assert number(plain, "proof_net") == pytest.approx(1.23e-3)
    salted = {"kind": "weigh", "weight": "1.23 g", "temperature": "20 degC", "salinity": "35 g/kg"}
    sea = derived(cylinder(500.0, trial=[salted]))
    # EOS-80 at 20 degC, S = 35: 1024.762 kg/m3 (Unesco 44).
    shift = BODY * (1024.7617 - RHO_W)
    assert number(sea, "proof_net") == pytest.approx(1.23e-3 + shift, abs=1e-8)


def test_a_tank_stands_for_the_trials_that_name_no_water() -> None:
    trial = [{"kind": "weigh", "weight": "1.23 g"}]
    tank = {"temperature": "20 degC", "salinity": "35 g/kg"}
    by_tank = derived(cylinder(500.0, trial=trial, tank=tank))
    by_trial = derived(cylinder(500.0, trial=[trial[0] | tank]))
    assert number(by_tank, "proof_net") == number(by_trial, "proof_net")
    checked = {"temperature": "20 degC", "salinity": "35 g/kg", "density": "1.0231 g/mL"}
    denser = derived(cylinder(500.0, trial=trial, tank=checked))
    assert number(denser, "proof_net") == pytest.approx(1.23e-3 + BODY * (1023.1 - RHO_W), abs=1e-8)


# Floating ---------------------------------------------------------------------


@pytest.mark.parametrize("share", [0.15, 0.30, 0.45])
@pytest.mark.parametrize("by", ["height", "share"])
def test_a_mark_at_the_waterline_tells_the_weight(share: float, by: str) -> None:
    """A level circular cylinder: immersed share (theta - sin theta) / 2 pi (circular segment)."""
    dry = share * 2 * RADIUS
    theta = 2 * math.acos(1 - (2 * RADIUS - dry) / RADIUS)
    immersed = (theta - math.sin(theta)) / (2 * math.pi)
    trial = {"kind": "freeboard", "height_accuracy": "0.3 mm"}
    trial |= {"height": f"{dry * 1e3} mm"} if by == "height" else {"share": f"{share * 100} %"}
    found = derived(cylinder(500.0, trial=[trial]))
    # All is one volume: N = rho V_immersed - rho V.
    assert number(found, "proof_net") == pytest.approx(-RHO * BODY * (1 - immersed), rel=2e-5)
    chord = 2 * RADIUS * math.sin(theta / 2)
    slope = RHO * LENGTH * chord * 0.3e-3 / math.sqrt(3.0)
    assert doubt(found, "proof_net") == pytest.approx(slope, rel=0.01)


def test_the_heel_test_gives_the_distance_from_axis_to_gravity() -> None:
    """Of a circular cylinder every metacentre lies on the axis: GM = z_axis - z_G, at any load."""
    tables = cylinder(560.0, lead=4e-3)
    bare = derived(tables)
    gm = number(bare, "gm")
    M, zg = number(bare, "finished_mass"), number(bare, "cg_z")
    assert gm == pytest.approx(RADIUS - zg, rel=1e-4)
    weight, moved, z = 0.2e-3, 5e-3, 2 * RADIUS
    loaded = RADIUS - (M * zg + weight * z) / (M + weight)
    heel = math.atan(weight * moved / ((M + weight) * loaded))
    assert math.radians(1) < heel < math.radians(10)
    trial = {
        "kind": "heel",
        "weight": f"{weight * 1e3} g",
        "moved": f"{moved * 1e3} mm",
        "angle": f"{math.degrees(heel):.9f} deg",
        "angle_accuracy": "0.5 deg",
        "x": "50 mm",
    }
    found = derived({**tables, "trial": [trial]})
    assert number(found, "proof_gm") == pytest.approx(gm, rel=1e-4)
    # dGM / dphi = - GM / (sin phi cos phi)
    slope = loaded / (math.sin(heel) * math.cos(heel))
    by_angle = slope * math.radians(0.5) / math.sqrt(3.0)
    assert doubt(found, "proof_gm") == pytest.approx(by_angle, rel=0.05)


def test_a_heel_too_far_for_the_metacentre_is_not_used() -> None:
    trial = {"kind": "heel", "weight": "1 g", "moved": "20 mm", "angle": "14 deg"}
    found = derived(cylinder(560.0, lead=4e-3, trial=[trial]))
    assert "proof_gm" not in found.numbers
    assert any("beyond 10 degrees" in f.text for f in found.warnings)


# Timed runs -------------------------------------------------------------------


def motion(net: float, way: float, added: float = 0.7, factor: float = 1.0) -> float:
    """Time that a cylinder released at rest takes for a way, by SciPy's integrator [s].

    (rho V + N + Ca rho V) dv/dt = N g - drag, the drag coefficient following the speed.
    """
    A = 2 * math.pi * RADIUS * LENGTH + 2 * math.pi * RADIUS**2
    mu = 1.0016e-3
    d, p = equivalent_diameter(BODY), sphericity(BODY, A)
    inertia = RHO_W * BODY * (1 + added) + net

    def rate(_: float, y: Any) -> tuple[float, float]:
        v = y[1]
        re = max(RHO_W * v * d / mu, 1e-6)
        drag = 0.5 * RHO_W * v**2 * drag_coefficient(re, p) * factor * math.pi * d**2 / 4
        return v, (abs(net) * G - drag) / inertia

    def arrived(_: float, y: Any) -> float:
        return float(y[0] - way)

    arrived.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(rate, (0.0, 60.0), (0.0, 0.0), events=arrived, rtol=1e-8, atol=1e-10)
    assert found.t_events is not None
    return float(found.t_events[0][0])


@pytest.mark.parametrize("net", [0.8e-3, 3e-3, 8e-3])
@pytest.mark.parametrize("kind", ["sink", "rise"])
def test_a_timed_run_gives_the_net_weight_that_moved_it(net: float, kind: str) -> None:
    """Against the equation of motion with its drag varying on the way (SciPy, RK45): 3 %."""
    signed = net if kind == "sink" else -net
    time = motion(signed, 0.6)
    trial = {"kind": kind, "depth": "60 cm", "time": f"{time:.6f} s"}
    found = derived(cylinder(500.0, trial=[trial]))
    assert number(found, "proof_net") == pytest.approx(signed, rel=0.03)


def test_several_runs_count_as_their_mean_with_their_scatter() -> None:
    """3.0, 3.2, 3.1 s: mean 3.1, u = t(68.27 %, 2) s / sqrt(3) = 1.3210 x 0.1 / sqrt(3)."""
    base = {"kind": "sink", "depth": "60 cm"}
    several = derived(
        cylinder(500.0, trial=[base | {"time": "3.0 s", "time_again": ["3.2 s", "3.1 s"]}])
    )
    one = derived(cylinder(500.0, trial=[base | {"time": "3.1 s"}]))
    assert number(several, "proof_net") == pytest.approx(number(one, "proof_net"), rel=1e-12)
    stated = 1.3213 * 0.1 / math.sqrt(3.0)
    same = derived(
        cylinder(
            500.0,
            trial=[base | {"time": "3.1 s", "time_accuracy": f"{stated * math.sqrt(3):.9f} s"}],
        )
    )
    assert doubt(several, "proof_net") == pytest.approx(doubt(same, "proof_net"), rel=1e-3)


def test_walls_count_half_and_the_rest_is_doubt() -> None:
    """1 - (d/D)^1.5 (Munroe 1888, from memory) at most; the speed in the open is the higher."""
    d = (6 * BODY / math.pi) ** (1 / 3)
    width = 0.15
    slowest = 1 - (d / width) ** 1.5
    trial = [{"kind": "sink", "depth": "100 cm", "time": "6 s"}]
    open_water = derived(cylinder(500.0, trial=trial))
    tank = derived(cylinder(500.0, trial=trial, tank={"width": "15 cm"}))
    ratio = number(tank, "sink_rate") / number(open_water, "sink_rate")
    assert ratio == pytest.approx(2 / (1 + slowest), rel=0.01)
    assert doubt(tank, "sink_rate") > doubt(open_water, "sink_rate")
    assert any("walls may slow it" in f.text for f in tank.warnings)


def test_a_drag_of_the_makers_own_replaces_the_published_spread() -> None:
    """At a speed the drag factor scales the net weight: N = f N_1, up to the start."""
    trial = [{"kind": "sink", "depth": "300 cm", "time": f"{motion(3e-3, 3.0, factor=1.3):.6f} s"}]
    own = {"factor": 1.3, "doubt": "3 %", "builds": 6}
    plain, known = (
        derived(cylinder(500.0, trial=trial)),
        derived(cylinder(500.0, trial=trial, drag=own)),
    )
    assert number(known, "proof_net") == pytest.approx(3e-3, rel=0.03)
    assert number(plain, "proof_net") == pytest.approx(3e-3 / 1.3, rel=0.03)
    assert doubt(known, "proof_net") / number(known, "proof_net") == pytest.approx(0.06, rel=0.1)
    assert doubt(plain, "proof_net") / number(plain, "proof_net") == pytest.approx(0.35, rel=0.1)


# What is impossible, and what it says -----------------------------------------

REFUSED = {
    "sink time zero": ({"kind": "sink", "depth": "40 cm", "time": "0 s"}, "time", "more than zero"),
    "depth less than the plug": (
        {"kind": "sink", "depth": "2 cm", "time": "2 s"},
        "depth",
        "less than the height of the plug",
    ),
    "trial weight lighter than water": (
        {"kind": "float", "weight": "2 g", "density": "0.9 g/mL"},
        "density",
        "floats itself",
    ),
    "trial weight lighter than brine": (
        {"kind": "float", "weight": "2 g", "density": "1.03 g/mL", "salt": "70 g/kg"},
        "density",
        "floats itself",
    ),
    "floater with a sink time": (
        {"kind": "float", "time": "2 s"},
        "time",
        "A floating plug has no sinking time.",
    ),
    "mark with a sink time": (
        {"kind": "freeboard", "height": "4 mm", "time": "2 s"},
        "time",
        "A floating plug has no sinking time.",
    ),
    "no heel": (
        {"kind": "heel", "weight": "1 g", "moved": "10 mm", "angle": "0 deg"},
        "angle",
        "A heel test needs a heel.",
    ),
    "all above water": ({"kind": "freeboard", "share": "100 %"}, "share", "would weigh nothing"),
    "floats with ballast to spare": (
        {"kind": "taped", "result": "floats", "spare": "1 g"},
        "spare",
        "has no ballast to spare",
    ),
    "mends that nobody did": (
        {"kind": "weigh", "weight": "1 g", "mends": 2},
        "mends",
        "more than the 0 written down",
    ),
}


@pytest.mark.parametrize(("trial", "key", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_impossible_trials_are_refused_where_they_stand(
    trial: dict[str, Any], key: str, said: str
) -> None:
    with pytest.raises(ProfileError) as caught:
        read(cylinder(500.0, trial=[trial]))
    (problem,) = caught.value.problems
    assert problem.path == ("trial", 0, key)
    assert problem.line is not None
    assert said in str(problem)


WARNED = {
    "a way shorter than the plug is long": (
        [{"kind": "sink", "depth": "6 cm", "time": "1 s"}],
        "shorter than the plug is long",
    ),
    "a sinker that was to float": (
        [{"kind": "sink", "depth": "40 cm", "time": "2 s"}],
        "it floats by its aim and sank in this trial",
    ),
    "two trials that contradict each other": (
        [
            {"kind": "float", "weight": "2 g", "density": "11.34 g/mL"},
            {"kind": "weigh", "weight": "3 g"},
        ],
        "they contradict each other",
    ),
    "a mark higher than it can float": (
        [{"kind": "freeboard", "height": "23.9 mm"}],
        "The trial can't be used",
    ),
    "too quick for anything": (
        [{"kind": "sink", "depth": "40 cm", "time": "0.01 s"}],
        "The trial can't be used",
    ),
    "no weight typed yet": ([{"kind": "weigh"}], "says nothing yet"),
}


@pytest.mark.parametrize(("trials", "said"), WARNED.values(), ids=WARNED.keys())
def test_odd_trials_are_spoken_of(trials: list[dict[str, Any]], said: str) -> None:
    found = derived(cylinder(500.0, trial=trials))
    assert any(said in finding.text for finding in found.warnings)


def test_a_mark_that_several_weights_leave_alike_tells_none() -> None:
    """Heavy in the tail it pitches as it sinks, so that its nose stands as high when heavier."""
    hole = [{"x": "80 mm", "diameter": "10 mm", "depth": "14 mm"}]
    tables = cylinder(750.0, lead=6e-3)
    tables["ballast"]["hole"] = hole
    heavier = cylinder(780.0, lead=6e-3)
    heavier["ballast"]["hole"] = hole
    one, other = derived(tables), derived(heavier)
    height = number(one, "freeboard")
    assert number(other, "finished_mass") > number(one, "finished_mass") + 1e-3
    assert number(other, "freeboard") > height
    by_nose = derived({**tables, "trial": [{"kind": "freeboard", "height": f"{height * 1e3} mm"}]})
    assert "proof_net" not in by_nose.numbers
    assert any("does not tell its weight: anything from" in f.text for f in by_nose.warnings)
    by_middle = derived({**tables, "trial": [{"kind": "freeboard", "share": "20 %"}]})
    assert "proof_net" in by_middle.numbers
