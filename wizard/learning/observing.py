"""What one finished build tells of its maker: each measured thing beside its plan."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from wizard.physics.parts import ORDER, Part, mass
from wizard.physics.roots import root_between
from wizard.physics.sinking import terminal_from_timed_rise, terminal_from_timed_sink
from wizard.physics.validity import OutsideValidity
from wizard.plug.account import account, plug_readings, predicted_plug, restaged
from wizard.plug.ballast.parts import filler_density, holes_volume
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.tank.proof import scenes
from wizard.plug.tank.trials import WAYS, Scene, TrialResult, net_result, timed

POOREST = 0.2
"""Relative standard uncertainty beyond which an observation is left out [1]: a judgement."""

LEAST_CONTRAST = 300.0
"""Density between wood and filler below which holes can't be weighed [kg/m3]: a judgement."""

RUNS = ("sink", "rise")


@dataclass(frozen=True, slots=True)
class Observation:
    """One measured thing of one build.

    Attributes:
        key: what it is, such as ``drag`` or ``coat:clear sealer``.
        value: a ratio to the plan or the table [1], or a mass per area [kg/m2]; above zero.
    """

    key: str
    value: float


@dataclass(frozen=True, slots=True)
class Seen:
    """All that one build tells.

    Attributes:
        at: when it was finished, else begun; None if it does not say.
        found: its observations.
        miss: N by the tank less N by the sum, as a share of the plug's mass [1]; None
            without a trial that tells.
        margin: s by sum and tank together [1]; None while unknown.
        went_down: whether it went down by itself; None if no trial says.
    """

    at: datetime | None
    found: tuple[Observation, ...]
    miss: float | None
    margin: float | None
    went_down: bool | None


def moment_of(build: Build) -> datetime | None:
    """When a build was finished, else begun."""
    return (build.shown.at if build.shown else None) or build.build.created


def seen(build: Build, derived: Derived) -> Seen:
    """What a finished build tells of its maker."""
    found = (
        *_films(build),
        *_films_between_weighings(build, derived),
        *_holes(build, derived),
        *_wood(build, derived),
        *_hardware(build),
        *_drag(build, derived),
    )
    return Seen(
        moment_of(build),
        tuple(_one_of_each(found)),
        _miss(derived),
        _margin(derived),
        _went_down(build),
    )


def _one_of_each(found: Iterable[Observation]) -> Iterator[Observation]:
    """One observation of a kind for the build: two hooks of one box are no two builds.

    Their mean is that of the logarithms, as ratios are counted everywhere here.
    """
    kinds: dict[str, list[float]] = {}
    for one in found:
        kinds.setdefault(one.key, []).append(one.value)
    for key, values in kinds.items():
        yield Observation(key, math.exp(math.fsum(map(math.log, values)) / len(values)))


def _miss(derived: Derived) -> float | None:
    N, P = derived.value("net_in_water"), derived.value("proof_net")
    M = derived.value("finished_mass")
    return None if N is None or P is None or M is None else (P.value - N.value) / M.value


def _margin(derived: Derived) -> float | None:
    N = derived.value("best_net") or derived.value("proof_net")
    V, water = derived.value("displaced_volume"), derived.water
    if N is None or V is None or water is None:
        return None
    return N.value / (water.buoyant * V.value)


def _went_down(build: Build) -> bool | None:
    """Whether it went down by itself, by what was seen in the tank last."""
    down = None
    for trial in build.trial:
        if trial.kind == "sink":
            down = True
        elif trial.kind in ("float", "freeboard", "rise", "heel"):
            down = False
        elif trial.kind == "look" and build.aim.behaviour in ("sinks", "floats"):
            down = (trial.as_asked == "yes") == (build.aim.behaviour == "sinks")
    return down


# Films -----------------------------------------------------------------------


def _films(build: Build) -> Iterator[Observation]:
    """Weighed coats, over the drawn skin."""
    body = drawn_body(build)
    for coat in build.coat or ():
        if body is not None and coat.mass is not None and coat.name and coat.mass.value > 0:
            yield Observation(f"coat:{plain_name(coat.name)}", coat.mass.value / body.area)


def plain_name(name: str) -> str:
    """A name by which two spellings of one thing meet."""
    return " ".join(name.casefold().split())


def _films_between_weighings(build: Build, derived: Derived) -> Iterator[Observation]:
    """What the plug gained between two weighings, where only coats came on between."""
    wood, body = derived.wood.density, drawn_body(build)
    if wood is None or build.ballast is None or body is None:
        return
    answer = derived.value("ballast_mass")
    parts = predicted_plug(build, account(build, wood), None if answer is None else answer.value)
    for one, other in pairwise(plug_readings(build)):
        before, after = (_on(restaged(parts, r), ORDER.index(r.stage)) for r in (one, other))
        added = [name for name in after if name not in before]
        films = [after[name] for name in added]
        gain, planned = other.mass - one.mass, mass(films)
        if not films or any(p.sort != "coat" for p in films) or gain.value <= 0:
            continue
        if gain.u > POOREST * gain.value:
            continue
        if planned is not None and planned.value > 0:
            yield Observation("coats", gain.value / planned.value)
        if len(films) == 1:
            yield Observation(f"coat:{plain_name(films[0].name)}", gain.value / body.area)


def _on(parts: tuple[Part, ...], stage: int) -> dict[int, Part]:
    """The parts on the plug at a stage, by their place in the list."""
    return {i: p for i, p in enumerate(parts) if ORDER.index(p.stage) <= stage}


# Holes, wood, hardware ---------------------------------------------------------


def _holes(build: Build, derived: Derived) -> Iterator[Observation]:
    """Volume of the holes over the plan, by a weighing with the ballast in and no coat on."""
    ballast, wood = build.ballast, derived.wood.density
    if ballast is None or wood is None:
        return
    planned, filler = holes_volume(ballast), filler_density(ballast)
    if not planned or filler is None or abs(filler - wood.value) < LEAST_CONTRAST:
        return
    from wizard.plug.weightlog import weight_log

    factor = ballast.hole_factor.value if ballast.hole_factor else 1.0
    for line in weight_log(build, derived):
        gap = line.gap
        if line.stage != "ballasted" or gap is None:
            continue
        larger = gap / ((filler - wood.value) * planned)
        if larger.u <= POOREST and 1.0 + larger.value > 0:
            yield Observation("holes", factor * (1.0 + larger.value))


def _wood(build: Build, derived: Derived) -> Iterator[Observation]:
    """The tested board against the table."""
    from wizard.tables import find_wood

    row = find_wood(build.stock.wood) if build.stock.wood else None
    density = derived.wood.density
    if row is not None and density is not None and density.u <= POOREST * density.value:
        yield Observation(f"wood:{row.name}", density.value / row.density.typical)


def _hardware(build: Build) -> Iterator[Observation]:
    """Weighed hooks, rings and eyes of a named size against the table."""
    from wizard.tables import find_hardware

    for item in build.hardware or ():
        row = find_hardware(item.name) if item.name else None
        if row is not None and row.per == "piece" and item.mass is not None:
            yield Observation(f"hardware:{row.name}", item.mass.value / row.mass.typical)


# Drag ----------------------------------------------------------------------------


def _drag(build: Build, derived: Derived) -> Iterator[Observation]:
    """The maker's own drag over the published one: timed runs whose net weight is known.

    Known by a trial weight, a weighing under water or a mark at the waterline, of the
    plug in the same state.
    """
    if derived.water is None:
        return
    found, _ = scenes(build, derived.parts, derived.water)
    for run in (s for s in found if s.trial.kind in RUNS):
        state = run.trial.mends or 0
        weighed = [
            s
            for s in found
            if s.trial.kind in WAYS and s.trial.kind not in RUNS
            if (s.trial.mends or 0) == state
        ]
        factor = _factor(run, weighed)
        if factor is not None:
            yield Observation("drag", factor)


def _factor(run: Scene, weighed: list[Scene]) -> float | None:
    """The drag factor with which a timed run gives the net weight that was weighed [1]."""
    results = [r for s in weighed if isinstance(r := net_result(s), TrialResult)]
    body, shift, trial = drawn_body(run.build), run.shift, run.trial
    if not results or body is None or shift is None or run.volume is None:
        return None
    if trial.depth is None or trial.time is None:
        return None
    best = min(results, key=lambda r: r.net.u)
    N = best.net.value - shift.value
    if N == 0 or best.net.u > POOREST * abs(N):
        return None
    depth, time, V = trial.depth.value, timed(trial, run.path).value, run.volume.value
    way = terminal_from_timed_rise if trial.kind == "rise" else terminal_from_timed_sink
    tank = run.tank

    def off(log_factor: float) -> float:
        f = math.exp(log_factor)
        found = way(depth, time, V, body.area, tank.density, tank.viscosity, drag_factor=f)
        return found.net_mass / N - 1.0

    try:
        return math.exp(root_between(off, math.log(0.1), math.log(10.0)))
    except (OutsideValidity, ValueError):
        return None
