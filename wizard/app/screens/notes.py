"""Notes about the build, over as many lines as they take."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import TextArea

from wizard.app.widgets.drawn import Prose
from wizard.app.widgets.sheet import Sheet


class NotesScreen(Sheet[str | None]):
    """Some lines to type into; Esc keeps them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "keep", "Keep and close", id="keep"),
    ]

    title_text = "Notes"

    def __init__(self, text: str, typing: Callable[[str], None]) -> None:
        super().__init__()
        self._text, self._typing = text, typing

    def body(self) -> Iterator[Widget]:
        """The lines."""
        yield Prose("Free text about this build. Esc keeps it and closes.", classes="about")
        yield TextArea(self._text, tab_behavior="focus", compact=True)

    def on_mount(self) -> None:
        """Begin at the end, without a blinking cursor."""
        area = self.query_one(TextArea)
        area.cursor_blink = False
        area.move_cursor(area.document.end)
        area.focus()

    @on(TextArea.Changed)
    def _changed(self, event: TextArea.Changed) -> None:
        self._typing(event.text_area.text)

    def keep_typing(self) -> None:
        """Keep the text as a draft."""
        for area in self.query(TextArea):
            self._typing(area.text)

    def action_keep(self) -> None:
        """Close with the text as it is."""
        self.dismiss(self.query_one(TextArea).text.rstrip())
