"""`plugwright timetable`: the coats in time, as text, for programs, or for a calendar."""

from __future__ import annotations

import os
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop

if TYPE_CHECKING:
    from wizard.plug.record import Build
    from wizard.schedule.entries import Timetable

EXAMPLES = """\
  plugwright timetable my-plug.toml
  plugwright timetable my-plug.toml --hours "Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00"
  plugwright timetable my-plug.toml --from 2026-04-02T18:30+01:00
  plugwright timetable my-plug.toml --ics coats.ics
  plugwright timetable my-plug.toml --json
"""
_PROPOSED = "Proposed: no operations are kept yet. The app's timetable takes these over."


def _parser() -> Parser:
    asked = parser("timetable", "Plan the coats of a build in time.", EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    asked.add_argument("--ics", metavar="FILE", help="write it for a calendar program as well")
    asked.add_argument("--hours", help="when the bench is open, instead of the build's own hours")
    asked.add_argument(
        "--from", dest="begin", metavar="TIME", help="plan from this moment on, not from now"
    )
    asked.add_argument("--force", action="store_true", help="write over any calendar file there")
    return asked


def run(arguments: list[str]) -> int:
    """Print the timetable of a profile; returns the exit status."""
    asked = _parser().parse_args(arguments)
    now = _moment(asked.begin)
    read = opened(asked.profile)
    build, is_proposed = _with_operations(_with_hours(read.build, asked.hours))
    from wizard.plug.coats.schedule import timetable
    from wizard.plug.derive import derive

    made, derived = timetable(build, now), derive(build)
    if asked.ics:
        _write_calendar(Path(asked.ics), Path(asked.profile), build, made, asked.force)
    if asked.json:
        from wizard.report.timetable_data import timetable_document

        document = timetable_document(asked.profile, build, derived, made, now, read.odd)
        sys.stdout.write(document + "\n")
        return 0
    from wizard.report.timetable import timetable_text

    sys.stdout.write(timetable_text(build, derived, made, now))
    if is_proposed:
        sys.stdout.write(f"\n{_PROPOSED}\n")
    return 0


def _moment(text: str | None) -> datetime:
    if text is None:
        return datetime.now().astimezone()
    from wizard.schedule.words import Refusal, read_stamp

    found = read_stamp(text)
    if isinstance(found, Refusal):
        stop(f"--from: {found}")
    if found.year not in range(1970, 2200):
        stop(f"--from: the year is {found.year}. Expected 1970 to 2199.")
    return found


def _with_hours(build: Build, hours: str | None) -> Build:
    if hours is None:
        return build
    from wizard.plug.paths import put
    from wizard.schedule.hours import read_hours
    from wizard.schedule.words import Refusal

    found = read_hours(hours)
    if isinstance(found, Refusal):
        stop(f"--hours: {found}")
    return put(build, ("schedule", "hours"), hours)


def _with_operations(build: Build) -> tuple[Build, bool]:
    """The build with its own operations, or with those that its coats ask for."""
    if build.operation:
        return build, False
    from wizard.plug.coats.proposing import with_proposal

    return with_proposal(build), True


def _write_calendar(
    target: Path, profile: Path, build: Build, made: Timetable, force: bool
) -> None:
    from wizard.schedule.calendar import calendar_file
    from wizard.store.faults import SaveFailed, shown
    from wizard.store.files import put

    if target.exists() and (_same(target, profile) or not (force or _ours(target))):
        stop(f"{shown(target)} is there already; choose another name or add --force")
    try:
        put(Path(os.path.realpath(target)), calendar_file(made, build.build.name or "Plug"))
    except SaveFailed as fault:
        stop(str(fault))
    sys.stderr.write(f"wrote {shown(target)}\n")


def _same(one: Path, other: Path) -> bool:
    return os.path.samefile(one, other)


def _ours(path: Path) -> bool:
    """Whether the file in the way is an earlier calendar of ours."""
    try:
        with path.open("rb") as file:
            return b"PRODID:-//Plugwright//Timetable//EN" in file.read(4096)
    except OSError:
        return False
