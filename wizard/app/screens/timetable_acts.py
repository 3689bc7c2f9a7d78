"""What can be done at the timetable beside marking: weigh, change, plan anew, take along."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from wizard.app import clock
from wizard.app.screens.asking import Line, Sure, Which
from wizard.app.widgets.drawn import plugwright
from wizard.plug.coats.proposing import (
    one_more_coat,
    with_every_coat,
    with_tin_kept,
    without_operation,
)
from wizard.plug.coats.schedule import ids, operation_name, unmarked
from wizard.plug.coats.weighed_coats import stage_now, weigh
from wizard.plug.paths import put, spec_at
from wizard.plug.record import Build
from wizard.session.option import Option
from wizard.steps.answering import Unclear, answer
from wizard.steps.prompts import Prompt, Question

if TYPE_CHECKING:
    from wizard.app.screens.timetable import TimetableScreen

Act = Callable[["TimetableScreen"], Awaitable[None]]


def _undo(at: TimetableScreen) -> str:
    return plugwright(at).key("undo")


async def choose(at: TimetableScreen) -> None:
    """Show what can be done and do what is chosen."""
    if not at.session.build.operation:
        at.say("Enter takes the proposed list over first.")
        return
    options = list(_options(at))
    picked = await at.app.push_screen_wait(Which("Timetable", options))
    if picked is not None:
        await _ACTS[picked](at)


def _options(at: TimetableScreen) -> list[Option]:
    build, index = at.session.build, _index(at)
    name = _called(build, index) if index is not None else ""
    options = [Option("weigh", "Weigh the plug now", "its gain becomes the coat's mass")]
    if index is not None:
        row = build.operation[index]
        if row.started is not None or row.finished is not None:
            options.append(Option("unmark", f"Take the marks of {name} back"))
        options.append(Option("change", f"Change {name}", "its tin, times, note"))
        with_coat = "with its coat; " if _takes_its_coat(build, index) else ""
        options.append(Option("remove", f"Remove {name}", f"{with_coat}asks first"))
        options.append(Option("keep", f"Keep the tin of {name} for other builds"))
    if build.coat:
        options.append(Option("again", "One more coat like the last one"))
    if with_every_coat(build) != build:
        options.append(Option("missing", "Plan the coats that no operation lays yet"))
    options += [
        Option("hours", "Hours at the bench", build.schedule.hours or "not given"),
        Option("calendar", "Write a calendar file"),
        Option("bell", "Bell and notifications", "when a coat is due"),
    ]
    return options


def _called(build: Build, index: int) -> str:
    """An operation by its name, which may read like words of the sentence that it stands in."""
    return f"“{operation_name(build, index)}”"


def _index(at: TimetableScreen) -> int | None:
    places = ids(at.session.build)
    return places.index(at.pointed) if at.pointed in places else None


async def _weigh(at: TimetableScreen) -> None:
    from wizard.plug.weightlog import BELONGS

    build = at.session.build
    stage, _ = stage_now(build)
    path = ("weight", len(build.weight), "mass")
    question = Question(path, Prompt("mass", "Mass", "", unit="g"), spec_at(path), None)
    text = ""
    about = f"The whole plug: {BELONGS[stage]}."  # type: ignore[index]  # a stage of the record
    while True:
        typed = await at.app.push_screen_wait(Line("Weigh the plug", about, text))
        if typed is None:
            return
        taken = answer(build, question, typed)
        if not isinstance(taken, Unclear):
            break
        text, about = typed, f"Error: {taken.wrong} {taken.remedy} {' or '.join(taken.choices)}"
    mass = taken.weight[-1].mass
    assert mass is not None
    weighed = weigh(build, mass, clock.now())
    if at.change(weighed.build, ("weight",), f"weighed {mass.text}", at.pointed):
        at.say(weighed.words)


async def _unmark(at: TimetableScreen) -> None:
    index = _index(at)
    if index is not None:
        name = _called(at.session.build, index)
        changed = unmarked(at.session.build, index + 1)
        if at.change(changed, ("operation", index), f"marks of {name} taken back"):
            at.say(f"{name} is unmarked, the rest planned anew. {_undo(at)} undoes that.")


async def _change(at: TimetableScreen) -> None:
    index = _index(at)
    if index is not None:
        at.dismiss(f"operation.{index}.name")


def _takes_its_coat(build: Build, index: int) -> bool:
    """Whether the coat of an operation goes with it, as one that no other lays."""
    return without_operation(build, index).coat != build.coat


async def _remove(at: TimetableScreen) -> None:
    index = _index(at)
    if index is None:
        return
    name = _called(at.session.build, index)
    with_coat = ", with its coat" if _takes_its_coat(at.session.build, index) else ""
    if await at.app.push_screen_wait(Sure(f"Remove {name}?", f"remove {name}{with_coat}")):
        changed = without_operation(at.session.build, index)
        if at.change(changed, ("operation",), f"{name} removed"):
            at.say(f"{name} is removed{with_coat}. {_undo(at)} brings it back.")


async def _keep(at: TimetableScreen) -> None:
    index = _index(at)
    if index is None:
        return
    kept = with_tin_kept(at.bench, at.session.build, index)
    if kept == at.bench:
        at.say("Nothing new is typed about this tin: Change this operation first.")
        return
    trouble = _save_bench(at, kept)
    at.say(
        trouble or f"Kept on the bench: {kept.operation[-1].name}. New timetables begin with it."
    )


def _save_bench(at: TimetableScreen, bench: object) -> str:
    from wizard.plug.bench import Bench
    from wizard.store.bench import BenchUnreadable, bench_path, open_bench, save_bench
    from wizard.store.faults import ChangedOutside, SaveFailed

    assert isinstance(bench, Bench)
    try:
        opened = open_bench(bench_path(plugwright(at).folder))
        save_bench(opened, replace(opened.bench, operation=bench.operation, bench=bench.bench))
    except (BenchUnreadable, ChangedOutside, SaveFailed) as fault:
        return f"! {fault}"
    at.bench = bench
    return ""


async def _again(at: TimetableScreen) -> None:
    if at.change(one_more_coat(at.session.build), ("operation",), "one more coat"):
        at.say(
            f"One more coat is planned, and counted in the numbers. {_undo(at)} takes it out again."
        )


async def _missing(at: TimetableScreen) -> None:
    changed = with_every_coat(at.session.build, at.bench)
    if at.change(changed, ("operation",), "coats planned"):
        at.say("Every coat has its operation now.")


async def _hours(at: TimetableScreen) -> None:
    build = at.session.build
    path = ("schedule", "hours")
    question = Question(path, Prompt("hours", "Hours", "", optional=True), spec_at(path), None)
    text = build.schedule.hours or at.bench.bench.hours or ""
    about = "Such as Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00."
    while True:
        typed = await at.app.push_screen_wait(Line("Hours at the bench", about, text))
        if typed is None:
            return
        taken = answer(build, question, typed)
        if not isinstance(taken, Unclear):
            break
        text, about = typed, f"Error: {taken.wrong} {taken.remedy}"
    if at.change(taken, path, "hours at the bench"):
        at.say("Planned anew for these hours.")


async def _calendar(at: TimetableScreen) -> None:
    from wizard.schedule.calendar import calendar_file
    from wizard.session.opening import place
    from wizard.store.faults import SaveFailed, shown
    from wizard.store.files import put as write

    session = at.session
    start = str(session.path.with_suffix(".ics"))
    typed = await at.app.push_screen_wait(
        Line("Write a calendar file", "A path; any calendar program can read it.", start)
    )
    if typed is None:
        return
    path = place(typed)
    if path.exists() and not await at.app.push_screen_wait(
        Sure(f"{shown(path.name)} is there already.", "write over it")
    ):
        return
    try:
        write(path, calendar_file(at.made(), session.build.build.name or "Plug"))
    except SaveFailed as fault:
        at.say(f"! {fault}")
        return
    at.say(f"Written: {shown(path)}")


async def _bell(at: TimetableScreen) -> None:
    habits = at.bench.bench
    options = [
        Option("yes yes", "a bell, and a notification where the terminal takes one"),
        Option("yes no", "a bell only"),
        Option("no yes", "a notification only"),
        Option("no no", "neither: a line on the screen"),
    ]
    now = f"{habits.bell or 'yes'} {habits.notify or 'yes'}"
    picked = await at.app.push_screen_wait(Which("When a coat is due", options, now))
    if picked is None:
        return
    bell, _, notify = picked.partition(" ")
    changed = put(put(at.bench, ("bench", "bell"), bell), ("bench", "notify"), notify)
    at.say(_save_bench(at, changed) or "Kept on the bench, for all builds.")


_ACTS: Mapping[str, Act] = {
    "weigh": _weigh,
    "unmark": _unmark,
    "change": _change,
    "remove": _remove,
    "keep": _keep,
    "again": _again,
    "missing": _missing,
    "hours": _hours,
    "calendar": _calendar,
    "bell": _bell,
}
