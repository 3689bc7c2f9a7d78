"""Values of the starting tables against standards, handbooks, libraries and geometry."""

import csv
import math
from collections.abc import Iterator
from importlib.metadata import distribution

import periodictable
import pytest

from wizard import tables
from wizard.tables import HardwareKind, Span


def test_density_follows_from_the_tabulated_gravity() -> None:
    # Wood Handbook FPL-GTR-190 (2010), eq. 4-12 at x = 12 %: rho = 1000 G12 1.12.
    handbook = [wood for wood in tables.woods().values() if wood.specific_gravity_12]
    assert len(handbook) == 41
    for wood in handbook:
        assert wood.specific_gravity_12 is not None
        assert wood.density.typical == pytest.approx(1120 * wood.specific_gravity_12, rel=1e-12)
        # Table 5-6: coefficient of variation 10 %; the bounds are two of them, in whole kg/m3.
        assert wood.variation == 0.1
        assert wood.density.low == pytest.approx(0.8 * wood.density.typical, abs=0.5)
        assert wood.density.high == pytest.approx(1.2 * wood.density.typical, abs=0.5)
        assert wood.standard_uncertainty == pytest.approx(0.1 * wood.density.typical)


def forest_inventory() -> dict[str, tuple[float, float]]:
    """Gravity at 12 % and basic gravity by botanical name: USDA Forest Service, REF_SPECIES."""
    path = distribution("nsvb").locate_file("nsvb/data/REF_SPECIES.csv")
    with open(str(path), encoding="utf-8", newline="") as file:
        return {
            " ".join(filter(None, (line["GENUS"], line["SPECIES"], line["SUBSPECIES"]))): (
                float(line["WOOD_SPGR_MC12VOL_DRYWT"]),
                float(line["WOOD_SPGR_GREENVOL_DRYWT"]),
            )
            for line in csv.DictReader(file)
            if line["WOOD_SPGR_MC12VOL_DRYWT_CIT"] == "1"  # Miles and Smith, NRS-38 (2009)
        }


OLDER_NAMES = {
    "Callitropsis nootkatensis": "Chamaecyparis nootkatensis",
    "Populus trichocarpa": "Populus balsamifera trichocarpa",
}
# The 2010 Handbook and REF_SPECIES (like the 1999 edition) print different means.
EDITIONS_DISAGREE = {"western-white-pine", "sitka-spruce", "white-spruce", "black-spruce"}


def test_handbook_woods_agree_with_the_forest_inventory() -> None:
    inventory = forest_inventory()
    disagreeing = set()
    for wood in tables.woods().values():
        if wood.specific_gravity_12 is None:
            continue
        at_12, basic = inventory[OLDER_NAMES.get(wood.botanical, wood.botanical)]
        if wood.specific_gravity_12 != at_12:
            disagreeing.add(wood.id)
            assert f"{at_12:.2f}" in wood.note
        else:
            assert wood.specific_gravity_basic == basic
    assert disagreeing == EDITIONS_DISAGREE


@pytest.mark.parametrize(
    ("metal", "element"),
    [
        ("lead", "Pb"),
        ("tungsten", "W"),
        ("tin", "Sn"),
        ("bismuth", "Bi"),
        ("zinc", "Zn"),
        ("copper", "Cu"),
        ("aluminium", "Al"),
    ],
)
def test_elements_hold_the_density_of_a_library(metal: str, element: str) -> None:
    density = getattr(periodictable, element).density * 1000
    span = tables.metals()[metal].density
    assert span.low <= density <= span.high
    assert span.typical == pytest.approx(density, rel=0.004)


def mixed(parts: dict[str, float]) -> float:
    """Density [kg/m3] of an alloy by the mixing rule, mass fractions given: volumes add."""
    densities = {symbol: float(getattr(periodictable, symbol).density) for symbol in parts}
    return 1000 / sum(share / densities[symbol] for symbol, share in parts.items())


def test_lead_alloys_follow_the_mixing_rule() -> None:
    # Mass balance, 1/rho = sum(w / rho); the library has lead at 11.35, 0.1 % above others.
    hard = tables.metals()["lead-antimonial"].density
    for value, antimony in ((hard.high, 0.01), (hard.typical, 0.04), (hard.low, 0.06)):
        assert value == pytest.approx(mixed({"Pb": 1 - antimony, "Sb": antimony}), rel=0.0015)
    clip_on = tables.metals()["lead-wheel-weight"].density.typical
    assert clip_on == pytest.approx(mixed({"Pb": 0.955, "Sb": 0.04, "Sn": 0.005}), rel=0.0015)


@pytest.mark.parametrize(
    ("metal", "pounds_per_cubic_inch"),
    # Data sheets and MIL-HDBK-5J: C26000 0.308, C36000 0.307, 316 0.290, AISI 1025 0.284.
    [("brass", 0.308), ("brass-free-cutting", 0.307), ("stainless-316", 0.290), ("steel", 0.284)],
)
def test_alloys_agree_with_data_sheets_in_pounds(metal: str, pounds_per_cubic_inch: float) -> None:
    # NIST SP 811: 1 lb = 0.45359237 kg, 1 in = 0.0254 m.
    density = pounds_per_cubic_inch * 0.45359237 / 0.0254**3
    span = tables.metals()[metal].density
    assert span.low <= density <= span.high
    assert span.typical == pytest.approx(density, abs=27.7)  # one in the last printed digit


def test_tungsten_alloy_spans_the_classes_of_its_standard() -> None:
    # ASTM B777, classes 1 to 4: 17.0, 17.5, 18.0, 18.5 g/mL.
    assert tables.metals()["tungsten-alloy"].density == Span(17000, 17500, 18500)


def test_plugs_of_wood_weigh_what_the_wood_does() -> None:
    fillers, woods = tables.fillers(), tables.woods()
    for plug, wood in (("beech-plug", "beech"), ("birch-plug", "paper-birch")):
        mean = woods[wood].density.typical
        assert fillers[plug].density.typical == pytest.approx(mean, abs=0.5)


def test_polyester_shrinks_as_its_data_sheet_says() -> None:
    # Data sheet: 1.13 liquid, volume shrinkage 7 to 8 % (ISO 3521): cast 1.215 to 1.228.
    polyester = tables.fillers()["polyester"]
    assert polyester.liquid_density is not None
    for shrinkage in (0.07, 0.08):
        cast = polyester.liquid_density / (1 - shrinkage)
        assert polyester.density.low <= cast <= polyester.density.high


def of_family(family: str) -> Iterator[HardwareKind]:
    rows = [row for row in tables.hardware().values() if row.family == family]
    assert rows
    yield from rows


def test_through_wire_weighs_what_geometry_says() -> None:
    for row in of_family("through-wire"):
        section = math.pi * (float(row.size) / 1000) ** 2 / 4
        mass, density = row.mass, row.density
        for part in ("low", "typical", "high"):
            expected = section * getattr(density, part)
            assert getattr(mass, part) == pytest.approx(expected, abs=6e-7)
        assert row.per == "metre"


def test_lips_weigh_density_times_thickness() -> None:
    for row in of_family("polycarbonate lip"):
        expected = row.density.typical * float(row.size) / 1000
        assert row.mass.typical == pytest.approx(expected, rel=1e-3)
        assert row.per == "square metre"


@pytest.mark.parametrize(("family", "density"), [("glass eye", 2500), ("plastic eye", 1190)])
def test_eyes_weigh_between_a_dome_and_half_a_ball(family: str, density: float) -> None:
    # Spherical cap: V = pi h (3 a^2 + h^2) / 6, a the radius of its base.
    for row in of_family(family):
        base = float(row.size) / 2000
        for mass, height in ((row.mass.low, base / 2), (row.mass.high, base)):
            cap = math.pi * height * (3 * base**2 + height**2) / 6
            assert mass == pytest.approx(density * cap, abs=6e-8)


@pytest.mark.parametrize(("outer", "wire"), [(6, 0.6), (8, 0.8), (10, 1.0), (12, 1.3)])
def test_split_rings_bracket_two_turns_of_round_wire(outer: float, wire: float) -> None:
    # Geometry: length 2 pi (D - d), stainless 7.93 g/mL.
    length = 2 * math.pi * (outer - wire) / 1000
    mass = 7930 * math.pi / 4 * (wire / 1000) ** 2 * length
    span = tables.hardware()[f"split-ring-{outer}"].mass
    assert span.low <= mass <= span.high


def test_a_screw_eye_brackets_its_wire_and_stands_half_outside() -> None:
    # Geometry: 1.5 mm stainless wire, 20 mm shank and an eye 7 mm across; thread neglected.
    eye, shank = math.pi * (7 - 1.5) / 1000, 20 / 1000
    mass = 7930 * math.pi / 4 * 0.0015**2 * (eye + shank)
    row = tables.hardware()["screw-eye-1.5x25"]
    assert row.mass.low <= mass <= row.mass.high
    assert row.outside == pytest.approx(eye / (eye + shank), abs=0.02)


def test_hardware_of_a_tabulated_metal_has_its_density() -> None:
    metals = tables.metals()
    of_metal = [row for row in tables.hardware().values() if row.material in metals]
    assert {row.material for row in of_metal} == {"steel", "stainless"}
    for row in of_metal:
        assert row.density == metals[row.material].density


def test_each_hardware_says_how_much_is_outside_and_why() -> None:
    for row in tables.hardware().values():
        assert 0 < row.outside <= 1
        assert row.outside_because


def test_coat_windows_are_sound() -> None:
    for coat in tables.coats().values():
        assert 0 < coat.recoat_earliest < (coat.recoat_latest or math.inf)
        assert coat.handling.low <= coat.full_cure.low
        assert coat.volume_solids.high <= 1
        assert 1 <= coat.coats[0] <= coat.coats[1]
        limits = (coat.temperature_low, coat.temperature_high, coat.humidity_high)
        assert any(limit is not None for limit in limits) == bool(coat.conditions_source)
        assert (coat.stage == "sealed") == bool(coat.soak)
    assert tables.coats()["thin-sealer"].stage == "sealed"
