"""The timetable as an iCalendar file, for any calendar program (RFC 5545)."""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from wizard.schedule.entries import Entry, Timetable

if TYPE_CHECKING:
    from datetime import datetime

    from icalendar import Event

_OURS = uuid5(NAMESPACE_URL, "plugwright:timetable")
_NO_TEXT = ("C", "Zl", "Zp")  # categories: controls, formats, what is no sign; line breaks
_LONGEST = 500  # signs of a name or a note


def calendar_file(timetable: Timetable, build: str) -> bytes:
    """The bytes of an ``.ics`` file; the same line gets the same UID each time.

    Work at the bench makes the maker busy, a wait that needs nobody does not. The last
    event, without a length, is when the water may have it.

    Args:
        timetable: whose lines become events.
        build: name of the build, set before each event's name.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Plugwright//Timetable//EN")
    calendar.add("version", "2.0")
    for entry in timetable.entries:
        event = _event(timetable, build, entry.operation.id, entry.operation.name, entry.start)
        event.add("dtend", entry.finish)
        event.add("transp", "OPAQUE" if entry.operation.hands_on else "TRANSPARENT")
        about = _about(entry)
        if about:
            event.add("description", about)
        calendar.add_component(event)
    if timetable.ready is not None:
        event = _event(timetable, build, "", "ready for the water", timetable.ready)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _event(timetable: Timetable, build: str, id: str, name: str, start: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", str(uuid5(_OURS, f"{_plain(build)}\n{_plain(id)}")))
    event.add("dtstamp", timetable.made)
    event.add("dtstart", start)
    event.add("summary", f"{_plain(build)}: {_plain(name)}")
    return event


def _about(entry: Entry) -> str:
    operation = entry.operation
    lines = [_plain(operation.note)] if operation.note else []
    lines += [f"Before: {_plain(what)}" for what in operation.before]
    return "\n".join(lines)


def _plain(text: str) -> str:
    """Text without what RFC 5545 forbids in it and what a terminal would act on."""
    shown = text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…"
    return "".join(
        " " if unicodedata.category(sign).startswith(_NO_TEXT) else sign for sign in shown
    )
