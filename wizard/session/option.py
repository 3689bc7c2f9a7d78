"""One of a few things to choose: so small that the first screen can have it."""

from __future__ import annotations

from dataclasses import dataclass

DIGITS = "1234567890"
"""The signs of the first ten options: on a keypad the tenth has the 0."""


def sign_of(place: int) -> str:
    """The digit that points at an option; a space where there is none."""
    return DIGITS[place] if place < len(DIGITS) else " "


def place_of(sign: str, count: int) -> int | None:
    """The option that a digit points at.

    Args:
        sign: of one key.
        count: how many options there are.

    Returns:
        Its place from 0; None if there is none.
    """
    place = DIGITS.find(sign)
    return place if 0 <= place < count else None


@dataclass(frozen=True, slots=True)
class Option:
    """One of a few things to choose.

    Attributes:
        value: what choosing it means to the row.
        text: what it is called.
        detail: what it means to the maker.
    """

    value: str
    text: str
    detail: str = ""
