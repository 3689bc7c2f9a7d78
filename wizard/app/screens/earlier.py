"""Earlier versions: to look at, to go back to, and in the place of a file that is damaged."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.app.screens.asking import Which
from wizard.app.widgets.sheet import Reader
from wizard.session.changes import changes, count
from wizard.session.earlier import Earlier, earlier, may_be_replaced, restore
from wizard.session.opening import is_free
from wizard.session.option import Option
from wizard.session.session import ReadOnly
from wizard.store.faults import SaveFailed, shown
from wizard.store.opening import Unreadable

if TYPE_CHECKING:
    from wizard.app.app import Plugwright

MOST_OFFERED = 6
"""Versions offered in the place of a damaged file, the newest ones."""

ANEW = "anew"
MOST_TOLD = 8
"""Lines about what is wrong with it."""


def _moment(version: Earlier) -> str:
    return f"{version.when:%Y-%m-%d %H:%M}"


async def choose(app: Plugwright) -> None:
    """Look at the earlier versions of the open build, and go back to one if that is wanted."""
    session = app.session
    if session is None:
        return
    found = await to_thread(earlier, session.path)
    if not found:
        app.say("No earlier version is kept yet: one is kept at each step and on closing.")
        return
    about = "Enter shows what changed since; nothing is changed yet."
    picked: str | None = found[0].key
    while True:
        now = session.build
        options = [
            Option(v.key, _moment(v), f"{v.place}; {count(changes(v.build, now))} now")
            for v in found
        ]
        picked = await app.push_screen_wait(Which("Earlier versions", options, picked or "", about))
        version = next((v for v in found if v.key == picked), None)
        if version is None or await _looked_at(app, version):
            return


async def _looked_at(app: Plugwright, version: Earlier) -> bool:
    """Show what changed since a version; whether the build went back to it."""
    session, here = app.session, app.step_screen
    if session is None or here is None:
        return True
    lines = changes(version.build, session.build)
    title = f"Since {_moment(version)} {count(lines)}"
    await app.push_screen_wait(Reader(title, lines or ("Nothing changed since.",)))
    options = [Option("", "leave the build as it is"), Option("back", "go back to this version")]
    if not lines or not await app.push_screen_wait(
        Which(f"Version of {_moment(version)}", options)
    ):
        return False
    try:
        session.go_back(version.build, f"back to the version of {_moment(version)}")
    except ReadOnly:
        app.say(f"Read only: {session.holder} has this build open.")
        return True
    app.build_changed()
    await here.load()
    here.say(f"All is as on {_moment(version)} again. {app.key('undo')} takes that back.")
    return True


async def offer(app: Plugwright, path: Path, error: Unreadable) -> None:
    """Say what is wrong with a file, and offer the last versions that can be read."""
    found = await to_thread(_stand_ins, path, error)
    title = f"! {path.name} can't be read"
    if not found:
        app.push_screen(Reader(title, ("The file is left as it is.", "", *error.details)))
        return
    told = [*error.details[:MOST_TOLD], *["and more"] * (len(error.details) > MOST_TOLD)]
    options = [
        Option("", "leave the file as it is"),
        *(Option(v.key, f"go on with {_moment(v)}", v.place) for v in found),
        *[Option(ANEW, "begin a new build there")] * is_free(path),
    ]
    picked = await app.push_screen_wait(Which(title, options, "", "\n".join(told)))
    version = next((v for v in found if v.key == picked), None)
    if picked == ANEW:
        app.open_path(path, anew=True)
    if version is None:
        return
    try:
        done = await to_thread(restore, path, version)
    except SaveFailed as fault:
        app.say(f"! {fault}")
        return
    kept = f"The damaged file is kept as {shown(done.aside.name)}." if done.aside else ""
    app.open_path(path, kept)


def _stand_ins(path: Path, error: Unreadable) -> Sequence[Earlier]:
    return earlier(path)[:MOST_OFFERED] if may_be_replaced(path, error) else ()
