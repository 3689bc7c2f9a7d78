"""The walk: the steps in order, and where a build stands in it."""

from __future__ import annotations

from wizard.plug.paths import put
from wizard.plug.record import Build, StepId
from wizard.steps import (
    ballast,
    coating,
    density,
    hardware,
    plan,
    proof,
    review,
    shape,
    stock,
    weighing,
)
from wizard.steps.prompts import Phase, Step, is_done, may_be_skipped

STEPS: tuple[Step, ...] = (
    plan.STEP,
    stock.STEP,
    shape.STEP,
    weighing.STEP,
    density.STEP,
    ballast.STEP,
    hardware.STEP,
    coating.STEP,
    proof.STEP,
    review.STEP,
)
PHASES: tuple[Phase, ...] = ("plan", "measure", "ballast", "finish")


def step_named(name: StepId | str | None) -> Step:
    """The step of that word; the first for none."""
    return next((step for step in STEPS if step.id == name), STEPS[0])


def position(step: Step) -> int:
    """Place of a step in the walk, counted from one."""
    return STEPS.index(step) + 1


def after(step: Step) -> Step | None:
    """The next step; None after the last."""
    place = STEPS.index(step) + 1
    return STEPS[place] if place < len(STEPS) else None


def before(step: Step) -> Step | None:
    """The step before; None before the first."""
    place = STEPS.index(step)
    return STEPS[place - 1] if place else None


def state(build: Build, step: Step) -> str:
    """Where a step stands, in words."""
    if not is_done(build, step):
        return "something is open"
    return "may be skipped" if may_be_skipped(build, step) else "answered"


def at_step(build: Build, step: Step) -> Build:
    """The build, resumed at a step next time."""
    return put(build, ("build", "step"), step.id)


def same_answers(one: Build, other: Build) -> bool:
    """Whether two builds differ in nothing but the step at which they stand."""
    return one is other or at_step(one, STEPS[0]) == at_step(other, STEPS[0])


def done_steps(build: Build) -> tuple[StepId, ...]:
    """The steps that have all they need."""
    return tuple(step.id for step in STEPS if is_done(build, step))
