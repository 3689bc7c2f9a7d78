"""The coating schedule of a build in time: its operations planned, marked and told.

Between the record and `wizard.schedule`, which knows no build. A line of the timetable is
named by an id: the operation's name, with a number where a name comes twice, so that it
stays the same while others come and go.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone, tzinfo
from functools import lru_cache

from wizard.plug.coats.tins import Tin, kind_of, tin
from wizard.plug.fields import specs
from wizard.plug.findings import Finding
from wizard.plug.paths import Path, put
from wizard.plug.record import Build, Operation, Schedule
from wizard.quantity.reading import Quantity
from wizard.schedule.clock import Due, Jump, Sighting, clock_jumped, status
from wizard.schedule.findings import Finding as Remark
from wizard.schedule.hours import BenchHours, read_hours
from wizard.schedule.operations import Limits
from wizard.schedule.operations import Operation as Planned
from wizard.schedule.shop import shop_findings
from wizard.schedule.timetable import SCUFFING, Timetable, marked, plan
from wizard.schedule.words import MINUTE, Refusal

USUAL_HOURS = "Mon-Sun 08:00-22:00"
"""When the bench is taken as open while its hours are not given."""


class NoHours(ValueError):  # noqa: N818 - it names the state
    """Hours that can't be read, in words."""


def zone(schedule: Schedule) -> tzinfo | None:
    """Whose wall clock is meant; None, the computer's own, also for a zone not known here."""
    from zoneinfo import ZoneInfo

    if schedule.zone is None:
        return None
    try:
        return ZoneInfo(schedule.zone)
    except (OSError, ValueError, LookupError):
        return None


def bench_hours(schedule: Schedule) -> BenchHours:
    """When the bench is open.

    Raises:
        NoHours: the hours can't be read.
    """
    return _hours(schedule.hours or USUAL_HOURS, zone(schedule))


@lru_cache(maxsize=16)
def _hours(text: str, at: tzinfo | None) -> BenchHours:
    found = read_hours(text, at)
    if isinstance(found, Refusal):
        raise NoHours(str(found))
    return found


def ids(build: Build) -> tuple[str, ...]:
    """The id of each operation, in the order of the profile."""
    found: list[str] = []
    seen: dict[str, int] = {}
    for row in build.operation:
        name = "-".join((row.name or row.kind or "operation").casefold().split())
        seen[name] = seen.get(name, 0) + 1
        found.append(name if seen[name] == 1 else f"{name}-{seen[name]}")
        while found[-1] in found[:-1]:
            seen[name] += 1
            found[-1] = f"{name}-{seen[name]}"
    return tuple(found)


def operation_name(build: Build, index: int) -> str:
    """What an operation is called."""
    row = build.operation[index]
    kind = kind_of(build, row)
    return row.name or (kind.name if kind is not None else f"operation {index + 1}")


def planned(build: Build) -> tuple[Planned, ...]:
    """The operations of a build as the timetable needs them; one of unknown kind is left out."""
    return tuple(
        _planned(build, index, id)
        for index, id in enumerate(ids(build))
        if kind_of(build, build.operation[index]) is not None
    )


def _planned(build: Build, index: int, id: str) -> Planned:
    row = build.operation[index]
    kind, known = kind_of(build, row), tin(build, row)
    assert kind is not None
    return Planned(
        id,
        operation_name(build, index),
        kind.id,  # type: ignore[arg-type]  # the table has the kinds of the record
        hands_on=_length(known, "hands_on") or timedelta(0),
        touch_dry=_length(known, "touch_dry") or timedelta(0),
        recoat_earliest=_length(known, "recoat_earliest") or timedelta(0),
        recoat_latest=_length(known, "recoat_latest"),
        full_cure=_length(known, "full_cure") or timedelta(0),
        pot_life=_length(known, "pot_life"),
        before=known.before,
        cautions=known.cautions,
        note=row.note or "",
        covers=None if row.covers is None else row.covers == "yes",
        temperature=Limits(known["temperature_low"], known["temperature_high"]),
        humidity=Limits(known["humidity_low"], known["humidity_high"]),
        started=row.started,
        finished=row.finished,
    )


def _length(known: Tin, key: str) -> timedelta | None:
    seconds = known[key]
    return None if seconds is None else timedelta(seconds=seconds)


def plugs(build: Build) -> int:
    """How many plugs go through the same hands."""
    return build.schedule.plugs or 1


def timetable(build: Build, now: datetime) -> Timetable:
    """The best timetable of what is left to do, and what there is to say about it.

    Args:
        build: the record.
        now: nothing is planned before it, nor before the start that the build names.

    Raises:
        NoHours: the hours at the bench can't be read.
    """
    schedule, operations = build.schedule, planned(build)
    begin = schedule.start
    if begin is None or begin.utcoffset() is None or begin < now:
        begin = now
    made = plan(operations, bench_hours(schedule), begin, plugs(build))
    return replace(made, findings=(*made.findings, *shop_remarks(build, operations)))


def shop_remarks(build: Build, operations: tuple[Planned, ...]) -> tuple[Remark, ...]:
    """What the air of the shop doesn't suit."""
    air = build.schedule
    return shop_findings(
        operations,
        air.temperature.value if air.temperature else None,
        air.humidity.value if air.humidity else None,
    )


def due(build: Build, made: Timetable, now: datetime) -> Due:
    """What is due at a moment."""
    return status(made, now)


def next_due(build: Build, now: datetime) -> str | None:
    """What to do next, in a line for a list of builds; None where nothing is planned.

    Args:
        build: the record.
        now: with an offset.
    """
    if not build.operation:
        return None
    try:
        found = status(timetable(build, now), now)
    except NoHours:
        return None
    return None if found.kind == "nothing" else found.text


def jumped(build: Build, now: datetime) -> Jump | None:
    """Whether the clock stands before something that was marked already."""
    marks = [mark for row in build.operation for mark in (row.started, row.finished)]
    known = [mark for mark in marks if mark is not None and mark.utcoffset() is not None]
    return clock_jumped(Sighting(max(known)), Sighting(now)) if known else None


# Marks.


def started(build: Build, line: int | str, now: datetime) -> Build:
    """The build with an operation begun.

    Args:
        build: the record.
        line: number of the operation, counted from one, or id of a line of the timetable.
        now: with an offset.

    Raises:
        KeyError: there is no such operation.
    """
    return _marked(build, line, now, "started")


def finished(build: Build, line: int | str, now: datetime) -> Build:
    """The build with an operation finished; arguments and errors as for `started`."""
    return _marked(build, line, now, "finished")


def unmarked(build: Build, line: int | str) -> Build:
    """The build with an operation neither begun nor finished."""
    index = _index(build, line)
    row = replace(build.operation[index], started=None, finished=None)
    return put(build, ("operation", index), row)


def _marked(build: Build, line: int | str, now: datetime, mark: str) -> Build:
    if isinstance(line, str) and line not in ids(build):
        build, line = _with_scuff(build, line, now)
    index = _index(build, line)
    return put(build, ("operation", index, mark), stamped(now, zone(build.schedule)))


def stamped(now: datetime, at: tzinfo | None) -> datetime:
    """A moment as it is kept: to the second, with the offset of the wall clock."""
    local = now.astimezone(at).replace(microsecond=0)
    offset = local.utcoffset()
    assert offset is not None
    return local.replace(tzinfo=timezone(offset))


def _with_scuff(build: Build, line: str, now: datetime) -> tuple[Build, int]:
    """The build with a scuff that the plan put in made one of its operations, and its number."""
    operations = planned(build)
    with_it = marked(operations, timetable(build, now), line, started=now)
    place = next(n for n, one in enumerate(with_it) if one.id == line)
    minutes = SCUFFING // MINUTE
    row = Operation(
        name=with_it[place].name,
        kind="sand",
        hands_on=Quantity(f"{minutes} min", SCUFFING.total_seconds(), "time", "min"),
    )
    after = with_it[place + 1].id
    index = ids(build).index(after)
    rows = (*build.operation[:index], row, *build.operation[index:])
    return put(build, ("operation",), rows), index + 1


def _index(build: Build, line: int | str) -> int:
    if isinstance(line, str):
        if line in ids(build):
            return ids(build).index(line)
    elif 1 <= line <= len(build.operation):
        return line - 1
    raise KeyError(f"There is no operation {line}.")


# What there is to say, at the answers.


def as_findings(build: Build, remarks: tuple[Remark, ...]) -> tuple[Finding, ...]:
    """Remarks on a timetable as findings on the answers of the build."""
    places = {id: index for index, id in enumerate(ids(build))}
    return tuple(
        Finding(
            remark.level,
            _path(places.get(remark.operation), remark.field),
            remark.wrong,
            remark.remedy,
        )
        for remark in remarks
    )


def _path(index: int | None, field: str) -> Path:
    if index is None:
        return ("schedule", field) if field in specs(Schedule) else ("operation",)
    key = f"{field}_low" if field in ("temperature", "humidity") else field
    return ("operation", index, key) if key in specs(Operation) else ("operation", index)
