"""Hours at the bench: the text form, and instants against a look at the wall clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.schedule.hours import (
    EXAMPLE,
    BenchHours,
    Opening,
    fits,
    last_start,
    next_start,
    read_hours,
)
from wizard.schedule.words import Refusal

HOUR = timedelta(hours=1)
QUARTER = timedelta(minutes=15)
PARIS = ZoneInfo("Europe/Paris")


def hours(text: str, zone: str | None = "Europe/Paris") -> BenchHours:
    found = read_hours(text, zone)
    assert isinstance(found, BenchHours), found
    return found


# ---------------------------------------------------------------------------
# The text


def test_the_example() -> None:
    found = hours(EXAMPLE)
    assert [opening.day for opening in found.openings] == [0, 1, 2, 3, 4, 5, 6]
    assert found.openings[0] == Opening(0, time(19), time(22))
    assert found.openings[6] == Opening(6, time(8), time(20))
    assert found.zone == PARIS


@pytest.mark.parametrize(
    ("text", "openings"),
    [
        ("wed 9:00-9:30", [Opening(2, time(9), time(9, 30))]),
        ("Mon,Thu 19:00 - 22:00;", [Opening(day, time(19), time(22)) for day in (0, 3)]),
        ("Sun–Mon 22:00–01:00", [Opening(day, time(22), time(1)) for day in (0, 6)]),
        ("SAT 00:00-24:00", [Opening(5, time(0), time(0))]),
        (
            "Sat 08:00-12:00, 13:00-24:00",
            [Opening(5, time(8), time(12)), Opening(5, time(13), time(0))],
        ),
        ("Tue 08:00-12:00; Tue 08:00-12:00", [Opening(1, time(8), time(12))]),
    ],
)
def test_text_that_is_read(text: str, openings: list[Opening]) -> None:
    assert list(hours(text).openings) == openings


@pytest.mark.parametrize(
    ("text", "reason", "words"),
    [
        ("", "empty", "No hours"),
        (" ; ", "empty", "No hours"),
        ("evenings", "unreadable", "'evenings'"),
        ("19:00-22:00", "unreadable", "days and hours"),
        ("Mon", "unreadable", "'Mon'"),
        ("Monday 19:00-22:00", "day", "'Monday'"),
        ("Mon-Tue-Wed 19:00-22:00", "day", "'Mon-Tue-Wed'"),
        ("Mon, 19:00-22:00", "day", "Mon, Tue, Wed"),
        ("Mon 19-22", "unreadable", "'19-22'"),
        ("Mon 19:00-22:00-23:00", "unreadable", "isn't hours"),
        ("Mon 19:00-25:00", "time", "on the clock"),
        ("Mon 19:60-22:00", "time", "'19:60-22:00'"),
        ("Mon 24:00-02:00", "time", "on the clock"),
        ("Mon 19:00-19:00", "no length", "over at once"),
        ("Mon 00:00-00:00", "no length", "00:00-24:00"),
        ("Mon 19:00-22:00 " * 40, "too long", "640 characters"),
        ("Mon １９:00-22:00", "unreadable", "days and hours"),
    ],
)
def test_text_that_is_refused(text: str, reason: str, words: str) -> None:
    found = read_hours(text, "UTC")
    assert isinstance(found, Refusal)
    assert found.reason == reason
    assert words in str(found)


@pytest.mark.parametrize("zone", ["Europe/Nowhere", "", "../../etc/passwd", "/etc/localtime", "\0"])
def test_a_zone_that_is_not_known(zone: str) -> None:
    found = read_hours(EXAMPLE, zone)
    assert isinstance(found, Refusal)
    assert found.reason == "zone"


@given(st.text(max_size=60) | st.text(alphabet="MonTueSat0123459:-,; ", max_size=40))
@settings(max_examples=100, deadline=None)
def test_any_text_is_hours_or_refused(text: str) -> None:
    found = read_hours(text, "UTC")
    assert isinstance(found, BenchHours | Refusal)
    if isinstance(found, Refusal):
        assert found.wrong
        assert found.remedy


# ---------------------------------------------------------------------------
# Instants, against a look at the wall clock every quarter of an hour


def is_open(bench: BenchHours, moment: datetime) -> bool:
    """What the clock on the wall says, in weeks in which it isn't changed."""
    local = moment.astimezone(bench.zone)
    day, minute = local.weekday(), local.hour * 60 + local.minute
    for opening in bench.openings:
        begin = opening.opens.hour * 60 + opening.opens.minute
        end = opening.closes.hour * 60 + opening.closes.minute
        if end <= begin:
            end += 24 * 60
        since = ((day - opening.day) % 7) * 24 * 60 + minute
        if begin <= since < end:
            return True
    return False


quarters = st.integers(0, 95).map(lambda number: time(number // 4, number % 4 * 15))
benches = st.builds(
    lambda openings, zone: BenchHours(tuple(openings), ZoneInfo(zone)),
    st.lists(st.builds(Opening, st.integers(0, 6), quarters, quarters), min_size=1, max_size=6),
    st.sampled_from(["UTC", "America/St_Johns", "Pacific/Kiritimati", "Asia/Kathmandu"]),
)
moments = st.integers(0, 7 * 96).map(
    lambda number: datetime(2026, 6, 3, tzinfo=UTC) + number * QUARTER
)
blocks = st.integers(1, 40).map(lambda number: number * QUARTER)


def whole(bench: BenchHours, start: datetime, block: timedelta) -> bool:
    return all(is_open(bench, start + step * QUARTER) for step in range(block // QUARTER))


@given(benches, moments, blocks)
@settings(max_examples=100, deadline=None)
def test_next_and_last_start_against_the_wall_clock(
    bench: BenchHours, moment: datetime, block: timedelta
) -> None:
    steps = [number * QUARTER for number in range(15 * 96)]
    later = next((moment + step for step in steps if whole(bench, moment + step, block)), None)
    sooner = next((moment - step for step in steps if whole(bench, moment - step, block)), None)
    assert next_start(bench, moment, block) == later
    assert last_start(bench, moment, block) == sooner
    assert fits(bench, moment, block) == (later == moment)


@given(benches, st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)))
@settings(max_examples=50, deadline=None)
def test_next_open_moment(bench: BenchHours, moment: datetime) -> None:
    found = next_start(bench, moment.replace(tzinfo=UTC), timedelta(0))
    assert found is not None
    assert next_start(bench, found, timedelta(0)) == found


# ---------------------------------------------------------------------------
# The clocks change. Europe/Paris: 29 March 2026 02:00 -> 03:00, 25 October 2026 03:00 -> 02:00


def spans(bench: BenchHours, day: date) -> list[tuple[str, str]]:
    return [(f"{a:%d %H:%M}", f"{b:%d %H:%M}") for a, b in bench.spans(day)]


def test_an_evening_is_an_evening_in_winter_and_summer() -> None:
    bench = hours("Mon-Sun 19:00-22:00")
    assert spans(bench, date(2026, 3, 28)) == [("28 18:00", "28 21:00")]
    assert spans(bench, date(2026, 3, 29)) == [("29 17:00", "29 20:00")]
    assert spans(bench, date(2026, 10, 24)) == [("24 17:00", "24 20:00")]
    assert spans(bench, date(2026, 10, 25)) == [("25 18:00", "25 21:00")]


def test_a_night_is_as_long_as_it_really_is() -> None:
    bench = hours("Sat 20:00-08:00")
    lengths = [
        bench_start is not None and fits(bench, bench_start, length)
        for day, length in (
            (date(2026, 3, 21), 12 * HOUR),
            (date(2026, 3, 28), 11 * HOUR),
            (date(2026, 10, 24), 13 * HOUR),
        )
        for bench_start in [datetime.combine(day, time(20), PARIS)]
    ]
    assert lengths == [True, True, True]
    spring = datetime(2026, 3, 28, 20, tzinfo=PARIS)
    assert not fits(bench, spring, 11 * HOUR + timedelta(minutes=1))
    autumn = datetime(2026, 10, 24, 20, tzinfo=PARIS)
    assert not fits(bench, autumn, 13 * HOUR + timedelta(minutes=1))


def test_a_skipped_and_a_repeated_hour() -> None:
    """Both as RFC 5545, section 3.3.5, reads such times."""
    assert spans(hours("Sun 02:30-04:30"), date(2026, 3, 29)) == [("29 01:30", "29 02:30")]
    assert spans(hours("Sun 02:15-02:45"), date(2026, 3, 29)) == [("29 01:15", "29 01:45")]
    assert spans(hours("Sun 02:15-02:45"), date(2026, 10, 25)) == [("25 00:15", "25 00:45")]
    assert spans(hours("Sun 02:30-04:00"), date(2026, 10, 25)) == [("25 00:30", "25 03:00")]


def test_a_moment_in_the_repeated_hour_is_the_one_it_says() -> None:
    bench = hours("Sun 02:00-02:30")
    first = datetime(2026, 10, 25, 2, 0, tzinfo=PARIS)
    assert fits(bench, first, HOUR / 2)
    assert not fits(bench, first.replace(fold=1), HOUR / 2)


def test_midnight_that_is_skipped() -> None:
    """Cairo, Friday 24 April 2026: 00:00 -> 01:00."""
    bench = hours("Thu 23:00-02:00; Fri 00:30-02:00", "Africa/Cairo")
    opened = datetime(2026, 4, 23, 21, tzinfo=UTC)
    assert next_start(bench, opened, 2 * HOUR) == opened
    assert not fits(bench, opened, 2 * HOUR + timedelta(minutes=1))


def test_a_day_that_is_skipped() -> None:
    """Samoa crossed the date line: 30 December 2011, a Friday, never was."""
    bench = hours("Thu-Sat 10:00-12:00", "Pacific/Apia")
    assert bench.spans(date(2011, 12, 30)) == ()
    thursday = datetime(2011, 12, 29, 20, tzinfo=UTC)
    assert fits(bench, thursday, 2 * HOUR)
    assert next_start(bench, thursday + 2 * HOUR, HOUR) == thursday + 24 * HOUR


# ---------------------------------------------------------------------------
# Midnight, leap days, zones, edges


def test_openings_that_meet_at_midnight_are_one() -> None:
    bench = hours("Fri 20:00-24:00; Sat 00:00-03:00", "UTC")
    friday = datetime(2026, 6, 5, 20, tzinfo=UTC)
    assert next_start(bench, friday - HOUR, 7 * HOUR) == friday
    assert last_start(bench, friday + 2 * HOUR, 7 * HOUR) == friday
    assert next_start(bench, friday, 7 * HOUR + QUARTER) is None


def test_a_bench_that_never_closes() -> None:
    bench = hours("Mon-Sun 00:00-24:00")
    now = datetime(2026, 3, 28, 12, tzinfo=UTC)
    assert next_start(bench, now, timedelta(days=40)) == now
    assert last_start(bench, now, timedelta(days=40)) == now


def test_a_leap_day() -> None:
    bench = hours("Tue 19:00-22:00", "UTC")  # 29 February 2028 is a Tuesday
    sunday = datetime(2028, 2, 27, tzinfo=UTC)
    assert next_start(bench, sunday, HOUR) == datetime(2028, 2, 29, 19, tzinfo=UTC)
    assert next_start(bench, datetime(2028, 2, 29, 21, 30, tzinfo=UTC), HOUR) == datetime(
        2028, 3, 7, 19, tzinfo=UTC
    )


def test_the_same_text_elsewhere() -> None:
    monday = datetime(2026, 6, 1, tzinfo=UTC)
    starts = {
        zone: next_start(hours("Mon 19:00-22:00", zone), monday, HOUR)
        for zone in ("Asia/Tokyo", "America/New_York")
    }
    assert starts == {
        "Asia/Tokyo": datetime(2026, 6, 1, 10, tzinfo=UTC),
        "America/New_York": datetime(2026, 6, 1, 23, tzinfo=UTC),
    }


def test_the_zone_of_the_computer(monkeypatch: pytest.MonkeyPatch) -> None:
    import time as clock

    if not hasattr(clock, "tzset"):
        pytest.skip("the zone of this system can't be set for a test")
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "EST5EDT,M3.2.0,M11.1.0")
        clock.tzset()
        found = next_start(hours("Mon 19:00-22:00", None), datetime(2026, 6, 1, tzinfo=UTC), HOUR)
    clock.tzset()
    assert found == datetime(2026, 6, 1, 23, tzinfo=UTC)


def test_never_open_and_never_long_enough() -> None:
    monday = datetime(2026, 6, 1, tzinfo=UTC)
    assert next_start(BenchHours(()), monday, HOUR) is None
    assert last_start(BenchHours(()), monday, HOUR) is None
    assert next_start(hours("Mon 19:00-20:00"), monday, 2 * HOUR) is None
