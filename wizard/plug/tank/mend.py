"""The mend: exactly what to do to a finished plug so that it does what was asked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from wizard.certainty import Cause, Uncertain, exact, measured
from wizard.physics.parts import Part
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.tank.mend_goal import Goal, goal, pitch_at_rest
from wizard.plug.tank.mend_rows import Kind, Way
from wizard.plug.tank.mend_ways import ways
from wizard.plug.tank.mended import mend_part
from wizard.plug.tank.suspects import HARDWARE

TILTED = math.radians(2.0)
"""Change of pitch that a maker sees [rad]: a judgement."""

KINDS: tuple[Kind, ...] = ("swap", "take off", "wire", "putty", "nail", "hole in", "drill out")
"""Ways that do alike, the one first that is done and undone most easily and lasts."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One thing that may be done, and what it brings.

    Attributes:
        way: what is done, with the row that it leaves in the record.
        gained: what it does to N [kg], with the doubt of doing it.
        net: N after it [kg].
        miss: N after it less the aim [kg].
        meets: whether that is within the band of the aim.
        pitch: nose-down pitch at rest before and after [rad]; None where it turns over or
            is not known.
    """

    way: Way
    gained: Uncertain
    net: Uncertain
    miss: Uncertain
    meets: bool
    pitch: tuple[float | None, float | None]

    @property
    def turns_over(self) -> bool:
        """Whether the plug lay upright and no longer would."""
        return self.pitch[0] is not None and self.pitch[1] is None

    def applied(self, build: Build, done: datetime | None = None) -> Build:
        """The build with the mend written down as done.

        Args:
            build: the record.
            done: the moment; None leaves it out.
        """
        return replace(build, mend=(*build.mend, replace(self.way.row, done=done)))


def mends(build: Build, derived: Derived) -> tuple[Mend, ...]:
    """All that may be done towards the aim, the best first.

    First come those that meet the aim and leave the coat alone, then those that meet it,
    then the others by how near they come. None is offered where nothing need be done.

    Args:
        build: the record.
        derived: what follows from it.
    """
    asked = goal(build, derived)
    if asked is None or asked.is_met:
        return ()
    return tuple(sorted(_weighed_up(asked), key=_order))


def _order(mend: Mend) -> tuple[bool, bool, bool, float, bool, int, float]:
    tilt = abs((mend.pitch[1] or 0.0) - (mend.pitch[0] or 0.0))
    near = 0.0 if mend.meets else abs(mend.miss.value)
    rank = KINDS.index(mend.way.kind)
    return (
        mend.turns_over,
        not mend.meets,
        mend.way.breaks_coat,
        near,
        tilt > TILTED,
        rank,
        tilt,
    )


def _weighed_up(asked: Goal) -> Iterator[Mend]:
    before = pitch_at_rest(asked.build, asked.parts, asked.water)
    nothing = abs(asked.lacking.value)
    for way in ways(asked):
        part = _part_of(asked, way)
        if part is None or part.mass is None or part.volume is None:
            continue
        off = measured(0.0, way.doubt, Cause(f"mend: {way.kind}", "assumed"))
        gone = _taken_with_it(asked, way)
        mass = part.mass + off - gone
        pushed = part.volume - gone / (way.row.density.value if way.row.density else math.inf)
        gained = mass - asked.water.buoyant * pushed
        miss = asked.missed(mass, pushed)
        if abs(miss.value) >= nothing:
            continue
        meets = abs(miss.value) <= asked.band
        after = _pitch_with(asked, part)
        yield Mend(way, gained, asked.now.net + gained, miss, meets, (before, after))


def _taken_with_it(asked: Goal, way: Way) -> Uncertain:
    """The doubt of hooks or rings that come off, which nobody stated and which goes with them."""
    number = way.row.hardware
    item = (asked.build.hardware or ())[number - 1] if number is not None else None
    if item is None or item.mass is None or way.row.off is not None:
        return exact(0.0)
    return measured(0.0, HARDWARE * item.count * item.mass.value, Cause("hardware", "assumed"))


def _part_of(asked: Goal, way: Way) -> Part | None:
    """The mend as the record's own sum has it, once it is written down."""
    changed = replace(asked.build, mend=(*asked.build.mend, way.row))
    wood = None if asked.wood is None else asked.now.knowing(asked.wood)
    return mend_part(changed, len(asked.build.mend), wood, asked.answered)


def _pitch_with(asked: Goal, part: Part) -> float | None:
    """How the plug lies with the mend done [rad]; None if it turns over or is not known."""
    assert part.mass is not None
    assert part.volume is not None
    bare = replace(part, mass=exact(part.mass.value), volume=exact(part.volume.value))
    return pitch_at_rest(asked.build, (*asked.parts, bare), asked.water)
