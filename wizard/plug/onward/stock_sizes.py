"""What comes in steps is chosen again at another size: drills, hooks, rings, eyes, wire.

The stock sizes are those of the tables; each choice is an offer with its neighbours, so
that a maker can take another one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from wizard.plug.paths import Path
from wizard.plug.record import Hardware, Hole
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity, read
from wizard.tables import Drill, HardwareKind

S = TypeVar("S")

FINEST_DIAMETER = 1e-6
"""Digits of a drill kept in a profile [m]."""

FINEST_MASS = 1e-5
"""Digits of an expected mass [kg]: what a bench scale shows."""

_SMALLER = 0.005  # share by which a drill may be smaller than asked: less than it wanders
_FAR = 1.3  # a stock size off by more than this factor of mass is no likeness
_GROWTH = {"piece": (3, 0), "metre": (2, 1), "square metre": (1, 2)}
"""How the size in the table, and how much of it is used, grow with the body's length."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A stock size for something that was scaled.

    Attributes:
        path: of the answer in the new build.
        what: what it is, in words.
        was: its size in the old build.
        wanted: its size if it could be had in any.
        taken: the stock size that stands in the new build; empty if there is none.
        choices: sizes to choose from, the taken one among them, from small to large.
        note: what to mind; may be empty.
    """

    path: Path
    what: str
    was: str
    wanted: str
    taken: str
    choices: tuple[str, ...]
    note: str = ""


def next_drill(hole: Hole, factor: float, path: Path) -> tuple[Quantity | None, Offer | None]:
    """The drill for a scaled hole: the next usual one that is not smaller.

    Args:
        hole: as it was drilled.
        factor: of length, k.
        path: of the diameter in the new build.

    Returns:
        The diameter and the offer; where no stock drill is so wide, the scaled diameter.
    """
    was = hole.diameter
    if was is None:
        return None, None
    if factor == 1.0:
        return was, None
    wanted = made(was.value * factor, was.unit, FINEST_DIAMETER)
    sizes = _series(was)
    least = wanted.value * (1.0 - _SMALLER)
    taken = next((n for n, drill in enumerate(sizes) if drill.diameter >= least), None)
    what = f"drill of hole {int(path[-2]) + 1}"
    if taken is None:
        note = "No stock drill is so wide: a Forstner bit, or two holes instead."
        return wanted, Offer(path, what, was.text, wanted.text, "", (), note)
    near = tuple(drill.id for drill in _near(sizes, taken))
    size = read(sizes[taken].id, "length")
    assert isinstance(size, Quantity)  # the ids of both series are lengths as a maker types them
    return size, Offer(path, what, was.text, wanted.text, size.text, near)


def _series(diameter: Quantity) -> Sequence[Drill]:
    """The drills to choose from: those of common sets in the maker's own series.

    Beyond the largest of a common set the whole series counts.
    """
    from wizard.tables import drills, find_drill

    found = find_drill(diameter.text)
    series = found.series if found else "fractional" if diameter.unit in ("in", "ft") else "metric"
    if series in ("number", "letter"):
        series = "fractional"
    rows = sorted((d for d in drills().values() if d.series == series), key=lambda d: d.diameter)
    largest = max(d.diameter for d in rows if d.usual)
    return [d for d in rows if d.usual or d.diameter > largest]


def next_hardware(
    item: Hardware, factor: float, path: Path
) -> tuple[str | None, Quantity | None, Offer | None]:
    """Name, expected mass and offer for hardware at another size.

    A hook's mass grows with k3; wire grows in gauge and length, sheet in thickness and
    area. A maker's hook that was heavier than the table says stays so by the same share.

    Args:
        item: as it was.
        factor: of length, k.
        path: of the name in the new build.
    """
    if factor == 1.0 or (item.mass is None and item.name is None):
        return item.name, item.mass, None
    from wizard.tables import find_hardware, hardware_family

    row = find_hardware(item.name) if item.name else None
    family = hardware_family(row.family if row else item.name or "")
    was = _said(item.name, item.mass)
    if not family:
        mass = _times(item.mass, factor**3)
        note = "Not in the tables: choose it by its mass and weigh it."
        wanted = "" if mass is None else mass.text
        return item.name, mass, Offer(path, _what(path), was, wanted, "", (), note)
    return _of_family(item, row, family, factor, path)


def _of_family(
    item: Hardware,
    row: HardwareKind | None,
    family: tuple[HardwareKind, ...],
    factor: float,
    path: Path,
) -> tuple[str | None, Quantity | None, Offer | None]:
    size, amount = _GROWTH[family[0].per]
    sizes = sorted(family, key=lambda kind: kind.mass.typical)
    if row is None:
        if item.mass is None:
            return item.name, None, None
        start = item.mass.value
        row = min(sizes, key=lambda kind: _apart(kind, start))
    else:
        start = row.mass.typical
    wanted = start * factor**size
    taken = min(range(len(sizes)), key=lambda n: _apart(sizes[n], wanted))
    kind = sizes[taken]
    mass = _times(item.mass, factor**amount * kind.mass.typical / row.mass.typical)
    ends = taken in (0, len(sizes) - 1) and _apart(kind, wanted) > math.log(_FAR)
    note = "The table ends here: look for another kind." if ends else "Weigh it."
    offer = Offer(
        path,
        _what(path),
        _said(item.name, item.mass),
        "" if item.mass is None else _scaled(item.mass, factor**3).text,
        kind.name,
        tuple(k.name for k in _near(sizes, taken)),
        note,
    )
    return kind.name, mass, offer


def _apart(kind: HardwareKind, mass: float) -> float:
    """How far a size is from a mass [kg], by their ratio."""
    return abs(math.log(kind.mass.typical / mass))


def _near(sizes: Sequence[S], taken: int) -> Sequence[S]:
    """A size with the next smaller and the next larger one."""
    return sizes[max(taken - 1, 0) : taken + 2]


def _what(path: Path) -> str:
    return f"hardware {int(path[-2]) + 1}"


def _said(name: str | None, mass: Quantity | None) -> str:
    parts = [name or "without a name"] + ([mass.text] if mass else [])
    return ", ".join(parts)


def _times(mass: Quantity | None, factor: float) -> Quantity | None:
    return None if mass is None else _scaled(mass, factor)


def _scaled(mass: Quantity, factor: float) -> Quantity:
    return made(mass.value * factor, mass.unit, FINEST_MASS)
