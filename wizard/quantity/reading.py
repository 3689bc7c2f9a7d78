"""The one grammar for numbers that a maker types.

Accepted: ``12``, ``.25``, ``12.5``, ``12,5``, ``3/8``, ``1 1/2``, ``1-1/2``,
``1½``, ``⅜``, each with or without a unit, with or without a space before it.
Everything else is refused with a sentence that says what to type instead. No
library ever parses this text: general unit parsers read "1 1/2 in" as half an
inch and evaluate expressions.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from wizard.quantity import units
from wizard.quantity.units import Kind

LONGEST = 60  # characters; no measurement at a bench needs more

Reason = Literal[
    "empty", "unreadable", "ambiguous", "expression", "two numbers", "wrong unit", "no unit", "sign"
]

EXAMPLE: dict[Kind, str] = {
    "length": "1 1/2 in or 38.1 mm",
    "mass": "12.5 g or 3/8 oz",
    "volume": "4 mL or 0.5 L",
    "density": "0.41 g/mL",
    "temperature": "18 degC",
    "salinity": "35 g/kg",
    "time": "2.1 s",
    "speed": "12 cm/s",
    "ratio": "12 %",
    "angle": "10 deg",
    "number": "1.3",
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measurement as typed, with what it means.

    Attributes:
        text: as the maker typed it, the unit added if it was left out.
        value: the same in the core's SI unit.
        kind: what is measured.
        unit: label of the unit, empty for a pure number.
    """

    text: str
    value: float
    kind: Kind
    unit: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a text is no quantity, in words for the maker.

    Attributes:
        reason: the family of the refusal.
        wrong: what is wrong.
        remedy: what to type instead.
        choices: when the text could mean several things, each spelled out.
    """

    reason: Reason
    wrong: str
    remedy: str
    choices: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Both sentences."""
        return f"{self.wrong} {self.remedy}"


_VULGAR = {
    "¼": (1, 4), "½": (1, 2), "¾": (3, 4), "⅐": (1, 7), "⅑": (1, 9), "⅒": (1, 10),
    "⅓": (1, 3), "⅔": (2, 3), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5), "⅘": (4, 5),
    "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
}  # fmt: skip
_SIGNS = "".join(_VULGAR)
_SPACES = re.compile(r"[\s\u00a0\u2007\u2009\u202f]+")
_PLAIN = str.maketrans(
    {
        "−": "-",
        "‐": "-",
        "‑": "-",
        "–": "-",
        "⁄": "/",
        "∕": "/",
        "″": '"',
        "”": '"',
        "′": "'",
        "’": "'",
    }
)
_NUMBER = re.compile(
    rf"""(?P<sign>[+-]?)
    (?: (?P<whole>[0-9]+)(?:[ ]|-|[ ]?(?=[{_SIGNS}]))(?P<part>[0-9]+/[0-9]+|[{_SIGNS}])
      | (?P<fraction>[0-9]+/[0-9]+|[{_SIGNS}])
      | (?P<decimal>[0-9]*[.,][0-9]+|[0-9]+)
    )(?P<rest>.*)""",
    re.VERBOSE | re.DOTALL,
)
_THOUSANDS = re.compile(r"[0-9]*,[0-9]{3}(?![0-9])")


def _fraction(text: str) -> tuple[int, int]:
    if text in _VULGAR:
        return _VULGAR[text]
    top, bottom = text.split("/")
    return int(top), int(bottom)


def tidy(text: str) -> str:
    """The text with its spaces and dashes made plain: what the grammar sees."""
    return _SPACES.sub(" ", text.translate(_PLAIN)).strip()


def whole(text: str) -> int:
    """The whole number that a text is, of six digits from 0 to 9 at most; else 0.

    A key such as ² is a digit to Python, and no number.
    """
    typed = text.strip()
    return int(typed) if re.fullmatch("[0-9]{1,6}", typed) else 0


def _unreadable(kind: Kind, wrong: str) -> Refusal:
    return Refusal("unreadable", wrong, f"Type one number, like {EXAMPLE[kind]}.")


def _refuse_number(text: str, kind: Kind) -> Refusal:
    """What to say about a text that does not begin with a number."""
    if re.match(r"[+-]?(nan|inf|infinity)\b", text, re.IGNORECASE):
        return _unreadable(kind, f"“{text}” is not a measurement.")
    return _unreadable(kind, f"“{text}” does not begin with a number.")


def _refuse_rest(rest: str, number: str, kind: Kind) -> Refusal:
    """What to say about what follows the number when it is no unit."""
    if re.match(r"[eE][+-]?[0-9]", rest):
        return Refusal(
            "expression",
            "Exponents are not read.",
            f"Write the number out, like {EXAMPLE[kind]}.",
        )
    if re.search(r"[*+^()=]|/\s*[0-9]", rest):
        return Refusal(
            "expression", "Sums are not worked out here.", "Type the result as one number."
        )
    if re.search(rf"[0-9{_SIGNS}]", re.sub(r"(cm|in|m|ft)[3³]", "", rest)):
        return Refusal(
            "two numbers",
            f"There are two numbers after each other: “{number}” and “{rest.strip()}”.",
            f"Type one number with its unit, like {EXAMPLE[kind]}.",
        )
    expected = " or ".join(units.labels(kind)) or "no unit"
    return Refusal("wrong unit", f"“{rest.strip()}” is not a unit known here.", f"Use {expected}.")


def _comma_question(number: str, rest: str) -> Refusal:
    unit = f" {rest.strip()}" if rest.strip() else ""
    as_decimal, as_thousands = number.replace(",", "."), number.replace(",", "")
    choices = (f"{as_decimal}{unit}", f"{as_thousands}{unit}")
    return Refusal(
        "ambiguous",
        f"“{number}” can be read as {choices[0]} or as {choices[1]}.",
        f"Type {choices[0]} or {choices[1]}.",
        choices,
    )


def _number(match: re.Match[str]) -> float | None:
    """The number matched, or None when its fraction is none."""
    if match["decimal"]:
        size = float(match["decimal"].replace(",", "."))
    else:
        top, bottom = _fraction(match["fraction"] or match["part"])
        if bottom == 0 or (match["part"] and top >= bottom):
            return None
        size = int(match["whole"] or 0) + top / bottom
    return -size if match["sign"] == "-" else size


def _unit_for(rest: str, number: str, kind: Kind, default: str | None) -> str | Refusal:
    if kind == "number":
        return _refuse_rest(rest, number, kind) if rest else ""
    if not rest:
        if default is None:
            expected = " or ".join(units.labels(kind))
            return Refusal("no unit", f"“{number}” has no unit.", f"Add one: {expected}.")
        return default
    unit = units.find(rest)
    if unit is None:
        return _refuse_rest(rest, number, kind)
    if unit.kind != kind:
        expected = " or ".join(units.labels(kind))
        return Refusal(
            "wrong unit",
            f"“{unit.label}” measures {unit.kind}, and {kind} is asked here.",
            f"Use {expected}.",
        )
    return unit.label


def read(
    text: str, kind: Kind, default_unit: str | None = None, *, negative: bool = False
) -> Quantity | Refusal:
    """Read one measurement.

    Args:
        text: what was typed.
        kind: the kind of quantity asked for.
        default_unit: label of the unit taken when none is typed; with None a
            number without a unit is refused.
        negative: whether a value below zero is possible here.

    Returns:
        The quantity, its text carrying the unit, or a refusal in words.
    """
    plain = tidy(text)
    if not plain:
        return Refusal("empty", "Nothing is typed yet.", f"Type a number, like {EXAMPLE[kind]}.")
    if len(plain) > LONGEST:
        return _unreadable(kind, f"The text is {len(plain)} characters long.")
    match = _NUMBER.fullmatch(plain)
    if match is None:
        return _refuse_number(plain, kind)
    rest = match["rest"].strip()
    number = plain[: match.start("rest")].strip()
    if rest[:1] in {".", ","}:
        slip = "has more than one decimal sign" if rest[1:2].isdigit() else "ends in a decimal sign"
        return _unreadable(kind, f"“{plain}” {slip}.")
    unit = _unit_for(rest, number, kind, default_unit)
    is_doubtful = match["decimal"] and _THOUSANDS.fullmatch(match["decimal"])
    if is_doubtful and (isinstance(unit, str) or unit.reason == "no unit"):
        return _comma_question(number, rest)
    size = _number(match)
    if size is None or not math.isfinite(size):
        return _unreadable(kind, f"“{number}” is not a number: look at its fraction.")
    if isinstance(unit, Refusal):
        return unit
    if size < 0 and not negative:
        return Refusal("sign", f"“{number}” is below zero.", "Type it without the minus sign.")
    value = units.to_core(size, unit) if unit else size
    kept = plain if rest or not unit else f"{plain} {unit}"
    if len(kept) > LONGEST:  # with its unit it would be read no more
        return _unreadable(kind, f"With its unit the text is {len(kept)} characters long.")
    return Quantity(kept, value, kind, unit)
