"""Similar bodies in the record: every length k times as long, all else as it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeVar

from wizard.plug.fields import specs
from wizard.plug.paths import Path, get
from wizard.plug.record import Ballast, Build, Coat, Operation, Schedule, Shape
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity

R = TypeVar("R")

FINEST_LENGTH = 1e-6
"""Digits of a scaled length kept in a profile [m], so that k and then 1/k returns the shape."""

AS_IT_IS: frozenset[tuple[type[Any], str]] = frozenset(
    {(Shape, "allowance"), (Ballast, "wall"), (Coat, "thickness")}
)
"""Lengths that belong to saw, drill and brush and don't grow with the plug."""

LEFT_OUT: frozenset[tuple[type[Any], str]] = frozenset(
    {
        (Ballast, "piece"),
        (Ballast, "hole"),
        (Ballast, "dowel"),
        (Coat, "mass"),
        (Operation, "started"),
        (Operation, "finished"),
        (Schedule, "start"),
        (Schedule, "temperature"),
        (Schedule, "humidity"),
    }
)
"""Answers that are chosen, measured or done again, or treated on their own."""


def similar(record: R, factor: float) -> R:
    """A part of the record with every length k times as long and all else as it is.

    Keys that this version doesn't know stay behind: nobody knows how they grow.
    """
    cls: type[Any] = type(record)
    grown: dict[str, Any] = {}
    for key, spec in specs(cls).items():
        value = getattr(record, key)
        if spec.form == "raw" or value is None or (cls, key) in LEFT_OUT:
            continue
        if spec.form == "table":
            grown[key] = similar(value, factor)
        elif spec.form == "tables":
            grown[key] = tuple(similar(row, factor) for row in value)
        elif spec.form == "quantity" and spec.kind == "length" and (cls, key) not in AS_IT_IS:
            grown[key] = longer(value, factor)
        else:
            grown[key] = value
    made_anew: R = cls(**grown)
    return made_anew


def longer(length: Quantity, factor: float) -> Quantity:
    """A length k times as long, in its own unit; as it was typed where k is 1."""
    if factor == 1.0 or length.value == 0.0:
        return length
    return made(length.value * factor, length.unit, FINEST_LENGTH)


def leaves(build: Build, path: Path) -> Iterator[Path]:
    """The places of all answers below a path; the stations of a shape are one."""
    value = get(build, path)
    if value is None or value == ():
        return
    if path == ("shape", "station"):
        yield path
    elif isinstance(value, tuple):
        for row in range(len(value)):
            yield from leaves(build, (*path, row))
    elif hasattr(value, "other"):
        for key, spec in specs(type(value)).items():
            if spec.form != "raw":
                yield from leaves(build, (*path, key))
    else:
        yield path
