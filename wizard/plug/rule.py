"""The maker's rule: which one lies on the bench, and the finest line drawn along it."""

from __future__ import annotations

import math
from typing import Literal

from wizard.plug.record import Build
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import inches

Rule = Literal["mm", "in"]

FINEST: dict[Rule, float] = {"mm": 0.5e-3, "in": 0.0254 / 32}
"""What a pencil can draw along each rule [m]: common practice, no source."""

_PER_INCH = round(0.0254 / FINEST["in"])


def rule_of(build: Build) -> Rule:
    """Inches where the maker writes lengths in inches or feet, else millimetres."""
    chosen = build.build.units.get("length")
    found = units.find(chosen) if chosen else None
    label = found.label if found else _typed_unit(build)
    return "in" if label in ("in", "ft") else "mm"


def _typed_unit(build: Build) -> str | None:
    shape = build.shape
    first: Quantity | None = shape.station[0].x if shape.station else shape.length
    return first.unit if first else None


def drawable(length: float, rule: Rule) -> float:
    """A length to the nearest line that a pencil can draw [m]."""
    return round(length / FINEST[rule]) * FINEST[rule]


def drawable_above(length: float, rule: Rule) -> float:
    """The least drawable length that is not shorter: what a blank must have [m]."""
    return math.ceil(length / FINEST[rule] - 1e-6) * FINEST[rule]


def shown(length: float, rule: Rule) -> str:
    """A length [m] as it is read off the rule, such as ``82.5 mm`` or ``3 1/4 in``."""
    if rule == "in":
        return inches(length, _PER_INCH)
    number = f"{drawable(length, rule) * 1e3 + 0.0:.1f}".removesuffix(".0")
    return f"{'0' if number == '-0' else number} mm"


def bare(length: float, rule: Rule) -> str:
    """The same without its unit, for columns."""
    return shown(length, rule).removesuffix(f" {rule}")
