"""Hooks and rings among the hardware, and the sizes that they come in."""

from __future__ import annotations

import math

from wizard.plug.record import Hardware
from wizard.tables import HardwareKind

HOOKS = ("treble hook", "inline single hook")
RINGS = ("split ring",)


def family(item: Hardware, names: tuple[str, ...] = (*HOOKS, *RINGS)) -> tuple[HardwareKind, ...]:
    """The sizes that a hook or ring comes in, from small to large; empty for other hardware."""
    from wizard.tables import find_hardware, hardware_family

    row = find_hardware(item.name or "")
    typed = (item.name or "").strip().casefold()
    name = row.family if row else typed if typed in names else typed.rstrip("s")
    return hardware_family(name) if name in names else ()


def size_of(item: Hardware) -> HardwareKind | None:
    """Its size by name, else the one that weighs most like it; None for other hardware."""
    from wizard.tables import find_hardware

    sizes, named = family(item), find_hardware(item.name or "")
    if named is not None and named in sizes:
        return named
    if not sizes or item.mass is None:
        return None
    own = item.mass.value
    return min(sizes, key=lambda row: abs(math.log(row.mass.typical / own)))
