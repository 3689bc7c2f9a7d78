"""The soak test: weighed before and after an hour under water."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wizard.certainty import Uncertain
from wizard.plug.body.drawing import drawn_body
from wizard.plug.doubts import bench_scale
from wizard.plug.record import Build

WIPED = 0.03e-3
"""Water that stays on a plug after wiping [kg]: a judgement, no source."""

HOUR = 3600.0

Verdict = Literal["tight", "leaks", "lost"]


@dataclass(frozen=True, slots=True)
class Soak:
    """What a soak says.

    Attributes:
        row: which trial, counted from zero.
        gain: water taken up [kg].
        time: under water [s].
        per_area: gain over the drawn skin [kg/m2]; None without a drawn shape.
        verdict: tight, leaks, or lost where it came out lighter.
    """

    row: int
    gain: Uncertain
    time: float
    per_area: float | None
    verdict: Verdict


def soaks(build: Build) -> tuple[Soak, ...]:
    """Every soak that was weighed before and after."""
    scale, body = bench_scale(build), drawn_body(build)
    out = []
    for i, trial in enumerate(build.trial):
        if trial.kind != "soak" or trial.before is None or trial.after is None:
            continue
        before = scale.reading(trial.before, ("trial", i, "before"))
        after = scale.reading(trial.after, ("trial", i, "after"))
        gain = after - before
        time = trial.soaked.value if trial.soaked else HOUR
        per_area = None if body is None else gain.value / body.area
        out.append(Soak(i, gain, time, per_area, _verdict(gain)))
    return tuple(out)


def _verdict(gain: Uncertain) -> Verdict:
    """No more than the scale and a wiped skin explain is tight."""
    limit = 2.0 * gain.u + WIPED
    return "tight" if abs(gain.value) <= limit else "leaks" if gain.value > 0 else "lost"
