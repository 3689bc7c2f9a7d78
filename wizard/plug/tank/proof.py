"""What the tank said: net weight from trials, moved to the fishing water and past later mends."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from wizard.certainty import Uncertain, apply, total
from wizard.certainty.adjusting import agrees
from wizard.physics.parts import Part, mass, volume
from wizard.plug.body.lying import HANGS
from wizard.plug.body.sinking import SOURCE
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.paths import words
from wizard.plug.record import Build, Trial
from wizard.plug.tank.attitude import attitude_number, heel_number
from wizard.plug.tank.trials import WAYS, Scene, TrialResult, net_result, run_findings
from wizard.plug.tank.water import tank_checks
from wizard.plug.waters import Water, tank_water
from wizard.quantity.showing import plain

SURE = 3.0
"""Standard uncertainties by which a weight in the water must exceed zero to be put under a root."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What all trials say.

    Attributes:
        numbers: the net weight by the tank, the measured speed, pitch and metacentric
            height, as far as known.
        findings: what to say about the trials.
        timed: whether a timed run stands in the place of the predicted speed.
    """

    numbers: tuple[Number, ...]
    findings: tuple[Finding, ...]
    timed: bool


def later_mends(trial: Trial, parts: Sequence[Part]) -> tuple[Part, ...]:
    """The mends that were done after a trial, as parts."""
    return tuple(p for p in parts if p.sort == "mend")[trial.mends or 0 :]


def scenes(
    build: Build, parts: tuple[Part, ...], water: Water
) -> tuple[tuple[Scene, ...], tuple[Finding, ...]]:
    """Every trial whose water is known, with the plug as it was then."""
    found: list[Scene] = []
    findings: list[Finding] = []
    for i, trial in enumerate(build.trial):
        tank, said = tank_water(build, trial, ("trial", i))
        findings.extend(said)
        if tank is not None:
            after = later_mends(trial, parts)
            then = tuple(p for p in parts if not any(p is q for q in after))
            found.append(Scene(build, trial, ("trial", i), tank, water, then, volume(then)))
    return tuple(found), tuple(findings)


def proved(
    build: Build, numbers: Mapping[str, Number], parts: tuple[Part, ...], water: Water
) -> Proof:
    """Net weight by the tank, the measured speed, and whether the prediction holds."""
    seen, said = scenes(build, parts, water)
    findings = [*said, *tank_checks(build)[1]] if build.trial else []
    results: list[TrialResult] = []
    for scene in seen:
        if scene.trial.kind in WAYS:
            result = net_result(scene)
            if isinstance(result, TrialResult):
                result = _past_mends(result, later_mends(scene.trial, parts), water)
            if isinstance(result, Finding):
                findings.append(result)
            else:
                findings.extend(run_findings(scene))
                results.append(result)
    out, more = _of_the_net(build, numbers, results)
    told = [*(attitude_number(s) for s in seen), *(heel_number(s) for s in seen)]
    beside, about = _beside(numbers, [t for t in told if t is not None])
    timed = any(r.speed is not None for r in results)
    return Proof((*out, *beside), (*findings, *more, *about), timed)


def _past_mends(
    result: TrialResult, after: tuple[Part, ...], water: Water
) -> TrialResult | Finding:
    """A trial's result as it would be now, with the mends that came after it."""
    if not after:
        return result
    M, V = mass(after), volume(after)
    if M is None or V is None:
        wrong = "What was mended after this trial is not known, so it says nothing of the plug now."
        return Finding("warning", result.path, wrong, "Complete the mends, or prove it again.")
    now = result.net + M - water.buoyant * V
    return replace(result, net=now, speed=_speed_at(now, result))


def _speed_at(now: Uncertain, then: TrialResult) -> Uncertain | None:
    """The speed of a timed plug with another weight in the water; None unless both surely sink.

    Source: terminal speed of quadratic drag, N g = Cd A rho v2 / 2, with the Cd A that the
    run showed: v = v_then sqrt(N / N_then).
    """
    if then.speed is None or any(N.value <= SURE * N.u for N in (now, then.net)):
        return None
    return apply(lambda v, N, N_then: v * math.sqrt(N / N_then), then.speed, now, then.net)


def _of_the_net(
    build: Build, numbers: Mapping[str, Number], results: list[TrialResult]
) -> tuple[tuple[Number, ...], tuple[Finding, ...]]:
    if not results:
        return (), ()
    net = _combined([r.net for r in results])
    out = [Number("proof_net", net, _working(results))]
    speeds = [r.speed for r in results if r.speed is not None]
    sinking = _combined(speeds) if speeds else None
    if sinking is not None and sinking.value > 0:
        out.append(Number("sink_rate", sinking, _speed_working(results)))
    predicted, weight = numbers.get("net_in_water"), numbers.get("finished_mass")
    findings: list[Finding] = []
    if predicted is not None and weight is not None:
        hair = HANGS * weight.value.value
        findings += _contradictions(results, hair)
        findings += _compare(predicted.value, net, hair)
    return tuple(out), (*findings, *_against_the_aim(build, results))


def _beside(
    numbers: Mapping[str, Number], told: list[Number | Finding]
) -> tuple[tuple[Number, ...], tuple[Finding, ...]]:
    """Pitch and metacentric height by the tank, each the mean of its trials."""
    findings = [t for t in told if isinstance(t, Finding)]
    out = []
    for name, predicted in (("proof_pitch", "rest_pitch"), ("proof_gm", "gm")):
        values = [t for t in told if isinstance(t, Number) and t.name == name]
        if not values:
            continue
        found = Number(name, _combined([v.value for v in values]), values[0].working)
        out.append(found)
        summed = numbers.get(predicted)
        if summed is not None and not agrees(found.value - summed.value):
            findings.append(_lies_otherwise(found, summed))
    return tuple(out), tuple(findings)


def _lies_otherwise(found: Number, summed: Number) -> Finding:
    what, unit = (
        ("pitch at rest", "deg") if found.name == "proof_pitch" else ("metacentric height", "mm")
    )
    return Finding(
        "warning",
        ("trial",),
        f"The tank says {plain(found.published[0], 3)} {unit} of {what}, the sum "
        f"{plain(summed.published[0], 3)} {unit}: more apart than both allow.",
        "Look at the places of ballast and hardware: x aft of the nose, z above the baseline.",
    )


def _combined(values: list[Uncertain]) -> Uncertain:
    """Several trials as one: weighted by certainty, or the plain mean if one has no doubt."""
    weights = (
        [1.0 / v.u**2 for v in values] if all(v.u > 0 for v in values) else [1.0] * len(values)
    )
    return total(w * v for w, v in zip(weights, values, strict=True)) / sum(weights)


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
        "x = v tau ln cosh(t / tau), started from rest with the water dragged along; past a mend "
        "v sqrt(N / N_then)",
        terms,
        "one-dimensional motion with quadratic drag (any mechanics text)",
    )


def _contradictions(results: list[TrialResult], hair: float) -> Iterator[Finding]:
    """Trials that can't all be right, each pair but once and the first only."""
    for one, other in combinations(results, 2):
        gap = other.net - one.net
        if not agrees(gap, hair):
            yield Finding(
                "warning",
                other.path,
                f"This trial says {plain(other.net.value * 1e3, 3)} g in the fishing water, "
                f"{words(one.path)} {plain(one.net.value * 1e3, 3)} g: they contradict each other.",
                "Look at units, the water and bubbles, and repeat both before any mend.",
            )
            return


def _compare(predicted: Uncertain, proof: Uncertain, hair: float) -> tuple[Finding, ...]:
    """A disagreement beyond k = 2, or beyond a hair where nobody stated a doubt."""
    if agrees(proof - predicted, hair):
        return ()
    return (
        Finding(
            "warning",
            ("trial",),
            f"The tank says {plain(proof.value * 1e3, 3)} g in water, "
            f"the sum {plain(predicted.value * 1e3, 3)} g: more apart than both allow.",
            "Look at the density, the coats' mass, the holes and the scale.",
        ),
    )


def _against_the_aim(build: Build, results: list[TrialResult]) -> Iterator[Finding]:
    """Runs that a plug which does what was asked would not make."""
    wrong_way = {"floats": ("sink", "sank"), "sinks": ("rise", "rose")}
    kind, did = wrong_way.get(build.aim.behaviour or "", ("", ""))
    for result in results:
        if build.trial[int(result.path[1])].kind == kind:
            yield Finding(
                "warning",
                result.path,
                f"The plug was to do otherwise: it {build.aim.behaviour} by its aim and {did} "
                "in this trial.",
                "If it went the other way, choose the other kind of trial; else it needs a mend.",
            )
