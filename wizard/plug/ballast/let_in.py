"""Which hardware is let into the wood, by its name and its answers."""

from __future__ import annotations

from wizard.plug.record import Hardware


def goes_through(item: Hardware) -> bool:
    """Whether it is a wire from nose to tail."""
    return (item.name or "").casefold().replace("-", " ").startswith("through wire")


def has_shank(item: Hardware) -> bool:
    """Whether part of it is screwed or let into the wood, by its name or its fraction outside."""
    name = (item.name or "").casefold()
    if item.shank is not None:
        return True
    if any(word in name for word in ("lip", "bill", "glass", "plastic")):
        return False
    inside = item.outside is not None and item.outside.value < 1.0
    return inside or any(word in name for word in ("screw", "hanger", "belly swivel"))
