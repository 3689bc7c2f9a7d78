"""Trials of how the plug lies: its pitch by eye or angle, and the heel test."""

from __future__ import annotations

import math

from wizard.certainty import Cause, Uncertain, apply, exact, measured
from wizard.physics.density import accuracy_u
from wizard.physics.parts import Part, Place, centre_of_gravity, mass
from wizard.physics.proving import LARGEST_HEEL, metacentric_height_by_heel
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.afloat import floater
from wizard.plug.doubts import bench_scale
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.paths import words
from wizard.plug.tank.trials import Scene

EYE = math.radians(3.0)
"""How far an angle judged by eye may be off, where nothing is stated [rad]: a judgement."""


def _angle(scene: Scene, typed: float) -> Uncertain:
    at = scene.trial.angle_accuracy
    doubt = Cause(words((*scene.path, "angle")), "accuracy")
    return measured(typed, accuracy_u(at.value if at else EYE), doubt)


def attitude_number(scene: Scene) -> Number | Finding | None:
    """Nose-down pitch as seen [rad]; None for another kind of trial."""
    if scene.trial.kind != "attitude":
        return None
    if scene.trial.angle is None:
        return scene.missing("the angle")
    source = "by eye or with a protractor against the water"
    value = _angle(scene, scene.trial.angle.value)
    return Number("proof_pitch", value, Working("pitch as seen, nose down positive", (), source))


def heel_number(scene: Scene) -> Number | Finding | None:
    """Metacentric height of the plug alone by a heel test [m]; None for another kind of trial."""
    trial = scene.trial
    if trial.kind != "heel":
        return None
    missing = _what_is_missing(scene)
    if missing is not None:
        return missing
    assert trial.weight is not None
    assert trial.moved is not None
    assert trial.angle is not None
    M = mass(scene.parts)
    assert M is not None
    heel = _angle(scene, abs(trial.angle.value))
    weight = bench_scale(scene.build).reading(trial.weight, (*scene.path, "weight"))
    if heel.value > LARGEST_HEEL:
        return _too_far(scene)
    try:
        loaded = apply(metacentric_height_by_heel, weight, trial.moved.value, M + weight, heel)
    except OutsideValidity as error:
        return Finding("warning", scene.path, f"The heel test can't be used: {error}.", "")
    correction = _without_the_weight(scene, M.value, weight.value)
    terms = (
        Term("m", "weight shifted", weight, "g", "measured"),
        Term("d", "across by", trial.moved.value, "mm", "measured"),
        Term("M", "plug and weight", M + weight, "g"),
        Term("phi", "heel", heel, "deg"),
        Term("GM", "with the weight on board", loaded, "mm"),
    )
    formula = "GM = m d / (M tan phi), less what the weight on board changes by the sum"
    source = "the inclining experiment (any text on ship stability)"
    return Number("proof_gm", loaded + correction, Working(formula, terms, source))


def _what_is_missing(scene: Scene) -> Finding | None:
    trial = scene.trial
    for value, what in (
        (trial.weight, "the weight"),
        (trial.moved, "how far it was moved"),
        (trial.angle, "the heel"),
    ):
        if value is None or value.value == 0:
            return scene.missing(what)
    if mass(scene.parts) is None:
        return scene.missing("the mass of the plug", "Weigh it.")
    return None


def _too_far(scene: Scene) -> Finding:
    return Finding(
        "warning",
        (*scene.path, "angle"),
        f"A heel beyond {math.degrees(LARGEST_HEEL):.0f} degrees says nothing of GM.",
        "Take a lighter weight or a shorter way: two to five degrees are best.",
    )


def _without_the_weight(scene: Scene, plug: float, weight: float) -> Uncertain:
    """GM of the plug alone less that with the weight on board, by the sum [m]; 0 if unknown."""
    afloat = floater(scene.build, scene.parts)
    if afloat is None:
        return exact(0.0)
    body, gravity = afloat.body, afloat.gravity
    x = scene.trial.x.value if scene.trial.x else gravity.x.value
    z = scene.trial.z.value if scene.trial.z else float(body.top(min(max(x, 0.0), body.tail)))
    aboard = Part("weight", "hardware", exact(weight), exact(0.0), Place(x, z), "finished")
    loaded = (*scene.parts, aboard)
    centre = centre_of_gravity(loaded)
    heavy = None if centre is None else floater(scene.build, loaded)
    alone = afloat.at(plug, scene.tank.buoyant)
    with_it = None if heavy is None else heavy.at(plug + weight, scene.tank.buoyant)
    if alone is None or with_it is None:
        return exact(0.0)
    return exact(alone.gm - with_it.gm)
