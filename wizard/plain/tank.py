"""What the tank says, line by line: read, and a mend written down as done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.quantity.reading import whole
from wizard.session.tank import Doing, tank_says

if TYPE_CHECKING:
    from wizard.plain.standing import Standing

NOTHING = "There is no mend to write down."


def show(walk: Standing) -> None:
    """Say the whole page of the proof, and how a mend is written down."""
    told = tank_says(walk.session.build, walk.session.path.parent)
    walk.talk.say(*(told.lines or ("Nothing is told yet.",)))
    if told.doings:
        walk.talk.say("/mend and a number of “What to do” writes it down as done.")


def mend(walk: Standing, number: str) -> None:
    """Write down a mend by its number as done."""
    doings = tank_says(walk.session.build, walk.session.path.parent).doings
    if not doings:
        walk.talk.say(NOTHING)
        return
    if not 1 <= whole(number) <= len(doings):
        walk.talk.say(f"Error: “{number.strip()[:20]}” is no number from 1 to {len(doings)}.")
        return
    doing = doings[whole(number) - 1]
    assert isinstance(doing, Doing)
    walk.talk.say(doing.words)
    if walk.talk.ask("Type yes if that is done:").strip().casefold() != "yes":
        walk.talk.say("Nothing is written down.")
    elif walk.edit(doing.done(walk.session.build), doing.path, "mend"):
        walk.talk.say("It is in the build. /undo takes it out again.")
