"""Opening the plain mode."""

from __future__ import annotations

import signal
import sys
from contextlib import suppress
from pathlib import Path
from tempfile import gettempdir
from types import FrameType

from wizard.plain.talk import Gone, Talk
from wizard.quantity.reading import whole
from wizard.session.found import Found, look_through
from wizard.session.opening import begin, place, resume
from wizard.session.session import Session
from wizard.store.faults import SaveFailed
from wizard.store.folder import builds_folder
from wizard.store.opening import Unreadable

WELCOME = (
    "Plugwright, line by line. Type an answer and press Enter; /help lists what else there is.",
)


def run(profile: str | None, folder: str | None, *, ascii_only: bool = False) -> int:
    """Walk through a build line by line.

    Args:
        profile: the build to open; begun if it isn't there; None: ask.
        folder: where builds live; None for the usual place.
        ascii_only: whether signs are spelt out in ASCII.

    Returns:
        The exit status.
    """
    talk = Talk(ascii_only=ascii_only)
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _leave)
    talk.say(*WELCOME)
    session: Session | None = None
    try:
        try:
            if profile is not None:
                session = resume(place(profile), lambda kept: None)
            else:
                session = _chosen(talk, builds_folder(folder))
        except Unreadable as error:
            sys.stderr.write(f"plugwright: {error}\n")
            return 2
        if session is not None:
            from wizard.plain.standing import Leave
            from wizard.plain.walk import Walk
            from wizard.session.bench import bench_of

            bench, trouble = bench_of(builds_folder(folder))
            talk.say(*([f"! {trouble}"] if trouble else []))
            with suppress(Leave):
                Walk(session, talk, bench=bench).go_through()
    except (Gone, KeyboardInterrupt):
        pass
    finally:
        status = _closed(session, talk)
    return status


def _leave(number: int, frame: FrameType | None) -> None:
    raise SystemExit(128 + number)


def _closed(session: Session | None, talk: Talk) -> int:
    if session is None or session.holder is not None:
        return 0
    if session.close(0.7, (Path(gettempdir()),)):
        talk.say(f"Saved in {session.path}. To go on: plugwright --plain {session.path}")
        return 0
    sys.stderr.write(f"plugwright: {session.kept.trouble}\n")
    return 1


def _chosen(talk: Talk, folder: Path) -> Session | None:
    """Ask which build to go on with, or begin one."""
    found, trouble = look_through(folder)
    if trouble:
        talk.say(f"! {trouble}")
    for broken in (f for f in found if f.wrong):
        talk.say(f"! Can't be read: {broken.line}")
    usable = [f for f in found if not f.wrong and not f.is_archived]
    while True:
        text = talk.choose("Your builds:", [*map(_line, usable), "Begin a new build", "Quit"])
        number = whole(text)
        if 1 <= number <= len(usable):
            return resume(usable[number - 1].path, lambda kept: None)
        if number == len(usable) + 1:
            name = talk.ask("What is it called?").strip()
            if name:
                return _begun(talk, folder, name)
        elif number == len(usable) + 2:
            return None
        else:
            talk.say("Error: type a number of the list.")


def _line(found: Found) -> str:
    return f"{found.act} {found.line}"


def _begun(talk: Talk, folder: Path, name: str) -> Session | None:
    try:
        return begin(folder, name, lambda kept: None)
    except SaveFailed as fault:
        talk.say(f"! {fault}")
        return None
