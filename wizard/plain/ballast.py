"""The drill plan, line by line: shown, put into the build."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.report.ballast_plan import plan_lines
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
