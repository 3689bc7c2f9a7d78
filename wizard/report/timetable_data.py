"""The timetable of the coats for programs: one JSON object; what is unknown is absent."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from datetime import datetime, tzinfo
from typing import Any

from wizard.plug.coats.amounts import Amount, amount
from wizard.plug.coats.effect import effect_of_coats_to_come, last_coat
from wizard.plug.coats.schedule import USUAL_HOURS, ids, plugs, zone
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.report.timetable import rows, said_of
from wizard.schedule.clock import status
from wizard.schedule.entries import Entry, Timetable
from wizard.schedule.words import stamp

FORMAT = 1


def timetable_document(
    profile: str,
    build: Build,
    derived: Derived,
    made: Timetable,
    now: datetime,
    odd: Sequence[Finding],
) -> str:
    """The JSON of a timetable.

    Args:
        profile: the path as it was given.
        build: the record.
        derived: what follows from it.
        made: its timetable.
        now: with an offset.
        odd: what is odd about the file itself.
    """
    at = zone(build.schedule)
    due = status(made, now)
    whole: dict[str, Any] = {
        "format": FORMAT,
        "profile": profile,
        "now": stamp(now, at),
        "hours": build.schedule.hours or USUAL_HOURS,
        "plugs": plugs(build),
        "next": {"state": due.kind, "text": due.text},
    }
    if due.when is not None:
        whole["next"]["when"] = stamp(due.when, at)
    if made.ready is not None:
        whole["ready"] = stamp(made.ready, at)
    whole["lines"] = list(_lines(build, made, now, at))
    whole["mix"] = list(_mixes(build))
    effect = effect_of_coats_to_come(build, derived)
    if effect is not None:
        whole["coats_to_come"] = {
            "coats": effect.coats,
            "margin_without": effect.before.value,
            "margin_with": effect.after.value,
            "u": effect.after.u,
        }
    said = last_coat(build, derived)
    found = (*odd, *said_of(build, made), *((said,) if said is not None else ()))
    whole["warnings"] = [
        {"step": f.step, "text": f.text} for f in found if f.level in ("warning", "refusal")
    ]
    return json.dumps(whole, indent=2, allow_nan=False).replace("\x7f", "\\u007f")


def _lines(
    build: Build, made: Timetable, now: datetime, at: tzinfo | None
) -> Iterator[dict[str, Any]]:
    numbers = {id: n for n, id in enumerate(ids(build), start=1)}
    for row, entry in zip(rows(build, made, now), made.entries, strict=True):
        line: dict[str, Any] = {"id": row.id}
        if not entry.inserted and row.id in numbers:
            line["operation"] = numbers[row.id]
        line |= {"name": row.name, "kind": entry.operation.kind, "state": row.state}
        yield line | _moments(entry, at)


def _moments(entry: Entry, at: tzinfo | None) -> dict[str, Any]:
    found = {
        "start": stamp(entry.start, at),
        "finish": stamp(entry.finish, at),
        "wait_min": round(entry.wait.total_seconds() / 60.0),
        "scuff": entry.inserted,
    }
    if entry.earliest is not None:
        found["earliest"] = stamp(entry.earliest, at)
    if entry.latest is not None:
        found["latest"] = stamp(entry.latest, at)
    return found


def _mixes(build: Build) -> Iterator[dict[str, Any]]:
    for number, row in enumerate(build.operation, start=1):
        found = amount(build, row) if row.finished is None else None
        if found is not None:
            yield {"operation": number, **_mix(found)}


def _mix(found: Amount) -> dict[str, Any]:
    mix: dict[str, Any] = {
        "area_cm2": found.skin.area * 1e4,
        "area_from": found.skin.basis,
        "estimated": found.skin.estimated,
        "dry_film_um": found.dry_film * 1e6,
        "wet_film_um": found.wet_film * 1e6,
        "spread_m2_per_L": found.spread * 1e-3,
        "loss": found.loss,
        "liquid_mL": found.liquid_volume * 1e6,
        "typical": list(found.typical),
    }
    if found.liquid_mass is not None:
        mix["liquid_g"] = found.liquid_mass * 1e3
    if found.parts is not None:
        mix |= {"resin_mL": found.parts[0] * 1e6, "hardener_mL": found.parts[1] * 1e6}
    if found.batch is not None:
        mix |= {
            "resin_g": found.batch.resin_mass * 1e3,
            "hardener_g": found.batch.hardener_mass * 1e3,
        }
    return mix
