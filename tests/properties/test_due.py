"""What is due at a moment, and whether the clock that says so can be believed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.schedule.clock import Sighting, clock_jumped, status
from wizard.schedule.hours import BenchHours, read_hours
from wizard.schedule.operations import Operation
from wizard.schedule.timetable import plan
from wizard.schedule.words import Refusal, day_and_time, read_stamp, span, stamp

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
MONDAY = datetime(2026, 6, 1, 19, tzinfo=UTC)

SEAL = Operation(
    "seal",
    "Sealer",
    "seal",
    hands_on=30 * MINUTE,
    recoat_earliest=4 * HOUR,
    recoat_latest=24 * HOUR,
)
CLEAR = Operation("clear", "Topcoat", "clear", hands_on=30 * MINUTE, full_cure=72 * HOUR)
CURE = Operation("cure", "Final cure", "cure")
HANG = Operation("hang", "Hooks", "hang", hands_on=30 * MINUTE)
ALL = (SEAL, CLEAR, CURE, HANG)


def bench() -> BenchHours:
    found = read_hours("Mon-Sun 19:00-22:00", "UTC")
    assert isinstance(found, BenchHours)
    return found


def said(
    operations: tuple[Operation, ...], made: timedelta, now: timedelta
) -> tuple[str, str | None, str]:
    """Kind, operation and text; both moments after Monday 19:00."""
    due = status(plan(operations, bench(), MONDAY + made), MONDAY + now)
    return due.kind, due.operation.id if due.operation else None, due.text


def marked(**finished: timedelta) -> tuple[Operation, ...]:
    """The operations, those named finished at times after Monday 19:00."""
    return tuple(
        replace(one, finished=MONDAY + finished[one.id]) if one.id in finished else one
        for one in ALL
    )


NOW = 0 * HOUR
SEALED = marked(seal=HOUR / 2)
COATED = marked(seal=HOUR / 2, clear=24 * HOUR)


@pytest.mark.parametrize(
    ("operations", "made", "now", "expected"),
    [
        (ALL, NOW, -HOUR, ("possible", "seal", "Sealer may begin, planned in 1 h")),
        (ALL, NOW, NOW, ("due", "seal", "Sealer is due now")),
        (ALL, NOW, 2 * HOUR, ("due", "seal", "Sealer has been due for 2 h")),
        (
            (replace(SEAL, started=MONDAY), *ALL[1:]),
            NOW,
            10 * MINUTE,
            ("running", "seal", "Sealer: 20 min left"),
        ),
        (
            (replace(SEAL, started=MONDAY), *ALL[1:]),
            NOW,
            HOUR,
            ("overdue", "seal", "Sealer is still marked as begun: mark its finish"),
        ),
        (
            SEALED,
            HOUR / 2,
            140 * MINUTE,
            ("waiting", "clear", "earliest next coat in 2 h 10 min"),
        ),
        (
            SEALED,
            HOUR / 2,
            5 * HOUR,
            (
                "possible",
                "clear",
                "Topcoat may begin, planned in 19 h; 19 h 30 min until it needs a scuff",
            ),
        ),
        (
            SEALED,
            HOUR / 2,
            24 * HOUR,
            ("due", "clear", "Topcoat is due now; 30 min until it needs a scuff"),
        ),
        # The same told by a timetable made before the window closed, and by one made after.
        (
            SEALED,
            HOUR / 2,
            26 * HOUR,
            ("overdue", "clear", "Topcoat is overdue by 1 h 30 min: scuff first"),
        ),
        (
            SEALED,
            26 * HOUR,
            26 * HOUR,
            ("overdue", "scuff-clear", "Topcoat is overdue by 1 h 30 min: scuff first"),
        ),
        (COATED, 24 * HOUR, 30 * HOUR, ("curing", "cure", "Final cure: 2 d 18 h left")),
        # The 72 hours end on Friday at 19:00, without a mark.
        (COATED, 24 * HOUR, 97 * HOUR, ("due", "hang", "Hooks has been due for 1 h")),
        (
            marked(seal=HOUR / 2, clear=24 * HOUR, cure=96 * HOUR, hang=97 * HOUR),
            98 * HOUR,
            98 * HOUR,
            ("ready", None, "ready for the water"),
        ),
        (
            (replace(CLEAR, finished=MONDAY),),
            NOW,
            HOUR,
            ("curing", None, "done; fully cured in 2 d 23 h"),
        ),
        ((), NOW, NOW, ("nothing", None, "No operations yet.")),
    ],
)
def test_what_is_due(
    operations: tuple[Operation, ...],
    made: timedelta,
    now: timedelta,
    expected: tuple[str, str | None, str],
) -> None:
    assert said(operations, made, now) == expected


def test_what_can_not_be_planned_says_why() -> None:
    due = status(plan(ALL, BenchHours(()), MONDAY), MONDAY)
    assert (due.kind, due.operation) == ("nothing", None)
    assert due.text.startswith("The bench is never open")


def test_a_countdown_never_says_too_little() -> None:
    table = plan(SEALED, bench(), MONDAY + HOUR / 2)
    earliest = MONDAY + 4.5 * HOUR
    due = status(table, earliest - timedelta(seconds=61))
    assert (due.when, due.text) == (earliest, "earliest next coat in 2 min")
    assert status(table, earliest).kind == "possible"


def test_the_zone_of_now_does_not_matter() -> None:
    table = plan(SEALED, bench(), MONDAY + HOUR / 2)
    later = MONDAY + 3 * HOUR
    assert status(table, later.astimezone(ZoneInfo("Asia/Tokyo"))) == status(table, later)


# ---------------------------------------------------------------------------
# The clock


@pytest.mark.parametrize(
    ("passed", "counted", "expected"),
    [
        (HOUR, (100.0, 3700.0), None),
        (HOUR, (100.0, 3701.5), None),
        (HOUR, (None, None), None),
        (HOUR, (5000.0, 10.0), None),  # the computer was started anew
        (-HOUR, (None, None), ("back", HOUR)),
        (-HOUR, (5000.0, 10.0), ("back", HOUR)),
        (timedelta(0), (100.0, 3700.0), ("back", HOUR)),
        (-HOUR, (100.0, 3700.0), ("back", 2 * HOUR)),
        (5 * HOUR, (100.0, 3700.0), ("ahead", 4 * HOUR)),
        (48 * HOUR, (100.0, None), None),
    ],
)
def test_a_clock_that_was_set(
    passed: timedelta,
    counted: tuple[float | None, float | None],
    expected: tuple[str, timedelta] | None,
) -> None:
    jump = clock_jumped(Sighting(MONDAY, counted[0]), Sighting(MONDAY + passed, counted[1]))
    assert (jump and (jump.way, jump.by)) == expected
    if jump:
        assert span(jump.by) in jump.text


def test_a_change_of_zone_or_season_is_no_jump() -> None:
    paris = ZoneInfo("Europe/Paris")
    before = datetime(2026, 10, 25, 2, 59, tzinfo=paris)
    after = datetime(2026, 10, 25, 2, 1, tzinfo=paris, fold=1)
    assert clock_jumped(Sighting(before, 0.0), Sighting(after, 120.0)) is None
    moved = (MONDAY + HOUR).astimezone(ZoneInfo("America/New_York"))
    assert clock_jumped(Sighting(MONDAY, 0.0), Sighting(moved, 3600.0)) is None


# ---------------------------------------------------------------------------
# Words and stamps


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0, "0 min"),
        (1, "1 min"),
        (60, "1 min"),
        (3599, "1 h"),
        (7800, "2 h 10 min"),
        (-7800, "2 h 10 min"),
        (2 * 86400 - 60, "47 h 59 min"),
        (2 * 86400, "2 d"),
        (2 * 86400 + 1, "2 d 1 h"),
        (3 * 86400 + 4 * 3600, "3 d 4 h"),
    ],
)
def test_spans(seconds: int, words: str) -> None:
    assert span(timedelta(seconds=seconds)) == words


def test_day_and_time() -> None:
    assert day_and_time(MONDAY, ZoneInfo("Asia/Tokyo")) == "Tue 2 Jun 04:00"


zones = st.sampled_from(["UTC", "Europe/Paris", "America/St_Johns", "Asia/Kathmandu"]).map(ZoneInfo)


@given(st.datetimes(datetime(1980, 1, 1), datetime(2100, 1, 1), timezones=zones))
def test_a_stamp_is_the_same_instant(moment: datetime) -> None:
    whole = moment.astimezone(UTC).replace(microsecond=0)
    read = read_stamp(stamp(moment, moment.tzinfo))
    assert isinstance(read, datetime)
    assert read.astimezone(UTC) == whole


def test_a_stamp_has_an_offset() -> None:
    winter = datetime(2026, 1, 5, 18, 30, tzinfo=UTC)
    assert stamp(winter, ZoneInfo("Europe/Paris")) == "2026-01-05T19:30:00+01:00"
    assert read_stamp("2026-01-05T18:30:00Z") == winter
    for text, reason in (
        ("2026-01-05T18:30:00", "no offset"),
        ("2026-01-05", "no offset"),
        ("yesterday", "unreadable"),
        ("", "unreadable"),
    ):
        read = read_stamp(text)
        assert isinstance(read, Refusal)
        assert read.reason == reason
