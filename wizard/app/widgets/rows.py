"""The rows of a form: a field, a choice, a line. Each says what was done with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from wizard.app.widgets.choice import Choice
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.field import Field
from wizard.app.widgets.row import FormRow, Words
from wizard.app.words import wrapped
from wizard.plug.record import Build
from wizard.session.layout import Asked, Chosen, Line, Row

KEYED = {"plan": "page", "tank": "page", "timetable": "page", "picture": "picture"}
"""Lines that can be had by a key from anywhere at their step, with the act of that key."""


class Press(FormRow, can_focus=True):
    """A line to press Enter on."""

    SHOWS = Line
    DEFAULT_CSS = "Press { height: auto; }"

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "press", "Go", show=False)]

    @dataclass
    class Pressed(Message):
        """Enter was pressed on a line."""

        line: Line

    def __init__(self, row: Line) -> None:
        super().__init__()
        self.row: Line = row

    def show(self, row: Any, build: Build) -> None:
        """Show the line as it stands now."""
        if row != self.row:
            self.row = row
            self.refresh(layout=True)

    def on_focus(self) -> None:
        """Show the mark."""
        self.refresh(layout=True)

    def on_blur(self) -> None:
        """Take the mark away."""
        self.refresh(layout=True)

    def on_click(self) -> None:
        """A click is a press."""
        self.action_press()

    def action_press(self) -> None:
        """Do what the line says."""
        self.post_message(self.Pressed(self.row))

    def _lines(self, width: int) -> list[str]:
        act = KEYED.get(self.row.act)
        told = [self.row.detail, plugwright(self).key(act) if act else ""]
        detail = "; ".join(filter(None, told))
        if self.row.act == "unfold":
            detail = ""
        elif detail:
            detail = f": {detail}" if self.row.act == "open" else f" ({detail})"
        enter = "   Enter" if self.has_focus else ""
        text = self.spelled(f"{self.mark()}{self.row.text}{detail}{enter}")
        return wrapped(text, max(width, 20), "    ")

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as it wraps to."""
        return len(self._lines(width))

    def render(self) -> Content:
        """The line behind its mark; it says what Enter does while it has the focus."""
        style = "" if self.row.act in ("open", "unfold") else "bold"
        if self.has_focus:
            style = "bold reverse"
        lines = self._lines(self.size.width)
        return Content("\n").join(Content.styled(line, style) for line in lines)


def new_row(row: Row, build: Build, text: str | None = None, note: str = "") -> Widget:
    """The widget for a row."""
    if isinstance(row, Asked):
        return Field(row, build, text, note)
    if isinstance(row, Chosen):
        return Choice(row)
    return Press(row) if isinstance(row, Line) else Words(row)
