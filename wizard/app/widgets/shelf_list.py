"""The list of builds: letters that are typed find, digits and arrows point, Enter opens."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.message import Message

from wizard.app.widgets.picker import Picker
from wizard.session.option import Option

LONGEST = 60
"""Letters that are looked for at most."""


class ShelfList(Picker):
    """A picker that takes letters as words to find.

    Attributes:
        typed: what is looked for.
        can_find: whether there is anything to look for; a letter does nothing if not.
    """

    @dataclass
    class Typed(Message):
        """What is looked for is another text."""

        text: str

    def __init__(self, options: Sequence[Option], id: str | None = None) -> None:
        super().__init__(options, id=id)
        self.typed = ""
        self.can_find = True

    def look_for(self, text: str) -> None:
        """Look for another text."""
        if text != self.typed:
            self.typed = text[:LONGEST]
            self.post_message(self.Typed(self.typed))

    def on_key(self, event: events.Key) -> None:
        """A letter is looked for, and a digit too once there are letters before it."""
        sign = event.character or ""
        begins = sign.isprintable() and not sign.isdigit() and not sign.isspace()
        if event.key == "backspace":
            event.stop()
            self.look_for(self.typed[:-1])
        elif self.can_find and sign and sign.isprintable() and (self.typed or begins):
            event.stop()
            event.prevent_default()
            self.look_for(self.typed + sign)

    def on_paste(self, event: events.Paste) -> None:
        """Pasted words are looked for, their first line."""
        event.stop()
        if not self.can_find:
            return
        line = event.text.strip().split("\n")[0]
        self.look_for("".join(c for c in self.typed + line if c.isprintable()))
