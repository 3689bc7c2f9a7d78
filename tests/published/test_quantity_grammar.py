"""The one grammar for what a maker types: what it takes, what it refuses, what it keeps."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from wizard.quantity import units
from wizard.quantity.reading import EXAMPLE, Quantity, Refusal, read
from wizard.quantity.units import Kind

KINDS: tuple[Kind, ...] = tuple(EXAMPLE)


def taken(text: str, kind: Kind, default: str | None = None) -> Quantity:
    """What a text is read as; it must not be refused."""
    found = read(text, kind, default, negative=True)
    assert isinstance(found, Quantity), f"{text!r}: {found}"
    return found


def refused(text: str, kind: Kind, default: str | None = None) -> Refusal:
    """Why a text is refused; it must be."""
    found = read(text, kind, default)
    assert isinstance(found, Refusal), f"{text!r} was read as {found}"
    return found


NUMBERS = {
    "12": Fraction(12),
    ".25": Fraction(1, 4),
    "12.5": Fraction(25, 2),
    "12,5": Fraction(25, 2),
    "0,25": Fraction(1, 4),
    "3/8": Fraction(3, 8),
    "11/8": Fraction(11, 8),
    "1 1/2": Fraction(3, 2),
    "1-1/2": Fraction(3, 2),
    "1½": Fraction(3, 2),
    "1 ½": Fraction(3, 2),
    "1-½": Fraction(3, 2),
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅜": Fraction(3, 8),
    "2⅞": Fraction(23, 8),
    "1⁄2": Fraction(1, 2),  # the fraction slash
    "1,2345": Fraction(12345, 10000),
    "1.234": Fraction(1234, 1000),
    "  12 ": Fraction(12),
    "1\u00a01/2": Fraction(3, 2),  # a space that does not break
}


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("unit", [" in", "in", '"', ' "', " inch", ""])
def test_numbers_with_and_without_unit_and_space(number: str, unit: str) -> None:
    if unit == " inch":
        assert refused(number + unit, "length").reason == "wrong unit"
        return
    found = taken(number + unit, "length", "in")
    # The international inch is 25.4 mm (1959).
    assert found.value == pytest.approx(float(NUMBERS[number] * Fraction("0.0254")), rel=1e-15)
    assert found.unit == "in"


def test_a_missing_unit_is_the_prompts_and_is_kept_with_the_number() -> None:
    assert taken("12", "length", "in").text == "12 in"
    assert taken("1-1/2", "length", "in").text == "1-1/2 in"
    assert taken("12 mm", "length", "in").text == "12 mm"
    assert taken("12,5", "mass", "g").text == "12,5 g"


ONE_OF: dict[str, tuple[Kind, float]] = {
    "1 mm": ("length", 1e-3), "1 cm": ("length", 1e-2), "1 m": ("length", 1.0),
    "1 in": ("length", 0.0254), '1"': ("length", 0.0254), "1 ″": ("length", 0.0254),
    "1 ft": ("length", 0.3048), "1'": ("length", 0.3048), "1 ′": ("length", 0.3048),
    "1 mg": ("mass", 1e-6), "1 g": ("mass", 1e-3), "1 kg": ("mass", 1.0),
    "1 oz": ("mass", 0.028349523125), "1 lb": ("mass", 0.45359237), "1 gr": ("mass", 6.479891e-5),
    "1 mL": ("volume", 1e-6), "1 L": ("volume", 1e-3), "1 cc": ("volume", 1e-6),
    "1 cm3": ("volume", 1e-6), "1 cm³": ("volume", 1e-6), "1 in3": ("volume", 1.6387064e-5),
    "1 g/mL": ("density", 1e3), "1 g/cm3": ("density", 1e3), "1 g / cm³": ("density", 1e3),
    "1 kg/m3": ("density", 1.0),
    "18 degC": ("temperature", 18.0), "18 °C": ("temperature", 18.0), "18 C": ("temperature", 18.0),
    "50 degF": ("temperature", 10.0), "50 °F": ("temperature", 10.0), "50F": ("temperature", 10.0),
    "-40 °F": ("temperature", -40.0),
    "35 g/kg": ("salinity", 35.0), "35 psu": ("salinity", 35.0),
    "2 s": ("time", 2.0), "2 min": ("time", 120.0), "2 h": ("time", 7200.0),
    "2 d": ("time", 172800.0),
    "1 m/s": ("speed", 1.0), "1 cm/s": ("speed", 0.01), "1 ft/s": ("speed", 0.3048),
    "1 in/s": ("speed", 0.0254),
    "12 %": ("ratio", 0.12), "12%": ("ratio", 0.12),
    "1.3": ("number", 1.3),
}  # fmt: skip
"""Every unit of the profile; factors exact by NIST SP 811 (2008), appendix B.8."""


@pytest.mark.parametrize("text", ONE_OF)
def test_every_unit(text: str) -> None:
    kind, value = ONE_OF[text]
    assert taken(text, kind).value == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize("text", ["12 MM", "12 Mm", "12 mm", "12MM"])
def test_letter_case_is_forgiven_where_it_leaves_no_doubt(text: str) -> None:
    assert taken(text, "length").value == pytest.approx(0.012)


REFUSED: dict[str, tuple[Kind, str]] = {
    "": ("length", "empty"), "   ": ("length", "empty"),
    "two": ("length", "unreadable"), "x": ("number", "unreadable"), "mm": ("length", "unreadable"),
    "nan": ("length", "unreadable"), "NaN mm": ("length", "unreadable"),
    "inf": ("mass", "unreadable"), "-inf g": ("mass", "unreadable"),
    "Infinity": ("mass", "unreadable"), "__import__('os')": ("mass", "unreadable"),
    "1e3 g": ("mass", "expression"), "1E-2 m": ("length", "expression"),
    "1.5e3": ("number", "expression"),
    "2*3 mm": ("length", "expression"), "1+1 mm": ("length", "expression"),
    "(3) mm": ("length", "unreadable"), "2**8 mm": ("length", "expression"),
    "10-2*3 mm": ("length", "expression"), "3/8/2 in": ("length", "expression"),
    "12 13 mm": ("length", "two numbers"), "12 mm 3": ("length", "two numbers"),
    "5' 6\"": ("length", "two numbers"), "1 lb 3 oz": ("mass", "two numbers"),
    "5 g": ("length", "wrong unit"), "5 mm": ("mass", "wrong unit"), "5 s": ("ratio", "wrong unit"),
    "5 furlong": ("length", "wrong unit"), "5 m m": ("length", "wrong unit"),
    "5 g/L": ("density", "wrong unit"), "1.3 mm": ("number", "wrong unit"),
    "12": ("length", "no unit"), "1 1/2": ("length", "no unit"),
    "1,500 g": ("mass", "ambiguous"), "12,345 g": ("mass", "ambiguous"),
    "0,500 g": ("mass", "ambiguous"), ",500 g": ("mass", "ambiguous"),
    "1.5.2 g": ("mass", "unreadable"), "1,5,2 g": ("mass", "unreadable"),
    "1.500,5 g": ("mass", "unreadable"), "12. g": ("mass", "unreadable"),
    "1/0 in": ("length", "unreadable"), "1 3/2 in": ("length", "unreadable"),
    "1 0/0 in": ("length", "unreadable"), "-5 g": ("mass", "sign"), "−5 g": ("mass", "sign"),
    "- 5 g": ("mass", "unreadable"), "--5 g": ("mass", "unreadable"),
    "9" * 70 + " g": ("mass", "unreadable"), "٣ g": ("mass", "unreadable"),
    "5 g\x1b[31m": ("mass", "two numbers"),
}  # fmt: skip


@pytest.mark.parametrize("text", REFUSED)
def test_what_is_refused_says_why_and_what_to_type_instead(text: str) -> None:
    kind, reason = REFUSED[text]
    found = refused(text, kind)
    assert found.reason == reason
    assert found.wrong.endswith(".")
    assert found.remedy.endswith(".")


def test_a_comma_before_three_digits_is_asked_about() -> None:
    found = refused("1,500 g", "mass")
    assert found.choices == ("1.500 g", "1500 g")
    assert [taken(choice, "mass").value for choice in found.choices] == [0.0015, 1.5]


def test_zero_takes_no_sign_offence_and_a_plus_is_a_sign() -> None:
    assert taken("+5 g", "mass").value == pytest.approx(0.005)
    assert taken("-5 g", "mass").value == pytest.approx(-0.005)
    assert isinstance(read("-0 g", "mass"), Quantity)


@st.composite
def typed(draw: st.DrawFn) -> tuple[str, Kind, Fraction, str]:
    """A quantity, its kind, the number that was meant and its unit."""
    kind = draw(st.sampled_from([k for k in KINDS if units.labels(k)]))
    label = draw(st.sampled_from(units.labels(kind)))
    digits = draw(st.decimals(0, 10**6, places=draw(st.integers(0, 6)), allow_nan=False))
    text = f"{digits:f}"
    if draw(st.booleans()) and len(text.partition(".")[2]) != 3:
        text = text.replace(".", ",")
    space = draw(st.sampled_from(["", " ", "  ", "\t", "\u2009"]))
    return f"{text}{space}{label}", kind, Fraction(digits), label


@settings(max_examples=100, deadline=None)
@given(typed())
def test_what_is_typed_is_what_is_meant(case: tuple[str, Kind, Fraction, str]) -> None:
    text, kind, number, label = case
    found = taken(text, kind)
    assert found.value == pytest.approx(units.to_core(float(number), label), rel=1e-15, abs=1e-300)
    again = taken(found.text, kind)
    assert again == found


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80), st.sampled_from(KINDS))
@example("1 1/2in", "length")
@example("\u0661 mm", "length")
@example("1/" + "0" * 50 + " in", "length")
def test_any_text_is_a_quantity_or_a_refusal_in_words(text: str, kind: Kind) -> None:
    found = read(text, kind, negative=True)
    if isinstance(found, Quantity):
        assert taken(found.text, kind) == found
        assert found.value == found.value  # no NaN
    else:
        assert str(found).strip()


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 500), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_of_an_inch_are_exact(whole: int, top: int, bottom: int) -> None:
    part = Fraction(top % bottom, bottom)
    if part == 0:
        return
    for text in (f"{whole} {part} in", f'{whole}-{part}"'):
        meant = (whole + part) * Fraction(Decimal("0.0254"))
        assert taken(text, "length").value == pytest.approx(float(meant), rel=1e-15)
