"""A number that can't be worked out is absent, never zero: each rule of the output by itself."""

from __future__ import annotations

from typing import Any

import pytest
import tomli_w

from tests.properties.plugs import (
    BLOCKS,
    LOOSE,
    PLUG,
    WOOD,
    ballast_with,
    build_with,
    reviewed,
    round_body,
)
from tests.properties.plugs import numbers as numbers_of
from wizard.plug.derive import derive
from wizard.report.text import review
from wizard.store import profile

UNITS = {
    "water_density": "g/mL",
    "wood_density": "g/mL",
    "body_volume": "mL",
    "shape_volume": "mL",
    "shape_area": "cm2",
    "neutral_mass": "g",
    "target_mass": "g",
    "hardware_mass": "g",
    "bench_ballast": "g",
    "ballast_mass": "g",
    "finished_mass": "g",
    "displaced_volume": "mL",
    "net_in_water": "g",
    "chance_sinks": "1",
    "proof_net": "g",
    "sink_rate": "m/s",
    "cg_x": "mm",
    "cg_z": "mm",
    "cb_x": "mm",
    "cb_z": "mm",
    "rest_pitch": "deg",
    "draught": "mm",
    "freeboard": "mm",
    "gm": "mm",
}
"""Names of the output in their order, with their units."""

ORDER = list(UNITS)
FROM_BALLAST = set(ORDER[ORDER.index("ballast_mass") :])
CG = {"cg_x", "cg_z"}
LYING = {"rest_pitch", "draught", "freeboard", "gm"}
AFLOAT = {"draught", "freeboard", "gm"}

FLOATS = {"aim": {"behaviour": "floats", "margin": "15 %"}, "ballast": ballast_with(piece=None)}
TRIAL = {"kind": "float", "weight": "1 g", "density": "11.34 g/mL"}


def numbers(**changes: Any) -> set[str]:
    """Names of the numbers of the build by hand with some tables replaced."""
    return set(numbers_of(build_with(**changes)))


def warnings(**changes: Any) -> str:
    """All that is warned of, in one text."""
    return "\n".join(w["text"] for w in reviewed(build_with(**changes))["warnings"])


def test_an_empty_profile_has_no_numbers_and_no_warnings() -> None:
    found = reviewed({})
    assert found["numbers"] == {}
    assert found["warnings"] == []
    assert found["step"] == "plan"


@pytest.mark.parametrize("changes", [{}, FLOATS, {"trial": [TRIAL]}])
def test_every_number_has_its_unit_its_value_and_its_doubt(changes: dict[str, Any]) -> None:
    for name, number in numbers_of(build_with(**changes)).items():
        assert set(number) == {"value", "unit", "u"}
        assert number["unit"] == UNITS.get(name, number["unit"])
        assert isinstance(number["value"], float)
        assert number["u"] >= 0


def test_hardware_mass_needs_a_hardware_table() -> None:
    assert "hardware_mass" not in numbers(hardware=None)
    assert numbers_of(build_with(hardware=[]))["hardware_mass"]["value"] == 0


def test_hardware_without_its_mass_leaves_the_sums_out() -> None:
    rows = [*PLUG["hardware"], {"name": "split ring", "x": "1 mm", "z": "1 mm"}]
    absent = {"hardware_mass", "bench_ballast", "neutral_mass", *FROM_BALLAST}
    assert not numbers(hardware=rows) & absent
    assert "hardware[3].mass" in warnings(hardware=rows)


def test_hardware_without_its_density_leaves_the_volume_out_but_not_the_weight() -> None:
    rows = [{"name": "my own spinner", "mass": "2 g", "x": "1 mm", "z": "1 mm"}]
    assert {"hardware_mass", "finished_mass"} <= numbers(hardware=rows)
    assert not numbers(hardware=rows) & {"displaced_volume", "neutral_mass", "net_in_water", "cb_x"}
    assert "hardware[1].density" in warnings(hardware=rows)


def test_without_a_ballast_table_all_from_it_on_is_absent() -> None:
    found = numbers(ballast=None, trial=[TRIAL])
    assert not found & FROM_BALLAST
    assert found >= set(ORDER) - FROM_BALLAST


def test_with_a_ballast_table_the_parts_so_far_count_and_what_is_missing_is_named() -> None:
    found = numbers_of(build_with(hardware=None, coat=None))
    assert {"ballast_mass", "finished_mass", "displaced_volume", "net_in_water"} <= set(found)
    assert found["displaced_volume"]["value"] == pytest.approx(found["body_volume"]["value"])
    said = warnings(hardware=None, coat=None)
    assert "hardware" in said
    assert "coats" in said


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"weighing": None}, "weighing.mass"),
        ({"density": None}, "density.sample"),
        ({"water": {"salinity": "0 g/kg"}}, "water.temperature"),
        ({"aim": None}, "aim.behaviour"),
        ({"aim": {"behaviour": "sinks"}}, "aim.margin"),
        ({"aim": {"behaviour": "sinks", "sink_rate": "9 cm/s"}, "shape": None}, "aim.sink_rate"),
    ],
)
def test_what_the_balance_lacks_is_named(changes: dict[str, Any], named: str) -> None:
    assert "ballast_mass" not in numbers(**changes)
    assert named in warnings(**changes)


def test_pieces_laid_out_weigh_without_an_aim() -> None:
    found = numbers(aim=None)
    assert "ballast_mass" not in found
    assert {"finished_mass", "displaced_volume", "net_in_water", "chance_sinks"} <= found


def without(row: dict[str, str], key: str) -> list[dict[str, str]]:
    """One row of a table without one of its keys."""
    return [{k: v for k, v in row.items() if k != key}]


WIRE = PLUG["hardware"][1]
HOLE = PLUG["ballast"]["hole"][1]


@pytest.mark.parametrize(
    "changes",
    [
        {"hardware": without(WIRE, "x")},
        {"hardware": without(WIRE, "z")},
        {"ballast": ballast_with(hole=without(HOLE, "x"), piece=[{"mass": "9 g"}])},
        {"ballast": ballast_with(hole=None, piece=[{"mass": "9 g"}])},
        {"ballast": LOOSE},
        {"shape": None, "coat": []},
    ],
)
@pytest.mark.parametrize("aim", [{"behaviour": "sinks", "margin": "9 %"}, FLOATS["aim"]])
def test_a_part_of_unknown_place_leaves_out_how_it_lies(
    changes: dict[str, Any], aim: dict[str, str]
) -> None:
    found = numbers(**changes, aim=aim)
    assert not found & (CG | LYING)
    assert {"finished_mass", "displaced_volume", "net_in_water"} <= found


def read_by_a_maker(**changes: Any) -> str:
    """The review of the build by hand as one line of text."""
    tables = {"format": 1, **build_with(**changes)}
    build, odd = profile.read(tomli_w.dumps(tables).encode(), "a.toml")
    return " ".join(review(build, derive(build), odd).split())


def test_the_review_says_what_keeps_it_from_being_known_how_it_lies() -> None:
    unknown = "How it lies is not known: no place is given for"
    assert f"{unknown} through-wire." in read_by_a_maker(hardware=without(WIRE, "x"))
    holes = ballast_with(hole=None, piece=[{"mass": "9 g"}])
    assert f"{unknown} the ballast holes." in read_by_a_maker(ballast=holes)
    assert "no shape is drawn" in read_by_a_maker(shape=None, coat=[])
    assert unknown not in read_by_a_maker()


def test_the_review_says_why_there_is_no_speed() -> None:
    small = {"shape": round_body(30.0, 5.0), "ballast": LOOSE, "aim": PLUG["aim"]}
    assert "sink_rate" not in numbers(**small)
    text = read_by_a_maker(**small)
    assert "The speed of sinking is not known: sphericity is" in text
    assert "Look whether the drawn shape holds what the body weighs." in text


def test_a_predicted_film_without_a_drawn_shape_leaves_mass_and_volume_out() -> None:
    found = numbers(shape=None)
    absent = {"neutral_mass", "target_mass", "shape_volume", "shape_area", *FROM_BALLAST}
    assert not found & absent
    assert {"body_volume", "hardware_mass", "bench_ballast"} <= found
    assert "coat[1].thickness" in warnings(shape=None)


def test_a_weighed_film_needs_no_drawn_shape() -> None:
    coat = [{"name": "epoxy", "mass": "0.7 g", "density": "1.12 g/mL"}]
    assert {"finished_mass", "displaced_volume", "net_in_water"} <= numbers(shape=None, coat=coat)


@pytest.mark.parametrize(
    "water",
    [
        {"temperature": "40.1 degC", "salinity": "0 g/kg"},
        {"temperature": "-1 degC", "salinity": "35 g/kg"},
        {"temperature": "10 degC", "salinity": "43 g/kg"},
    ],
)
def test_water_outside_the_equation_of_state_is_absent_with_a_warning(
    water: dict[str, str],
) -> None:
    found = numbers(water=water)
    needs_water = {"water_density", "neutral_mass", "target_mass", "ballast_mass", "net_in_water"}
    assert not found & (needs_water | {"chance_sinks", "sink_rate"} | LYING)
    assert {"wood_density", "body_volume", "finished_mass", "displaced_volume", "cg_x"} <= found
    assert "equation of state" in warnings(water=water)


def test_a_trial_adds_its_own_numbers_and_changes_no_predicted_one() -> None:
    before = numbers_of(build_with(**FLOATS))
    after = numbers_of(build_with(**FLOATS, trial=[TRIAL]))
    assert (set(after) - set(before)) & set(UNITS) == {"proof_net"}
    kept = set(before) & set(UNITS)
    assert {name: after[name] for name in kept} == {name: before[name] for name in kept}


def test_a_timed_sink_replaces_the_speed_alone() -> None:
    trial = {"kind": "sink", "depth": "50 cm", "time": "2.4 s", "time_accuracy": "0.1 s"}
    before, after = numbers_of(build_with()), numbers_of(build_with(trial=[trial]))
    assert (set(after) - set(before)) & set(UNITS) == {"proof_net"}
    assert after["sink_rate"] != before["sink_rate"]
    kept = set(before) & set(UNITS) - {"sink_rate"}
    assert {name: after[name] for name in kept} == {name: before[name] for name in kept}


def test_a_proof_that_disagrees_beyond_twice_its_doubt_is_a_warning() -> None:
    predicted = numbers_of(build_with(**FLOATS))["net_in_water"]
    share = 1 - 998.6 / 11340  # of the trial weight that is felt in the water
    for apart, warned in ((1.5, False), (3.0, True)):
        grams = (-predicted["value"] + apart * predicted["u"]) / share
        trial = TRIAL | {"weight": f"{grams:.4f} g"}
        assert ("tank says" in warnings(**FLOATS, trial=[trial])) is warned


def test_speed_is_given_for_what_sinks_and_is_drawn() -> None:
    assert "sink_rate" in numbers()
    assert "sink_rate" not in numbers(**FLOATS)
    assert "sink_rate" not in numbers(shape=None, coat=[])


def test_the_chance_is_absent_while_nobody_stated_a_doubt() -> None:
    exact = {"density": {"sample": BLOCKS[:1]}, "weighing": {"mass": "13.62 g"}}
    found = numbers(**exact)
    assert "net_in_water" in found
    assert not found & {"chance_sinks", "chance_aim"}


def test_what_floats_has_a_draught_and_what_sinks_has_none() -> None:
    assert AFLOAT | {"rest_pitch"} <= numbers(**FLOATS)
    assert not numbers() & AFLOAT
    assert "rest_pitch" in numbers()


def test_what_would_turn_over_has_no_pitch_and_a_warning() -> None:
    high = {"x": "45 mm", "diameter": "12.5 mm", "depth": "10 mm", "axis": "down"}
    for grams, sinks in ((22, True), (6, False)):
        ballast = ballast_with(hole=[high], piece=[{"mass": f"{grams} g"}])
        found = numbers_of(build_with(ballast=ballast, hardware=[]))
        assert (found["net_in_water"]["value"] > 0) is sinks
        assert "rest_pitch" not in found
        assert "turns over" in warnings(ballast=ballast, hardware=[])


def test_within_a_ten_thousandth_of_its_weight_a_plug_hangs() -> None:
    found = numbers_of(build_with(aim={"behaviour": "suspends"}, ballast=ballast_with(piece=None)))
    assert abs(found["net_in_water"]["value"]) < 1e-4 * found["finished_mass"]["value"]
    assert "rest_pitch" in found
    assert not set(found) & AFLOAT


def test_the_blank_is_the_density_only_while_there_is_no_sample() -> None:
    sides = {"length": "5 in", "width": "1.25 in", "thickness": "0.875 in", "mass": "38.4 g"}
    alone = numbers_of({"stock": sides})["wood_density"]["value"]
    assert alone == pytest.approx(38.4 / (5 * 1.25 * 0.875 * 16.387064))  # in3 in mL, exact
    beside = numbers_of({"stock": sides, "density": WOOD})["wood_density"]["value"]
    assert beside == numbers_of({"density": WOOD})["wood_density"]["value"] != alone


def test_one_sample_says_that_the_scatter_of_the_board_is_unknown() -> None:
    alone = {"sample": BLOCKS[:1]}
    assert "board_scatter" in warnings(density=alone)
    assert "board_scatter" not in warnings(density=alone | {"board_scatter": "3 %"})
    assert "board_scatter" not in warnings(density={"sample": BLOCKS})


def test_ballast_that_does_not_fit_its_holes_is_a_warning() -> None:
    said = warnings(ballast=ballast_with(piece=[{"mass": "9 g", "count": 5}]))
    assert "holes hold" in said


def test_ballast_no_denser_than_its_filler_is_a_warning_and_no_answer() -> None:
    changes = {"ballast": ballast_with(density="1.15 g/mL", piece=None)}
    assert "ballast_mass" not in numbers(**changes)
    assert "adds nothing" in warnings(**changes)


def test_a_plug_too_heavy_for_its_aim_says_so() -> None:
    heavy = [{"mass": "20 g", "count": 2, "density": "7.85 g/mL"}]
    found = numbers_of(build_with(hardware=heavy, ballast=LOOSE))
    assert found["ballast_mass"]["value"] < 0
    assert found["finished_mass"]["value"] > found["target_mass"]["value"]
    assert "heavier than the aim" in warnings(hardware=heavy, ballast=LOOSE)
