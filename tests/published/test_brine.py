"""Table-salt brine against published tables, and the mix sheet against its own balance."""

import doctest

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.physics import brine
from wizard.physics.brine import (
    Salt,
    mix_sheet,
    salinity_for_density,
    salt_brine_density,
    salt_for_density,
    sea_salt_for_density,
)
from wizard.physics.water import OutsideValidity, seawater_density, viscosity

# Laliberte and Cooper (2004), J. Chem. Eng. Data 49, 1141, as updated by Laliberte
# (2009), computed with thermo 0.6.1 (thermo.electrochem.Laliberte_density).
# Columns: mass of salt per mass of brine [%], kg/m3 at 15, 20 and 25 degC.
MODEL = [
    (0.0, 999.10, 998.20, 997.04),
    (1.0, 1006.21, 1005.24, 1004.01),
    (2.0, 1013.36, 1012.32, 1011.02),
    (3.0, 1020.57, 1019.45, 1018.09),
    (4.0, 1027.83, 1026.63, 1025.20),
    (5.0, 1035.14, 1033.86, 1032.36),
    (6.0, 1042.49, 1041.14, 1039.57),
    (7.0, 1049.90, 1048.47, 1046.83),
    (8.0, 1057.36, 1055.85, 1054.14),
    (9.0, 1064.86, 1063.28, 1061.50),
    (10.0, 1072.41, 1070.75, 1068.91),
]

# Density at 20 degC by mass percent: Poradnik fizykochemiczny (WNT, Warsaw 1974); the CRC
# Handbook of Chemistry and Physics prints the same at 1 and 10 %, and the row of 5 %.
TABLE_20 = [
    (1.0, 1005.3),
    (2.0, 1012.2),
    (4.0, 1026.8),
    (5.0, 1034.0),
    (6.0, 1041.3),
    (8.0, 1055.9),
    (10.0, 1070.7),
]

# Rogers and Pitzer (1982), J. Phys. Chem. Ref. Data 11, 15: specific volumes as tabulated
# in the CRC Handbook. Columns: t [degC], mol NaCl per kg of water, cm3/g.
SPECIFIC_VOLUME = [
    (0.0, 0.1, 0.995732),
    (0.0, 0.25, 0.989259),
    (0.0, 0.5, 0.978889),
    (0.0, 0.75, 0.968991),
    (0.0, 1.0, 0.959525),
    (0.0, 2.0, 0.925426),
    (10.0, 0.1, 0.995998),
    (10.0, 0.25, 0.989781),
    (10.0, 0.5, 0.979804),
    (10.0, 0.75, 0.970256),
    (10.0, 1.0, 0.961101),
    (10.0, 2.0, 0.927905),
    (20.0, 0.1, 0.997620),
    (20.0, 0.25, 0.991564),
    (20.0, 0.5, 0.981833),
    (20.0, 0.75, 0.972505),
    (20.0, 1.0, 0.963544),
    (20.0, 2.0, 0.930909),
    (25.0, 0.1, 0.998834),
    (25.0, 0.25, 0.992832),
    (25.0, 0.5, 0.983185),
    (25.0, 0.75, 0.973932),
    (25.0, 1.0, 0.965038),
    (25.0, 2.0, 0.932590),
    (30.0, 0.1, 1.000279),
    (30.0, 0.25, 0.994319),
    (30.0, 0.5, 0.984735),
    (30.0, 0.75, 0.975539),
    (30.0, 1.0, 0.966694),
    (30.0, 2.0, 0.934382),
    (40.0, 0.1, 1.003796),
    (40.0, 0.25, 0.997883),
    (40.0, 0.5, 0.988374),
    (40.0, 0.75, 0.979243),
    (40.0, 1.0, 0.970455),
    (40.0, 2.0, 0.938287),
]
MOLAR_MASS = 58.443  # NaCl, g/mol

# The density of S = 35 sea (EOS-80) met with table salt (thermo 0.6.1 and scipy).
# Columns: t [degC], kg/m3, g of salt per kg of water, the same for 1025 kg/m3, and the
# density of a brine of 3.5 % by mass.
RECIPES = [
    (15.0, 1025.972, 38.90, 37.46, 1024.19),
    (20.0, 1024.762, 38.86, 39.21, 1023.03),
    (25.0, 1023.341, 38.85, 41.36, 1021.64),
]


def per_water(mass_percent: float) -> float:
    """Salt per water [g/kg] from its share in the brine [%]."""
    return 1000.0 * mass_percent / (100.0 - mass_percent)


@pytest.mark.parametrize(("percent", "at_15", "at_20", "at_25"), MODEL)
def test_the_model_as_another_package_computes_it(
    percent: float, at_15: float, at_20: float, at_25: float
) -> None:
    salt = per_water(percent)
    for temperature, density in ((15.0, at_15), (20.0, at_20), (25.0, at_25)):
        # Its own formula for pure water differs by 0.002.
        assert salt_brine_density(temperature, salt) == pytest.approx(density, abs=0.008)


@pytest.mark.parametrize(("percent", "density"), TABLE_20)
def test_handbook_tables(percent: float, density: float) -> None:
    assert salt_brine_density(20.0, per_water(percent)) == pytest.approx(density, abs=0.18)


@pytest.mark.parametrize(("temperature", "molality", "volume"), SPECIFIC_VOLUME)
def test_specific_volumes_of_rogers_and_pitzer(
    temperature: float, molality: float, volume: float
) -> None:
    density = salt_brine_density(temperature, MOLAR_MASS * molality)
    # A third of a gram of salt per kg of water; the model of the cold alone was 0.9 off.
    assert density == pytest.approx(1000.0 / volume, abs=0.3)


@pytest.mark.parametrize(("temperature", "sea", "salt", "salt_1025", "weak"), RECIPES)
def test_recipe_for_the_density_of_the_sea(
    temperature: float, sea: float, salt: float, salt_1025: float, weak: float
) -> None:
    assert salt_for_density(sea, temperature) == pytest.approx(salt, abs=0.02)
    assert salt_for_density(1025.0, temperature) == pytest.approx(salt_1025, abs=0.02)
    assert salt_brine_density(temperature, per_water(3.5)) == pytest.approx(weak, abs=0.01)
    # 35 g of table salt where 35 of sea salt were meant: 1.7 kg/m3 too light.
    assert sea - salt_brine_density(temperature, per_water(3.5)) == pytest.approx(1.74, abs=0.06)


def test_sea_salt_of_standard_sea_water() -> None:
    # TEOS-10 manual (2010): standard sea water holds 35.16504 g/kg; so 35.16504 g of salt
    # stand beside 964.83496 g of water.
    salt = sea_salt_for_density(seawater_density(20.0, 35.0), 20.0)
    assert salt == pytest.approx(35.16504 / 0.96483496, rel=1e-9)


def test_fresh_water_needs_no_salt_of_either_kind() -> None:
    for temperature in (0.0, 4.0, 20.0, 40.0):
        fresh = seawater_density(temperature, 0.0)
        assert salt_for_density(fresh, temperature) == pytest.approx(0.0, abs=1e-9)
        assert sea_salt_for_density(fresh, temperature) == pytest.approx(0.0, abs=1e-9)


@given(temperature=st.floats(0.0, 40.0), salt=st.floats(0.0, 117.0))
@settings(max_examples=100, deadline=None)
def test_there_and_back_with_table_salt(temperature: float, salt: float) -> None:
    density = salt_brine_density(temperature, salt)
    assert salt_for_density(density, temperature) == pytest.approx(salt, abs=1e-9)


@given(temperature=st.floats(0.0, 40.0), salinity=st.floats(0.0, 42.0))
@settings(max_examples=100, deadline=None)
def test_there_and_back_with_sea_salt(temperature: float, salinity: float) -> None:
    density = seawater_density(temperature, salinity)
    assert salinity_for_density(density, temperature) == pytest.approx(salinity, abs=1e-9)


@given(density=st.floats(1001.0, 1030.0), temperature=st.floats(0.0, 40.0))
@settings(max_examples=50, deadline=None)
def test_the_root_is_the_one_that_scipy_finds(density: float, temperature: float) -> None:
    from scipy.optimize import brentq

    salt = brentq(
        lambda s: salt_brine_density(temperature, s) - density, 0.0, 117.0, xtol=1e-12, rtol=1e-14
    )
    assert salt_for_density(density, temperature) == pytest.approx(salt, abs=1e-9)


@pytest.mark.parametrize("salt", ["table salt", "sea salt"])
@pytest.mark.parametrize("temperature", [5.0, 20.0, 30.0])
def test_the_mix_sheet_ends_at_the_wanted_density(salt: Salt, temperature: float) -> None:
    sheet = mix_sheet(0.060, temperature, 1020.0, salt)
    total_mass = sheet.water + sheet.salt
    assert total_mass / sheet.brine_volume == pytest.approx(1020.0, rel=1e-12)
    assert sheet.water == pytest.approx(0.060 * seawater_density(temperature, 0.0), rel=1e-12)
    if salt == "table salt":
        mixed = salt_brine_density(temperature, 1000.0 * sheet.salt / sheet.water)
    else:
        absolute = 1000.0 * sheet.salt / total_mass
        mixed = seawater_density(temperature, absolute * 35.0 / 35.16504)
    assert mixed == pytest.approx(1020.0, abs=1e-6)


@pytest.mark.parametrize("salt", ["table salt", "sea salt"])
def test_two_helpings_make_the_same_brine_as_one(salt: Salt) -> None:
    first = mix_sheet(0.040, 20.0, 1010.0, salt)
    second = mix_sheet(first.brine_volume, 20.0, 1024.0, salt, present=first.content)
    at_once = mix_sheet(0.040, 20.0, 1024.0, salt)
    assert second.water == pytest.approx(at_once.water, rel=1e-9)
    assert first.salt + second.salt == pytest.approx(at_once.salt, rel=1e-9)
    back = mix_sheet(second.brine_volume, 20.0, 1010.0, salt, present=second.content)
    assert back.salt == pytest.approx(-second.salt, rel=1e-9)


def test_a_brine_runs_as_sea_water_of_its_density() -> None:
    # Laliberte (2007), J. Chem. Eng. Data 52, 321: NaCl at 3.74 % and 20 degC, computed
    # with thermo 0.6.1: 1.0575 mPa s. Sea water of that density is S = 35.
    assert viscosity(20.0, 35.0) == pytest.approx(1.0575e-3, rel=0.02)


@pytest.mark.parametrize("density", [996.0, 1075.0, float("nan")])
def test_a_density_out_of_reach_of_table_salt(density: float) -> None:
    with pytest.raises(OutsideValidity) as refusal:
        salt_for_density(density, 20.0)
    assert refusal.value.quantity == "density"
    assert refusal.value.low == pytest.approx(998.2, abs=0.1)
    assert 1070.0 < refusal.value.high < 1080.0


@pytest.mark.parametrize("density", [996.0, 1032.0])
def test_a_density_out_of_reach_of_sea_salt(density: float) -> None:
    for function in (salinity_for_density, sea_salt_for_density):
        with pytest.raises(OutsideValidity):
            function(density, 20.0)


def test_what_cannot_be_mixed_is_refused() -> None:
    with pytest.raises(OutsideValidity):
        salt_brine_density(20.0, 200.0)
    with pytest.raises(OutsideValidity):
        salt_brine_density(50.0, 10.0)
    with pytest.raises(OutsideValidity):
        mix_sheet(0.0, 20.0, 1020.0, "table salt")


def test_examples_in_the_docstrings() -> None:
    outcome = doctest.testmod(brine)
    assert outcome.attempted > 0
    assert outcome.failed == 0
