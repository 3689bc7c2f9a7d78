"""What is due, overdue or still waiting, and whether the clock can be believed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from wizard.schedule.entries import Entry, Timetable, scuffed_for
from wizard.schedule.operations import COATS, NOTHING, Operation
from wizard.schedule.words import span

State = Literal["nothing", "running", "waiting", "possible", "due", "overdue", "curing", "ready"]
TOLERANCE = timedelta(seconds=2)  # a clock that is kept right is nudged by less


@dataclass(frozen=True, slots=True)
class Due:
    """What to do next.

    Attributes:
        kind: nothing is planned; an operation is running; the film is waiting; the film
            allows it but the plan doesn't ask for it yet; it is due; it is overdue; all is
            done but curing; the water may have it.
        operation: the one that it is about; None when all is done or nothing planned.
        when: the moment that the text counts to or from; None if there is none.
        text: a line for the maker.
    """

    kind: State
    operation: Operation | None
    when: datetime | None
    text: str


def status(timetable: Timetable, now: datetime) -> Due:
    """What is due at a moment, by a timetable that may have been made long before.

    Args:
        timetable: made from the marks as they are.
        now: with an offset.
    """
    now = now.astimezone(UTC)
    refusals = [finding.text for finding in timetable.findings if finding.level == "refusal"]
    if refusals:
        return Due("nothing", None, None, refusals[0])
    left = tuple(entry for entry in timetable.entries if not _over(entry, now))
    for entry in left:
        if entry.running and entry.operation.hands_on:
            return _running(entry, now)
    if left:
        after = scuffed_for(left, 0) if left[0].inserted else left[0].operation
        return _next(left[0], after, now)
    if timetable.ready is None:
        return Due("nothing", None, None, "No operations yet.")
    if now < timetable.ready:
        text = f"done; fully cured in {span(timetable.ready - now)}"
        return Due("curing", None, timetable.ready, text)
    return Due("ready", None, timetable.ready, "ready for the water")


def _over(entry: Entry, now: datetime) -> bool:
    """Whether nothing is left of it; a wait that needs nobody ends by itself."""
    return entry.done or (not entry.operation.hands_on and entry.finish <= now)


def _running(entry: Entry, now: datetime) -> Due:
    name = entry.operation.name
    if now < entry.finish:
        text = f"{name}: {span(entry.finish - now)} left"
        return Due("running", entry.operation, entry.finish, text)
    text = f"{name} is still marked as begun: mark its finish"
    return Due("overdue", entry.operation, entry.finish, text)


def _next(entry: Entry, after: Operation, now: datetime) -> Due:
    """The first line that isn't over; `after` is what a scuff is for, or its own."""
    operation = entry.operation
    closing = ""
    if entry.latest is not None:
        if entry.latest < now:
            scuff = f"{after.name} is overdue by {span(now - entry.latest)}: scuff first"
            return Due("overdue", operation, entry.latest, scuff)
        if not entry.inserted:
            closing = f"; {span(entry.latest - now)} until it needs a scuff"
    if not operation.hands_on and entry.start <= now:
        text = f"{operation.name}: {span(entry.finish - now)} left"
        return Due("curing", operation, entry.finish, text)
    if entry.earliest is not None and now < entry.earliest:
        what = "next coat" if operation.kind in COATS else operation.name
        text = f"earliest {what} in {span(entry.earliest - now)}"
        return Due("waiting", operation, entry.earliest, text)
    if now < entry.start:
        text = f"{operation.name} may begin, planned in {span(entry.start - now)}{closing}"
        return Due("possible", operation, entry.start, text)
    due = f"has been due for {span(now - entry.start)}" if now > entry.start else "is due now"
    return Due("due", operation, entry.start, f"{operation.name} {due}{closing}")


@dataclass(frozen=True, slots=True)
class Sighting:
    """The clock as it was once seen.

    Attributes:
        wall: what it showed, with an offset.
        counted: seconds of a counter that only goes up (a monotonic clock, best one that
            also counts while the computer sleeps); None if none was kept.
    """

    wall: datetime
    counted: float | None = None


@dataclass(frozen=True, slots=True)
class Jump:
    """A clock that can't be believed.

    Attributes:
        way: back is certain; ahead may also be a computer that slept.
        by: how far.
        text: a line for the maker.
    """

    way: Literal["back", "ahead"]
    by: timedelta
    text: str


def clock_jumped(previous: Sighting, now: Sighting) -> Jump | None:
    """Whether the clock was set between two sightings.

    A change of zone or of daylight saving is no jump: both sightings are instants. A
    counter that went down started anew with the computer and says nothing.

    Args:
        previous: the last sighting, kept in a file or in memory.
        now: the present one.

    Returns:
        The jump, or None if the clock went on as it should, as far as one can tell.
    """
    passed = now.wall.astimezone(UTC) - previous.wall.astimezone(UTC)
    expected = NOTHING
    counted = previous.counted is not None and now.counted is not None
    if previous.counted is not None and now.counted is not None:
        counted = now.counted >= previous.counted
        expected = timedelta(seconds=max(0.0, now.counted - previous.counted))
    drift = passed - expected
    if drift < -TOLERANCE:
        text = f"The clock was set back by {span(drift)}: times marked before may be wrong"
        return Jump("back", -drift, text)
    if counted and drift > TOLERANCE:
        text = f"The clock went {span(drift)} ahead: the computer slept, or the clock was set"
        return Jump("ahead", drift, text)
    return None
