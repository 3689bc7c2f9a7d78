"""What single trials say of the weight left in the water, each kind by its own arithmetic."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, apply, exact, measured
from wizard.certainty.readings import mean, scatter_u
from wizard.physics.density import accuracy_u
from wizard.physics.drag import terminal_speed
from wizard.physics.parts import Part
from wizard.physics.sinking import (
    ADDED_MASS,
    ADDED_MASS_UNCERTAINTY,
    net_from_trial_weight,
    terminal_from_timed_rise,
    terminal_from_timed_sink,
    wall_factor,
)
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.afloat import Floater, floater
from wizard.plug.body.drawing import drawn_body
from wizard.plug.body.sinking import drag_doubt, drag_factor
from wizard.plug.doubts import bench_scale
from wizard.plug.findings import Finding
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, Trial
from wizard.plug.tank.freeboard import Undecided, mass_afloat
from wizard.plug.waters import Water
from wizard.quantity.showing import plain

COMPLETE = "It follows once every part of the plug is known."
WATERLINE = 0.5e-3
"""How far a waterline on a curved skin may be misread where nothing is stated [m]: a judgement."""

NARROW = 0.05
"""Share by which walls may slow a run before it is spoken of [1]."""

ADDED = Cause("water dragged along", "stated")


@dataclass(frozen=True, slots=True)
class Scene:
    """One trial and what it was made in.

    Attributes:
        build: the record.
        trial: as typed.
        path: where it stands.
        tank: the water of the trial.
        fishing: the fishing water.
        parts: of the plug as it was at the trial.
        volume: V of the plug then [m3]; None if unknown.
    """

    build: Build
    trial: Trial
    path: Path
    tank: Water
    fishing: Water
    parts: tuple[Part, ...]
    volume: Uncertain | None

    def missing(self, what: str, remedy: str = "Type it in.") -> Finding:
        """That something keeps the trial from saying anything."""
        wrong = f"The trial says nothing yet: {what} is not known."
        return Finding("warning", self.path, wrong, remedy)

    @property
    def shift(self) -> Uncertain | None:
        """What N gains from the tank to the fishing water [kg]; None while V is unknown."""
        if self.tank.density == self.fishing.density:
            return exact(0.0)
        if self.volume is None:
            return None
        return self.volume * (self.tank.density - self.fishing.density)


@dataclass(frozen=True, slots=True)
class TrialResult:
    """What one trial says of the plug as it was then.

    Attributes:
        path: where it stands.
        net: N in the fishing water [kg].
        speed: terminal speed in the fishing water [m/s], of a timed run.
    """

    path: Path
    net: Uncertain
    speed: Uncertain | None


def net_result(scene: Scene) -> TrialResult | Finding:
    """N by one trial, moved to the fishing water; or why it says nothing."""
    shift = scene.shift
    if shift is None:
        return scene.missing("the volume of the plug, to leave the tank's water,", COMPLETE)
    try:
        return WAYS[scene.trial.kind or ""](scene, shift)
    except OutsideValidity as error:
        return Finding("warning", scene.path, f"The trial can't be used: {error}.", "")


def _by_trial_weight(scene: Scene, shift: Uncertain) -> TrialResult | Finding:
    trial, rho = scene.trial, scene.tank.buoyant
    if trial.weight is None:
        return scene.missing("the trial weight")
    density = trial.density.value if trial.density else None
    if density is None and trial.weight.value > 0:
        return scene.missing("the density of the trial weight")
    weight = _last_step_half_out(scene, trial, trial.weight.value)
    in_tank = apply(lambda m: net_from_trial_weight(m, density or 1e9, rho), weight)
    return TrialResult(scene.path, in_tank + shift, None)


def _last_step_half_out(scene: Scene, trial: Trial, weight: float) -> Uncertain:
    """The weight that would just do [kg]: the last piece hung on was too much by less than itself.

    Source: JCGM 100:2008, 4.3.7, between all but the last piece and all of them.
    """
    assert trial.weight is not None
    reading = bench_scale(scene.build).reading(trial.weight, (*scene.path, "weight"))
    half = trial.weight_step.value / 2.0 if trial.weight_step else 0.0
    step = Cause(words((*scene.path, "weight_step")), "resolution")
    return reading - half + measured(0.0, accuracy_u(half), step)


def _by_weighing(scene: Scene, shift: Uncertain) -> TrialResult | Finding:
    """Hung on a thread from the scale, all of it under water: the scale shows N itself."""
    if scene.trial.weight is None:
        return scene.missing("what the scale showed")
    reading = bench_scale(scene.build).reading(scene.trial.weight, (*scene.path, "weight"))
    return TrialResult(scene.path, reading + shift, None)


def _by_timed_run(scene: Scene, shift: Uncertain) -> TrialResult | Finding:
    trial, tank, water = scene.trial, scene.tank, scene.fishing
    volume, body = scene.volume, drawn_body(scene.build)
    if trial.depth is None or trial.time is None:
        return scene.missing("the way" if trial.depth is None else "the time")
    if volume is None or body is None:
        what = "the drawn shape" if body is None else "the volume of the plug"
        return scene.missing(what, "Draw it." if body is None else COMPLETE)
    # Both are one cause each, so two runs share them.
    added = measured(ADDED_MASS, ADDED_MASS_UNCERTAINTY, ADDED)
    drag = drag_factor(scene.build) * (1.0 - 2.0 * drag_doubt(scene.build))
    depth, area, wall = trial.depth.value, body.area, _wall(scene, volume)
    run = terminal_from_timed_rise if trial.kind == "rise" else terminal_from_timed_sink

    def net(t: float, v: float, ca: float, f: float, w: float) -> float:
        return run(
            depth, t, v, area, tank.density, tank.viscosity, drag_factor=f / w**2, added_mass=ca
        ).net_mass

    def speed(t: float, v: float, ca: float, f: float, w: float) -> float:
        moved = net(t, v, ca, f, w) + v * (tank.density - water.density)
        return terminal_speed(moved, v, area, water.density, water.viscosity, f)

    unseen = (timed(trial, scene.path), volume, added, drag, wall)
    return TrialResult(scene.path, apply(net, *unseen) + shift, apply(speed, *unseen))


def timed(trial: Trial, path: Path) -> Uncertain:
    """Time of a run, or the mean of several, with reaction and scatter [s].

    Source: JCGM 100:2008, 4.2.3 for the scatter, 4.3.7 for the limits of the reaction.
    """
    assert trial.time is not None
    times = [trial.time.value, *(t.value for t in trial.time_again)]
    limit = trial.time_accuracy.value if trial.time_accuracy else 0.0
    reaction = Cause(words((*path, "time_accuracy")), "accuracy")
    scatter = Cause(words((*path, "time")), "scatter", len(times) - 1)
    own = measured(mean(times), accuracy_u(limit), reaction)
    return own + measured(0.0, scatter_u(times), scatter)


def _wall(scene: Scene, volume: Uncertain) -> Uncertain:
    """Speed in the tank over that in open water [1].

    The relation for a tube is unconfirmed for a plug in a tank, so that the truth may lie
    anywhere between none of it and all of it (JCGM 100:2008, 4.3.7).
    """
    width = scene.build.tank.width
    if width is None:
        return exact(1.0)
    narrow = wall_factor(volume.value, width.value)
    return measured((1.0 + narrow) / 2.0, (1.0 - narrow) / math.sqrt(12.0), Cause("tank", "walls"))


def run_findings(scene: Scene) -> Iterator[Finding]:
    """What makes a timed run poor: a way shorter than the plug, walls near by."""
    trial, body = scene.trial, drawn_body(scene.build)
    if trial.kind not in ("sink", "rise") or trial.depth is None:
        return
    if body is not None and trial.depth.value < body.length:
        yield Finding(
            "warning",
            (*scene.path, "depth"),
            f"A way of {trial.depth.text} is shorter than the plug is long, so the start is "
            "all of it.",
            "Time it over a longer way, or weigh it under water instead.",
        )
    width = scene.build.tank.width
    if width is None or scene.volume is None:
        return
    try:
        slower = 1.0 - wall_factor(scene.volume.value, width.value)
    except OutsideValidity:
        return
    if slower > NARROW:
        yield Finding(
            "warning",
            scene.path,
            f"In a tank {width.text} wide the walls may slow it by up to {100 * slower:.0f} %; "
            "half of that is taken, the rest is doubt.",
            "A wider tank, a trial weight, or a weighing under water is free of it.",
        )


def _by_freeboard(scene: Scene, shift: Uncertain) -> TrialResult | Finding:
    trial = scene.trial
    if trial.height is None and trial.share is None:
        return scene.missing("the height above water or its share")
    afloat = floater(scene.build, scene.parts)
    if afloat is None or scene.volume is None:
        return scene.missing("the drawn shape, or the place of a part,", COMPLETE)
    mark, dry, limit = _mark(scene, afloat)
    M = mass_afloat(afloat, mark, dry, limit, scene.tank.buoyant)
    if isinstance(M, Undecided):
        return _undecided(scene, M)
    return TrialResult(scene.path, M - scene.tank.buoyant * scene.volume + shift, None)


def _undecided(scene: Scene, found: Undecided) -> Finding:
    """That a mark leaves the weight open."""
    least, most = (plain(mass * 1e3, 3) for mass in (found.least, found.most))
    elsewhere = "the share above the water at mid-length" if scene.trial.height else "it elsewhere"
    return Finding(
        "warning",
        scene.path,
        f"That much above the water does not tell its weight: anything from {least} to {most} g "
        "may leave it so, since it pitches as it gets heavier.",
        f"Read {elsewhere}, or hang trial weights on.",
    )


def _mark(scene: Scene, afloat: Floater) -> tuple[float | None, Uncertain, float]:
    """Where it was read, None for the highest point, what stood above the water, its limit [m]."""
    trial, body = scene.trial, afloat.body
    limit = trial.height_accuracy.value if trial.height_accuracy else WATERLINE
    key = "height" if trial.height is not None else "share"
    doubt = Cause(words((*scene.path, key)), "waterline")
    if trial.height is not None:
        return None, measured(trial.height.value, accuracy_u(limit), doubt), limit
    assert trial.share is not None
    x = trial.x.value if trial.x else body.nose + body.length / 2.0
    height = float(body.top(x)) - float(body.bottom(x))
    return x, measured(trial.share.value * height, accuracy_u(limit), doubt), limit


WAYS: Mapping[str, Callable[[Scene, Uncertain], TrialResult | Finding]] = {
    "float": _by_trial_weight,
    "weigh": _by_weighing,
    "sink": _by_timed_run,
    "rise": _by_timed_run,
    "freeboard": _by_freeboard,
}
"""Kinds of trial that say how much is left in the water."""
