"""What every row of a form is: keyed, marked while it has the focus, shown anew."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from wizard.app.widgets.drawn import Drawn, Prose
from wizard.app.words import wrapped
from wizard.plug.record import Build
from wizard.session.layout import Said

MARK = "> "
NO_MARK = "  "
LABEL = 33
"""Cells of the longest label that stands beside its answer."""

ANSWER = 18
"""Cells of an answer between its brackets."""


class FormRow(Drawn):
    """A row that can have the focus.

    Attributes:
        row: what it shows.
    """

    SHOWS: ClassVar[type[Any]]
    row: Any

    @dataclass
    class Focused(Message):
        """A row has got the focus."""

        sender: FormRow

    @property
    def key(self) -> str:
        """The row's key."""
        key: str = self.row.key
        return key

    def show(self, row: Any, build: Build) -> None:
        """Show the row as it stands now."""
        raise NotImplementedError

    @property
    def target(self) -> Widget:
        """The widget that takes the focus for the row."""
        return self

    @property
    def is_current(self) -> bool:
        """Whether the focus is in this row."""
        return self.screen.focused in (self, self.target)

    def on_focus(self) -> None:
        """Tell the form, which shows what the row is about."""
        self.post_message(self.Focused(self))

    def mark(self) -> str:
        """The sign of the focus, or the room for it."""
        return MARK if self.is_current else NO_MARK


class Words(Prose):
    """A line of a form that is only read."""

    SHOWS: ClassVar[type[Any]] = Said
    DEFAULT_CSS = "Words { color: $faint; padding: 0 0 0 2; }"

    def __init__(self, row: Said) -> None:
        super().__init__(row.text)
        self.key = row.key

    def show(self, row: Any, build: Build) -> None:
        """Show another line."""
        self.say(row.text)

    def _is_one_line(self, text: str) -> bool:
        return super()._is_one_line(f"- {text}")

    def _lines(self, width: int) -> list[str]:
        return wrapped(self.spelled(f"- {self.text}"), width, "  ")

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as it wraps to."""
        return len(self._lines(width))

    def render(self) -> Content:
        """The line behind a dash, wrapped under itself."""
        return Content("\n".join(self._lines(self.size.width)))
