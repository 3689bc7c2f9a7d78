"""The iCalendar file, read back by another library than the one that wrote it."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.schedule.calendar import calendar_file
from wizard.schedule.hours import BenchHours, read_hours
from wizard.schedule.operations import Operation
from wizard.schedule.timetable import Timetable, plan

HOUR = timedelta(hours=1)
MONDAY = datetime(2026, 6, 1, 12, tzinfo=UTC)
OPERATIONS = (
    Operation("seal", "Sealer", "seal", hands_on=HOUR / 2, recoat_earliest=4 * HOUR),
    Operation(
        "clear",
        "Topcoat",
        "clear",
        hands_on=HOUR / 2,
        full_cure=72 * HOUR,
        note="thin; two passes, left side",
        before=("edges rounded", "eyes masked"),
    ),
    Operation("cure", "Final cure", "cure"),
    Operation("hang", "Hooks", "hang", hands_on=HOUR / 2),
)


def table(*operations: Operation) -> Timetable:
    hours = read_hours("Mon-Fri 19:00-22:00", "Europe/Paris")
    assert isinstance(hours, BenchHours)
    return plan(operations, hours, MONDAY)


def events(file: bytes) -> list[Any]:
    read = vobject.readOne(file.decode("utf-8"))
    read.validate(raiseException=True)
    return list(read.contents.get("vevent", []))


def test_every_line_is_an_event() -> None:
    timetable = table(*OPERATIONS)
    found = events(calendar_file(timetable, "Harbour Sprat"))
    assert [event.summary.value for event in found] == [
        "Harbour Sprat: Sealer",
        "Harbour Sprat: Topcoat",
        "Harbour Sprat: Final cure",
        "Harbour Sprat: Hooks",
        "Harbour Sprat: ready for the water",
    ]
    for event, entry in zip(found[:-1], timetable.entries, strict=True):
        assert event.dtstart.value == entry.start
        assert event.dtend.value == entry.finish
    assert found[0].dtstart.value == datetime(2026, 6, 1, 17, tzinfo=UTC)  # 19:00 in summer
    assert found[-1].dtstart.value == timetable.ready
    assert [event.transp.value for event in found] == [
        "OPAQUE",
        "OPAQUE",
        "TRANSPARENT",
        "OPAQUE",
        "TRANSPARENT",
    ]
    assert found[1].description.value == (
        "thin; two passes, left side\nBefore: edges rounded\nBefore: eyes masked"
    )
    assert "description" not in found[0].contents


def test_the_same_line_keeps_its_uid() -> None:
    def uids(file: bytes) -> list[str]:
        return [event.uid.value for event in events(file)]

    first = uids(calendar_file(table(*OPERATIONS), "Sprat"))
    done = replace(OPERATIONS[0], finished=MONDAY - HOUR)
    assert uids(calendar_file(table(done, *OPERATIONS[1:]), "Sprat")) == first
    assert len(set(first)) == 5
    assert not set(first) & set(uids(calendar_file(table(*OPERATIONS), "Another")))


def test_a_timetable_without_lines() -> None:
    assert events(calendar_file(Timetable(MONDAY), "Sprat")) == []


@pytest.mark.parametrize(
    "name",
    [
        'semi; comma, back\\slash \\n colon: "quotes"',
        "[b]markup[/b] & <tag>",
        "ČĎ 鰯 🐟 ½",
        "long " * 60,
        "END:VEVENT",
    ],
)
def test_names_come_back_as_they_were(name: str) -> None:
    found = events(calendar_file(table(replace(OPERATIONS[0], name=name)), name))
    assert found[0].summary.value.rstrip() == f"{name}: {name}".rstrip()


@given(st.text(max_size=80), st.text(max_size=80))
@settings(max_examples=100, deadline=None)
def test_any_text_stays_in_its_line(name: str, note: str) -> None:
    operation = replace(
        OPERATIONS[0], name=name + "\r\nEND:VEVENT\x1b]52;\x07", note=note + "\ud800"
    )
    file = calendar_file(table(operation), "Sprat")
    assert len(events(file)) == 2
    lines = file.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert all(len(line) <= 75 for line in lines)  # RFC 5545, section 3.1, in octets
    assert not any(byte < 32 or byte == 127 for line in lines for byte in line)


def test_the_library_is_loaded_when_a_file_is_written() -> None:
    script = "import sys, wizard.schedule.calendar; print('icalendar' in sys.modules)"
    seen = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert seen.stdout.strip() == "False"
