"""Mends that open the coat: a nail in the belly, ballast for backfill, ballast drilled out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from wizard.plug.ballast.drilling import typed_diameter, typed_length
from wizard.plug.ballast.parts import (
    ballast_density,
    drilled_hole,
    filler_density,
    hole_volume,
)
from wizard.plug.body.drawing import drawn_body
from wizard.plug.record import Ballast, MendDone
from wizard.plug.rule import FINEST, Rule, rule_of
from wizard.plug.tank.mend_goal import Goal
from wizard.plug.tank.mend_rows import (
    LEAST,
    Way,
    metal_density,
    on_the_belly,
    typed_density,
    unstated,
    weighed_out,
)
from wizard.plug.tank.mended import LOST, Bed, bed
from wizard.quantity.making import made

NAIL_METAL = "brass"
NAILS = (1.0e-3, 1.5e-3, 2.0e-3, 2.5e-3, 3.0e-3, 4.0e-3)
"""Diameters of wire that is driven into a body [m]: common practice, no source."""

DRILLS = (2.0e-3, 2.5e-3, 3.0e-3, 4.0e-3, 5.0e-3, 6.0e-3, 8.0e-3)
"""Drills for ballast that is already in [m], from small to large."""

SHALLOW = 6.0e-3
"""Depth to which ballast is drilled if a drill of any width will do [m]: a judgement."""

ROOM = 0.7
"""Share of the body's height that a nail may take up [1]: a judgement."""


def nailed(goal: Goal) -> Iterator[Way]:
    """Wire driven into a hole of its own width in the belly, the thinnest that fits."""
    body = drawn_body(goal.build)
    if goal.wood is None or body is None:
        return
    density = metal_density(NAIL_METAL)
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
    row = on_the_belly(goal, "inside", mass, density, length / 2.0)
    thick = made(diameter, "mm", 1e-4)
    row = replace(row, diameter=thick)
    yield Way("nail", row, unstated(goal), True, length=length)


def behind_the_backfill(goal: Goal) -> Iterator[Way]:
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
        weighed = weighed_out(goal, taken)
        row = MendDone("inside", weighed, density=typed_density(metal), hole=number)
        yield Way("hole in", row, unstated(goal), True, through=held.face)


def _metal_and_filler(ballast: Ballast | None) -> tuple[float | None, float | None]:
    if ballast is None:
        return None, None
    return ballast_density(ballast), filler_density(ballast)


def drilled_out(goal: Goal) -> Iterator[Way]:
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
            yield Way("drill out", row, unstated(goal), True, through=held.face)


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
        weighed_out(goal, chips),
        hole=number,
        diameter=typed_diameter(drill, rule),
        depth=typed_length(shown, rule),
    )
