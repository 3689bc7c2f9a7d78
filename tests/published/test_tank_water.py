"""The tank's water: what to mix, how to check it, what it means; a suspender's bands; the soak."""

from __future__ import annotations

import math
from typing import Any

import gsw
import pytest
import tomli_w

from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.tank.bands import salinity_band, temperature_band
from wizard.plug.tank.explain import standing
from wizard.plug.tank.home_tank import meaning, tank_mix, wanted_object, wanted_reading
from wizard.plug.tank.soak import soaks
from wizard.plug.tank.water import tank_checks
from wizard.report.tank import (
    hanging_lines,
    meaning_lines,
    mix_lines,
    run_lines,
    soak_lines,
)
from wizard.store import profile

VOLUME = math.pi * 0.012**2 * 0.100  # m3, of the plug below


def plug(**tables: Any) -> tuple[Build, Derived]:
    """A suspender of one piece: wood of 0.5 g/mL, lead in its middle."""
    whole: dict[str, Any] = {
        "format": 1,
        "water": {"temperature": "15 degC", "salinity": "35 g/kg"},
        "aim": {"behaviour": "suspends", "tolerance": "0.5 %"},
        "shape": {
            "section": {"widest": 0.5, "upper": 2.0, "lower": 2.0},
            "station": [
                {"x": f"{x} mm", "top": "24 mm", "bottom": "0 mm", "half_breadth": "12 mm"}
                for x in (0, 50, 100)
            ],
        },
        "weighing": {"mass": f"{0.5e3 * VOLUME * 1e3:.6f} g", "resolution": "0.01 g"},
        "density": {"sample": [{"method": "known", "density": "0.5 g/mL"}]},
        "ballast": {
            "density": "11.34 g/mL",
            "hole": [{"x": "50 mm", "diameter": "16 mm", "depth": "12 mm"}],
            "filler": "epoxy",
            "filler_density": "1.15 g/mL",
            "piece": [{"mass": "23 g", "hole": 1}],
        },
        "hardware": [],
        "coat": [],
        "trial": [{"kind": "weigh", "weight": "0 g"}],
    }
    build = profile.read(tomli_w.dumps({**whole, **tables}).encode(), "a.toml")[0]
    return build, derive(build)


def teos(t: float, practical: float) -> float:
    """Density of sea water at one atmosphere by TEOS-10 [kg/m3]."""
    absolute = practical * 35.16504 / 35.0
    return float(gsw.rho(absolute, gsw.CT_from_t(absolute, t, 0.0), 0.0))


# Mixing -------------------------------------------------------------------------


def test_the_brine_that_carries_like_the_sea() -> None:
    """38.9 g of table salt to the kg, not 35: CRC Handbook, density of NaCl solutions, 20 degC.

    1024.8 kg/m3 at 38.9 g/kg; the sea at S = 35 and 20 degC has 1024.76 (Unesco 44).
    """
    build, _ = plug(water={"temperature": "20 degC", "salinity": "35 g/kg"})
    mix = tank_mix(build, 40e-3)
    assert mix is not None
    assert mix.sheet is not None
    assert mix.salt == "table salt"
    assert mix.sheet.content == pytest.approx(38.9, abs=0.35)
    assert mix.sheet.salt == pytest.approx(40e-3 * 998.2 * 0.0389, rel=0.01)
    text = " ".join(mix_lines(build, 40e-3))
    assert "add 155" in text
    assert "of table salt" in text


def test_sea_salt_takes_less_than_table_salt() -> None:
    """Sea water of S = 35 holds 35.165 g/kg of salt, 36.45 g to the kg of water (TEOS-10)."""
    build, _ = plug(water={"temperature": "20 degC", "salinity": "35 g/kg"})
    mix = tank_mix(build, 40e-3, "sea salt")
    assert mix is not None
    assert mix.sheet is not None
    assert mix.sheet.content == pytest.approx(1000 * 35.165 / (1000 - 35.165), rel=1e-3)


def test_a_cold_sea_needs_more_salt_in_a_warm_tank() -> None:
    warm, _ = plug(tank={"temperature": "24 degC"})
    same, _ = plug()
    mixes = tank_mix(warm), tank_mix(same)
    assert mixes[0] is not None
    assert mixes[1] is not None
    assert mixes[0].density == mixes[1].density
    assert mixes[0].sheet is not None
    assert mixes[1].sheet is not None
    assert mixes[0].sheet.content > mixes[1].sheet.content


def test_tap_water_does_for_fresh_water() -> None:
    build, _ = plug(water={"temperature": "18 degC", "salinity": "0 g/kg"})
    mix = tank_mix(build)
    assert mix is not None
    assert mix.sheet is None
    assert "fresh tap water will do" in " ".join(mix_lines(build))
    assert "Tank of 40 L (assumed: no volume is given)" in " ".join(mix_lines(build))
    assert "assumed" not in " ".join(mix_lines(build, 40e-3))


def test_of_a_tank_too_salt_a_share_is_poured_out() -> None:
    """Balance of salt: of 60 g to the kg, 38.9 are wanted, so 1 - 38.9 / 60 goes: 7.03 of 20 L."""
    build, _ = plug(
        water={"temperature": "20 degC", "salinity": "35 g/kg"},
        tank={"temperature": "20 degC", "salt": "60 g/kg"},
    )
    mix = tank_mix(build, 20e-3)
    assert mix is not None
    assert mix.sheet is not None
    assert mix.sheet.share_to_change == pytest.approx(1 - 38.9 / 60, abs=0.006)
    assert "too much table salt in it: pour out 7.0" in " ".join(mix_lines(build, 20e-3))


def test_a_tank_that_is_salt_already_gets_the_rest_alone() -> None:
    """Sea salt by TEOS-10: S = 20 holds 20.51 g to the kg of water, S = 35 36.45: 15.9 more."""
    sea = {"temperature": "20 degC", "salinity": "35 g/kg"}
    half, _ = plug(water=sea, tank={"use": "sea salt", "salinity": "20 g/kg"})
    mix = tank_mix(half, 40e-3)
    assert mix is not None
    assert mix.sheet is not None
    assert mix.sheet.salt / mix.sheet.water == pytest.approx(36.45e-3 - 20.51e-3, rel=0.01)
    done, _ = plug(water=sea, tank={"use": "sea salt", "salinity": "35 g/kg"})
    assert "as salt as wanted" in " ".join(mix_lines(done, 40e-3))


# Checking -----------------------------------------------------------------------


def test_a_bottle_an_object_and_a_hydrometer_check_the_same_water() -> None:
    """Half a litre of sea water weighs 0.5 (rho_sea - rho_tap) more than of tap water."""
    tank = {
        "temperature": "15 degC", "bottle_empty": "210.00 g", "bottle_tap": "708.95 g",
        "float_volume": "50 mL",
    }  # fmt: skip
    build, _ = plug(tank=tank)
    mix = tank_mix(build)
    assert mix is not None
    sea, tap = teos(15.0, 35.0), teos(15.0, 0.0)
    assert mix.density == pytest.approx(sea, abs=0.01)
    assert mix.bottle_gain == pytest.approx(0.5e-3 * (sea - tap), rel=1e-3)
    reading, held = wanted_reading(build, mix), wanted_object(build, mix)
    assert reading is not None
    assert held is not None
    filled = 0.210 + 0.49895 * (sea - 1.2) / (tap - 1.2)
    assert reading == pytest.approx(filled, abs=2e-6)
    assert held == pytest.approx(50e-6 * (sea - 1.2), rel=1e-5)
    assert mix.gravity == pytest.approx(sea / teos(20.0, 0.0), rel=1e-5)
    full = {**tank, "bottle_full": f"{filled * 1e3:.2f} g", "density": f"{sea / 1e3:.4f} g/mL",
            "float_mass": f"{50e-6 * (sea - 1.2) * 1e3:.3f} g"}  # fmt: skip
    build, _ = plug(tank=full)
    checks, wrong = tank_checks(build)
    assert wrong == ()
    assert [c.how.split()[1] for c in checks] == ["weighed", "hydrometer", "object"]
    for check in checks:
        assert check.density == pytest.approx(sea, abs=0.06)


def test_checks_that_disagree_are_named() -> None:
    tank = {"temperature": "15 degC", "bottle_empty": "210 g", "bottle_tap": "708.95 g",
            "bottle_full": "722.4 g", "density": "1.018 g/mL"}  # fmt: skip
    _, derived = plug(tank=tank)
    assert any("the weighed bottle counts" in f.text for f in derived.warnings)


def test_what_hangs_in_the_tank_floats_in_the_sea() -> None:
    """V (rho_tank - rho_sea) with TEOS-10 densities: 1.2 g on 45 mL."""
    tank = {"temperature": "20 degC", "salinity": "0 g/kg"}
    build, derived = plug(tank=tank)
    told = meaning(build, derived.value("displaced_volume"))
    assert told is not None
    expected = VOLUME * (teos(20.0, 0.0) - teos(15.0, 35.0))
    assert told.shift.value == pytest.approx(expected, rel=1e-3)
    text = " ".join(meaning_lines(build, derived))
    assert f"floats there: -{abs(expected) * 1e3:.2f}"[:21] in text


# Where a suspender hangs ---------------------------------------------------------------


def test_the_bands_end_where_the_tolerance_is_used_up() -> None:
    """N moves by V times the change of density, by TEOS-10 (0.006 kg/m3 apart from EOS-80)."""
    build, derived = plug()
    assert derived.water is not None
    now = standing(build, derived.numbers, derived.wood, derived.water, derived.margin)
    assert now is not None
    assert now.net.value == pytest.approx(0.0, abs=3e-5)
    band = 0.05e-3
    here = teos(15.0, 35.0)
    warm, salt = temperature_band(now, derived.water, band), salinity_band(now, derived.water, band)
    assert warm is not None
    assert salt is not None
    assert warm.low is not None
    assert warm.high is not None
    assert salt.low is not None
    assert salt.high is not None
    loose = VOLUME * 0.02
    for t, side in ((warm.low, -1), (warm.high, 1)):
        left = now.net.value + VOLUME * (here - teos(t, 35.0))
        assert left == pytest.approx(side * band, abs=loose)
    for s, side in ((salt.low, 1), (salt.high, -1)):
        left = now.net.value + VOLUME * (here - teos(15.0, s))
        assert left == pytest.approx(side * band, abs=loose)
    assert warm.low < 15.0 < warm.high
    assert salt.low < 35.0 < salt.high
    slope = VOLUME * (teos(14.9, 35.0) - teos(15.1, 35.0)) / 0.2
    assert warm.per_unit == pytest.approx(slope, rel=0.02)


def test_a_lake_at_four_degrees_has_a_band_on_both_sides_of_its_densest() -> None:
    """Fresh water is densest at 4 degC, so that a plug neutral there sinks both ways from it."""
    build, derived = plug(water={"temperature": "4 degC", "salinity": "0 g/kg"})
    assert derived.water is not None
    now = standing(build, derived.numbers, derived.wood, derived.water, derived.margin)
    assert now is not None
    found = temperature_band(now, derived.water, 0.05e-3)
    assert found is not None
    assert found.low is None  # 0 degC is only 0.13 kg/m3 lighter: 0.006 g here
    assert found.high is not None
    assert VOLUME * (teos(4.0, 0.0) - teos(found.high, 0.0)) == pytest.approx(0.05e-3, rel=0.1)


def test_what_a_snap_does_is_said() -> None:
    """0.3 g of steel at 7.9 g/mL in the sea: 0.3 (1 - 1.0248/7.9) = 0.261 g."""
    build, derived = plug()
    text = " ".join(hanging_lines(build, derived))
    assert "a snap of 0.3 g: +0.261 g; it no longer hangs" in text
    assert hanging_lines(*plug(aim={"behaviour": "sinks", "margin": "10 %"})) == []


def test_a_wide_tolerance_holds_where_no_water_makes_it_neutral() -> None:
    """A trial says +0.1 g in fresh water of 4 degC, the densest there is: no warmth takes it off.

    To 40 degC water loses 7.8 kg/m3 (any steam table), 0.36 g here: within 2 % of the plug.
    """
    tolerant = {"behaviour": "suspends", "tolerance": "2 %"}
    weighed = [{"kind": "weigh", "weight": "0.1 g"}]
    fresh = {"temperature": "4 degC", "salinity": "0 g/kg"}
    text = " ".join(hanging_lines(*plug(water=fresh, aim=tolerant, trial=weighed)))
    assert "everywhere from 0 to 40 degC at S = 0" in text


def test_what_never_hung_does_not_stop_hanging() -> None:
    """0.3 g too light: a snap's 0.26 g in water is within the tolerance of the rest."""
    weighed = [{"kind": "float", "weight": "0.3 g", "density": "11.34 g/mL"}]
    text = " ".join(" ".join(hanging_lines(*plug(trial=weighed))).split())
    assert "a snap of 0.3 g: +0.261 g; then it hangs" in text
    assert "leader: +0.036 g; nor does it hang then" in text


# Soaking and falling --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("after", "verdict"), [("46.02 g", "tight"), ("46.40 g", "leaks"), ("45.60 g", "lost")]
)
def test_a_soak_says_whether_the_finish_is_tight(after: str, verdict: str) -> None:
    trial = {"kind": "soak", "before": "46.00 g", "after": after}
    build, derived = plug(trial=[trial])
    (found,) = soaks(build)
    assert found.verdict == verdict
    grams = float(after.split()[0]) - 46.0
    assert found.gain.value == pytest.approx(grams * 1e-3, abs=1e-9)
    # Both readings are off by the same scale: only their steps remain.
    assert found.gain.u == pytest.approx(0.01e-3 / math.sqrt(12) * math.sqrt(2), rel=1e-6)
    text = " ".join(soak_lines(build, derived))
    assert ("water went in" in text) == (verdict == "leaks")


def test_a_soaked_plug_weighs_more_in_the_water_by_what_it_took_up() -> None:
    trials = [
        {"kind": "weigh", "weight": "1.00 g"},
        {"kind": "soak", "before": "46.00 g", "after": "46.40 g"},
    ]
    build, derived = plug(trial=trials)
    assert "1.4 g in water instead of 1 g" in " ".join(" ".join(soak_lines(build, derived)).split())


def test_how_far_it_must_fall_is_said_of_a_sinker_alone() -> None:
    sinker = plug(aim={"behaviour": "sinks", "margin": "10 %"}, trial=[])
    derived = sinker[1]
    net = derived.value("net_in_water")
    assert net is not None
    assert (net.value > 0) == bool(run_lines(*sinker))
