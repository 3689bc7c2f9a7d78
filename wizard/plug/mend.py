"""The mend: exactly what to do to a finished plug so that it does what was asked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from wizard.certainty import Cause, Uncertain, exact, measured
from wizard.physics.parts import Part
from wizard.plug.derive import Derived
from wizard.plug.findings import Finding
from wizard.plug.lying import at_rest
from wizard.plug.mend_goal import Goal, goal, pitch_at_rest
from wizard.plug.mend_ways import Kind, Way, ways
from wizard.plug.mended import mend_part
from wizard.plug.record import Build

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
        findings: what to say about how the plug then lies.
    """

    way: Way
    gained: Uncertain
    net: Uncertain
    miss: Uncertain
    meets: bool
    pitch: tuple[float | None, float | None]
    findings: tuple[Finding, ...]

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


def _order(mend: Mend) -> tuple[bool, bool, float, bool, int, float]:
    tilt = abs((mend.pitch[1] or 0.0) - (mend.pitch[0] or 0.0))
    near = 0.0 if mend.meets else abs(mend.miss.value)
    rank = KINDS.index(mend.way.kind)
    return not mend.meets, mend.way.breaks_coat, near, tilt > TILTED, rank, tilt


def _weighed_up(asked: Goal) -> Iterator[Mend]:
    before = pitch_at_rest(asked.build, asked.parts, asked.water)
    nothing = abs(asked.lacking.value)
    for way in ways(asked):
        part = _part_of(asked, way)
        if part is None or part.mass is None or part.volume is None:
            continue
        rho = asked.water.buoyant
        off = measured(0.0, way.doubt, Cause(f"mend: {way.kind}", "assumed"))
        gained = part.mass + off - rho * part.volume
        miss = asked.missed(part.mass + off, part.volume)
        if abs(miss.value) >= nothing:
            continue
        meets = abs(miss.value) <= asked.band
        after, said = _lies(asked, part)
        net = asked.now.net + gained
        yield Mend(way, gained, net, miss, meets, (before, after), said)


def _part_of(asked: Goal, way: Way) -> Part | None:
    """The mend as the record's own sum has it, once it is written down."""
    changed = replace(asked.build, mend=(*asked.build.mend, way.row))
    wood = None if asked.wood is None else asked.now.knowing(asked.wood)
    return mend_part(changed, len(asked.build.mend), wood, asked.answered)


def _lies(asked: Goal, part: Part) -> tuple[float | None, tuple[Finding, ...]]:
    """How the plug lies with the mend done."""
    assert part.mass is not None
    assert part.volume is not None
    bare = replace(part, mass=exact(part.mass.value), volume=exact(part.volume.value))
    parts = (*asked.parts, bare)
    numbers, said = at_rest(asked.build, parts, asked.water)
    pitch = next((n.value.value for n in numbers if n.name == "rest_pitch"), None)
    return pitch, tuple(f for f in said if f.level == "warning")
