"""What there is to say about the operations themselves, before any timetable."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, timedelta
from typing import Literal

from wizard.schedule.operations import NOTHING, Limits, Operation
from wizard.schedule.words import span

Level = Literal["refusal", "warning", "note"]
LONGEST = timedelta(days=366)  # more is a slip of the unit
MOST_PLUGS = 1000
YEARS = range(1970, 2200)  # a mark outside them is a slip of the pen

_LENGTHS = (
    "hands_on",
    "touch_dry",
    "recoat_earliest",
    "recoat_latest",
    "full_cure",
    "pot_life",
)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth saying.

    Attributes:
        level: a refusal stops planning, a warning can be kept, a note explains.
        operation: id of the operation it is about; empty for all of them.
        field: name of the field it is about; empty for the whole operation.
        wrong: what is wrong, a whole sentence.
        remedy: what was expected or what to do, whole sentences; may be empty.
    """

    level: Level
    operation: str
    field: str
    wrong: str
    remedy: str = ""

    @property
    def text(self) -> str:
        """Both sentences."""
        return f"{self.wrong} {self.remedy}".rstrip()


def operation_findings(operations: tuple[Operation, ...], plugs: int = 1) -> tuple[Finding, ...]:
    """All that is contradictory or implausible in a list of operations.

    Args:
        operations: in bench order.
        plugs: how many plugs are worked on together.
    """
    return tuple(_of_all(operations, plugs)) + tuple(
        finding for operation in operations for finding in _of_one(operation, plugs)
    )


def _of_all(operations: tuple[Operation, ...], plugs: int) -> Iterator[Finding]:
    if not 1 <= plugs <= MOST_PLUGS:
        yield Finding(
            "refusal", "", "plugs", f"There are {plugs} plugs.", f"Expected 1 to {MOST_PLUGS}."
        )
    seen: set[str] = set()
    for operation in operations:
        if operation.id in seen:
            yield Finding(
                "refusal",
                operation.id,
                "id",
                f"Two operations are called {operation.id}.",
                "Give each an id of its own.",
            )
        seen.add(operation.id)
    unmarked: Operation | None = None
    for operation in operations:
        if operation.started is None and operation.finished is None:
            unmarked = unmarked or operation
        elif unmarked is not None:
            yield Finding(
                "warning",
                operation.id,
                "started",
                f"{operation.name} is marked, but {unmarked.name} before it isn't.",
                "Mark that one too, or take it out of the list.",
            )
    running = [one.name for one in operations if one.started is not None and one.finished is None]
    if len(running) > 1:
        yield Finding(
            "warning",
            "",
            "finished",
            f"Begun and not finished at the same time: {', '.join(running)}.",
            "Mark what is finished.",
        )


def _of_one(operation: Operation, plugs: int) -> Iterator[Finding]:
    lengths = {name: getattr(operation, name) for name in _LENGTHS}
    odd = [name for name, length in lengths.items() if length and not NOTHING < length <= LONGEST]
    for field in odd:
        short = lengths[field] < NOTHING
        yield Finding(
            "refusal",
            operation.id,
            field,
            f"{operation.name}: {field.replace('_', ' ')} is "
            f"{'less than nothing' if short else span(lengths[field])}.",
            "Expected none or more." if short else "Expected a year at most: check its unit.",
        )
    if not odd:
        yield from _of_windows(operation)
        yield from _of_hands(operation, plugs)
    yield from _of_limits(operation)
    yield from _of_marks(operation)


def _of_windows(operation: Operation) -> Iterator[Finding]:
    latest, earliest = operation.recoat_latest, operation.recoat_earliest
    if latest is not None and latest < earliest:
        yield Finding(
            "refusal",
            operation.id,
            "recoat_latest",
            f"{operation.name}: the next coat may go on after {span(earliest)} at the earliest, "
            f"but after {span(latest)} at the latest.",
            "No moment keeps both: read the tin again.",
        )
    if latest is not None and operation.kind == "cure":
        yield Finding(
            "warning",
            operation.id,
            "recoat_latest",
            f"{operation.name} has a latest limit, which is not kept.",
            "The windows are those of the coats before it.",
        )
    if NOTHING < operation.full_cure < operation.touch_dry:
        yield Finding(
            "warning",
            operation.id,
            "full_cure",
            f"{operation.name}: cured after {span(operation.full_cure)}, before it is touch-dry "
            f"after {span(operation.touch_dry)}.",
            "Expected the full cure to take longer.",
        )


def _of_hands(operation: Operation, plugs: int) -> Iterator[Finding]:
    block = min(max(1, plugs), MOST_PLUGS) * operation.hands_on
    if not block and operation.kind != "cure":
        yield Finding(
            "warning",
            operation.id,
            "hands_on",
            f"{operation.name} takes no time at the bench.",
            "It is planned at any hour: give its minutes, if it needs you.",
        )
    if operation.pot_life is not None and operation.pot_life < block:
        several = f" for {plugs} plugs" if plugs > 1 else ""
        yield Finding(
            "warning",
            operation.id,
            "pot_life",
            f"{operation.name} takes {span(block)}{several}, and the mix can be worked for "
            f"{span(operation.pot_life)}.",
            f"Mix {-(-block // operation.pot_life)} batches, one after the other."
            if operation.pot_life
            else "Give its pot life, or leave it out.",
        )


def _of_limits(operation: Operation) -> Iterator[Finding]:
    for field in ("temperature", "humidity"):
        limits: Limits = getattr(operation, field)
        if limits.low is not None and limits.high is not None and limits.high < limits.low:
            yield Finding(
                "refusal",
                operation.id,
                field,
                f"{operation.name}: the lowest {field} is above the highest.",
                "No shop suits both: read the tin again.",
            )


def _of_marks(operation: Operation) -> Iterator[Finding]:
    for field in ("started", "finished"):
        moment = getattr(operation, field)
        if moment is not None and moment.utcoffset() is None:
            yield Finding(
                "refusal",
                operation.id,
                field,
                f"{operation.name}: {moment:%Y-%m-%d %H:%M} doesn't say where it is meant.",
                "Expected an offset after it, such as +01:00.",
            )
            return
        if moment is not None and moment.year not in YEARS:
            yield Finding(
                "refusal",
                operation.id,
                field,
                f"{operation.name} is marked in the year {moment.year}.",
                f"Expected {YEARS[0]} to {YEARS[-1]}.",
            )
            return
    started, finished = operation.started, operation.finished
    # In UTC: within one zone Python compares what the wall clock shows, not the instants.
    if started and finished and finished.astimezone(UTC) < started.astimezone(UTC):
        yield Finding(
            "refusal",
            operation.id,
            "finished",
            f"{operation.name} was finished before it was begun.",
            "Correct one of the two marks.",
        )
