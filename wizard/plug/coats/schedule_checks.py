"""What is impossible in a coating schedule, and what is only odd; nothing without one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import COATING, Build, Coat
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain


def schedule_refusals(build: Build) -> tuple[Finding, ...]:
    """What can't be, answer by answer; each a refusal."""
    found = (*_hours(build), *_start(build), *_coats_named(build))
    if not build.operation or found:
        return found
    from wizard.plug.coats.schedule import as_findings, planned, plugs
    from wizard.schedule.findings import operation_findings

    remarks = operation_findings(planned(build), plugs(build))
    return as_findings(build, tuple(r for r in remarks if r.level == "refusal"))


def _hours(build: Build) -> Iterator[Finding]:
    if build.schedule.hours is None:
        return
    from wizard.schedule.hours import read_hours
    from wizard.schedule.words import Refusal

    found = read_hours(build.schedule.hours)
    if isinstance(found, Refusal):
        yield Finding("refusal", ("schedule", "hours"), found.wrong, found.remedy)


def _start(build: Build) -> Iterator[Finding]:
    start = build.schedule.start
    if start is None:
        return
    from wizard.schedule.findings import YEARS

    if start.utcoffset() is None:
        yield Finding(
            "refusal",
            ("schedule", "start"),
            "The start doesn't say where it is meant.",
            "Expected an offset after it, such as 2026-04-02T18:30:00+01:00.",
        )
    elif start.year not in YEARS:
        yield Finding(
            "refusal",
            ("schedule", "start"),
            f"The start is in the year {start.year}.",
            f"Expected {YEARS[0]} to {YEARS[-1]}.",
        )


def _coats_named(build: Build) -> Iterator[Finding]:
    count = len(build.coat or ())
    for i, row in enumerate(build.operation):
        if row.coat is not None and row.coat > count:
            yield Finding(
                "refusal",
                ("operation", i, "coat"),
                f"There is no coat {row.coat}.",
                f"Expected a number from 1 to {count}."
                if count
                else "Answer the coats first, or leave the key out.",
            )


def schedule_oddities(build: Build) -> tuple[Finding, ...]:
    """What the maker should look at; warnings that hold at any moment."""
    found = (*_zone(build), *_thick_films(build))
    if not build.operation:
        return found
    from wizard.plug.coats.schedule import as_findings, planned, plugs, shop_remarks
    from wizard.schedule.findings import operation_findings

    operations = planned(build)
    remarks = (*operation_findings(operations, plugs(build)), *shop_remarks(build, operations))
    said = as_findings(build, tuple(r for r in remarks if r.level == "warning"))
    own = (*_incomplete(build), *_half_a_ratio(build), *_uncounted(build), *_too_early(build))
    return (*found, *own, *said)


def _zone(build: Build) -> Iterator[Finding]:
    name = build.schedule.zone
    if name is None:
        return
    from wizard.plug.coats.schedule import zone

    if zone(build.schedule) is None:
        yield Finding(
            "warning",
            ("schedule", "zone"),
            f"No time zone is called “{name}” here, so the computer's own is taken.",
            "Expected a name such as Europe/Paris.",
        )


def _incomplete(build: Build) -> Iterator[Finding]:
    from wizard.plug.coats.tins import kind_of

    for i, row in enumerate(build.operation):
        if kind_of(build, row) is None:
            yield Finding(
                "warning",
                ("operation", i, "kind"),
                f"“{row.name or f'Operation {i + 1}'}” is of no kind, so it isn't planned.",
                "Say what kind of work it is.",
            )


def _half_a_ratio(build: Build) -> Iterator[Finding]:
    """Mixing ratios of which a part is missing: nothing can be weighed out by them."""
    for i, row in enumerate(build.operation):
        wanted = ("resin_parts", "hardener_parts", "parts_by")
        missing = [key for key in wanted if getattr(row, key) is None]
        if missing and len(missing) < len(wanted):
            yield Finding(
                "warning",
                ("operation", i, missing[0]),
                "The mixing ratio is not complete, so nothing is weighed out by it.",
                "Give the parts of resin and of hardener, and whether by volume or by mass.",
            )


def _uncounted(build: Build) -> Iterator[Finding]:
    """Where the films that are laid and those that are counted part."""
    from wizard.plug.coats.schedule import operation_name
    from wizard.plug.coats.tins import kind_of

    laid = Counter(row.coat for row in build.operation if row.coat is not None)
    for i, row in enumerate(build.operation):
        kind = kind_of(build, row)
        if kind is not None and kind.id in COATING and row.coat is None:
            yield Finding(
                "warning",
                ("operation", i, "coat"),
                f"The film of “{operation_name(build, i)}” is no coat of the list, so it isn't "
                "counted.",
                "Name its coat, or add one.",
            )
    for n, coat in enumerate(build.coat or (), start=1):
        if laid[n] != 1:
            times = "is in no operation" if not laid[n] else f"is laid by {laid[n]} operations"
            yield Finding(
                "warning",
                ("coat", n - 1),
                f"Coat {n}{f', {coat.name},' if coat.name else ''} {times} and is counted once.",
                "Make one row of coats for each operation that lays one.",
            )


def _too_early(build: Build) -> Iterator[Finding]:
    """A finished plug in the tank before its coats are on."""
    from wizard.plug.coats.schedule import operation_name
    from wizard.plug.coats.tins import kind_of

    tried = next((n for n, t in enumerate(build.trial) if t.kind and t.kind != "taped"), None)
    if tried is None:
        return
    left = [
        operation_name(build, n)
        for n, row in enumerate(build.operation)
        if row.finished is None and (kind := kind_of(build, row)) and kind.id in COATING
    ]
    if left:
        more = f" and {len(left) - 1} more" if len(left) > 1 else ""
        yield Finding(
            "warning",
            ("trial", tried),
            f"It was tried in the water, but of the coating schedule “{left[0]}”{more} "
            f"{'are' if more else 'is'} not marked as done.",
            "Mark what is on; what is still to come changes the weight, and water harms a coat "
            "that has not cured.",
        )


def _thick_films(build: Build) -> Iterator[Finding]:
    for i, coat in enumerate(build.coat or ()):
        if coat.thickness is not None:
            yield from _thick_film(coat, coat.thickness, ("coat", i, "thickness"))


def _thick_film(coat: Coat, film: Quantity, path: Path) -> Iterator[Finding]:
    """A film thicker than all coats of its kind together."""
    from wizard.tables import find_coat

    kind = find_coat(coat.name) if coat.name else None
    if kind is None or film.value <= kind.coats[1] * kind.film.high * (1 + 1e-9):
        return
    most = units.from_core(kind.film.high, film.unit)
    eyes = " It would fill the eyes of the hangers." if film.value > _FILLS_AN_EYE else ""
    yield Finding(
        "warning",
        path,
        f"{film.text} is more than {kind.coats[1]} coats of {kind.name}, each of {plain(most, 3)} "
        f"{film.unit} at most.{eyes}",
        "Look at its unit, or at the film of one coat.",
    )


_FILLS_AN_EYE = 0.5e-3
"""Film from which the eye of a usual hanger, 2 mm wide or so, begins to close [m]: a judgement."""
