"""Taking the girth factor into the shape, with one key and a way back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.app.messages import BuildChanged
from wizard.session.drawings import take_girth
from wizard.session.session import ReadOnly

if TYPE_CHECKING:
    from wizard.app.app import Plugwright


def girth_into_shape(app: Plugwright) -> None:
    """Make the drawn volume the weighed one; nothing else changes."""
    session = app.session
    if session is None:
        return
    try:
        changed, words = take_girth(session)
    except ReadOnly:
        changed, words = False, f"Read only: {session.holder} has this build open."
    if changed:
        app.build_changed()
        app.tell(BuildChanged())
        words = f"{words} {app.key('undo')} takes it back."
    app.say(words)
