"""The timetable of the coats, line by line: shown, taken over, marked, weighed."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from wizard.plug.coats.proposing import with_proposal
from wizard.plug.coats.schedule import ids, timetable
from wizard.plug.coats.weighed_coats import weigh
from wizard.plug.derive import derive
from wizard.plug.paths import spec_at
from wizard.plug.record import Build
from wizard.quantity.reading import whole
from wizard.report.timetable import timetable_text
from wizard.session.coats import Act, mark_of, marked, shown
from wizard.steps.answering import Unclear, answer
from wizard.steps.prompts import Prompt, Question

if TYPE_CHECKING:
    from wizard.plain.standing import Standing

FIRST = "The timetable is not begun: /timetable take takes the proposed one over."


def show(walk: Standing, word: str) -> None:
    """Say the timetable; with “take” the proposed one is taken over first."""
    now = datetime.now().astimezone()
    build = walk.session.build
    if word.strip().casefold() == "take" and not build.operation:
        walk.edit(with_proposal(build), ("operation",), "timetable begun")
    build, is_proposed = shown(walk.session.build)
    text = timetable_text(build, derive(build), timetable(build, now), now)
    walk.talk.say(*text.splitlines())
    if is_proposed:
        walk.talk.say(FIRST)


def mark(walk: Standing, number: str, act: Act) -> None:
    """Begin or finish an operation by its number; says what speaks against it and asks."""
    build = walk.session.build
    if not build.operation:
        walk.talk.say(FIRST)
        return
    if not 1 <= whole(number) <= len(build.operation):
        walk.talk.say(
            f"Error: “{number.strip()[:20]}” is no number from 1 to {len(build.operation)}."
        )
        return
    id, now = ids(build)[whole(number) - 1], datetime.now().astimezone()
    found = mark_of(build, timetable(build, now), derive(build), id, now)
    if found.act == "nothing":
        walk.talk.say(found.said)
        return
    if found.act == act and found.doubts:
        walk.talk.say(*(f"! {doubt}" for doubt in found.doubts))
        if walk.talk.ask("Type yes to do it all the same:").strip().casefold() != "yes":
            walk.talk.say("Nothing is marked.")
            return
    _change(walk, *marked(build, id, act, now))


def weighed(walk: Standing, text: str) -> None:
    """Keep what the scale shows for the plug as it is now."""
    build = walk.session.build
    path = ("weight", len(build.weight), "mass")
    taken = answer(
        build, Question(path, Prompt("mass", "", "", unit="g"), spec_at(path), None), text
    )
    if isinstance(taken, Unclear):
        walk.talk.say(f"Error: {taken.wrong} {taken.remedy}")
        return
    mass = taken.weight[-1].mass
    assert mass is not None
    found = weigh(build, mass, datetime.now().astimezone())
    _change(walk, found.build, found.words)


def _change(walk: Standing, build: Build, words: str) -> None:
    if walk.edit(build, ("operation",), words.partition(".")[0]):
        walk.talk.say(words.replace(" Enter again when it is finished.", ""))
        walk.say_news()
