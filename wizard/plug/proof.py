"""What the tank said: net weight from trials, moved to the fishing water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, apply, exact, measured, total
from wizard.physics.density import accuracy_u
from wizard.physics.drag import terminal_speed
from wizard.physics.sinking import (
    ADDED_MASS,
    ADDED_MASS_UNCERTAINTY,
    net_from_trial_weight,
    terminal_from_timed_sink,
)
from wizard.physics.validity import OutsideValidity
from wizard.plug.doubts import bench_scale
from wizard.plug.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.lying import HANGS
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, Trial
from wizard.plug.sinking import SOURCE, drag_doubt
from wizard.plug.waters import Water, tank_water

COMPLETE = "It follows once every part of the plug is known."


@dataclass(frozen=True, slots=True)
class TrialResult:
    """What one trial says.

    Attributes:
        path: where it stands.
        net: N in the fishing water [kg].
        speed: terminal speed in the fishing water [m/s], of a timed sink.
    """

    path: Path
    net: Uncertain
    speed: Uncertain | None


@dataclass(frozen=True, slots=True)
class Proof:
    """What all trials say.

    Attributes:
        numbers: the net weight by the tank and the measured speed, as far as known.
        findings: what to say about the trials.
        timed: whether a timed sink stands in the place of the predicted speed.
    """

    numbers: tuple[Number, ...]
    findings: tuple[Finding, ...]
    timed: bool


def proved(build: Build, numbers: Mapping[str, Number], water: Water) -> Proof:
    """Net weight by the tank, the measured speed, and whether the prediction holds."""
    results: list[TrialResult] = []
    findings: list[Finding] = []
    outside = numbers.get("displaced_volume")
    for i, trial in enumerate(build.trial):
        path: Path = ("trial", i)
        tank, said = tank_water(build, trial, path)
        findings.extend(said)
        if tank is not None and trial.kind in ("float", "sink"):
            volume = outside.value if outside else None
            result = _result(build, trial, path, tank, water, volume)
            if isinstance(result, Finding):
                findings.append(result)
            else:
                results.append(result)
    if not results:
        return Proof((), tuple(findings), timed=False)
    net = _combined([r.net for r in results])
    out = [Number("proof_net", net, _working(results))]
    speeds = [r.speed for r in results if r.speed is not None]
    sinking = _combined(speeds) if speeds else None
    if sinking is not None and sinking.value > 0:
        out.append(Number("sink_rate", sinking, _speed_working(results)))
    predicted, weight = numbers.get("net_in_water"), numbers.get("finished_mass")
    if predicted is not None and weight is not None:
        findings.extend(_compare(predicted.value, net, HANGS * weight.value.value))
    return Proof(tuple(out), tuple(findings), timed=bool(speeds))


def _combined(values: list[Uncertain]) -> Uncertain:
    """Several trials as one: weighted by certainty, or the plain mean if one has no doubt."""
    weights = (
        [1.0 / v.u**2 for v in values] if all(v.u > 0 for v in values) else [1.0] * len(values)
    )
    return total(w * v for w, v in zip(weights, values, strict=True)) / sum(weights)


def _missing(path: Path, what: str, remedy: str = "Type it in.") -> Finding:
    return Finding("warning", path, f"The trial says nothing yet: {what} is not known.", remedy)


def _result(
    build: Build,
    trial: Trial,
    path: Path,
    tank: Water,
    water: Water,
    volume: Uncertain | None,
) -> TrialResult | Finding:
    shift = exact(0.0)
    if tank.density != water.density:
        if volume is None:
            return _missing(path, "the volume of the plug, to leave the tank's water,", COMPLETE)
        shift = volume * (tank.density - water.density)
    if trial.kind == "float":
        in_tank = _by_trial_weight(build, trial, path, tank)
        return in_tank if isinstance(in_tank, Finding) else TrialResult(path, in_tank + shift, None)
    return _by_timed_sink(build, trial, path, tank, water, volume, shift)


def _by_trial_weight(build: Build, trial: Trial, path: Path, tank: Water) -> Uncertain | Finding:
    if trial.weight is None:
        return _missing(path, "the trial weight")
    density = trial.density.value if trial.density else None
    if density is None and trial.weight.value > 0:
        return _missing(path, "the density of the trial weight")
    weight = bench_scale(build).reading(trial.weight, (*path, "weight"))
    return apply(lambda m: net_from_trial_weight(m, density or 1e9, tank.buoyant), weight)


def _by_timed_sink(
    build: Build,
    trial: Trial,
    path: Path,
    tank: Water,
    water: Water,
    volume: Uncertain | None,
    shift: Uncertain,
) -> TrialResult | Finding:
    body = drawn_body(build)
    if trial.depth is None or trial.time is None:
        return _missing(path, "the depth" if trial.depth is None else "the time")
    if volume is None or body is None:
        what = "the drawn shape" if body is None else "the volume of the plug"
        return _missing(path, what, "Draw it." if body is None else COMPLETE)
    limit = trial.time_accuracy.value if trial.time_accuracy else 0.0
    where = words((*path, "time_accuracy"))
    time = measured(trial.time.value, accuracy_u(limit), Cause(where, "accuracy"))
    # Both are one cause each, so two runs share them.
    added = measured(ADDED_MASS, ADDED_MASS_UNCERTAINTY, Cause("water dragged along", "stated"))
    drag = 1.0 - 2.0 * drag_doubt()
    depth, area = trial.depth.value, body.area

    def net(t: float, v: float, ca: float, f: float) -> float:
        return terminal_from_timed_sink(
            depth, t, v, area, tank.density, tank.viscosity, drag_factor=f, added_mass=ca
        ).net_mass

    def speed(t: float, v: float, ca: float, f: float) -> float:
        moved = net(t, v, ca, f) + v * (tank.density - water.density)
        return terminal_speed(moved, v, area, water.density, water.viscosity, f)

    try:
        found = apply(net, time, volume, added, drag) + shift
        fast = apply(speed, time, volume, added, drag)
    except OutsideValidity as error:
        return Finding("warning", path, f"The timed sink can't be used: {error}.", "")
    return TrialResult(path, found, fast)


def _working(results: list[TrialResult]) -> Working:
    terms = tuple(
        Term("N", f"{words(r.path)}, moved to the fishing water", r.net, "g") for r in results
    )
    return Working(
        "N = N_tank + V (rho_tank - rho_fishing); trial weight: N = -m_t (1 - rho / rho_t)",
        terms,
        "Archimedes; a timed sink by " + SOURCE,
    )


def _speed_working(results: list[TrialResult]) -> Working:
    terms = tuple(Term("v", words(r.path), r.speed, "m/s") for r in results if r.speed is not None)
    return Working(
        "x = v tau ln cosh(t / tau), started from rest with the water dragged along",
        terms,
        "one-dimensional motion with quadratic drag (any mechanics text)",
    )


def _compare(predicted: Uncertain, proof: Uncertain, hair: float) -> tuple[Finding, ...]:
    """A disagreement beyond k = 2, or beyond a hair where nobody stated a doubt."""
    gap = proof - predicted
    if abs(gap.value) <= max(2 * gap.u, hair):
        return ()
    return (
        Finding(
            "warning",
            ("trial",),
            f"The tank says {proof.value * 1e3:.3g} g in water, "
            f"the sum {predicted.value * 1e3:.3g} g: more apart than both allow.",
            "Look at the density, the coats' mass, the holes and the scale.",
        ),
    )
