"""The operations that a build's coats ask for, and lists of them changed with their coats."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from wizard.plug.bench import Bench
from wizard.plug.coats.tins import TIN, coat_of, kind_of, kind_of_coat
from wizard.plug.paths import put
from wizard.plug.record import COATING, Build, Operation
from wizard.tables import operations

AFTER_SEALING = ("fill", "sand", "glue")


def proposed_operations(build: Build, bench: Bench | None = None) -> tuple[Operation, ...]:
    """A full list from degreasing to hanging the hooks, with one operation for each coat.

    Coats keep their order; the rest stands where it usually does. Times are left to what is
    typical, but where the bench knows the tin.

    Args:
        build: the record; its coats may be unanswered.
        bench: the maker's bench, if it is known.
    """
    coats = [(n, kind_of_coat(coat), coat) for n, coat in enumerate(build.coat or (), start=1)]
    painted = [n for n, kind, _ in coats if kind in ("base", "colour")]
    sealed = [n for n, kind, _ in coats if kind == "seal"]
    rows: list[Operation] = [Operation(kind="degrease")]
    is_filled = is_eyed = False
    for n, kind, coat in coats:
        if kind != "seal" and n > max(sealed, default=0) and not is_filled:
            rows += _filling(build)
            is_filled = True
        if kind == "clear" and n > max(painted, default=0) and not is_eyed:
            rows.append(Operation(kind="eyes"))
            is_eyed = True
        rows.append(Operation(name=coat.name, kind=kind, coat=n))
    rows += [] if is_filled else _filling(build)
    rows += [] if is_eyed else [Operation(kind="eyes")]
    rows.append(Operation(kind="cure"))
    if build.hardware != ():
        rows.append(Operation(kind="hang"))
    return tuple(_named([_from_bench(row, bench) for row in rows]))


def _filling(build: Build) -> list[Operation]:
    """What is done to the sealed wood before any paint; nothing is glued in without hardware."""
    kinds = AFTER_SEALING if build.hardware != () else AFTER_SEALING[:-1]
    return [Operation(kind=kind) for kind in kinds]


def _called(row: Operation) -> str:
    return row.name or operations()[row.kind or ""].name


def _named(rows: Sequence[Operation]) -> Iterator[Operation]:
    """The operations, each with a name; where one comes twice, all of it are numbered."""
    names = [_called(row) for row in rows]
    often, so_far = Counter(names), Counter[str]()
    for row, name in zip(rows, names, strict=True):
        so_far[name] += 1
        yield replace(row, name=f"{name} {so_far[name]}" if often[name] > 1 else name)


def with_proposal(build: Build, bench: Bench | None = None) -> Build:
    """The build with the proposed operations, and the hours of the bench where it has none."""
    changed = put(build, ("operation",), proposed_operations(build, bench))
    if build.schedule.hours is None and bench is not None and bench.bench.hours is not None:
        changed = put(changed, ("schedule", "hours"), bench.bench.hours)
    return changed


# The maker's own tins.


def tin_name(build: Build, row: Operation) -> str:
    """What the tin of an operation is called: its coat's name, else the operation's own."""
    coat = coat_of(build, row)
    return (coat.name if coat is not None and coat.name else row.name) or ""


def _same_tin(one: Operation, kind: str | None, name: str) -> bool:
    return one.kind == kind and (one.name or "").casefold() == name.casefold()


def _from_bench(row: Operation, bench: Bench | None) -> Operation:
    """An operation with what the bench knows of its tin."""
    for one in bench.operation if bench is not None else ():
        if _same_tin(one, row.kind, _called(row)):
            return replace(row, **{key: getattr(one, key) for key in TIN})
    return row


def with_tin_kept(bench: Bench, build: Build, index: int) -> Bench:
    """The bench with what is typed about the tin of an operation; the same if nothing is.

    Args:
        bench: the maker's bench.
        build: the record.
        index: which operation, counted from zero.
    """
    row = build.operation[index]
    answers = {key: getattr(row, key) for key in TIN if getattr(row, key) is not None}
    kind = kind_of(build, row)
    if not answers or kind is None:
        return bench
    name = tin_name(build, row)
    kept = Operation(name=name, kind=kind.id, **answers)
    others = tuple(one for one in bench.operation if not _same_tin(one, kind.id, name))
    return put(bench, ("operation",), (*others, kept))


# Coats and their operations, changed together.


def one_more_coat(build: Build) -> Build:
    """The build with one more coat like the last one, and the operation that lays it.

    It goes on right after the last one; without any coat nothing is changed.
    """
    coats = build.coat or ()
    if not coats:
        return build
    last = coats[-1]
    coat = replace(last, mass=None) if last.thickness is not None else last
    changed = put(build, ("coat",), (*coats, coat))
    laid = [i for i, row in enumerate(build.operation) if row.coat == len(coats)]
    if not laid:
        return changed
    row = build.operation[laid[-1]]
    again = replace(
        row, name=_next_name(build, row), coat=len(coats) + 1, started=None, finished=None
    )
    place = laid[-1] + 1
    rows = (*build.operation[:place], again, *build.operation[place:])
    return put(changed, ("operation",), rows)


def _next_name(build: Build, row: Operation) -> str:
    name = (row.name or row.kind or "coat").rstrip("0123456789 ")
    taken = {one.name for one in build.operation}
    number = 2
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"


def with_every_coat(build: Build, bench: Bench | None = None) -> Build:
    """The build with an operation for each coat that none lays yet, after those before it."""
    rows = list(build.operation)
    for n, coat in enumerate(build.coat or (), start=1):
        if any(row.coat == n for row in rows):
            continue
        row = _from_bench(Operation(name=coat.name, kind=kind_of_coat(coat), coat=n), bench)
        if any(one.name == row.name for one in rows):
            row = replace(row, name=_next_name(put(build, ("operation",), tuple(rows)), row))
        rows.insert(_place_for(rows, n), row)
    return put(build, ("operation",), tuple(rows)) if len(rows) > len(build.operation) else build


def _place_for(rows: Sequence[Operation], coat: int) -> int:
    """Where the operation of a coat belongs: after the coats before it, else before the cure."""
    before = [i for i, row in enumerate(rows) if row.coat is not None and row.coat < coat]
    if before:
        return before[-1] + 1
    return next((i for i, row in enumerate(rows) if row.kind in ("cure", "hang")), len(rows))


def without_coat(build: Build, coat: int) -> Build:
    """The build without one coat and its unmarked operation; the others keep their coats.

    Args:
        build: the record.
        coat: which row, counted from zero.
    """
    number = coat + 1
    coats = tuple(one for n, one in enumerate(build.coat or ()) if n != coat)
    rows = [
        replace(row, coat=_shifted(row.coat, number))
        for row in build.operation
        if row.coat != number or row.started is not None or row.finished is not None
    ]
    return put(put(build, ("coat",), coats), ("operation",), tuple(rows))


def _shifted(number: int | None, gone: int) -> int | None:
    if number is None or number == gone:
        return None
    return number - 1 if number > gone else number


def without_operation(build: Build, index: int) -> Build:
    """The build without one operation and, where it has one to itself, its coat."""
    row = build.operation[index]
    rows = tuple(one for n, one in enumerate(build.operation) if n != index)
    changed = put(build, ("operation",), rows)
    shared = any(one.coat == row.coat for one in rows)
    if coat_of(build, row) is None or row.coat is None or shared:
        return changed
    return without_coat(changed, row.coat - 1)


def coats_laid(build: Build) -> tuple[int, ...]:
    """Numbers of the coats that are on the plug by the marks, in order."""
    return tuple(sorted({n for n, row in _laying(build) if row.finished is not None}))


def coats_to_come(build: Build) -> tuple[int, ...]:
    """Numbers of the coats whose operation isn't finished, in order."""
    return tuple(sorted({n for n, row in _laying(build) if row.finished is None}))


def _laying(build: Build) -> Iterator[tuple[int, Operation]]:
    for row in build.operation:
        kind = kind_of(build, row)
        lays = kind is not None and kind.id in COATING and coat_of(build, row) is not None
        if lays and row.coat is not None:
            yield row.coat, row
