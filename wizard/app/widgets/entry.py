"""One line to type into."""

from __future__ import annotations

from textual import events
from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input

from wizard.quantity.reading import tidy


class Entry(Input):
    """A line of text: never blinking, never cleared, harmless to paste into.

    Attributes:
        passed_on: signs that are not typed but left to what the line stands in.
    """

    DEFAULT_CSS = """
    Entry {
        background: $field;
        color: $ink;
        pointer: default;
        &:focus { background-tint: transparent 0%; }
        &>.input--placeholder { color: $faint; text-style: none; }
        &>.input--cursor { text-style: reverse; background: $field; color: $ink; }
        &>.input--selection { text-style: underline; background: $field; color: $ink; }
    }
    """

    virtual_size: Reactive[Size] = Reactive(Size(0, 0))
    """Textual's own lays the whole screen out anew at every sign that is typed."""

    def __init__(
        self, value: str = "", placeholder: str = "", id: str | None = None, passed_on: str = ""
    ) -> None:
        super().__init__(
            value, placeholder, compact=True, select_on_focus=False, validate_on=(), id=id
        )
        self.cursor_blink = False
        self.passed_on = passed_on

    async def _on_key(self, event: events.Key) -> None:
        """Type, but for signs that mean something to what the line stands in."""
        if event.character and event.character in self.passed_on:
            event.prevent_default()

    def _on_paste(self, event: events.Paste) -> None:
        """Put pasted text in as one tidy line; it is never taken for Enter."""
        event.prevent_default()
        event.stop()
        line = "".join(c if c.isprintable() else " " for c in event.text)
        self.replace(tidy(line), *self.selection)
