"""Coats and mixing against what data sheets, handbooks and instruction sheets print."""

from __future__ import annotations

import math

import pytest

from wizard.physics import mixing

MICRON, LITRE, GRAM, CM2 = 1e-6, 1e-3, 1e-3, 1e-4


@pytest.mark.parametrize(
    ("solids", "film", "published"),
    [
        # Theoretical spreading rate in data-sheet notes and trade handbooks, m2/L; each row
        # is printed in at least one of them, to the digits given.
        (1.00, 25.0, 40.0),
        (1.00, 100.0, 10.0),
        (0.65, 125.0, 5.2),
        (0.71, 125.0, 5.7),
        (0.45, 50.0, 9.0),
        (0.40, 25.0, 16.0),
    ],
)
def test_spreading_rate_as_printed(solids: float, film: float, published: float) -> None:
    assert mixing.spreading_rate(solids, film * MICRON) * LITRE == pytest.approx(
        published, abs=0.05
    )


def test_one_litre_of_solids_is_a_thousand_square_metres_a_micron_thick() -> None:
    assert mixing.spreading_rate(1.0, MICRON) * LITRE == pytest.approx(1000.0, rel=1e-12)


def test_spreading_rate_in_square_feet_per_gallon() -> None:
    # Trade handbook: 65 % solids at 5 mil cover 208.52 ft2 a US gallon (1604 VS / DFT).
    gallon, foot, mil = 231 * 0.0254**3, 0.3048, 0.0254e-3
    covered = mixing.spreading_rate(0.65, 5 * mil) * gallon / foot**2
    assert covered == pytest.approx(208.52, abs=0.05)


@pytest.mark.parametrize(
    ("dry", "solids", "thinner", "wet"),
    [
        # WFT = 100 DFT / VS as data-sheet notes print it, worked by hand: 25/0.45, 50/0.65, ...
        (25.0, 0.45, 0.0, 55.5556),
        (50.0, 0.65, 0.0, 76.9231),
        (125.0, 0.65, 0.0, 192.3077),
        (25.0, 0.40, 0.2, 75.0),  # the thinned form from memory: 25 (100 + 20) / 40
        (100.0, 1.00, 0.0, 100.0),
    ],
)
def test_wet_film(dry: float, solids: float, thinner: float, wet: float) -> None:
    assert mixing.wet_film(dry * MICRON, solids, thinner) / MICRON == pytest.approx(wet, abs=1e-4)


def test_mass_of_a_coat() -> None:
    # Geometry by hand: 55 cm2 x 100 um = 0.55 mL; x 1.15 g/mL = 0.6325 g.
    area, film = 55 * CM2, 100 * MICRON
    assert mixing.film_volume(area, film) == pytest.approx(0.55e-6, rel=1e-12)
    assert mixing.film_mass(area, film, 1150.0) == pytest.approx(0.6325 * GRAM, rel=1e-12)
    assert mixing.coating_used(area, film, 0.5, 1000.0, waste=0.2) == pytest.approx(
        1.32 * GRAM, rel=1e-12
    )


@pytest.mark.parametrize(
    ("density", "film", "net"),
    [
        # Archimedes by hand in water of 0.9982 g/mL, 55 cm2; g.
        (1100.0, 25.0, 0.0140),
        (1150.0, 100.0, 0.08349),
        (1150.0, 300.0, 0.25047),
        (1250.0, 40.0, 0.0554),
    ],
)
def test_net_mass_of_a_coat_in_water(density: float, film: float, net: float) -> None:
    found = mixing.film_net_mass(55 * CM2, film * MICRON, density, 998.2)
    assert found == pytest.approx(net * GRAM, abs=5e-8)


def test_a_film_on_a_ball_is_the_shell_between_two_balls() -> None:
    # Closed form: 4/3 pi ((R + t)3 - R3) for R = 15 mm, t = 0.3 mm is 0.865308 mL.
    R, t = 0.015, 0.0003
    grown = mixing.film_volume(4 * math.pi * R**2, t, mean_curvature=4 * math.pi * R)
    assert grown == pytest.approx(4 / 3 * math.pi * ((R + t) ** 3 - R**3), rel=1e-9)
    assert grown == pytest.approx(0.865308e-6, abs=1e-12)
    assert mixing.film_volume(4 * math.pi * R**2, t) == pytest.approx(0.84823e-6, abs=1e-11)


def test_two_to_one_by_volume_as_printed_by_mass() -> None:
    # Instruction sheet of a 2 : 1 (by volume) laminating epoxy: 100 : 47 by mass, so the
    # hardener is 0.94 times as dense as the resin.
    ratio = mixing.mix_by_volume_as_mass(2.0, 1.0, 0.94)
    assert mixing.hardener_share(ratio) == pytest.approx(0.47, abs=0.005)


@pytest.mark.parametrize(
    ("n", "resin", "hardener", "parts"),
    [
        # Mass balance by hand, 100 rho_h / (n rho_r); densities typical, from memory.
        (2.0, 1150.0, 970.0, 42.1739),
        (1.0, 1160.0, 1090.0, 93.966),
    ],
)
def test_by_volume_is_not_by_mass(n: float, resin: float, hardener: float, parts: float) -> None:
    share = mixing.hardener_share(mixing.mix_by_volume_as_mass(n, resin, hardener))
    assert 100 * share == pytest.approx(parts, abs=1e-3)


def test_small_batch_of_the_same_sheet() -> None:
    # Arithmetic on 100 : 47: 6 g are 4.0816 g and 1.9184 g; 0.1 g over is 2.45 parts of 100.
    made = mixing.batch_of_mass(6 * GRAM, 100 / 47, 1100.0, 1000.0)
    assert made.resin_mass == pytest.approx(4.0816 * GRAM, abs=5e-8)
    assert made.hardener_mass == pytest.approx(1.9184 * GRAM, abs=5e-8)
    error = mixing.ratio_error(made.resin_mass, 0.1 * GRAM)
    assert 100 * error == pytest.approx(2.45, abs=0.005)


def test_a_gallon_of_mixed_epoxy_weighs_what_the_yield_table_says() -> None:
    # Producer's yield table: 4195 g per US gallon of mixed unfilled epoxy. Scaled to 10 mL of
    # backfill with a mix of that density, whatever the ratio, it is 11.08 g.
    density = 4.195 / (231 * 0.0254**3)
    made = mixing.batch(10e-6, 2.0, density, density)
    assert made.mass == pytest.approx(11.082e-3, abs=1e-6)


@pytest.mark.parametrize("waste", [0.0, 0.25])
@pytest.mark.parametrize("n", [1.0, 2.0, 5.0])
def test_a_batch_by_volume_fills_the_hole(n: float, waste: float) -> None:
    # Balance: the parts stand n : 1 by volume and add up to the volume with its waste.
    made = mixing.batch_by_volume(4e-6, n, 1150.0, 970.0, waste)
    assert made.resin_volume / made.hardener_volume == pytest.approx(n)
    assert made.volume == pytest.approx(4e-6 * (1 + waste))
    assert made.density == pytest.approx((n * 1150.0 + 970.0) / (n + 1))


def test_ten_degrees_warmer_halves_the_working_time() -> None:
    # Rule of thumb, from memory; checked as stated, both ways.
    assert mixing.working_time(1200.0, 23.0, 33.0) == pytest.approx(600.0)
    assert mixing.working_time(1200.0, 23.0, 13.0) == pytest.approx(2400.0)


@pytest.mark.parametrize("solids", [0.0, -0.1, 1.2, math.nan])
def test_impossible_solids_are_refused(solids: float) -> None:
    with pytest.raises(ValueError, match="solids"):
        mixing.spreading_rate(solids, 25 * MICRON)


@pytest.mark.parametrize("ratio", [0.0, -2.0, math.inf, math.nan])
def test_impossible_ratios_are_refused(ratio: float) -> None:
    with pytest.raises(ValueError, match="resin to hardener"):
        mixing.batch(4e-6, ratio, 1100.0, 1000.0)
