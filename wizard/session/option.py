"""One of a few things to choose: so small that the first screen can have it."""

from __future__ import annotations

from dataclasses import dataclass


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
