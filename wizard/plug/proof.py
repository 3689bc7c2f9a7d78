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
from wizard.physics.water import viscosity
from wizard.plug.doubts import bench_scale
from wizard.plug.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, Trial
from wizard.plug.sinking import SOURCE, drag_doubt
from wizard.plug.waters import Water, tank_water


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


def proved(
    build: Build, numbers: Mapping[str, Number], water: Water
) -> tuple[tuple[Number, ...], tuple[Finding, ...]]:
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
        return (), tuple(findings)
    net = _combined([r.net for r in results])
    out = [Number("proof_net", net, _working(results))]
    speeds = [r.speed for r in results if r.speed is not None]
    if speeds:
        out.append(Number("sink_rate", _combined(speeds), _speed_working(results)))
    predicted = numbers.get("net_in_water")
    if predicted is not None:
        findings.extend(_compare(predicted.value, net))
    return tuple(out), tuple(findings)


def _combined(values: list[Uncertain]) -> Uncertain:
    """Several trials as one: weighted by certainty, or the plain mean if one has no doubt."""
    weights = (
        [1.0 / v.u**2 for v in values] if all(v.u > 0 for v in values) else [1.0] * len(values)
    )
    return total(w * v for w, v in zip(weights, values, strict=True)) / sum(weights)


def _missing(path: Path, what: str) -> Finding:
    return Finding(
        "warning", path, f"The trial says nothing yet: {what} is missing.", "Type it in."
    )


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
            return _missing(path, "the volume of the finished plug, to leave the tank's water,")
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
        return _missing(path, "the drawn shape" if body is None else "the volume of the plug")
    limit = trial.time_accuracy.value if trial.time_accuracy else 0.0
    where = words((*path, "time_accuracy"))
    time = measured(trial.time.value, accuracy_u(limit), Cause(where, "accuracy"))
    added = measured(ADDED_MASS, ADDED_MASS_UNCERTAINTY, Cause("water dragged along", "stated"))
    drag = 1.0 - 2.0 * drag_doubt()
    depth, area = trial.depth.value, body.area
    in_tank = viscosity(tank.temperature, tank.salinity)
    at_sea = viscosity(water.temperature, water.salinity)

    def net(t: float, v: float, ca: float, f: float) -> float:
        return terminal_from_timed_sink(
            depth, t, v, area, tank.density, in_tank, drag_factor=f, added_mass=ca
        ).net_mass

    def speed(t: float, v: float, ca: float, f: float) -> float:
        moved = net(t, v, ca, f) + v * (tank.density - water.density)
        return terminal_speed(moved, v, area, water.density, at_sea, f)

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


def _compare(predicted: Uncertain, proof: Uncertain) -> tuple[Finding, ...]:
    gap = proof - predicted
    if gap.u == 0 or abs(gap.value) <= 2 * gap.u:
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
