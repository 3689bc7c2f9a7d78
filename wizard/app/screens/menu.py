"""All that can be done, on one list: no key needs to be known, and letters find."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wizard.app.messages import BuildChanged
from wizard.app.pages import SAVING
from wizard.app.screens.asking import Line, Sought, Which
from wizard.app.themes import DESCRIBED
from wizard.session.option import Option
from wizard.steps.walk import STEPS, step_named

if TYPE_CHECKING:
    from wizard.app.app import Plugwright

ORDER = {
    "help": "Help",
    "working": "Working of every number",
    "undo": "Undo the last answer",
    "redo": "Redo what was undone",
    "large": "Large letters, for across the bench",
    "pick": "Pick a unit or a name",
    "notes": "Notes",
    "answers": "All answers",
    "steps": "Go to a step",
    "cautions": "Cautions of this step",
    "picture": "Picture of the body",
}
"""Acts with a key, by name, as they stand on the list."""

HANDING = {
    "sheet": "The sheet of this build, with its picture",
    "scale": "A new build from this one",
    "compare": "Compare it with others",
    "export": "Hand it on: print, spreadsheet, profile",
    "needs": "What it takes, to have at hand",
}
"""What the shelf can do with a build, open or not."""


STEP = "step:"
"""How the option of a step begins, before its word."""


async def choose(app: Plugwright) -> None:
    """Show the menu and do what is chosen."""
    options = list(_with_keys(app))
    if app.step_screen is not None:
        options += [
            Option("review", "Review: all of it on one page"),
            Option("marking", "Marking-out sheet"),
            Option("template", "Template to glue on, or solid: PDF, SVG, STL"),
            Option("telling('bench')", "What your bench has learned"),
            Option("girth", "Take the girth factor into the shape"),
            Option("history", "Earlier versions"),
            *(Option(what, text) for what, text in HANDING.items()),
            Option("units", "Units of this build"),
            Option("elsewhere", "Save to another place"),
            Option("home", "Your builds", ""),
        ]
    options += [
        Option("bench", "Your bench: drawer, drills, tins"),
        Option("first", "The first page again: units and instruments"),
    ]
    unsaved = app.session is not None and app.session.kept.state == "not saved"
    leaving = "Quit, which asks first" if unsaved else "Quit: all is saved"
    options += [
        Option("leave", "Leave this screen as a file: text or picture"),
        Option("colours", "Colours"),
        Option("quit", leaving, app.key("quit")),
        *_steps(app),
    ]
    if unsaved:  # what helps comes first
        options.sort(key=lambda option: option.value != "elsewhere")
    picked = await app.push_screen_wait(Sought("Menu", options))
    if picked == "colours":
        await colours(app)
    elif picked == "units":
        await units(app)
    elif picked == "bench":
        await bench(app)
    elif picked == "first":
        app.first_page()
    elif picked == "leave":
        from wizard.app.screens.leaving import leave

        await leave(app)
    elif picked == "elsewhere":
        await elsewhere(app)
    elif picked in HANDING and app.session is not None:
        from wizard.app.screens.handing import do

        app.session.flush(SAVING)
        await do(app, picked, app.session.path)
    elif picked == "home":
        app.go_home()
    elif picked is not None and picked.startswith(STEP) and app.step_screen is not None:
        await app.step_screen.show_step(step_named(picked.removeprefix(STEP)))
    elif picked is not None:
        await app.run_action(picked)


def _with_keys(app: Plugwright) -> Iterator[Option]:
    """What has a key and can be done from where the maker is."""
    here = app.step_screen
    for name, words in ORDER.items():
        if (name == "help" or here is not None) and app.check_action(name, ()):
            yield Option(name, words, " or ".join(app.keys_of(name)))
    if here is not None:
        yield from _pages(app, here.step.id if here is app.screen else "")


def _steps(app: Plugwright) -> Iterator[Option]:
    """The steps by name, for whoever types where to go."""
    if app.step_screen is app.screen:
        yield from (Option(f"{STEP}{step.id}", f"Go to {step.title}") for step in STEPS)


def _pages(app: Plugwright, step: str) -> Iterator[Option]:
    """What the page key opens: at two steps a page of their own, else the timetable."""
    key = app.key("page")
    if step == "ballast":
        yield Option("screen.plan", "Drill plan from the drawer", key)
    own = step in ("ballast", "proof")
    yield Option("timetable", "Timetable of the coats", "" if own else key)
    yield Option("telling('tank')", "What the tank says", key if step == "proof" else "")


async def colours(app: Plugwright) -> None:
    """Choose other colours."""
    options = [Option(name, name, meaning) for name, meaning in DESCRIBED.items()]
    picked = await app.push_screen_wait(Which("Colours", options, app.theme))
    if picked is not None:
        app.theme = picked


async def bench(app: Plugwright) -> None:
    """Look at the bench and change it; what it offers may be other then."""
    from wizard.app.screens.bench import BenchScreen

    await app.push_screen_wait(BenchScreen())
    here = app.step_screen
    if here is not None:
        await here.bench_changed()


async def elsewhere(app: Plugwright) -> None:
    """Save to another place from now on."""
    from os.path import isdir

    from wizard.session.opening import place
    from wizard.session.session import ReadOnly

    session = app.session
    if session is None:
        return
    typed = await app.push_screen_wait(
        Line("Save to another place", f"Now in {session.path}. Type a path.")
    )
    if typed is None:
        return
    path = place(typed)
    try:
        session.elsewhere(path / session.path.name if isdir(path) else path)
    except ReadOnly:
        app.say(f"Read only: {session.holder} has this build open.")
    else:
        app.say(f"Saved in {session.path.name} no more, but in {path}.")


KINDS = ("length", "mass", "density", "temperature", "speed")
"""The kinds of quantity whose unit a maker chooses for a whole build."""


async def units(app: Plugwright) -> None:
    """Choose the unit in which a kind of number is typed and shown in this build."""
    from wizard.quantity.units import labels
    from wizard.session.session import ReadOnly
    from wizard.steps.units import in_units

    session = app.session
    if session is None:
        return
    chosen = session.build.build.units
    options = [Option(kind, kind, chosen.get(kind, "as each question has it")) for kind in KINDS]
    kind = await app.push_screen_wait(Which("Units of this build", options))
    if kind is None:
        return
    unit = await app.push_screen_wait(
        Which(
            f"Unit of {kind}",
            [*labels(kind), Option("", "as each question has it")],  # type: ignore[arg-type]
            chosen.get(kind, ""),
            "Answers stay as they were typed; bare numbers and results take this unit.",
        )
    )
    if unit is None:
        return
    changed = in_units(session.build, kind, unit)
    try:
        session.change(changed, ("build", "units"), f"{kind} in {unit or 'the usual units'}")
    except ReadOnly:
        app.say(f"Read only: {session.holder} has this build open.")
    else:
        app.build_changed()
        app.tell(BuildChanged())
