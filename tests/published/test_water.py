"""Density, viscosity and surface tension of water against what is printed elsewhere."""

import doctest
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.physics import water
from wizard.physics.water import (
    OutsideValidity,
    buoyant_density,
    seawater_density,
    surface_tension,
    viscosity,
)

# Unesco Technical Papers in Marine Science 44 (1983), check values at p = 0;
# S = 35, t = 5 also in Millero and Poisson (1981), Table 1. Columns: S, t68, rho.
OFFICIAL = [
    (0.0, 5.0, 999.96675),
    (35.0, 5.0, 1027.67547),
    (0.0, 25.0, 997.04796),
    (35.0, 25.0, 1023.34306),
]

# EOS-80 as computed with the package seawater 3.3.5 (eos80.dens0), TEOS-10 with
# gsw 3.6.23 (IOC, SCOR and IAPSO 2010). Columns: S, t90, rho EOS-80, rho TEOS-10.
GRID = [
    (0.0, 0.0, 999.8426, 999.8445),
    (0.0, 5.0, 999.9667, 999.9678),
    (0.0, 10.0, 999.7019, 999.7032),
    (0.0, 15.0, 999.1010, 999.1032),
    (0.0, 20.0, 998.2053, 998.2077),
    (0.0, 25.0, 997.0464, 997.0482),
    (0.0, 30.0, 995.6490, 995.6500),
    (0.0, 35.0, 994.0331, 994.0339),
    (10.0, 0.0, 1007.9548, 1007.9557),
    (10.0, 5.0, 1007.9074, 1007.9035),
    (10.0, 10.0, 1007.5009, 1007.4987),
    (10.0, 15.0, 1006.7833, 1006.7843),
    (10.0, 20.0, 1005.7916, 1005.7940),
    (10.0, 25.0, 1004.5542, 1004.5553),
    (10.0, 30.0, 1003.0930, 1003.0920),
    (10.0, 35.0, 1001.4265, 1001.4263),
    (20.0, 0.0, 1016.0137, 1016.0159),
    (20.0, 5.0, 1015.8070, 1015.8046),
    (20.0, 10.0, 1015.2690, 1015.2686),
    (20.0, 15.0, 1014.4427, 1014.4454),
    (20.0, 20.0, 1013.3608, 1013.3645),
    (20.0, 25.0, 1012.0484, 1012.0500),
    (20.0, 30.0, 1010.5250, 1010.5237),
    (20.0, 35.0, 1008.8072, 1008.8063),
    (30.0, 0.0, 1024.0716, 1024.0748),
    (30.0, 5.0, 1023.7137, 1023.7146),
    (30.0, 10.0, 1023.0507, 1023.0534),
    (30.0, 15.0, 1022.1209, 1022.1257),
    (30.0, 20.0, 1020.9526, 1020.9577),
    (30.0, 25.0, 1019.5677, 1019.5706),
    (30.0, 30.0, 1017.9830, 1017.9832),
    (30.0, 35.0, 1016.2134, 1016.2136),
    (35.0, 0.0, 1028.1063, 1028.1070),
    (35.0, 5.0, 1027.6753, 1027.6757),
    (35.0, 10.0, 1026.9520, 1026.9541),
    (35.0, 15.0, 1025.9720, 1025.9756),
    (35.0, 20.0, 1024.7617, 1024.7654),
    (35.0, 25.0, 1023.3412, 1023.3431),
    (35.0, 30.0, 1021.7262, 1021.7259),
    (35.0, 35.0, 1019.9306, 1019.9299),
    (40.0, 0.0, 1032.1471, 1032.1419),
    (40.0, 5.0, 1031.6445, 1031.6416),
    (40.0, 10.0, 1030.8620, 1030.8610),
    (40.0, 15.0, 1029.8327, 1029.8329),
    (40.0, 20.0, 1028.5812, 1028.5813),
    (40.0, 25.0, 1027.1256, 1027.1245),
    (40.0, 30.0, 1025.4804, 1025.4779),
    (40.0, 35.0, 1023.6587, 1023.6554),
]

# IAPWS-95 (Wagner and Pruss 2002) at 101.325 kPa, computed with iapws 1.5.5;
# Tanaka and others (2001), Metrologia 38, 301. Columns: t90, rho IAPWS, rho Tanaka.
PURE = [
    (0.01, 999.8438, 999.8435),
    (4.0, 999.9749, 999.9749),
    (10.0, 999.7025, 999.7027),
    (15.0, 999.1026, 999.1026),
    (20.0, 998.2072, 998.2067),
    (25.0, 997.0476, 997.0470),
    (30.0, 995.6495, 995.6488),
    (35.0, 994.0333, 994.0326),
    (40.0, 992.2164, 992.2152),
]

# IAPWS R12-08 (2008), computed with iapws 1.5.5 at 101.325 kPa. Columns: t90, mu.
FRESH_VISCOSITY = [
    (0.01, 0.00179113),
    (5.0, 0.00151817),
    (10.0, 0.0013059),
    (15.0, 0.00113757),
    (20.0, 0.0010016),
    (25.0, 0.000890022),
    (30.0, 0.000797222),
    (35.0, 0.000719126),
    (40.0, 0.000652729),
]

# S = 35, that is 35.165 g/kg of salt. Sharqawy and others (2010), eq. 22-23, from public
# code; Landolt-Boernstein New Series V/3a (1986). Columns: t90, mu, mu.
SEA_VISCOSITY = [
    (0.0, 0.00190619, 0.00188449),
    (5.0, 0.00161985, 0.00160481),
    (10.0, 0.00139725, 0.0013864),
    (15.0, 0.0012203, 0.00121253),
    (20.0, 0.00107702, 0.00107178),
    (25.0, 0.000959185, 0.000956146),
    (30.0, 0.000860976, 0.000859893),
    (35.0, 0.000778176, 0.000778832),
]

# IAPWS R1-76 (2014), computed with iapws 1.5.5. Columns: t, sigma.
TENSION = [
    (5.0, 0.074942),
    (10.0, 0.074221),
    (15.0, 0.073486),
    (20.0, 0.072736),
    (25.0, 0.071972),
    (30.0, 0.071194),
]


@pytest.mark.parametrize(("salinity", "t68", "density"), OFFICIAL)
def test_official_checks_of_the_equation_of_state(
    salinity: float, t68: float, density: float
) -> None:
    # The printed temperatures are on IPTS-68.
    assert abs(seawater_density(t68 / 1.00024, salinity) - density) < 5.1e-6


@pytest.mark.parametrize(("salinity", "temperature", "eos80", "teos10"), GRID)
def test_grid_of_two_equations_of_state(
    salinity: float, temperature: float, eos80: float, teos10: float
) -> None:
    density = seawater_density(temperature, salinity)
    assert abs(density - eos80) < 1e-4
    assert abs(density - teos10) < 0.006


@given(temperature=st.floats(0.0, 40.0), salinity=st.floats(0.0, 42.0))
@settings(max_examples=100, deadline=None)
def test_teos10_as_computed_by_gsw(temperature: float, salinity: float) -> None:
    import gsw

    absolute = salinity * 35.16504 / 35.0
    conservative = gsw.CT_from_t(absolute, temperature, 0.0)
    teos10 = float(gsw.rho(absolute, conservative, 0.0))
    # The two part most, by 0.009, near 0 degC and S = 42.
    assert abs(seawater_density(temperature, salinity) - teos10) < 0.010


@pytest.mark.parametrize(("temperature", "iapws", "tanaka"), PURE)
def test_pure_water(temperature: float, iapws: float, tanaka: float) -> None:
    density = seawater_density(temperature, 0.0)
    assert abs(density - iapws) < 0.002
    assert abs(density - tanaka) < 0.002


@pytest.mark.parametrize(("temperature", "published"), FRESH_VISCOSITY)
def test_viscosity_of_fresh_water(temperature: float, published: float) -> None:
    assert viscosity(temperature, 0.0) == pytest.approx(published, rel=6e-4)


@pytest.mark.parametrize(("temperature", "sharqawy", "landolt_boernstein"), SEA_VISCOSITY)
def test_viscosity_of_sea_water(
    temperature: float, sharqawy: float, landolt_boernstein: float
) -> None:
    assert viscosity(temperature, 35.0) == pytest.approx(sharqawy, rel=5e-6)
    assert viscosity(temperature, 35.0) == pytest.approx(landolt_boernstein, rel=0.012)


@pytest.mark.parametrize(("temperature", "published"), TENSION)
def test_surface_tension(temperature: float, published: float) -> None:
    assert surface_tension(temperature) == pytest.approx(published, abs=6e-7)


def test_the_share_of_the_air_on_a_plug_of_50_millilitres() -> None:
    # OIML D 28: reference air 1.2 kg/m3, so 0.06 g on 50 mL.
    volume = 50e-6
    rho_w = seawater_density(20.0, 0.0)
    assert (rho_w - buoyant_density(rho_w)) * volume * 1000.0 == pytest.approx(0.06)


@pytest.mark.parametrize(
    ("temperature", "salinity", "quantity", "low", "high"),
    [
        (-0.1, 0.0, "water temperature", 0.0, 40.0),
        (40.1, 35.0, "water temperature", 0.0, 40.0),
        (float("nan"), 35.0, "water temperature", 0.0, 40.0),
        (20.0, -0.1, "salinity", 0.0, 42.0),
        (20.0, 42.1, "salinity", 0.0, 42.0),
    ],
)
def test_refused_outside_the_equation_of_state(
    temperature: float, salinity: float, quantity: str, low: float, high: float
) -> None:
    for function in (seawater_density, viscosity):
        with pytest.raises(OutsideValidity) as refusal:
            function(temperature, salinity)
        assert (refusal.value.quantity, refusal.value.low, refusal.value.high) == (
            quantity,
            low,
            high,
        )


def test_a_refusal_says_what_was_expected_and_survives_a_process_border() -> None:
    with pytest.raises(OutsideValidity) as refusal:
        seawater_density(55.0, 0.0)
    told = str(pickle.loads(pickle.dumps(refusal.value)))
    assert "water temperature is 55 degC" in told
    assert "0 to 40 degC" in told


def test_a_rounding_beyond_the_edge_passes() -> None:
    # 104 degF through (F - 32) / 1.8 may land a bit above 40.
    assert seawater_density(40.0 + 1e-12, -1e-12) == pytest.approx(seawater_density(40.0, 0.0))


def test_examples_in_the_docstrings() -> None:
    outcome = doctest.testmod(water)
    assert outcome.attempted > 0
    assert outcome.failed == 0
