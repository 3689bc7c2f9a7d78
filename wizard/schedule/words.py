"""Times as a maker reads them, and as a file keeps them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Literal

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MINUTE = timedelta(minutes=1)

Reason = Literal["empty", "too long", "unreadable", "day", "time", "no length", "zone", "no offset"]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a text says no hours or no moment, in words for the maker.

    Attributes:
        reason: the family of the refusal.
        wrong: what is wrong.
        remedy: what to type instead.
    """

    reason: Reason
    wrong: str
    remedy: str

    def __str__(self) -> str:
        """Both sentences."""
        return f"{self.wrong} {self.remedy}"


def span(length: timedelta) -> str:
    """A length of time in its two largest units: ``2 h 10 min``, ``3 d 4 h``, ``45 min``.

    Rounded up to whole minutes (whole hours from two days on), so that a countdown never
    lets anyone begin too early. The sign is dropped: the sentence around it says which way.
    """
    minutes = -(-abs(length) // MINUTE)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 48 * 60:
        hours, rest = divmod(minutes, 60)
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    days, hours = divmod(-(-minutes // 60), 24)
    return f"{days} d {hours} h" if hours else f"{days} d"


def day_and_time(moment: datetime, zone: tzinfo | None = None) -> str:
    """A moment as the clock on the wall shows it: ``Tue 24 Nov 19:00``.

    Args:
        moment: any moment with an offset.
        zone: where the wall is; None is where the computer is.
    """
    local = moment.astimezone(zone)
    return f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} {local:%H:%M}"


def stamp(moment: datetime, zone: tzinfo | None = None) -> str:
    """A moment for a file: local time with its offset, ``2026-04-02T18:30:00+01:00``.

    Args:
        moment: any moment with an offset.
        zone: whose local time; None is the computer's own.

    Source: ISO 8601, extended format.
    """
    return moment.astimezone(zone).isoformat(timespec="seconds")


def read_stamp(text: str) -> datetime | Refusal:
    """The moment that `stamp` wrote, or any other ISO 8601 time with an offset."""
    example = "Expected such as 2026-04-02T18:30:00+01:00."
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        return Refusal("unreadable", f"{text[:40]!r} isn't a date and time.", example)
    if moment.utcoffset() is None:
        return Refusal("no offset", f"{text[:40]!r} doesn't say where it is meant.", example)
    return moment
