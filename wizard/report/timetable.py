"""The timetable of the coats as lines: for the screen, for paper, for programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from textwrap import wrap

from wizard.plug.coats.effect import (
    effect_of_coats_to_come,
    effect_of_more,
    in_words,
    last_coat,
)
from wizard.plug.coats.schedule import USUAL_HOURS, as_findings, ids, plugs, zone
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.quantity.showing import literal
from wizard.report.operation import cautions_of, mixing_lines
from wizard.schedule.clock import Due, status
from wizard.schedule.entries import Entry, Timetable
from wizard.schedule.words import day_and_time, span
from wizard.tables import DEFERS, cautions

WIDTH = 78
_LONGEST = 1000  # signs of a line before it is cut into lines


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the timetable, in words.

    Attributes:
        id: of the line.
        number: of the operation in the profile, counted from one; None for a scuff put in.
        state: done, begun, due, overdue, waiting, curing, planned.
        start: when it begins, or began.
        until: when it is done.
        name: what is done.
        about: what to know of its wait and window; may be empty.
    """

    id: str
    number: int | None
    state: str
    start: str
    until: str
    name: str
    about: str


def rows(build: Build, made: Timetable, now: datetime) -> tuple[Row, ...]:
    """The lines of a timetable.

    Args:
        build: the record.
        made: its timetable.
        now: with an offset.
    """
    numbers = {id: n for n, id in enumerate(ids(build), start=1)}
    at, due = zone(build.schedule), status(made, now)
    found = []
    for entry in made.entries:
        id = entry.operation.id
        found.append(
            Row(
                id,
                None if entry.inserted else numbers.get(id),
                _state(entry, due, now),
                day_and_time(entry.start, at),
                _until(entry, at),
                entry.operation.name,
                _about(entry, at),
            )
        )
    return tuple(found)


def _state(entry: Entry, due: Due, now: datetime) -> str:
    if entry.done:
        return "done"
    if entry.running:
        return "begun"
    if not entry.operation.hands_on and entry.finish <= now:
        return "over"
    if due.operation is not None and due.operation.id == entry.operation.id:
        return _WORDS.get(due.kind, "planned")
    return "planned"


_WORDS = {
    "due": "due",
    "overdue": "overdue",
    "waiting": "waiting",
    "possible": "may begin",
    "curing": "curing",
}


def _until(entry: Entry, at: tzinfo | None) -> str:
    start, finish = entry.start.astimezone(at), entry.finish.astimezone(at)
    days = (finish.date() - start.date()).days
    return f"+{days} d {finish:%H:%M}" if days else f"{finish:%H:%M}"


def _about(entry: Entry, at: tzinfo | None) -> str:
    parts = []
    if entry.wait > timedelta(minutes=1):
        parts.append(f"after a wait of {span(entry.wait)}")
    if entry.latest is not None and not (entry.done or entry.running):
        closes = day_and_time(entry.latest, at)
        by = f"its window closes {closes}" if entry.inserted else f"by {closes}, or scuff first"
        parts.append(by)
    return "; ".join(parts)


def effect_lines(build: Build, derived: Derived) -> Iterator[str]:
    """What the coats to come do to the aim, and what to mind before the last one."""
    effect = effect_of_coats_to_come(build, derived)
    if effect is not None:
        yield in_words(effect)
    else:
        more = effect_of_more(build, derived, 2)
        if more is not None:
            yield in_words(more, more=True)
    said = last_coat(build, derived)
    if said is not None:
        yield f"{'! ' if said.level == 'warning' else ''}{said.wrong} {said.remedy}"


def said_of(build: Build, made: Timetable) -> tuple[Finding, ...]:
    """What there is to say about a timetable, at the answers; no hours typed is a note."""
    found = as_findings(build, made.findings)
    if build.schedule.hours is None:
        note = Finding(
            "note",
            ("schedule", "hours"),
            f"The hours at the bench are not given, so {USUAL_HOURS} is taken.",
            "Give yours.",
        )
        return (*found, note)
    return found


def timetable_text(build: Build, derived: Derived, made: Timetable, now: datetime) -> str:
    """The whole timetable as text, on lines of 78 signs at most."""
    lines = [line for text in _lines(build, derived, made, now) for line in _fitted(text)]
    return "\n".join(lines) + "\n"


def _fitted(text: str) -> list[str]:
    """A line cut into lines, the later ones under its own beginning."""
    indent = " " * (len(text) - len(text.lstrip()))
    shown = literal(text, _LONGEST)
    found = wrap(shown, WIDTH, subsequent_indent=f"{indent}  ", break_on_hyphens=False)
    return found or [""]


def _lines(build: Build, derived: Derived, made: Timetable, now: datetime) -> Iterator[str]:
    yield from _head(build, made, now)
    for row in rows(build, made, now):
        number = f"{row.number}" if row.number is not None else "-"
        yield f"{number:>3} {row.state:<9} {row.start:<17}{row.until:<11}{_plain(row.name)}"
        if row.about:
            yield f"{'':14}{row.about}"
    yield from _section("To mix", mixing_lines(build))
    yield from _section("Coats and the aim", effect_lines(build, derived))
    findings = said_of(build, made)
    for title, level in _TITLES:
        yield from _section(title, (_plain(f.text, 400) for f in findings if f.level == level))
    yield from _section("Cautions", _cautions(build))


_TITLES = (("Can't be planned", "refusal"), ("Look at these", "warning"), ("Notes", "note"))


def _head(build: Build, made: Timetable, now: datetime) -> Iterator[str]:
    count = plugs(build)
    several = f" for {count} plugs" if count > 1 else ""
    name = _plain(build.build.name or "A build without a name")
    yield f"{name}: {len(build.operation)} operations{several}"
    yield f"At the bench {_plain(build.schedule.hours or USUAL_HOURS)}"
    yield f"Now: {_plain(status(made, now).text)}"
    if made.ready is not None:
        yield f"Ready for the water: {day_and_time(made.ready, zone(build.schedule))}"
    if made.entries:
        yield ""
        yield f"{'':3} {'state':<9} {'begins':<17}{'done':<11}operation"


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    every = list(lines)
    if every:
        yield ""
        yield title
        yield from (f"  {line}" for line in every)


def _cautions(build: Build) -> Iterator[str]:
    found = cautions_of(build)
    for id, names in found.items():
        caution = cautions()[id]
        shown = ", ".join(names[:3]) + (", ..." if len(names) > 3 else "")
        yield _plain(f"{caution.name} ({shown}): {caution.precaution}", 400)
    if found:
        yield DEFERS


def _plain(text: str, longest: int = 120) -> str:
    return literal(text, longest)
