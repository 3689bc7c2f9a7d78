"""The drill plan and the drill list, line by line: shown, put into the build."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.report.ballast_plan import plan_lines
from wizard.session.drill_list import drill_list
from wizard.session.large import alert_at
from wizard.session.plan import proposed

if TYPE_CHECKING:
    from wizard.plain.standing import Standing

WORKING = "Working out a plan from the drawer: a few seconds."
TAKE = "/plan take puts it into the build."


def plan(walk: Standing, word: str) -> None:
    """Say the drill plan; with “take” it is put into the build as well."""
    walk.talk.say(WORKING)
    found = proposed(walk.session.build, walk.bench)
    walk.talk.say(*plan_lines(found, walk.bench))
    if not found.holes:
        return
    if word.strip().casefold() != "take":
        walk.talk.say(TAKE)
        return
    build = found.applied(walk.session.build)
    if walk.edit(build, ("ballast", "hole"), "drill plan"):
        walk.talk.say("ok, the plan is in the build. /undo takes it out again.")


def drill(walk: Standing) -> None:
    """Say the holes that are laid out, each with its drill, place, depth and way."""
    from wizard.plug.derive import derive

    build = walk.session.build
    cards = drill_list(build, walk.bench)
    if not cards:
        walk.talk.say("No hole is laid out yet.")
        return
    alert = alert_at(build, "ballast", derive(build))
    walk.talk.say(*([alert] if alert else []))
    for card in cards:
        walk.talk.say("; ".join(f"{big.over}: {big.text}" for big in card.bigs), *card.notes)
