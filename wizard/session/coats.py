"""The timetable of the coats at work: what a line says, what a mark means, what is against it.

Pure; the app and the plain mode share it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from wizard.plug.coats.effect import last_coat
from wizard.plug.coats.proposing import with_proposal
from wizard.plug.coats.schedule import finished, ids, jumped, started, timetable, zone
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.report.operation import detail_lines
from wizard.report.timetable import effect_lines, rows, said_of
from wizard.schedule.clock import status
from wizard.schedule.entries import Entry, Timetable
from wizard.schedule.operations import NOTHING
from wizard.schedule.words import MINUTE, day_and_time, span
from wizard.session.option import Option

Act = Literal["begin", "finish", "nothing"]

WORTH_SAYING = 2 * MINUTE
"""A wait shorter than this is no wait."""


@dataclass(frozen=True, slots=True)
class Mark:
    """What marking a line would do.

    Attributes:
        act: begin it, finish it, or nothing.
        doubts: what speaks against it, sentences.
        said: what stands in its way, or what was done, a sentence.
        is_done: whether it is finished already; that mark can be taken back.
    """

    act: Act
    doubts: tuple[str, ...] = ()
    said: str = ""
    is_done: bool = False


def shown(build: Build) -> tuple[Build, bool]:
    """The build whose timetable is shown, and whether its operations are only proposed."""
    return (build, False) if build.operation else (with_proposal(build), True)


def choices(build: Build, made: Timetable, now: datetime) -> tuple[Option, ...]:
    """The lines of a timetable as a list to point at."""
    found = rows(build, made, now)
    longest = max((len(row.name) for row in found), default=0)
    return tuple(
        Option(
            row.id,
            f"{row.state:<9} {row.start:<16} {row.name:<{min(longest, 24)}}",
            (entry.wait.total_seconds() >= 120 and f"wait {span(entry.wait)}") or "",
        )
        for row, entry in zip(found, made.entries, strict=True)
    )


def pointed_first(made: Timetable, now: datetime) -> str:
    """The line that is next; the last one when nothing is left."""
    due = status(made, now)
    if due.operation is not None:
        return due.operation.id
    return made.entries[-1].operation.id if made.entries else ""


def state_lines(build: Build, made: Timetable, now: datetime) -> Iterator[str]:
    """What holds now: what is next, when it will be ready, whether the clock is right."""
    at = zone(build.schedule)
    yield f"{day_and_time(now, at)}: {status(made, now).text}"
    for entry in made.entries:
        life = entry.operation.pot_life
        if entry.running and life is not None:
            left = entry.start + life - now
            over = left <= NOTHING
            yield "! The mix is past its pot life" if over else f"Pot life: {span(left)} left"
    if made.ready is not None and now < made.ready:
        yield f"Ready for the water {day_and_time(made.ready, at)}"
    jump = jumped(build, now)
    if jump is not None:
        yield f"! {jump.text}"


def about_lines(
    build: Build, made: Timetable, derived: Derived | None, id: str, now: datetime
) -> tuple[str, ...]:
    """All that is to know of a line: what marking it does, window, times, mixing, cautions.

    Args:
        build: the record.
        made: its timetable.
        derived: what follows from the build, once it is worked out.
        id: of the line.
        now: with an offset.
    """
    entry = _entry(made, id)
    if entry is None:
        return tuple(f"! {finding.wrong} {finding.remedy}" for finding in made.findings)
    places = ids(build)
    lines = [_window(build, entry)]
    findings = [f for f in said_of(build, made) if _concerns(f.path, places, id)]
    lines += [f"{'! ' * (f.level != 'note')}{f.wrong} {f.remedy}" for f in findings]
    if derived is not None:
        lines += effect_lines(build, derived)
    if id in places:
        lines += detail_lines(build, places.index(id))
    return tuple(line for line in lines if line)


def _concerns(path: tuple[str | int, ...], places: tuple[str, ...], id: str) -> bool:
    """Whether a finding is about a line, or about the timetable as a whole."""
    if path[:1] != ("operation",) or len(path) < 2:
        return True
    return id in places and path[1] == places.index(id)


def _window(build: Build, entry: Entry) -> str:
    at = zone(build.schedule)
    if entry.done:
        return f"Finished {day_and_time(entry.finish, at)}."
    if entry.running:
        done = f"{entry.finish.astimezone(at):%H:%M}"
        return f"Begun {day_and_time(entry.start, at)}, done about {done}."
    parts = [f"Planned {day_and_time(entry.start, at)} to {day_and_time(entry.finish, at)}"]
    if entry.earliest is not None:
        parts.append(f"what is beneath allows it from {day_and_time(entry.earliest, at)}")
    if entry.latest is not None:
        parts.append(f"until {day_and_time(entry.latest, at)}")
    return f"{', '.join(parts)}."


def _entry(made: Timetable, id: str) -> Entry | None:
    return next((entry for entry in made.entries if entry.operation.id == id), None)


def mark_of(build: Build, made: Timetable, derived: Derived | None, id: str, now: datetime) -> Mark:
    """What marking a line would do now, and what speaks against it; arguments as above."""
    entry = _entry(made, id)
    if entry is None:
        return Mark("nothing", said="There is nothing to mark.")
    name = entry.operation.name
    if entry.done:
        when = day_and_time(entry.finish, zone(build.schedule))
        return Mark("nothing", said=f"“{name}” was finished {when}.", is_done=True)
    if entry.running or not entry.operation.hands_on:
        return Mark("finish", tuple(_against_finishing(entry, now)))
    return Mark("begin", tuple(_against_beginning(build, made, derived, entry, now)))


def _against_finishing(entry: Entry, now: datetime) -> Iterator[str]:
    if not entry.operation.hands_on and now < entry.finish:
        yield f"“{entry.operation.name}” has {span(entry.finish - now)} left."


def _against_beginning(
    build: Build, made: Timetable, derived: Derived | None, entry: Entry, now: datetime
) -> Iterator[str]:
    for earlier in made.entries:
        if earlier.operation.id == entry.operation.id:
            break
        if not earlier.done and not (earlier.finish <= now and not earlier.operation.hands_on):
            yield f"“{earlier.operation.name}” before it is not marked as done."
            break
    if entry.earliest is not None and now < entry.earliest:
        yield f"It is {span(entry.earliest - now)} too early for what is beneath."
    if entry.latest is not None and entry.latest < now and not entry.inserted:
        yield f"Its window closed {span(now - entry.latest)} ago: scuff first."
    said = last_coat(build, derived) if derived is not None else None
    if said is not None and said.level == "warning":
        places = ids(build)
        if entry.operation.id in places and said.path[1] == places.index(entry.operation.id):
            yield f"{said.wrong} {said.remedy}"


def marked(build: Build, id: str, act: Act, now: datetime) -> tuple[Build, str]:
    """The build with a line marked, and what to say of it.

    Args:
        build: the record.
        id: of a line of its timetable.
        act: begin or finish it.
        now: with an offset.
    """
    name = _name(build, id, now)
    if act == "begin":
        return started(build, id, now), f"{name} begun. Enter again when it is finished."
    changed = finished(build, id, now)
    return changed, f"{name} finished. Next: {status(timetable(changed, now), now).text}."


def _name(build: Build, id: str, now: datetime) -> str:
    entry = _entry(timetable(build, now), id)
    return entry.operation.name if entry is not None else id
