"""Drills by the names on their shanks, and lengths as a drill press can be set to them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from wizard.plug.rule import FINEST, Rule
from wizard.quantity.reading import Quantity, Refusal, read
from wizard.quantity.showing import inches, plain

if TYPE_CHECKING:
    from wizard.tables import Drill

NARROWEST, WIDEST = 3e-3, 16e-3
"""Drills that are taken for ballast where nobody says which are owned [m]: a judgement."""

_SAME = 1e-7  # m: sizes closer than this are one
_PER_INCH = round(0.0254 / FINEST["in"])


def drill_diameter(size: str) -> float | None:
    """Diameter of a drill by its name or as a length [m]; None if it is neither."""
    from wizard.tables import find_drill

    row = find_drill(size)
    if row is not None:
        return row.diameter
    typed = read(size, "length")
    return None if isinstance(typed, Refusal) or typed.value <= 0 else typed.value


def usual_drills(rule: Rule) -> tuple[float, ...]:
    """Diameters of the drills that a common set has [m], from small to large."""
    from wizard.tables import drills

    series = "fractional" if rule == "in" else "metric"
    every = (row for row in drills().values() if row.series == series and row.usual)
    return tuple(row.diameter for row in every if NARROWEST <= row.diameter <= WIDEST)


def _row(diameter: float, rule: Rule, owned: tuple[str, ...]) -> Drill | None:
    """The drill of the table that has a diameter: an owned one, else one of the maker's rule."""
    from wizard.tables import drills, find_drill

    mine = [row for size in owned if (row := find_drill(size)) is not None]
    first = ("fractional", "number", "letter", "metric")
    order = first if rule == "in" else ("metric", *first)
    every = sorted(drills().values(), key=lambda row: order.index(row.series))
    return next((row for row in (*mine, *every) if abs(row.diameter - diameter) < _SAME), None)


def drill_name(diameter: float, rule: Rule, owned: tuple[str, ...] = ()) -> str:
    """What stands on the shank of a drill.

    Args:
        diameter: [m].
        rule: which rule lies on the bench.
        owned: names of the drills at hand; theirs come first.
    """
    row = _row(diameter, rule, owned)
    if row is not None:
        return row.id
    if rule == "in":
        return f"{plain(diameter / 0.0254, 5)} in"
    return f"{plain(diameter * 1e3, 5)} mm"


def typed_diameter(diameter: float, rule: Rule, owned: tuple[str, ...] = ()) -> Quantity:
    """A drill's diameter as a maker would type it: by its name where that is a length."""
    named = read(drill_name(diameter, rule, owned), "length")
    if isinstance(named, Refusal):  # numbers and letters are sizes in thousandths of an inch
        named = read(f"{plain(diameter / 0.0254, 6)} in", "length")
    assert isinstance(named, Quantity)
    return named


def typed_length(length: float, rule: Rule) -> Quantity:
    """A drawable length as a maker would type it, exact to the rule's finest line."""
    if rule == "in":
        text = inches(length, _PER_INCH)
    else:
        ticks = round(length / FINEST["mm"])
        text = f"{plain(ticks * FINEST['mm'] * 1e3 + 0.0, 7)} mm"
    found = read(text, "length", negative=True)
    assert isinstance(found, Quantity)
    return found


def set_above(length: float, rule: Rule) -> float:
    """The least depth a drill stop can be set to that is not less [m]."""
    return math.ceil(length / FINEST[rule] - 1e-6) * FINEST[rule]


def set_below(length: float, rule: Rule) -> float:
    """The greatest depth a drill stop can be set to that is not more [m]."""
    return math.floor(length / FINEST[rule] + 1e-6) * FINEST[rule]
