"""One line to type into."""

from __future__ import annotations

from textual import events
from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input

from wizard.quantity.reading import tidy


class Entry(Input):
    """A line of text: never blinking, never cleared, harmless to paste into.

    A text that was kept earlier is underlined when the line is come to: what is typed
    first then takes its place (1 typed over 1 is 1, not 11); Left, Right and Backspace
    change it instead.

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
        self._left_at = len(value)

    def to_type_over(self) -> None:
        """Let the next sign that is typed take the place of the whole text."""
        self.select_all()

    @property
    def is_to_type_over(self) -> bool:
        """Whether the next sign that is typed takes the place of the whole text."""
        return bool(self.value) and {*self.selection} == {0, len(self.value)}

    def action_delete_left(self) -> None:
        """Take off one sign, also of a text that could be typed over."""
        if self.is_to_type_over:
            self.cursor_position = len(self.value)
        super().action_delete_left()

    def on_focus(self) -> None:
        """Go on where it was left."""
        if self.selection.is_empty:
            self.cursor_position = min(self._left_at, len(self.value))

    def on_blur(self) -> None:
        """Show a text that is longer than the line from its beginning."""
        self._left_at = len(self.value) if self.is_to_type_over else self.cursor_position
        self.cursor_position = 0

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
