"""Mends that leave the coat whole: hooks and rings swapped, wire and putty put on or taken off."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from wizard.certainty import exact
from wizard.physics.parts import Part, Place
from wizard.plug.account import hardware_density
from wizard.plug.ballast.hooks import family
from wizard.plug.record import MendDone
from wizard.plug.tank.mend_goal import Goal, station_for
from wizard.plug.tank.mend_rows import (
    LEAST,
    Way,
    metal_density,
    on_the_belly,
    typed_density,
    unstated,
    weighed_out,
)

WIRE_METAL, PUTTY = "tin", "tungsten-putty"

WIRE = 1.0e-3
"""Diameter of wire wound round a shank [m]: common practice, no source."""

LONGEST_WIRE = 0.3
"""Length of wire that a shank may still take [m]: a judgement."""

HEAVIEST, LIGHTEST = 3.0, 0.3
"""Masses of hooks or rings that may take the place of others, in their own [1]: a judgement."""


def swaps(goal: Goal) -> Iterator[Way]:
    """Hooks and rings of another mass in the place of those that hang there."""
    for number, item in enumerate(goal.build.hardware or (), start=1):
        sizes_of, density = family(item), hardware_density(item)
        if not sizes_of or density is None or item.mass is None or goal.wood is None:
            continue
        out = item.outside.value if item.outside else 1.0
        gain = 1.0 - (1.0 - out) * goal.wood.value / density
        gain -= (1.0 + goal.margin.value) * goal.water.buoyant * out / density
        old = item.mass.value
        wanted = old + goal.lacking.value / gain / item.count
        # One size up or down is all that still hangs and swims alike.
        new = min(max(wanted, LIGHTEST * old), HEAVIEST * old)
        sizes = tuple(row.size for row in sizes_of if row.mass.low <= new <= row.mass.high)
        if not sizes or abs(new - old) < LEAST / item.count:
            continue
        weighed, metal = weighed_out(goal, new), typed_density(density)
        row = MendDone("swap", weighed, item.mass, metal, hardware=number)
        names = tuple(row.name for row in sizes_of if row.size in sizes)
        yield Way("swap", row, item.count * unstated(goal), False, sizes=names)


def wound(goal: Goal) -> Iterator[Way]:
    """Wire round the shanks of the hook that hangs where it tilts the plug least."""
    density = metal_density(WIRE_METAL)
    hooks = [
        item
        for item in goal.build.hardware or ()
        if "hook" in (item.name or "").casefold() and item.x and item.z
    ]
    mass = goal.outside(density)
    length = mass / (density * math.pi / 4.0 * WIRE**2)
    if not hooks or mass <= LEAST or length > LONGEST_WIRE:
        return

    def part_at(x: float) -> Part:
        return Part("wire", "mend", exact(mass), exact(mass / density), Place(x, 0.0), "mended")

    places = [item.x.value for item in hooks if item.x]
    best = station_for(goal, part_at, min(places), max(places))
    hook = min(hooks, key=lambda i: abs(i.x.value - (best or 0.0)) if i.x else math.inf)
    weighed = weighed_out(goal, mass)
    row = MendDone("add", weighed, density=typed_density(density), x=hook.x, z=hook.z)
    yield Way("wire", row, unstated(goal), False, length=length)


def putty(goal: Goal) -> Iterator[Way]:
    """Putty under the belly: quickly on, quickly off, and of no well-known density."""
    from wizard.tables import metals

    span = metals()[PUTTY].density
    mass = goal.outside(span.typical)
    if mass < LEAST:
        return
    row = on_the_belly(goal, "add", mass, span.typical, 0.0)
    pushed = mass / span.typical**2 * span.standard_uncertainty
    doubt = (1.0 + goal.margin.value) * goal.water.buoyant * pushed
    yield Way("putty", row, math.hypot(doubt, unstated(goal)), False)


def taken_off(goal: Goal) -> Iterator[Way]:
    """What an earlier mend put on, as far as it goes."""
    for done in goal.build.mend:
        if done.kind != "add" or done.mass is None or done.density is None:
            continue
        wanted = -goal.outside(done.density.value)
        mass = min(wanted, done.mass.value)
        if mass >= LEAST:
            row = replace(done, kind="remove", mass=weighed_out(goal, mass), done=None, notes=None)
            yield Way("take off", row, unstated(goal), False)
