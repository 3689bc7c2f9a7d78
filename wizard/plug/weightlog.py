"""The weight log: what the plug weighs at each stage against the plan, and where that leads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.certainty import Uncertain
from wizard.physics.parts import ORDER, Stage, mass, volume
from wizard.plug.account import account, as_weighed, plug_readings, predicted_plug, restaged
from wizard.plug.derived import Derived
from wizard.plug.record import Build

BELONGS: Mapping[Stage, str] = {
    "bare": "the sanded body alone: no paper template, dust, filler, hanger or wire",
    "ballasted": "ballast in and backfill cured and sanded flush; no hook, ring or tape on it",
    "sealed": "the sealer dry; no drying hook or wire that does not stay",
    "coated": "every coat so far cured, not just dry; no drying hook",
    "finished": "all hooks, rings and eyes on, hook caps and leader off",
}
"""What must be on the plug at each weighing, and what must be off: common practice, no source."""


@dataclass(frozen=True, slots=True)
class LogLine:
    """One weighing against the plan.

    Attributes:
        row: which weighing, as it stands in the profile.
        stage: of the work.
        coats: how many coats were on; None for all of the stage.
        planned: what all parts on it then should weigh [kg]; None where one is not known.
        actual: [kg].
        margin: s of the finished plug if what is still to come goes as planned [1]; None
            where that is not known.
    """

    row: int
    stage: Stage
    coats: int | None
    planned: Uncertain | None
    actual: Uncertain
    margin: Uncertain | None

    @property
    def gap(self) -> Uncertain | None:
        """How much heavier than planned [kg]."""
        return None if self.planned is None else self.actual - self.planned


def weight_log(build: Build, derived: Derived) -> tuple[LogLine, ...]:
    """Every weighing of the whole plug, in the order of the work."""
    known = account(build, derived.wood.density)
    parts = known.others
    if build.ballast is not None:
        answered = derived.value("ballast_mass")
        parts = predicted_plug(build, known, None if answered is None else max(answered.value, 0.0))
    lines = []
    for reading in plug_readings(build):
        staged = restaged(parts, reading)
        on_then = [p for p in staged if ORDER.index(p.stage) <= ORDER.index(reading.stage)]
        finished = as_weighed(parts, reading)
        M, V, water = mass(finished), volume(finished), derived.water
        margin = None
        if M is not None and V is not None and water is not None and V.value > 0:
            margin = M / (water.buoyant * V) - 1.0
        lines.append(
            LogLine(
                reading.row,
                reading.stage,
                reading.coats,
                mass(on_then) if build.ballast is not None else None,
                reading.mass,
                margin,
            )
        )
    return tuple(lines)
