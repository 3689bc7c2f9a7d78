"""Ways to make a finished plug heavier or lighter in water, each as the row to be written."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from wizard.certainty import exact
from wizard.physics.parts import Part, Place
from wizard.plug.account import hardware_density
from wizard.plug.ballast_parts import ballast_density, drilled_hole, filler_density, hole_volume
from wizard.plug.drawing import drawn_body
from wizard.plug.drilling import typed_diameter, typed_length
from wizard.plug.hooks import family
from wizard.plug.mend_goal import Goal, station_for
from wizard.plug.mended import LOST, Bed, bed
from wizard.plug.record import Ballast, MendDone
from wizard.plug.rule import FINEST, Rule, rule_of
from wizard.plug.suspects import SCALE
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity

Kind = Literal["swap", "wire", "putty", "nail", "hole in", "take off", "drill out"]

NAIL_METAL, WIRE_METAL, PUTTY = "brass", "tin", "tungsten-putty"
NAILS = (1.0e-3, 1.5e-3, 2.0e-3, 2.5e-3, 3.0e-3, 4.0e-3)
"""Diameters of wire that is driven into a body [m]: common practice, no source."""

WIRE = 1.0e-3
"""Diameter of wire wound round a shank [m]: common practice, no source."""

LONGEST_WIRE = 0.3
DRILLS = (2.0e-3, 2.5e-3, 3.0e-3, 4.0e-3, 5.0e-3, 6.0e-3, 8.0e-3)
"""Drills for ballast that is already in [m], from small to large."""

SHALLOW = 6.0e-3
"""Depth to which ballast is drilled if a drill of any width will do [m]: a judgement."""

ROOM = 0.7
"""Share of the body's height that a nail may take up [1]: a judgement."""

LEAST = 0.02e-3
"""Mass below which nothing is worth doing [kg]: two steps of a bench scale."""

HEAVIEST, LIGHTEST = 3.0, 0.3
"""Masses of hooks or rings that may take the place of others, in their own [1]: a judgement."""


@dataclass(frozen=True, slots=True)
class Way:
    """One thing that may be done.

    Attributes:
        kind: which.
        row: as it is written down once it is done.
        doubt: of the mass that it adds, beside the weighing [kg].
        breaks_coat: whether the coat must be opened.
        length: of the wire or nail to cut [m]; 0 for none.
        through: backfill to be drilled out first [m]; 0 for none.
        sizes: names of stock that weighs about what is needed.
    """

    kind: Kind
    row: MendDone
    doubt: float
    breaks_coat: bool
    length: float = 0.0
    through: float = 0.0
    sizes: tuple[str, ...] = ()


def ways(goal: Goal) -> Iterator[Way]:
    """All that may be done towards the aim, each as far as it goes."""
    yield from _swaps(goal)
    if goal.lacking.value > 0:
        yield from _wound(goal)
        yield from _putty(goal)
        yield from _nailed(goal)
        yield from _behind_the_backfill(goal)
    else:
        yield from _taken_off(goal)
        yield from _drilled_out(goal)


def _mass(goal: Goal, value: float) -> Quantity:
    """A mass as it is weighed out: to a step of the scale, at most a hundredth of a gram."""
    step = goal.build.weighing.resolution
    finest = max(step.value, 1e-6) if step else 1e-5
    unit = goal.build.build.units.get("mass", "g")
    return made(value, unit, min(finest, 1e-5))


def _density(name: str) -> float:
    from wizard.tables import metals

    return metals()[name].density.typical


def _plain_density(density: float) -> Quantity:
    return made(density, "g/mL", 1.0)


# Hooks and rings -------------------------------------------------------------


def _swaps(goal: Goal) -> Iterator[Way]:
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
        weighed, metal = _mass(goal, new), _plain_density(density)
        row = MendDone("swap", weighed, item.mass, metal, hardware=number)
        names = tuple(row.name for row in sizes_of if row.size in sizes)
        yield Way("swap", row, item.count * _unstated(goal), False, sizes=names)


def _unstated(goal: Goal) -> float:
    """Doubt of a weighing of which nothing is stated [kg]; 0 where the scale speaks for itself."""
    at = goal.build.weighing
    return 0.0 if at.resolution or at.accuracy else SCALE


# Put on outside --------------------------------------------------------------


def _wound(goal: Goal) -> Iterator[Way]:
    """Wire round the shanks of the hook that hangs where it tilts the plug least."""
    density = _density(WIRE_METAL)
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
    weighed = _mass(goal, mass)
    row = MendDone("add", weighed, density=_plain_density(density), x=hook.x, z=hook.z)
    yield Way("wire", row, _unstated(goal), False, length=length)


def _putty(goal: Goal) -> Iterator[Way]:
    """Putty under the belly: quickly on, quickly off, and of no well-known density."""
    from wizard.tables import metals

    span = metals()[PUTTY].density
    mass = goal.outside(span.typical)
    if mass < LEAST:
        return
    row = _on_the_belly(goal, "add", mass, span.typical, 0.0)
    pushed = mass / span.typical**2 * span.standard_uncertainty
    doubt = (1.0 + goal.margin.value) * goal.water.buoyant * pushed
    yield Way("putty", row, math.hypot(doubt, _unstated(goal)), False)


def _on_the_belly(goal: Goal, kind: str, mass: float, density: float, height: float) -> MendDone:
    """A row for something at the belly, at the station that keeps the pitch.

    Args:
        goal: the plug.
        kind: add or inside.
        mass: [kg].
        density: [kg/m3].
        height: of its middle over the belly line [m].
    """
    body = drawn_body(goal.build)
    weighed, typed = _mass(goal, mass), _plain_density(density)
    if body is None:
        return MendDone(kind, weighed, density=typed)
    rule = rule_of(goal.build)
    push = mass / density if kind == "add" else 0.0
    gain = mass if kind == "add" or goal.wood is None else mass * (1.0 - goal.wood.value / density)

    def part_at(x: float) -> Part:
        place = Place(x, float(body.bottom(x)) + height)
        return Part("mend", "mend", exact(gain), exact(push), place, "mended")

    low, high = body.nose + 0.1 * body.length, body.nose + 0.9 * body.length
    x = station_for(goal, part_at, low, high)
    if x is None:
        return MendDone(kind, weighed, density=typed)
    at = typed_length(x, rule)
    z = made(float(body.bottom(at.value)) + height, rule, 1e-4)
    return MendDone(kind, weighed, density=typed, x=at, z=z)


# Put in ----------------------------------------------------------------------


def _nailed(goal: Goal) -> Iterator[Way]:
    """Wire driven into a hole of its own width in the belly, the thinnest that fits."""
    body = drawn_body(goal.build)
    if goal.wood is None or body is None:
        return
    density = _density(NAIL_METAL)
    mass = goal.lacking.value / (1.0 - goal.wood.value / density)
    room = ROOM * body.height
    for diameter in NAILS:
        length = mass / (density * math.pi / 4.0 * diameter**2)
        if length <= room:
            break
    else:
        return
    if mass < LEAST:
        return
    row = _on_the_belly(goal, "inside", mass, density, length / 2.0)
    thick = made(diameter, "mm", 1e-4)
    row = replace(row, diameter=thick)
    yield Way("nail", row, _unstated(goal), True, length=length)


def _behind_the_backfill(goal: Goal) -> Iterator[Way]:
    """Ballast in the place of backfill, in each hole that has room for it."""
    ballast = goal.build.ballast
    metal, filler = _metal_and_filler(ballast)
    if ballast is None or metal is None or filler is None:
        return
    mass = goal.lacking.value / (1.0 - filler / metal)
    for number in range(1, len(ballast.hole) + 1):
        held = bed(goal.build, number, goal.answered)
        if held is None or mass < LEAST:
            continue
        free = (hole_volume(ballast.hole[number - 1]) or 0.0) - held.volume
        taken = min(mass, 0.8 * free * metal)
        if taken < LEAST:
            continue
        weighed = _mass(goal, taken)
        row = MendDone("inside", weighed, density=_plain_density(metal), hole=number)
        yield Way("hole in", row, _unstated(goal), True, through=held.face)


def _metal_and_filler(ballast: Ballast | None) -> tuple[float | None, float | None]:
    if ballast is None:
        return None, None
    return ballast_density(ballast), filler_density(ballast)


# Taken off and out -----------------------------------------------------------


def _taken_off(goal: Goal) -> Iterator[Way]:
    """What an earlier mend put on, as far as it goes."""
    for done in goal.build.mend:
        if done.kind != "add" or done.mass is None or done.density is None:
            continue
        wanted = -goal.outside(done.density.value)
        mass = min(wanted, done.mass.value)
        if mass >= LEAST:
            row = replace(done, kind="remove", mass=_mass(goal, mass), done=None, notes=None)
            yield Way("take off", row, _unstated(goal), False)


def _drilled_out(goal: Goal) -> Iterator[Way]:
    """Ballast out of each hole that has enough, the chips weighed."""
    ballast = goal.build.ballast
    metal, filler = _metal_and_filler(ballast)
    if ballast is None or metal is None or filler is None or metal <= filler:
        return
    volume = -goal.lacking.value / (metal - filler)
    for number, hole in enumerate(ballast.hole, start=1):
        held, found = bed(goal.build, number, goal.answered), drilled_hole(goal.build, hole)
        if held is None or found is None:
            continue
        drill = _drill(volume, held, found.diameter)
        if drill is None:
            continue
        rule = rule_of(goal.build)
        row = _chips(goal, number, volume, held, drill, rule)
        if row.mass is not None and row.mass.value >= LEAST:
            yield Way("drill out", row, _unstated(goal), True, through=held.face)


def _drill(volume: float, held: Bed, width: float) -> float | None:
    """The drill that takes so much out: the finest that need not go deep [m].

    A fine one is stopped more surely, a deep hole wanders.
    """
    fitting = [d for d in DRILLS if d <= 0.8 * width]
    for deepest in (min(SHALLOW, 0.9 * held.height), 0.9 * held.height):
        for diameter in fitting:
            if volume / held.packing / (math.pi / 4.0 * diameter**2) <= deepest:
                return diameter
    return fitting[-1] if fitting else None


def _chips(goal: Goal, number: int, volume: float, held: Bed, drill: float, rule: Rule) -> MendDone:
    """The row for drilling into a bed, as deep as it goes; the chips' mass is what counts."""
    assert goal.build.ballast is not None
    metal = ballast_density(goal.build.ballast) or 0.0
    area = math.pi / 4.0 * drill**2
    depth = min(volume / held.packing / area, 0.9 * held.height)
    chips = depth * area * held.packing * metal / (1.0 + LOST / 2.0)
    shown = max(round(depth / FINEST[rule]), 1) * FINEST[rule]
    return MendDone(
        "remove",
        _mass(goal, chips),
        hole=number,
        diameter=typed_diameter(drill, rule),
        depth=typed_length(shown, rule),
    )
