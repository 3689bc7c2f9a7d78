"""A density moved between moistures, through a whole profile, against the Wood Handbook."""

from __future__ import annotations

import csv
import math
from importlib.metadata import distribution

import pytest

from wizard.certainty import exact
from wizard.physics.wood import specific_gravity
from wizard.plug.density.moisture import SWELLING_U, moved
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.store.profile import read

# Wood Handbook FPL-GTR-190 (2010), eq. 4-11 and 4-12 worked with fibre saturation at 30 %:
# basic gravity, moisture of the sample and density there, moisture of the body and density
# there [% and kg/m3].
MOVED = [
    (0.35, 8.0, 405.59, 12.0, 415.10),
    (0.16, 6.0, 175.55, 12.0, 183.88),
    (0.32, 8.0, 368.52, 15.0, 384.29),
    (0.55, 15.0, 682.22, 0.0, 643.84),
]


def derived(
    density: float, sample: str, body: str = "", mass: str = "20.00 g", more: str = ""
) -> Derived:
    text = f"""format = 1
[weighing]
mass = "{mass}"
{body}
[density]
{more}
[[density.sample]]
method = "known"
density = "{density} kg/m3"
{sample}
"""
    build, odd = read(text.encode(), "test")
    assert not odd
    return derive(build)


@pytest.mark.parametrize(("gravity", "x", "at_x", "y", "at_y"), MOVED)
def test_density_moves_as_the_handbook_says(
    gravity: float, x: float, at_x: float, y: float, at_y: float
) -> None:
    assert specific_gravity(gravity, x / 100) * 1000 * (1 + x / 100) == pytest.approx(
        at_x, abs=0.02
    )
    found = derived(at_x, f'moisture = "{x} %"', f'moisture = "{y} %"')
    density = found.value("wood_density")
    assert density is not None
    assert density.value == pytest.approx(at_y, abs=0.03)
    volume = found.value("body_volume")
    assert volume is not None
    assert volume.value == pytest.approx(20e-3 / at_y, rel=1e-4)


def test_the_correction_is_stated_and_stands_in_the_working() -> None:
    found = derived(405.59, 'moisture = "8 %"', 'moisture = "12 %"')
    (note,) = (f for f in found.findings if "moisture" in f.wrong)
    assert note.level == "note"
    assert "0.4151" in note.wrong
    assert "0.4056" in note.wrong
    terms = {t.symbol: t.value for t in found.numbers["wood_density"].working.terms}
    assert {"rho_1,x", "x_1", "y", "rho_1"} <= set(terms)


def test_equal_moistures_change_nothing() -> None:
    same = derived(405.59, 'moisture = "12 %"', 'moisture = "12 %"')
    assert same.value("wood_density") is not None
    assert same.numbers["wood_density"].value.value == pytest.approx(405.59)
    assert not any("moisture" in f.wrong for f in same.findings)


@pytest.mark.parametrize(
    ("sample", "body", "where"),
    [('moisture = "8 %"', "", "weighing"), ("", 'moisture = "8 %"', "density")],
)
def test_moisture_of_one_side_only_moves_nothing_and_says_so(
    sample: str, body: str, where: str
) -> None:
    found = derived(405.59, sample, body)
    assert found.numbers["wood_density"].value.value == pytest.approx(405.59)
    (note,) = (f for f in found.findings if "moisture" in f.wrong)
    assert note.level == "note"
    assert note.step == where


def test_humidity_stands_in_for_a_meter() -> None:
    # Wood Handbook Table 4-2, 70 degF: 30 % humidity gives 6.2 % moisture, 65 % gives 12.0 %.
    by_air = derived(405.59, 'humidity = "30 %"', 'humidity = "65 %"')
    by_meter = derived(405.59, 'moisture = "6.2 %"', 'moisture = "12.0 %"')
    density, same = by_air.numbers["wood_density"].value, by_meter.numbers["wood_density"].value
    assert density.value == pytest.approx(same.value, rel=5e-4)
    assert density.u > same.u  # air says less than a meter


def test_green_wood_is_not_moved() -> None:
    found = derived(700.0, 'moisture = "60 %"', 'moisture = "12 %"')
    assert found.numbers["wood_density"].value.value == pytest.approx(700.0)
    assert any("green" in f.wrong and f.step == "density" for f in found.warnings)


def test_a_meters_own_error_mostly_cancels() -> None:
    apart = derived(405.59, 'moisture = "8 %"', 'moisture = "12 %"')
    coarse = derived(
        405.59, 'moisture = "8 %"', 'moisture = "12 %"', more='moisture_accuracy = "2 %"'
    )
    more = math.sqrt(
        coarse.numbers["wood_density"].value.u ** 2 - apart.numbers["wood_density"].value.u ** 2
    )
    alone = 405.59 * 0.6 * 0.02 / math.sqrt(3)  # about 0.6 % of density a point
    assert more < 0.1 * alone


def test_doubt_of_the_swelling_is_that_of_the_species() -> None:
    # USDA Forest Service FIA, REF_SPECIES: species whose basic gravity and gravity at 12 %
    # are both from a source of their own (citation codes 1 to 22; others are defaults).
    path = distribution("nsvb").locate_file("nsvb/data/REF_SPECIES.csv")
    errors = []
    with open(str(path), encoding="latin-1") as file:
        for row in csv.DictReader(file):
            basic, dry = row["WOOD_SPGR_GREENVOL_DRYWT"], row["WOOD_SPGR_MC12VOL_DRYWT"]
            cited = (row["WOOD_SPGR_GREENVOL_DRYWT_CIT"], row["WOOD_SPGR_MC12VOL_DRYWT_CIT"])
            if not (basic and dry and all(c and 1 <= float(c) <= 22 for c in cited)):
                continue
            G, at_12 = float(basic), float(dry)
            if at_12 > G:
                errors.append((at_12 / G - 1) / (specific_gravity(G, 0.12) / G - 1) - 1)
    assert len(errors) > 100
    spread = math.sqrt(sum(e * e for e in errors) / len(errors))
    assert pytest.approx(spread, rel=0.2) == SWELLING_U
    # and what that does to four points of moisture: under one per cent of density
    density = moved(exact(405.59), exact(0.08), exact(0.12))
    assert 0.003 < density.u / density.value < 0.01
