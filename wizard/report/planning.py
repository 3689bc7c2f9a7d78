"""What the drawing promises before anything is cut, in words; estimates, and marked so."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.plug.ballast.drilling import drill_name
from wizard.plug.ballast.planned import Planned
from wizard.plug.record import Build
from wizard.plug.rule import rule_of
from wizard.report.showing import amount


def planning_lines(build: Build, plan: Planned | None) -> Iterator[str]:
    """Volume, weight, ballast and whether there is room for it; nothing without a plan."""
    if plan is None:
        return
    chosen = build.build.units
    yield f"Estimated with {' and '.join(plan.assumed) or 'what is measured'}:"
    yield (
        f"the body holds {amount(plan.volume, 'mL', chosen)} and will weigh "
        f"{amount(plan.body, 'g', chosen)};"
    )
    if plan.ballast is None or plan.takes is None:
        yield "the ballast can be estimated once water and aim are answered."
        return
    yield (
        f"the aim asks for {amount(plan.ballast, 'g', chosen)} of {plan.metal} in "
        f"{amount(plan.takes, 'mL', chosen)}, hardware and coats as far as they are answered."
    )
    yield _room(build, plan)


def planning_line(build: Build, plan: Planned | None) -> str:
    """The same in one line; empty without a plan."""
    if plan is None:
        return ""
    chosen = build.build.units
    body = f"estimated before cutting: body {amount(plan.body, 'g', chosen)}"
    if plan.ballast is None or plan.takes is None:
        return body
    held = 0.0 if plan.capacity is None else plan.capacity.volume
    room = f"{amount(plan.takes, 'mL', chosen)} of {amount(held, 'mL', chosen)}"
    fits = f"there is room: {room}" if plan.fits else f"! no room: {room}"
    return f"{body}, {plan.metal} {amount(plan.ballast, 'g', chosen)}; {fits}"


def _room(build: Build, plan: Planned) -> str:
    most = plan.capacity
    if most is None:
        return "! There is no room: no usual drill leaves its walls anywhere."
    drill = drill_name(most.diameter, rule_of(build))
    holes = "1 hole" if most.count == 1 else f"{most.count} holes"
    held = f"{holes} of {drill} hold up to {amount(most.volume, 'mL', build.build.units)}"
    if plan.fits:
        return f"There is room: {held}."
    return f"! There is no room: {held}. A denser metal, lighter wood or a larger body would do."
