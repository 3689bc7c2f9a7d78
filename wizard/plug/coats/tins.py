"""What is known of an operation: as its tin says, else typical of its coat or its kind.

What is typed wins, and what is typical gives way to it: a typical window never contradicts
a limit that a maker has read from the tin in hand.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wizard.plug.record import Build, Coat, Operation
from wizard.tables import CoatKind, OperationKind, coats, find_coat, operations

TIN = (
    "hands_on",
    "pot_life",
    "touch_dry",
    "recoat_earliest",
    "recoat_latest",
    "full_cure",
    "applied",
    "loss",
    "volume_solids",
    "liquid_density",
    "resin_parts",
    "hardener_parts",
    "parts_by",
    "resin_density",
    "hardener_density",
    "temperature_low",
    "temperature_high",
    "humidity_low",
    "humidity_high",
)
"""Keys of an operation that its tin answers; the rest is the build's own."""

_WORDS = (("seal", "seal"), ("prim", "base"), ("base", "base"), ("undercoat", "base"))
_PAINTS = ("paint", "colour", "color", "airbrush")


@dataclass(frozen=True, slots=True)
class Tin:
    """What holds for an operation.

    Attributes:
        values: by key: times [s], temperatures [degC], shares [1]; None where no limit is known.
        typical: the keys that nobody typed.
        like: what the typical ones are typical of, in words.
        before: what must have been rounded, wiped or masked.
        cautions: ids of the cautions to show.
    """

    values: Mapping[str, float | None]
    typical: frozenset[str]
    like: str
    before: tuple[str, ...]
    cautions: tuple[str, ...]

    def __getitem__(self, key: str) -> float | None:
        return self.values[key]


def coat_of(build: Build, row: Operation) -> Coat | None:
    """The coat that an operation lays; None for none."""
    rows = build.coat or ()
    return rows[row.coat - 1] if row.coat is not None and row.coat <= len(rows) else None


def kind_of_coat(coat: Coat) -> str:
    """The kind of operation that lays a coat, by its name, else as a clear one."""
    from wizard.plug.account import coat_stage

    if coat_stage(coat) == "sealed":
        return "seal"
    name = (coat.name or "").casefold()
    for word, kind in _WORDS:
        if word in name:
            return kind
    row = find_coat(name)
    if any(word in name for word in _PAINTS) or (row is not None and row.id == "airbrush-acrylic"):
        return "colour"
    return "clear"


def kind_of(build: Build, row: Operation) -> OperationKind | None:
    """The kind of an operation: as typed, else by its coat or name; None where nothing says."""
    if row.kind is not None:
        return operations()[row.kind]
    coat = coat_of(build, row)
    if coat is not None:
        return operations()[kind_of_coat(coat)]
    return operations().find(row.name) if row.name else None


def coat_kind(build: Build, row: Operation) -> tuple[CoatKind, bool] | None:
    """The coat of the table that an operation's typical values come from.

    Returns:
        The row, and whether it is that of the coat itself and no stand-in; None for an
        operation that lays none.
    """
    kind = kind_of(build, row)
    if kind is None or kind.coat is None:
        return None
    coat = coat_of(build, row)
    own = find_coat(coat.name) if coat is not None and coat.name else None
    return (own, True) if own is not None else (coats()[kind.coat], False)


def tin(build: Build, row: Operation) -> Tin:
    """What holds for an operation, typed or typical.

    Args:
        build: the record.
        row: one of its operations, of a known kind.
    """
    kind = kind_of(build, row)
    assert kind is not None
    found = coat_kind(build, row)
    usual = _usual(kind, found[0] if found else None)
    typed = {key: _typed(getattr(row, key)) for key in usual}
    values = {key: usual[key] if typed[key] is None else typed[key] for key in usual}
    _give_way(values, typed)
    cautions = dict.fromkeys((*(found[0].cautions if found else ()), *kind.cautions))
    return Tin(
        values,
        frozenset(key for key in usual if typed[key] is None and values[key] is not None),
        found[0].name if found else kind.name,
        row.before or kind.before,
        tuple(cautions),
    )


def _typed(answer: Any) -> float | None:
    return None if answer is None else float(answer.value)


def _usual(kind: OperationKind, coat: CoatKind | None) -> dict[str, float | None]:
    """Typical values by key."""
    usual: dict[str, float | None] = {
        "hands_on": kind.hands_on,
        "touch_dry": kind.touch_dry or 0.0,
        "recoat_earliest": kind.recoat_earliest or 0.0,
        "recoat_latest": None,
        "full_cure": kind.full_cure or 0.0,
        "pot_life": None,
        "temperature_low": None,
        "temperature_high": None,
        "humidity_low": None,
        "humidity_high": None,
    }
    if coat is not None:
        usual["touch_dry"] = _round_up(coat.handling.typical)
        usual["recoat_earliest"] = _round_up(coat.recoat_earliest)
        usual["recoat_latest"] = coat.recoat_latest
        usual["full_cure"] = _round_up(coat.full_cure.typical)
        for key in ("temperature_low", "temperature_high", "humidity_low", "humidity_high"):
            usual[key] = getattr(coat, key)
    return usual


def _round_up(seconds: float) -> float:
    """A typical time to what a maker would say: 5 minutes, from a day on whole hours."""
    step = 60.0 if seconds < 900.0 else 300.0 if seconds < 86400.0 else 3600.0
    return step * math.ceil(seconds / step - 1e-9)


def _give_way(values: dict[str, float | None], typed: Mapping[str, float | None]) -> None:
    """Move what is typical out of the way of what is typed."""
    for low, high in (
        ("recoat_earliest", "recoat_latest"),
        ("touch_dry", "full_cure"),
        ("temperature_low", "temperature_high"),
        ("humidity_low", "humidity_high"),
    ):
        at_least, at_most = values[low], values[high]
        if at_least is None or at_most is None or at_least <= at_most:
            continue
        if typed[low] is None:
            values[low] = at_most
        elif typed[high] is None:
            values[high] = at_least if high == "full_cure" else None
