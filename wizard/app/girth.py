"""Taking the girth factor into the shape, with one key and a way back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.app.messages import BuildChanged
from wizard.app.pages import STILL_WORKING
from wizard.session.drawings import take_girth
from wizard.session.session import ReadOnly

if TYPE_CHECKING:
    from wizard.app.app import Plugwright


def girth_into_shape(app: Plugwright) -> None:
    """Make the drawn volume the weighed one; nothing else changes."""
    session, now = app.session, app.worked_out
    if session is None:
        return
    if now is None:
        app.say(STILL_WORKING)
        return
    girth = now.value("girth")
    try:
        changed, words = take_girth(session, None if girth is None else girth.value)
    except ReadOnly:
        changed, words = False, f"Read only: {session.holder} has this build open."
    if changed:
        app.build_changed()
        app.tell(BuildChanged())
        words = f"{words} {app.key('undo')} takes it back."
    app.say(words)
