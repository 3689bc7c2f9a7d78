"""How one answer of a build may look: declared once, beside the record.

A spec rides in the metadata of a dataclass field. The profile reader, the
screens and the tests all read it; none of them states a limit again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

from wizard.quantity.units import Kind

Form = Literal[
    "quantity",
    "quantities",
    "text",
    "texts",
    "choice",
    "whole",
    "moment",
    "day",
    "units",
    "table",
    "tables",
    "raw",
]


LARGEST: Mapping[Kind, float] = {"length": 10.0, "mass": 1000.0, "number": 1e6, "speed": 100.0}
"""Beyond these [core unit] no answer of any plug lies; they keep the arithmetic finite."""


@dataclass(frozen=True, slots=True)
class Spec:
    """What an answer may be.

    Attributes:
        form: how it stands in the profile.
        kind: of a quantity, what is measured.
        negative: whether it may be below zero.
        above: impossible at or below this [core unit].
        at_most: impossible beyond this [core unit].
        plausible: outside this range the maker is asked to look again.
        choices: of a choice, the words allowed.
        table: of a table or an array of tables, the class of its rows.
        optional: of those, whether an empty one says something: begun, or none.
        never_below: what to say to a value at or below the limit; empty for the usual words.
        default: of a count, what stands for no answer.
    """

    form: Form
    kind: Kind = "number"
    negative: bool = False
    above: float | None = None
    at_most: float | None = None
    plausible: tuple[float, float] | None = None
    choices: tuple[str, ...] = ()
    table: type[Any] | None = None
    optional: bool = False
    never_below: str = ""

    @property
    def most(self) -> float | None:
        """Impossible beyond this: stated for the answer, or true of every plug and board."""
        return LARGEST.get(self.kind) if self.at_most is None else self.at_most

    default: int | None = None


def _declare(spec: Spec, default: Any = None) -> Any:
    return field(default=default, metadata={"spec": spec})


def measure(
    kind: Kind,
    *,
    above: float | None = 0.0,
    at_most: float | None = None,
    plausible: tuple[float, float] | None = None,
    negative: bool = False,
    never_below: str = "",
) -> Any:
    """A measurement; unless said otherwise it must be more than zero."""
    limit = None if negative else above
    return _declare(
        Spec("quantity", kind, negative, limit, at_most, plausible, never_below=never_below)
    )


def again(kind: Kind, *, plausible: tuple[float, float] | None = None) -> Any:
    """Further readings of a measurement that stands beside it; all count alike."""
    return _declare(Spec("quantities", kind, above=0.0, plausible=plausible), default=())


def water_temperature() -> Any:
    """Temperature of some water."""
    return measure("temperature", negative=True, at_most=100.0, plausible=(0.0, 40.0))


def water_salinity() -> Any:
    """Salinity of some water, practical."""
    return measure("salinity", above=None, at_most=350.0, plausible=(0.0, 42.0))


def text() -> Any:
    """Free text, never interpreted."""
    return _declare(Spec("text"))


def texts() -> Any:
    """Several words."""
    return _declare(Spec("texts"), default=())


def choice(*choices: str) -> Any:
    """One of a few words."""
    return _declare(Spec("choice", choices=choices))


def whole(*, at_least: int = 1, at_most: int | None = None, default: int | None = None) -> Any:
    """A count."""
    return _declare(
        Spec("whole", above=at_least - 1, at_most=at_most, default=default), default=default
    )


def moment() -> Any:
    """A date and time."""
    return _declare(Spec("moment"))


def day() -> Any:
    """A date; one with a time of day is kept as it is."""
    return _declare(Spec("day"))


def table(cls: type[Any], *, optional: bool = False) -> Any:
    """A table; an optional one is None until it is begun."""
    spec = {"spec": Spec("table", table=cls, optional=optional)}
    if optional:
        return field(default=None, metadata=spec)
    return field(default_factory=cls, metadata=spec)


def tables(cls: type[Any], *, optional: bool = False) -> Any:
    """An array of tables; an optional one is None until it is answered."""
    spec = Spec("tables", table=cls, optional=optional)
    return _declare(spec, default=None if optional else ())


def unit_choices() -> Any:
    """Which unit each kind of quantity is written in."""
    return field(default_factory=dict, metadata={"spec": Spec("units")})


def other() -> Any:
    """Keys that this version does not know; kept as they are."""
    return field(default_factory=dict, metadata={"spec": Spec("raw")})


_SPECS: dict[type[Any], Mapping[str, Spec]] = {}


def specs(cls: type[Any]) -> Mapping[str, Spec]:
    """The specs of a record class by key, in the order of the profile."""
    if cls not in _SPECS:
        _SPECS[cls] = {f.name: f.metadata["spec"] for f in fields(cls)}
    return _SPECS[cls]
