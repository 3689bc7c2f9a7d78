"""What to mix for a coat, against worked examples of data sheets and handbooks, and geometry."""

from __future__ import annotations

import math
from typing import Any

import pytest
import tomli_w
from scipy.special import elliprg

from wizard.physics.estimates import ellipsoid_area, spindle_area
from wizard.plug.coats.amounts import Amount, amount, skin
from wizard.plug.record import Build
from wizard.store import profile

RADIUS, AREA = 10e-3, 55e-4
LENGTH = (AREA - 2 * math.pi * RADIUS**2) / (2 * math.pi * RADIUS)
"""A round rod with flat ends and a skin of 55 cm2, the area of the worked examples."""


def rod() -> dict[str, Any]:
    stations = [
        {"x": f"{x * 1e3:.9f} mm", "top": "20 mm", "bottom": "0 mm", "half_breadth": "10 mm"}
        for x in (0.0, LENGTH / 2, LENGTH)
    ]
    return {"section": {"widest": 0.5, "upper": 2.0, "lower": 2.0}, "station": stations}


def build(**tables: Any) -> Build:
    return profile.read(tomli_w.dumps({"format": 1, **tables}).encode(), "a.toml")[0]


def mixed(film: str, density: str = "1.15 g/mL", **answers: Any) -> Amount:
    """What the one coat of a plug of 55 cm2 takes."""
    made = build(
        shape=rod(),
        coat=[{"name": "topcoat", "thickness": film, "density": density}],
        operation=[{"kind": "clear", "coat": 1, "loss": "0 %", **answers}],
    )
    found = amount(made, made.operation[0])
    assert found is not None
    return found


def test_film_of_a_hundred_microns_of_epoxy_on_a_plug() -> None:
    # Geometry by hand: 55 cm2 x 100 um = 0.55 mL; x 1.15 g/mL = 0.6325 g.
    found = mixed("0.1 mm", volume_solids="100 %")
    assert not found.skin.estimated
    assert found.skin.area == pytest.approx(AREA, rel=1e-4)
    assert found.film_volume == pytest.approx(0.55e-6, rel=1e-4)
    assert found.film_mass == pytest.approx(0.6325e-3, rel=1e-4)
    assert found.liquid_volume == pytest.approx(0.55e-6, rel=1e-4)


@pytest.mark.parametrize(
    ("solids", "film", "rate", "wet"),
    [
        # Spreading rates as data-sheet notes and trade handbooks print them [m2/L]; wet
        # films by WFT = 100 DFT / VS of the same notes [um].
        ("100 %", "0.025 mm", 40.0, 25.0),
        ("65 %", "0.125 mm", 5.2, 192.3077),
        ("71 %", "0.125 mm", 5.7, 176.0563),
        ("45 %", "0.05 mm", 9.0, 111.1111),
        ("40 %", "0.025 mm", 16.0, 62.5),
    ],
)
def test_spreading_rate_and_wet_film(solids: str, film: str, rate: float, wet: float) -> None:
    found = mixed(film, volume_solids=solids)
    assert found.spread * 1e-3 == pytest.approx(rate, abs=0.05)
    assert found.wet_film * 1e6 == pytest.approx(wet, abs=1e-3)


def test_what_goes_beside_and_several_plugs_are_mixed_for() -> None:
    # By hand: 3 plugs x 55 cm2 x 0.1 mm / 0.5 x 1.2 = 3.96 mL, at 1.0 g/mL 3.96 g.
    made = build(
        shape=rod(),
        coat=[{"name": "varnish", "thickness": "0.1 mm", "density": "1.1 g/mL"}],
        schedule={"plugs": 3},
        operation=[
            {"kind": "clear", "coat": 1, "loss": "20 %", "volume_solids": "50 %",
             "liquid_density": "1.0 g/mL"}
        ],
    )  # fmt: skip
    found = amount(made, made.operation[0])
    assert found is not None
    assert found.plugs == 3
    assert found.liquid_volume == pytest.approx(3.96e-6, rel=1e-4)
    assert found.liquid_mass == pytest.approx(3.96e-3, rel=1e-4)


def test_two_to_one_by_volume_weighed_out() -> None:
    # Mass balance by hand, densities typical: 100 x 0.97 / (2 x 1.15) = 42.1739 parts.
    found = mixed(
        "0.1 mm", volume_solids="100 %", resin_parts=2, hardener_parts=1, parts_by="volume",
        resin_density="1.15 g/mL", hardener_density="0.97 g/mL",
    )  # fmt: skip
    assert found.batch is not None
    assert found.parts is not None
    assert 100 * found.batch.hardener_mass / found.batch.resin_mass == pytest.approx(42.1739)
    assert found.parts[0] == pytest.approx(2 * found.parts[1])
    assert found.batch.volume == pytest.approx(0.55e-6, rel=1e-4)


def test_a_hundred_to_forty_seven_by_mass() -> None:
    # Instruction sheet of a laminating epoxy, 100 : 47 by mass: 6 g are 4.0816 and 1.9184 g.
    # Film for 6 g of a liquid as dense as its film, 1.1 g/mL: 6 g / (1.1 x 55 cm2).
    film = 6e-3 / (1100.0 * AREA) * 1e3
    found = mixed(
        f"{film:.9f} mm", "1.1 g/mL", volume_solids="100 %",
        resin_parts=100, hardener_parts=47, parts_by="mass",
    )  # fmt: skip
    assert found.batch is not None
    assert found.batch.resin_mass == pytest.approx(4.0816e-3, rel=1e-4)
    assert found.batch.hardener_mass == pytest.approx(1.9184e-3, rel=1e-4)


def test_volumes_alone_where_no_density_is_known() -> None:
    found = mixed("0.1 mm", volume_solids="100 %", resin_parts=1, hardener_parts=1,
                  parts_by="volume")  # fmt: skip
    assert found.batch is None
    assert found.parts == pytest.approx((0.275e-6, 0.275e-6), rel=1e-4)


def test_half_a_ratio_weighs_nothing_out_and_is_named() -> None:
    from wizard.plug.checks import odd

    answers = {"kind": "clear", "coat": 1, "resin_parts": 2, "hardener_parts": 1}
    made = build(shape=rod(), coat=[{"name": "topcoat"}], operation=[answers])
    found = amount(made, made.operation[0])
    assert found is not None
    assert found.batch is None
    assert found.parts is None
    assert [f.path for f in odd(made)] == [("operation", 0, "parts_by")]


def test_pot_life_halves_for_ten_degrees() -> None:
    # Rule of thumb for reaction rates; 30 min at 23 degC are 15 min at 33 degC.
    made = build(
        shape=rod(),
        coat=[{"name": "epoxy", "thickness": "0.1 mm"}],
        schedule={"temperature": "33 degC"},
        operation=[{"kind": "clear", "coat": 1, "pot_life": "30 min"}],
    )
    found = amount(made, made.operation[0])
    assert found is not None
    assert found.pot_life == pytest.approx(900.0)


@pytest.mark.parametrize("sides", [(95, 28, 20), (150, 30, 30), (60, 40, 12), (30, 30, 30)])
def test_estimated_skin_is_that_of_the_ellipsoid(sides: tuple[float, float, float]) -> None:
    # Exact: S = 4 pi R_G(a2 b2, a2 c2, b2 c2), DLMF 19.33.1, by SciPy's elliprg. The
    # approximation's published worst error is 1.061 %.
    a, b, c = (side / 2e3 for side in sides)
    exact = 4 * math.pi * elliprg((a * b) ** 2, (a * c) ** 2, (b * c) ** 2)
    assert ellipsoid_area(*(side / 1e3 for side in sides)) == pytest.approx(exact, rel=0.0107)


def test_skin_by_length_and_volume_is_that_of_the_same_spindle() -> None:
    # Volume of an ellipsoid: 4/3 pi a b c.
    volume = 4 / 3 * math.pi * 50e-3 * 12e-3 * 12e-3
    assert spindle_area(100e-3, volume) == pytest.approx(ellipsoid_area(0.1, 0.024, 0.024))


def test_an_estimated_skin_is_for_mixing_only() -> None:
    from wizard.plug.derive import derive

    made = build(
        shape={"length": "95 mm", "height": "28 mm", "thickness": "20 mm"},
        ballast={},
        coat=[{"name": "epoxy topcoat", "thickness": "0.1 mm"}],
        operation=[{"kind": "clear", "coat": 1}],
    )
    found = skin(made)
    assert found is not None
    assert found.estimated
    assert amount(made, made.operation[0]) is not None
    numbers = derive(made).numbers
    assert not {"shape_area", "finished_mass", "displaced_volume"} & set(numbers)


def test_no_skin_no_amount() -> None:
    made = build(coat=[{"name": "epoxy"}], operation=[{"kind": "clear", "coat": 1}])
    assert amount(made, made.operation[0]) is None


def test_what_lays_no_coat_takes_none() -> None:
    made = build(shape=rod(), operation=[{"kind": "glue"}, {"kind": "cure"}])
    assert [amount(made, row) for row in made.operation] == [None, None]


def test_the_shopping_list_and_the_timetable_mix_the_same_amounts() -> None:
    """Of 55 cm2: V = A DFT / VS (1 + loss), and what dries away taken as 0.9 g/mL.

    Epoxy 100 um of 98 % with a fifth lost: 0.55 / 0.98 x 1.2 mL. Paint 40 um of 25 % sprayed,
    150 % lost: 0.22 mL dry, 0.66 mL dry away; (0.22 x 1.3 + 0.66 x 0.9) x 2.5 g.
    """
    from wizard.plug.derive import derive
    from wizard.plug.onward.needs import needs
    from wizard.report.operation import mixing_lines

    made = build(
        shape=rod(),
        coat=[
            {"name": "paint", "thickness": "0.04 mm", "density": "1.3 g/mL"},
            {"name": "epoxy", "thickness": "0.1 mm", "density": "1.15 g/mL"},
        ],
        operation=[
            {"kind": "colour", "coat": 1, "volume_solids": "25 %", "loss": "150 %"},
            {"kind": "clear", "coat": 2, "volume_solids": "98 %", "loss": "20 %"},
        ],
        schedule={"plugs": 3},
    )
    paint, epoxy = (n for n in needs(made, derive(made), None, 2).items if n.kind == "coat")
    assert paint.volume == pytest.approx(2 * 0.22e-6 / 0.25 * 2.5, rel=1e-4)
    assert paint.mass == pytest.approx(2 * (0.22 * 1.3 + 0.66 * 0.9) * 2.5e-3, rel=1e-4)
    assert epoxy.volume == pytest.approx(2 * 0.55e-6 / 0.98 * 1.2, rel=1e-4)
    assert paint.note == "lost beside the plug: 150 % of what stays on"
    assert paint.note in next(mixing_lines(made))
    for need, row in zip((paint, epoxy), made.operation, strict=True):
        found = amount(made, row)
        assert found is not None
        assert need.volume == pytest.approx(found.liquid_volume / 3 * 2, rel=1e-12)


def test_a_coat_without_a_drawn_shape_is_bought_by_an_estimated_skin() -> None:
    from wizard.plug.derive import derive
    from wizard.plug.onward.needs import needs

    sides = {"length": "100 mm", "height": "20 mm", "thickness": "20 mm"}
    made = build(shape=sides, coat=[{"name": "epoxy topcoat", "thickness": "0.1 mm"}])
    (coat,) = (n for n in needs(made, derive(made), None).items if n.kind == "coat")
    assert coat.mass is not None
    assert "skin estimated from length, height and thickness of the body" in coat.note
    assert "the tin wins" in coat.note
