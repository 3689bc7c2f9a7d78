"""A few options to choose from; the present one on its own until the row has the focus."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message

from wizard.app.widgets.row import ANSWER, LABEL, MARK, NO_MARK, FormRow
from wizard.app.words import cell_len, fitted
from wizard.plug.record import Build
from wizard.session.beside import taken_sign
from wizard.session.layout import Chosen
from wizard.session.option import Option, place_of, sign_of


class Choice(FormRow, can_focus=True):
    """A few options; the present one on its own until the row has the focus."""

    SHOWS = Chosen
    DEFAULT_CSS = "Choice { height: auto; }"

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,minus", "point(-1)", "Up", show=False),
        Binding("down,plus", "point(1)", "Down", show=False),
        Binding("enter", "take", "Choose", show=False),
    ]

    @dataclass
    class Taken(Message):
        """An option was chosen."""

        choice: Choice
        value: str | None

    @dataclass
    class Pointed(Message):
        """Another option is pointed at."""

        choice: Choice

    @dataclass
    class Passed(Message):
        """The pointer went past the first or the last option."""

        choice: Choice
        way: int

    def __init__(self, row: Chosen) -> None:
        super().__init__()
        self.row: Chosen = row
        self._at = self._start()

    def _start(self) -> int:
        """Where the pointer begins: nowhere while a question has no answer."""
        values = [option.value for option in self.row.options]
        if self.row.at in values:
            return values.index(self.row.at)
        return -1 if self.row.question is not None else 0

    def show(self, row: Any, build: Build) -> None:
        """Show the options as they stand now."""
        if row != self.row:
            self.row = row
            self._at = self._start()
            self.refresh(layout=True)

    def on_focus(self) -> None:
        """Open out."""
        self.refresh(layout=True)

    def on_blur(self) -> None:
        """Fold up; where the pointer was is forgotten."""
        self._at = self._start()
        self.refresh(layout=True)

    def on_key(self, event: events.Key) -> None:
        """A digit moves the pointer, and only that."""
        if event.character and event.character.isdigit():
            event.stop()
            place = place_of(event.character, len(self.row.options))
            if place is not None:
                self._point(place)

    def on_click(self, event: events.Click) -> None:
        """A click on an option points at it; on the one pointed at, takes it."""
        place = event.y - (1 if _label_column(self.row.label, self.size.width) else 2)
        if 0 <= place < len(self.row.options):
            if place == self._at:
                self.action_take()
            self._point(place)

    @property
    def pointed(self) -> str:
        """The option that is pointed at, with its digit; empty for none."""
        return f"{sign_of(self._at)} {self.row.options[self._at].text}" if self._at >= 0 else ""

    def _point(self, place: int) -> None:
        self._at = place
        self.refresh()
        self.post_message(self.Pointed(self))

    def action_point(self, way: int) -> None:
        """Move the pointer, or past the ends to the next row."""
        place = self._at + way
        if 0 <= place < len(self.row.options):
            self._point(place)
        else:
            self.post_message(self.Passed(self, way))

    def action_take(self) -> None:
        """Choose the option that the pointer is at; go on where it is at none."""
        pointed = self._at >= 0
        self.post_message(self.Taken(self, self.row.options[self._at].value if pointed else None))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """One line, or two in a narrow place, and one more an option while it has the focus."""
        return (
            1 + (_label_column(self.row.label, width) == 0) + len(self.row.options) * self.has_focus
        )

    def render(self) -> Content:
        """The label with what holds now, and the options below it."""
        width = self.size.width
        column = _label_column(self.row.label, width)
        style = "bold" if self.has_focus else ""
        head = Content.styled(
            fitted(self.spelled(f"{self.mark()}{self.row.label}"), column or width), style
        )
        answer = f"[{fitted(self.spelled(self.row.shown), ANSWER)}] {self._state()}"
        if column:
            lines = [head + Content(answer)]
        else:
            lines = [head, Content(f"    {answer}")]
        if self.has_focus:
            names = max(cell_len(option.text) for option in self.row.options) + 2
            lines += [self._option(n, o, names) for n, o in enumerate(self.row.options)]
        return Content("\n").join(lines)

    def _state(self) -> str:
        question = self.row.question
        if question is None:
            return ""
        if question.answer is not None:
            return taken_sign(question)
        return "may stay empty" if question.prompt.optional else "open"

    def _option(self, number: int, option: Option, names: int) -> Content:
        pointed = number == self._at
        held = "(x)" if option.value == self.row.at else "( )"
        line = self.spelled(
            f"  {MARK if pointed else NO_MARK}{held} {sign_of(number)} "
            f"{fitted(option.text, names) if option.detail else option.text}{option.detail}"
        )
        return Content.styled(fitted(line, self.size.width), "reverse" if pointed else "")


def _label_column(label: str, width: int) -> int:
    """Cells that a label takes beside its answer; 0 where it stands above it."""
    return 0 if width < 65 or len(label) > LABEL else 36
