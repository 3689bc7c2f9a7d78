"""What coats do to the aim, by marks and by the scale, held to whole builds and closed forms."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import tomli_w

from tests.properties.plugs import PLUG, round_body
from wizard.plug.coats.effect import (
    effect_of_coats_to_come,
    effect_of_more,
    in_words,
    last_coat,
)
from wizard.plug.coats.proposing import one_more_coat, with_proposal
from wizard.plug.coats.schedule import finished, ids, started
from wizard.plug.coats.weighed_coats import stage_now, weigh
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.paths import put
from wizard.plug.record import Build, MendDone, PlugWeighing
from wizard.quantity.reading import Quantity, read
from wizard.store import profile

HOUR = timedelta(hours=1)
MONDAY = datetime(2026, 6, 1, 19, tzinfo=UTC)
COATS = [
    {"name": "clear sealer", "thickness": "0.02 mm", "density": "1.10 g/mL"},
    {"name": "paint", "thickness": "0.03 mm", "density": "1.3 g/mL"},
    {"name": "epoxy topcoat", "thickness": "0.2 mm", "density": "1.12 g/mL"},
    {"name": "epoxy topcoat", "thickness": "0.2 mm", "density": "1.12 g/mL"},
]


def made(**tables: Any) -> Build:
    whole = {"format": 1, **PLUG, "coat": COATS, **tables}
    return with_proposal(profile.read(tomli_w.dumps(whole).encode(), "a.toml")[0])


def done_up_to(build: Build, coat: int) -> Build:
    """All finished up to the operation of a coat, an hour each; nothing for 0."""
    for n, row in enumerate(build.operation, start=1):
        if any(one.coat is not None and one.coat <= coat for one in build.operation[n - 1 :]):
            build = finished(build, n, MONDAY + n * HOUR)
            if row.coat == coat:
                break
    return build


def margin(derived: Derived) -> float:
    """s by its definition, from the numbers shown."""
    return (
        derived.numbers["finished_mass"].value.value / derived.numbers["neutral_mass"].value.value
        - 1
    )


def without_coats(build: Build, kept: int) -> Build:
    return put(build, ("coat",), (build.coat or ())[:kept])


# Effect.


@pytest.mark.parametrize("laid", [0, 1, 2, 3])
def test_coats_to_come_do_what_leaving_them_out_of_the_build_undoes(laid: int) -> None:
    # The other way: the same build written without those coats, summed from the start.
    build = done_up_to(made(), laid)
    found = effect_of_coats_to_come(build, derive(build))
    assert found is not None
    assert found.coats == 4 - laid
    assert found.before.value == pytest.approx(margin(derive(without_coats(build, laid))))
    assert found.after.value == pytest.approx(margin(derive(build)))


@pytest.mark.parametrize("more", [1, 2])
def test_more_coats_do_what_adding_them_to_the_build_does(more: int) -> None:
    build = made()
    found = effect_of_more(build, derive(build), more)
    for _ in range(more):
        build = one_more_coat(build)
    assert found is not None
    assert found.after.value == pytest.approx(margin(derive(build)))


def floater(light: str = "6 g") -> Build:
    """A rod of 33 mL that floats, with two clear coats to come."""
    ballast = {"metal": "lead", "density": "11.34 g/mL", "piece": [{"mass": light}]}
    return done_up_to(
        made(
            aim={"behaviour": "floats", "margin": "20 %"}, shape=round_body(90.0, 10.9),
            ballast=ballast, hardware=[],
        ),
        2,
    )  # fmt: skip


def test_film_pulls_a_floater_towards_neutral_by_the_closed_form() -> None:
    # s = M / (rho V) - 1: a film of rho_f with volume v brings M + rho_f v and V + v.
    build = floater()
    derived = derive(build)
    found = effect_of_coats_to_come(build, derived)
    assert found is not None
    assert derived.water is not None
    M, V = derived.value("finished_mass"), derived.value("displaced_volume")
    area = derived.value("shape_area")
    assert M is not None
    assert V is not None
    assert area is not None
    v = 2 * area.value * 0.2e-3
    before = (M.value - 1120 * v) / (derived.water.buoyant * (V.value - v)) - 1
    assert found.before.value == pytest.approx(before)
    assert before < found.after.value < 0


def test_the_effect_in_words() -> None:
    build = floater()
    derived = derive(build)
    found = effect_of_coats_to_come(build, derived)
    assert found is not None
    before, after = (f"{-100 * s.value:.1f}" for s in (found.before, found.after))
    assert in_words(found) == (
        f"Two more coats take this floater from {before.removesuffix('.0')} % to "
        f"{after.removesuffix('.0')} % under neutral."
    )
    across = replace(found, coats=1, before=found.before * 0 - 0.001, after=found.after * 0 + 0.002)
    assert in_words(across) == (
        "One more coat takes this floater from 0.1 % under neutral to 0.2 % over neutral."
    )


def test_no_effect_is_claimed_where_a_number_is_absent() -> None:
    build = made(water={})
    assert effect_of_coats_to_come(build, derive(build)) is None
    assert effect_of_more(build, derive(build), 1) is None
    flat = made(shape={})
    assert effect_of_coats_to_come(flat, derive(flat)) is None


# Before the last coat.


def test_before_the_last_coat_there_is_still_a_mend() -> None:
    off = done_up_to(floater("15 g"), 3)
    said = last_coat(off, derive(off))
    assert said is not None
    assert said.level == "warning"
    assert "20 % under neutral was asked" in said.wrong
    assert said.path == ("operation", ids(off).index("epoxy-topcoat-2"))
    assert "Mend it before" in said.remedy


def test_nothing_is_said_earlier_or_once_it_is_begun() -> None:
    off = floater("15 g")
    assert last_coat(off, derive(off)) is None
    begun = started(done_up_to(off, 3), "epoxy-topcoat-2", MONDAY)
    assert last_coat(begun, derive(begun)) is None
    assert last_coat(done_up_to(off, 4), derive(done_up_to(off, 4))) is None


def test_a_plug_that_ends_as_asked_is_only_told() -> None:
    build = floater()
    asked = margin(derive(build))
    build = put(build, ("aim", "margin"), read(f"{-100 * asked:.3f} %", "ratio"))
    said = last_coat(done_up_to(build, 3), derive(done_up_to(build, 3)))
    assert said is not None
    assert said.level == "note"


def test_a_suspender_goes_by_its_chance() -> None:
    build = done_up_to(made(aim={"behaviour": "suspends"}), 3)
    said = last_coat(build, derive(build))
    assert said is not None
    assert said.level == "warning"
    assert "with a chance of" in said.wrong


# Weighed.


def grams(text: str) -> Quantity:
    found = read(text, "mass")
    assert isinstance(found, Quantity)
    return found


def test_how_far_the_plug_has_come_by_its_marks() -> None:
    build = made()
    assert stage_now(build) == ("ballasted", None)
    assert stage_now(done_up_to(build, 1)) == ("sealed", 1)
    assert stage_now(done_up_to(build, 3)) == ("coated", 3)
    out_of_order = finished(build, "paint", MONDAY)
    assert stage_now(out_of_order) == ("coated", None)
    assert stage_now(finished(build, "hang-hooks", MONDAY)) == ("finished", None)


def test_before_and_after_make_the_mass_of_the_coat_and_its_volume_follows() -> None:
    build = done_up_to(made(), 2)
    build = weigh(build, grams("41.30 g"), MONDAY + 20 * HOUR).build
    third = finished(build, "eyes-on", MONDAY + 19 * HOUR)
    third = finished(third, "epoxy-topcoat-1", MONDAY + 21 * HOUR)
    found = weigh(third, grams("41.73 g"), MONDAY + 40 * HOUR)
    coat = (found.build.coat or ())[2]
    assert coat.mass == grams("0.43 g")
    assert "epoxy topcoat 0.43 g" in found.words
    rows = [(row.stage, row.coats) for row in found.build.weight]
    assert rows == [("coated", 2), ("coated", 3)]
    derived = derive(found.build)
    films = [p for p in derived.parts if p.sort == "coat"]
    # 0.43 g at 1.12 g/mL push 0.3839 mL aside.
    volume = films[2].volume
    assert volume is not None
    assert volume.value == pytest.approx(0.43e-3 / 1120)
    # The plug is what the scale said, hooks (2 x 1.9 g) and the last film still to come.
    area = derived.value("shape_area")
    total = derived.value("finished_mass")
    assert area is not None
    assert total is not None
    later = 2 * 1.9e-3 + area.value * 0.2e-3 * 1120
    assert total.value == pytest.approx(41.73e-3 + later)


def test_two_coats_between_share_by_their_films() -> None:
    # 0.03 mm x 1.3 and 0.2 mm x 1.12 g/mL on one skin: 39 to 224 of 263 parts.
    build = done_up_to(made(), 1)
    operations = tuple(replace(r, kind="sand") if r.kind in ("fill", "glue", "eyes") else r
                       for r in build.operation)  # fmt: skip
    build = put(build, ("operation",), operations)
    build = weigh(build, grams("40.00 g"), MONDAY).build
    build = weigh(done_up_to(build, 3), grams("42.63 g"), MONDAY + 90 * HOUR).build
    masses = [coat.mass.value for coat in (build.coat or ())[1:3] if coat.mass]
    assert masses == pytest.approx([0.39e-3, 2.24e-3])


def test_what_was_glued_in_between_is_no_coat() -> None:
    build = weigh(done_up_to(made(), 1), grams("40.00 g"), MONDAY).build
    found = weigh(done_up_to(build, 2), grams("45.00 g"), MONDAY + 90 * HOUR)
    assert [coat.mass for coat in found.build.coat or ()] == [None] * 4
    assert found.words == "Kept: 45.00 g, 2 coats on."


def test_what_was_mended_between_is_no_coat_and_counts_once() -> None:
    build = done_up_to(made(), 2)
    build = weigh(build, grams("41.30 g"), MONDAY + 20 * HOUR).build
    third = finished(build, "eyes-on", MONDAY + 19 * HOUR)
    third = finished(third, "epoxy-topcoat-1", MONDAY + 21 * HOUR)
    plain = weigh(third, grams("42.23 g"), MONDAY + 40 * HOUR)
    lead, at = (
        Quantity("11.34 g/mL", 11340.0, "density", "g/mL"),
        Quantity("40 mm", 0.04, "length", "mm"),
    )
    done = MendDone("add", grams("0.50 g"), density=lead, x=at, z=at)
    mended = put(third, ("mend",), (done,))
    found = weigh(mended, grams("42.23 g"), MONDAY + 40 * HOUR)
    assert found.build.weight[-1].mends == 1
    assert (plain.build.coat or ())[2].mass == grams("0.93 g")
    assert (found.build.coat or ())[2].mass is None
    # The scale has the mend in: all that comes on after it are hooks and the last film.
    total = derive(found.build).value("finished_mass")
    area = derive(found.build).value("shape_area")
    assert total is not None
    assert area is not None
    assert total.value == pytest.approx(42.23e-3 + 2 * 1.9e-3 + area.value * 0.2e-3 * 1120)


def test_a_plug_that_became_lighter_keeps_its_predictions() -> None:
    build = done_up_to(made(), 3)
    eyes_on = build.operation[ids(build).index("eyes-on")].finished
    before = PlugWeighing(stage="coated", mass=grams("41.00 g"), coats=2, at=eyes_on)
    build = put(build, ("weight",), (before,))
    found = weigh(build, grams("40.9 g"), MONDAY + 40 * HOUR)
    assert "0.1 g lighter than before" in found.words
    assert all(coat.mass is None for coat in found.build.coat or ())
    assert len(found.build.weight) == 2


def test_the_first_weighing_stands_alone() -> None:
    found = weigh(made(), grams("38.4 g"), MONDAY)
    assert found.words == "Kept: 38.4 g, ballasted."
    assert found.build.weight[0].at == MONDAY
