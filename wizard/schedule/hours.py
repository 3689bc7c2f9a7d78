"""When the bench is open: weekly hours by the clock on the wall.

Hours are local, everything else is an instant. A wall-clock time that a change of the
clocks skips or shows twice is read as RFC 5545 (2009), section 3.3.5, reads it: with the
offset before a gap, and as the first of two. So an opening keeps its length unless the
clocks change inside it, and then it is as long as it really is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from wizard.schedule.words import DAYS, Refusal

EXAMPLE = "Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00"
LONGEST_TEXT = 500  # characters

_DAY = timedelta(days=1)
_HORIZON = 400  # days: more than a year, so that every change of the clocks is met
_MIDNIGHT = time(0)

Span = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Opening:
    """One weekly opening, by the clock on the wall.

    Attributes:
        day: on which it opens, Monday is 0.
        opens: when.
        closes: when; not after `opens` means on the next day.
    """

    day: int
    opens: time
    closes: time


@dataclass(frozen=True, slots=True)
class BenchHours:
    """The hours at the bench.

    Attributes:
        openings: of a week; none at all is a bench that never opens.
        zone: whose wall clock is meant; None is the computer's own.
    """

    openings: tuple[Opening, ...]
    zone: tzinfo | None = None
    _known: dict[date, tuple[Span, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def spans(self, day: date) -> tuple[Span, ...]:
        """When the bench is open on a day, in UTC, soonest first, none touching another."""
        if day not in self._known:
            self._known[day] = tuple(_joined(self._pieces(day)))
        return self._known[day]

    def _pieces(self, day: date) -> Iterator[Span]:
        # Cut at midnight, so that the openings of two days never overlap, whatever the
        # clocks do in between.
        midnight, end = self._instant(day, _MIDNIGHT), self._instant(day + _DAY, _MIDNIGHT)
        for opening in self.openings:
            over_midnight = opening.closes <= opening.opens
            if opening.day == day.weekday():
                closes = end if over_midnight else self._instant(day, opening.closes)
                yield max(midnight, self._instant(day, opening.opens)), min(closes, end)
            if over_midnight and (opening.day + 1) % 7 == day.weekday():
                yield midnight, min(self._instant(day, opening.closes), end)

    def _instant(self, day: date, wall: time) -> datetime:
        return datetime.combine(day, wall, self.zone).astimezone(UTC)


def _joined(pieces: Iterable[Span]) -> Iterator[Span]:
    opened = closed = None
    for opens, closes in sorted(piece for piece in pieces if piece[0] < piece[1]):
        if opened is None or closed is None:
            opened, closed = opens, closes
        elif opens <= closed:
            closed = max(closed, closes)
        else:
            yield opened, closed
            opened, closed = opens, closes
    if opened is not None and closed is not None:
        yield opened, closed


def next_start(hours: BenchHours, moment: datetime, block: timedelta) -> datetime | None:
    """The soonest start, from `moment` on, of work that must not be interrupted.

    Args:
        hours: when the bench is open.
        moment: not before this.
        block: how long the work takes; nothing finds the next open moment.

    Returns:
        The start in UTC, or None if no opening of more than a year is long enough.
    """
    moment = moment.astimezone(UTC)
    opened = closed = None
    for opens, closes in _from(hours, moment):
        if closes <= moment:
            continue
        if opened is None or opens != closed:
            opened = max(opens, moment)
        closed = closes
        if closed - opened >= block:
            return opened
    return None


def last_start(hours: BenchHours, moment: datetime, block: timedelta) -> datetime | None:
    """The latest start, up to `moment`, of work that must not be interrupted.

    Args:
        hours: when the bench is open.
        moment: not begun after this.
        block: how long the work takes.

    Returns:
        The start in UTC, or None if no opening of more than a year is long enough.
    """
    end = moment.astimezone(UTC) + block
    opened = closed = None
    for opens, closes in _back_from(hours, end):
        if opens >= end:
            continue
        if closed is None or closes != opened:
            closed = min(closes, end)
        opened = opens
        if closed - opened >= block:
            return closed - block
    return None


def fits(hours: BenchHours, start: datetime, block: timedelta) -> bool:
    """Whether work begun at `start` is done before the bench closes."""
    return next_start(hours, start, block) == start.astimezone(UTC)


def _from(hours: BenchHours, moment: datetime) -> Iterator[Span]:
    first = moment.astimezone(hours.zone).date() - _DAY
    for offset in range(_HORIZON):
        yield from hours.spans(first + offset * _DAY)


def _back_from(hours: BenchHours, moment: datetime) -> Iterator[Span]:
    first = moment.astimezone(hours.zone).date() + _DAY
    for offset in range(_HORIZON):
        yield from reversed(hours.spans(first - offset * _DAY))


def read_hours(text: str, zone: str | tzinfo | None = None) -> BenchHours | Refusal:
    """Hours from text such as ``Mon-Fri 19:00-22:00; Sat,Sun 08:00-12:00,13:00-20:00``.

    Days are three letters, a range of days may run over Sunday, times are 00:00 to
    24:00, and an opening that closes at or before it opens closes on the next day. Two
    that touch or overlap are one.

    Args:
        text: as typed.
        zone: name of a time zone such as ``Europe/Paris``; None is the computer's own.
    """
    if len(text) > LONGEST_TEXT:
        return Refusal(
            "too long",
            f"That is {len(text)} characters.",
            f"Expected hours such as {EXAMPLE}.",
        )
    found = _zone(zone) if isinstance(zone, str) else zone
    if isinstance(found, Refusal):
        return found
    openings: set[Opening] = set()
    for part in _parts(text):
        read = _read_part(part)
        if isinstance(read, Refusal):
            return read
        openings.update(read)
    if not openings:
        return Refusal("empty", "No hours are given.", f"Expected such as {EXAMPLE}.")
    ordered = sorted(openings, key=lambda opening: (opening.day, opening.opens, opening.closes))
    return BenchHours(tuple(ordered), found)


def _zone(name: str) -> tzinfo | Refusal:
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (OSError, ValueError, LookupError):
        return Refusal(
            "zone",
            f"No time zone is called {name!r}.",
            "Expected a name such as Europe/Paris, or none for the computer's own.",
        )


def _parts(text: str) -> list[str]:
    plain = text.translate({ord(dash): "-" for dash in "‐‑‒–—−"})
    return [part.strip() for part in plain.split(";") if part.strip()]


_PART = re.compile(r"([A-Za-z][A-Za-z ,-]*?)\s+([0-9][0-9:, -]*)", re.ASCII)
_TIMES = re.compile(r"([0-9]{1,2}):([0-9]{2}) ?- ?([0-9]{1,2}):([0-9]{2})", re.ASCII)


def _read_part(part: str) -> set[Opening] | Refusal:
    match = _PART.fullmatch(part)
    if match is None:
        return Refusal(
            "unreadable", f"{part!r} isn't days and hours.", f"Expected such as {EXAMPLE}."
        )
    days = _read_days(match[1])
    if isinstance(days, Refusal):
        return days
    openings: set[Opening] = set()
    for text in match[2].split(","):
        times = _read_times(text.strip())
        if isinstance(times, Refusal):
            return times
        openings.update(Opening(day, *times) for day in days)
    return openings


def _read_days(text: str) -> set[int] | Refusal:
    days: set[int] = set()
    for item in text.split(","):
        ends = [name.strip().capitalize() for name in item.split("-")]
        if len(ends) > 2 or any(name not in DAYS for name in ends):
            return Refusal(
                "day",
                f"{item.strip()!r} isn't a day or two.",
                f"Expected {', '.join(DAYS)} or Mon-Fri.",
            )
        first, last = DAYS.index(ends[0]), DAYS.index(ends[-1])
        days.update((first + offset) % 7 for offset in range((last - first) % 7 + 1))
    return days


def _read_times(text: str) -> tuple[time, time] | Refusal:
    match = _TIMES.fullmatch(text)
    if match is None:
        return Refusal("unreadable", f"{text!r} isn't hours.", "Expected such as 19:00-22:00.")
    opens, closes = _read_time(match[1], match[2]), _read_time(match[3], match[4])
    if opens is None or closes is None or match[1] == "24":
        return Refusal("time", f"{text!r} isn't on the clock.", "Expected 00:00 to 24:00.")
    if opens == closes and not (opens == _MIDNIGHT and match[3] == "24"):
        return Refusal(
            "no length", f"{text!r} is over at once.", "A whole day is written 00:00-24:00."
        )
    return opens, closes


def _read_time(hour: str, minute: str) -> time | None:
    if (hour, minute) == ("24", "00"):
        return _MIDNIGHT
    return time(int(hour), int(minute)) if int(hour) < 24 and int(minute) < 60 else None
