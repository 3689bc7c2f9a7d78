"""Densities that laboratories measured with calipers and a scale, worked again from their readings.

Each block of readings is as its source prints it; the sources are laboratory reports and
an instrument's manual on the open web.
"""

from __future__ import annotations

import math

import pytest
from GTC import type_a, uncertainty, ureal, value

from wizard.certainty.readings import mean
from wizard.plug.density.quality import shares
from wizard.plug.density.samples import factors_of
from wizard.plug.derive import derive
from wizard.plug.record import Build
from wizard.store.profile import read


def built(text: str) -> Build:
    build, odd = read(f"format = 1\n{text}".encode(), "test")
    assert not odd
    return build


# A block of wood from an undergraduate laboratory ("Block Number: 16", measurements of
# cylinder and wooden block, 2.): 89.0 g; heights 5.0, 5.01, 4.9, 5.0 cm, widths 5.05, 5.0,
# 5.1, 5.0 cm, depths 5.04, 5.03, 5.02, 5.0 cm by a ruler. Printed: 1.3 x 10^2 cm3, 0.71 g/cm3.
WOODEN_BLOCK = """
[density]
length_resolution = "0.1 cm"
mass_resolution = "0.1 g"

[[density.sample]]
method = "block"
length = "5.0 cm"
length_again = ["5.01 cm", "4.9 cm", "5.0 cm"]
width = "5.05 cm"
width_again = ["5.0 cm", "5.1 cm", "5.0 cm"]
thickness = "5.04 cm"
thickness_again = ["5.03 cm", "5.02 cm", "5.0 cm"]
mass = "89.0 g"
"""


def test_wooden_block_of_a_laboratory_course() -> None:
    found = derive(built(WOODEN_BLOCK))
    density = found.value("wood_density")
    assert density is not None
    assert round(density.value / 1000, 2) == 0.71
    assert 89.0 / (density.value / 1000) == pytest.approx(1.3e2, abs=5)


def test_wooden_block_carries_the_doubt_that_gtc_gives_it() -> None:
    heights, widths, depths = (
        (5.0, 5.01, 4.9, 5.0),
        (5.05, 5.0, 5.1, 5.0),
        (5.04, 5.03, 5.02, 5.0),
    )
    step = 0.1 / math.sqrt(12)
    t_3 = 1.1969  # t for 68.27 % and 3 degrees of freedom (JCGM 100:2008, Table G.2: 1.20)
    sides = [
        ureal(value(read), math.hypot(t_3 * uncertainty(read), step))
        for read in map(type_a.estimate, (heights, widths, depths))
    ]
    rho = ureal(89.0, 0.1 / math.sqrt(12)) / (sides[0] * sides[1] * sides[2])
    density = derive(built(WOODEN_BLOCK)).value("wood_density")
    assert density is not None
    assert density.value / 1000 == pytest.approx(value(rho), rel=1e-9)
    assert density.u / 1000 == pytest.approx(uncertainty(rho), rel=1e-3)


# A flat bar from an undergraduate report on the density of bodies (caliper and analytical
# scale, five readings each). Printed: means 84.696 g, 83.55, 4.37 and 30.79 mm; sums of
# squared deviations 0.00012, 0.09, 0.003 and 0.007 of mass [g], length, height and width
# [mm]; 7553.99 kg/m3, where its own means give 7533.99: a digit slipped in the printing.
BAR = {
    "mass": (84.70, 84.70, 84.69, 84.69, 84.70),
    "length": (83.60, 83.70, 83.55, 83.30, 83.60),
    "height": (4.40, 4.35, 4.40, 4.35, 4.35),
    "width": (30.80, 30.85, 30.75, 30.80, 30.75),
}
SQUARES = {"mass": 0.00012, "length": 0.09, "height": 0.003, "width": 0.007}


def _quoted(values: tuple[float, ...], unit: str) -> str:
    return ", ".join(f'"{value} {unit}"' for value in values)


def test_flat_bar_of_a_laboratory_course() -> None:
    # Metal is denser than any wood, so the bar is weighed here as if a tenth as heavy.
    tenth = tuple(round(m / 10, 4) for m in BAR["mass"])
    build = built(
        f"""
[[density.sample]]
method = "block"
length = "{BAR["length"][0]} mm"
length_again = [{_quoted(BAR["length"][1:], "mm")}]
width = "{BAR["width"][0]} mm"
width_again = [{_quoted(BAR["width"][1:], "mm")}]
thickness = "{BAR["height"][0]} mm"
thickness_again = [{_quoted(BAR["height"][1:], "mm")}]
mass = "{tenth[0]} g"
mass_again = [{_quoted(tenth[1:], "g")}]
"""
    )
    density = derive(build).value("wood_density")
    assert density is not None
    by_printed_means = 84.696e-3 / (83.55e-3 * 4.37e-3 * 30.79e-3)
    assert 10 * density.value == pytest.approx(by_printed_means, rel=1e-9)
    assert by_printed_means == pytest.approx(7533.99, abs=0.01)
    # Type A standard uncertainties from the printed sums: sqrt(sum / (n (n - 1))), t-widened.
    t_4 = 1.1416  # t for 68.27 % and 4 degrees of freedom (JCGM 100:2008, Table G.2: 1.14)
    relative = {key: t_4 * math.sqrt(SQUARES[key] / 20) / mean(BAR[key]) for key in SQUARES}
    whole = math.sqrt(sum(u * u for u in relative.values()))
    assert density.u / density.value == pytest.approx(whole, rel=2e-3)
    assert shares(density)[0].part == "thickness"  # the height of the bar: 4.37 mm only


# A brass cylinder of the same course: diameters by a micrometer 12.735, 12.74, 12.72 and
# 12.73 mm less its zero reading of 0.01 mm, heights 4.99, 5.00, 5.00 and 5.01 cm, 56.6 g.
# Printed: 1.272125 cm, 6.355057155 cm3, 8.906292835 g/cm3.
def test_cylinder_of_a_laboratory_course() -> None:
    diameters = tuple(round(d - 0.01, 3) for d in (12.735, 12.74, 12.72, 12.73))
    build = built(
        f"""
[[density.sample]]
method = "cylinder"
diameter = "{diameters[0]} mm"
diameter_again = [{_quoted(diameters[1:], "mm")}]
length = "4.99 cm"
length_again = ["5.00 cm", "5.00 cm", "5.01 cm"]
mass = "5.66 g"
"""
    )
    density = derive(build).value("wood_density")
    assert density is not None
    assert 10 * density.value / 1000 == pytest.approx(8.906292835, rel=2e-8)


def test_air_is_in_both_readings_of_a_dunk() -> None:
    # A maker of balances prints, for its density kit, rho = W rho_fl / G + 0.0012 g/cm3 with W
    # the weight in air and G the buoyancy (its factor 0.99983 is the kit's own wire). Here
    # densities stay in scale readings, without the air: what is printed less 0.0012 (1 - W/G).
    build = built(
        """
[[density.sample]]
method = "dunk"
mass = "8.31 g"
gain = "20.47 g"
temperature = "20 degC"
"""
    )
    density = derive(build).value("wood_density")
    assert density is not None
    rho_water = 0.998204  # g/cm3 at 20 degC, as water tables print it
    printed = 8.31 * rho_water / 20.47
    in_scale_grams = printed - 0.0012 * 8.31 / 20.47
    assert density.value / 1000 == pytest.approx(in_scale_grams, rel=1e-5)


def test_dunk_is_worked_with_the_water_of_its_own_temperature() -> None:
    # Density of water by IAPWS-95, g/mL: 0.99970 at 10, 0.99821 at 20, 0.99565 at 30 degC.
    for temperature, rho_water in ((10, 0.99970), (20, 0.99821), (30, 0.99565)):
        build = built(
            f"""
[[density.sample]]
method = "dunk"
mass = "8.00 g"
gain = "20.00 g"
temperature = "{temperature} degC"
"""
        )
        factors, _ = factors_of(build, build.density.sample[0], ("density", "sample", 0))
        assert factors is not None
        volume = factors.values["gain"].value * 1e6
        assert volume == pytest.approx(20.0 / (rho_water - 0.0012), rel=2e-5)
