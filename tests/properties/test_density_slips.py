"""Slips planted into a bench whose readings agree: the right one must be named."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.certainty.agreement import Claim, agree, consensus, distances, odd_one
from wizard.plug.density.odd_one import SideBySide, side_by_side
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.store.problems import ProfileError
from wizard.store.profile import read

# Basswood of 0.408 g/mL: a body of 33.4 mL, two samples, the blank and a dunk that agree.
TRUE = {
    "blank": "36.5 g",
    "mass": "13.62 g",
    "gain": "33.3 g",
    "l": "40.0 mm",
    "w": "25.1 mm",
    "t": "20.2 mm",
    "m": "8.29 g",
    "l2": "42.0 mm",
    "board": "3 %",
}


def text_of(**changed: str) -> str:
    """The profile of that bench with some readings changed."""
    at = {**TRUE, **changed}
    return f"""format = 1
[water]
temperature = "18 degC"
salinity = "0 g/kg"
[stock]
wood = "basswood"
length = "5 in"
width = "1 1/4 in"
thickness = "7/8 in"
mass = "{at["blank"]}"
[weighing]
mass = "{at["mass"]}"
resolution = "0.01 g"
gain = "{at["gain"]}"
[density]
length_resolution = "0.02 mm"
mass_resolution = "0.01 g"
board_scatter = "{at["board"]}"
[[density.sample]]
method = "block"
length = "{at["l"]}"
width = "{at["w"]}"
thickness = "{at["t"]}"
mass = "{at["m"]}"
[[density.sample]]
method = "block"
length = "{at["l2"]}"
width = "25.3 mm"
thickness = "20.1 mm"
mass = "8.72 g"
"""


def bench(**changed: str) -> tuple[Build, Derived]:
    """That bench and what follows from it."""
    build, odd = read(text_of(**changed).encode(), "test")
    assert not odd
    return build, derive(build)


def beside(**changed: str) -> SideBySide:
    build, found = bench(**changed)
    return side_by_side(build, found.wood)


def test_readings_that_agree_accuse_nobody() -> None:
    found = beside()
    assert [way.sort for way in found.ways] == ["table", "sample", "sample", "blank", "dunk"]
    assert found.odd is None
    assert found.likely == ()
    _, whole = bench()
    assert not any("stands alone" in f.text for f in whole.findings)


# What is typed instead of the truth, which way then stands alone, and what must be named.
PLANTED: list[tuple[Mapping[str, str], str, str]] = [
    ({"t": "19.3 mm", "board": "1 %"}, "sample 1, block", "tenths"),
    ({"t": "2.02 cm", "l": "4.0 cm", "w": "0.988 cm"}, "sample 1, block", "width of sample 1 is"),
    ({"l": "1.575 in", "w": "2.51 in", "t": "0.795 in"}, "sample 1, block", "centimetres"),
    ({"l": "4.0 in", "w": "2.51 in", "t": "2.02 in"}, "sample 1, block", "sides of sample 1 are c"),
    ({"m": "0.2924 g"}, "sample 1, block", "ounces"),
    ({"m": "8.29 gr"}, "sample 1, block", "grains"),
    ({"m": "0.829 g"}, "sample 1, block", "decimal of the mass of sample 1"),
    ({"t": "202 mm"}, "sample 1, block", "decimal of"),
    ({"gain": "36.0 g"}, "dunk of the body", "air bubbles"),
    ({"gain": "30.5 g"}, "dunk of the body", "took in"),
    ({"gain": "333 g"}, "dunk of the body", "decimal of the gain"),
    ({"gain": "1.1746 g"}, "dunk of the body", "ounces"),
    ({"blank": "3.65 g"}, "squared blank", "decimal of the mass of the blank"),
    ({"t": "20.9 mm", "board": "0.5 %"}, "sample 1, block", "not square"),
    ({"t": "20.9 mm", "board": "0.5 %"}, "sample 1, block", "thickness 20.2"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "alone", "named"), PLANTED)
def test_a_planted_slip_is_named(typed: Mapping[str, str], alone: str, named: str) -> None:
    found = beside(**typed)
    assert found.odd is not None
    assert found.ways[found.odd].name == alone
    assert any(named in text for text in found.likely), found.likely


def test_two_slips_at_once_are_not_explained_away() -> None:
    found = beside(m="82.9 g", t="60.6 mm")
    assert found.odd == 1
    assert all("tenths" not in text for text in found.likely)


@given(st.floats(1.0, 1.09))
@settings(max_examples=30, deadline=None)
def test_bubbles_are_measured_in_millilitres(factor: float) -> None:
    found = beside(gain=f"{33.3 * factor:.2f} g")
    if found.odd is None:
        assert factor < 1.09  # a gap of a few per cent is within what a board allows
        return
    (text, *_) = found.likely
    air = float(text.split(" mL")[0])
    assert air == pytest.approx(33.3 * (factor - 1), abs=0.06 * 33.3)


def test_the_finding_stands_where_the_slip_is_and_says_it_once() -> None:
    _, found = bench(gain="36.5 g")
    alone = [f for f in found.warnings if "stands alone" in f.text]
    assert len(alone) == 1
    assert alone[0].path == ("weighing", "gain")
    assert "mL" in alone[0].wrong
    assert "bubbles" in alone[0].remedy


def test_a_wrong_body_mass_moves_every_body_at_once() -> None:
    for typed, named in (("0.4804 g", "ounces for the mass of the body"),
                         ("1.362 g", "decimal of the mass of the body")):  # fmt: skip
        found = beside(mass=typed)
        assert any(named in text for text in found.likely), found.likely


# ---- agreement itself

CLAIMS = st.lists(
    st.builds(Claim, st.floats(100.0, 900.0), st.floats(0.001, 0.2)), min_size=3, max_size=6
)


@given(CLAIMS, st.floats(0.1, 10.0))
@settings(max_examples=60, deadline=None)
def test_agreement_knows_no_unit(claims: list[Claim], scale: float) -> None:
    scaled = [Claim(c.value * scale, c.relative_u) for c in claims]
    assert agree(scaled) == agree(claims) or any(abs(d - 2.5) < 1e-9 for d in distances(claims))
    assert odd_one(scaled) == odd_one(claims)
    assert consensus(scaled).value == pytest.approx(consensus(claims).value * scale)


@given(CLAIMS)
@settings(max_examples=60, deadline=None)
def test_without_the_odd_one_the_others_agree(claims: list[Claim]) -> None:
    odd = odd_one(claims)
    if odd is not None:
        assert agree([c for i, c in enumerate(claims) if i != odd])
        assert not agree(claims)


@given(st.floats(100.0, 900.0), st.floats(0.005, 0.1), st.integers(3, 6))
@settings(max_examples=40, deadline=None)
def test_equal_claims_agree(value: float, u: float, n: int) -> None:
    claims = [Claim(value, u)] * n
    assert agree(claims)
    assert odd_one(claims) is None
    assert consensus(claims).relative_u == pytest.approx(u / math.sqrt(n))


def test_two_that_disagree_leave_it_open() -> None:
    claims = [Claim(400.0, 0.01), Claim(500.0, 0.01)]
    assert not agree(claims)
    assert odd_one(claims) is None


def warned(**changed: str) -> str:
    """All that is warned of, in one text."""
    build, odd = read(text_of(**changed).encode(), "slips.toml")
    return "\n".join(f.text for f in (*odd, *derive(build).warnings))


@pytest.mark.parametrize("changed", [{"m": "0.829 g"}, {"blank": "3.65 g"}])
def test_wood_lighter_than_any_names_the_decimal(changed: dict[str, str]) -> None:
    said = warned(**changed)
    assert "carving woods have 0.1 to 0.8. A decimal slipped by one place would explain" in said


@pytest.mark.parametrize("changed", [{"m": "82.9 g"}, {"blank": "365 g"}])
def test_wood_denser_than_any_is_refused_with_the_decimal(changed: dict[str, str]) -> None:
    with pytest.raises(ProfileError, match=r"than any wood\. A decimal slipped by one place"):
        read(text_of(**changed).encode(), "slips.toml")


def test_a_body_heavier_than_its_blank_is_warned_of() -> None:
    assert "The body weighs 136.2 g, more than the blank that it came from (36.5 g)" in warned(
        mass="136.2 g"
    )
    unweighed = text_of(mass="136.2 g").replace('mass = "36.5 g"\n', "")
    build, odd = read(unweighed.encode(), "slips.toml")
    # 5 x 1 1/4 x 7/8 in are 89.62 mL, of 0.409 g/mL
    assert "(36.6 g by its sides and the density test)" in "\n".join(
        f.text for f in (*odd, *derive(build).warnings)
    )
    assert build.stock.mass is None


CLAIMS = st.lists(
    st.builds(Claim, st.floats(100.0, 1500.0), st.floats(1e-4, 0.3)), min_size=3, max_size=9
)


@given(CLAIMS)
def test_sums_kept_say_what_adding_up_again_says(claims: list[Claim]) -> None:
    # The definition: each claim against the weighted mean of all the others, by itself.
    def apart(claim: Claim, others: list[Claim]) -> float:
        weights = [other.relative_u**-2 for other in others]
        logs = [math.log(other.value) for other in others]
        mean = sum(w * log for w, log in zip(weights, logs, strict=True)) / sum(weights)
        return abs(math.log(claim.value) - mean) / math.hypot(
            claim.relative_u, sum(weights) ** -0.5
        )

    def farthest(left: list[Claim]) -> float:
        return max(apart(c, [o for o in left if o is not c]) for c in left)

    own = [Claim(c.value, c.relative_u) for c in claims]
    assert distances(own) == pytest.approx(
        [apart(c, [o for o in own if o is not c]) for c in own], rel=1e-6, abs=1e-6
    )
    odd = odd_one(own)
    if odd is not None:
        assert farthest(own) > 2.5 - 1e-6
        assert farthest([c for c in own if c is not own[odd]]) < 2.5 + 1e-6
