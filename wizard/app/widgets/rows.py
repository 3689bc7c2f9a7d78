"""The rows of a form: a field, a choice, a line. Each says what was done with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from wizard.app.widgets.drawn import Drawn, Prose
from wizard.app.widgets.entry import Entry
from wizard.app.words import cell_len, cut, fitted, wrapped
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity
from wizard.session.layout import Asked, Chosen, Line, Row, Said
from wizard.session.option import Option
from wizard.steps.answering import Unclear
from wizard.steps.prompts import Question
from wizard.steps.wording import echo, typed

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

    def render(self) -> Content:
        """The line behind a dash, wrapped under itself."""
        return Content("\n".join(wrapped(self.spelled(f"- {self.text}"), self.size.width, "  ")))


class Note(Prose):
    """What is to be said about the field above it."""

    DEFAULT_CSS = "Note { padding: 0 0 0 4; text-style: bold; color: $mark; }"


class Field(FormRow):
    """A question with the line that its answer is typed into, and how it is understood."""

    SHOWS = Asked
    DEFAULT_CSS = "Field { height: auto; layout: vertical; }"

    @dataclass
    class Typed(Message):
        """The text of a field is another."""

        field: Field
        text: str

    @dataclass
    class Entered(Message):
        """Enter was pressed in a field."""

        field: Field
        text: str

    @dataclass
    class Left(Message):
        """The focus has left a field."""

        field: Field
        text: str

    def __init__(self, row: Asked, build: Build, text: str | None = None, note: str = "") -> None:
        super().__init__(classes="-tall" if len(row.question.prompt.ask) > LABEL else None)
        self.row: Asked = row
        self.build = build
        self.is_draft = text is not None
        self._shown = typed(row.question.answer)
        prompt = row.question.prompt
        start = self._shown if text is None else text
        self.entry = Entry(start, placeholder="" if prompt.offer == "" else f"({prompt.offer})")
        self._note = note
        self._last = start

    def compose(self) -> ComposeResult:
        """The line to type into, and the note if there is one."""
        yield self.entry
        if self._note:
            yield Note(self._note)

    @property
    def target(self) -> Widget:
        """The line to type into."""
        return self.entry

    @property
    def text(self) -> str:
        """What stands in the line."""
        return self.entry.value

    @property
    def is_taken(self) -> bool:
        """Whether what stands in the line is the answer."""
        return self.text == self._shown

    def show(self, row: Any, build: Build) -> None:
        """Show the question as it stands now; what is being typed stays."""
        answer = typed(row.question.answer)
        if self.is_taken and answer != self._shown:
            self._put(answer)
        self._shown, self.row, self.build = answer, row, build
        self.refresh()

    def settle(self) -> None:
        """Show the answer as it is kept, and nothing against it."""
        self.is_draft = False
        self._put(self._shown)
        self.note("")

    def put(self, text: str) -> None:
        """Put a text into the line, as if it were typed."""
        self.entry.value = text
        self.entry.cursor_position = len(text)

    def _put(self, text: str) -> None:
        self._last = text
        self.put(text)
        self.refresh()

    def note(self, text: str) -> None:
        """Say something under the line; an empty text takes it away."""
        self._note = text
        shown = self.query(Note)
        if shown:
            shown.first().say(text)
            shown.first().display = bool(text)
        elif text:
            self.mount(Note(text))
        self.refresh()

    def on_descendant_focus(self) -> None:
        """The line has got the focus."""
        self.refresh()
        self.post_message(self.Focused(self))

    def on_descendant_blur(self) -> None:
        """The focus has left the line."""
        self.refresh()
        self.post_message(self.Left(self, self.text))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Something was typed."""
        event.stop()
        if self.text == self._last:
            return
        self._last = self.text
        self.refresh()
        self.post_message(self.Typed(self, self.text))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter was pressed."""
        event.stop()
        self.post_message(self.Entered(self, self.text))

    def render(self) -> Content:
        """The label, the brackets around the line, and what is said beside it."""
        above = self.entry.styles.margin.top
        left = self.entry.styles.margin.left - 1
        room = self.entry.size.width
        label = self.spelled(f"{self.mark()}{self.row.question.prompt.ask}")
        style = "bold" if self.is_current else ""
        beside = self.size.width - left - room - 3
        said = f"[{' ' * room}] " + cut(self.spelled(self._beside()), max(beside, 0))
        if above:
            return Content.assemble((fitted(label, self.size.width), style), "\n", " " * left, said)
        return Content.assemble((fitted(label, left), style), said)

    def _beside(self) -> str:
        """How the text is understood, or what may be done here."""
        question = self.row.question
        if not self.text.strip():
            return self._beside_nothing()
        understood = echo(self.build, question, self.text)
        if self.is_taken:
            same = isinstance(question.answer, Quantity) and understood.endswith(
                question.answer.unit
            )
            word = _taken(question)
            return f"{word}, {understood}" if understood and not same else word
        state = "draft, " if self.is_draft else ""
        if understood:
            return f"{state}reads as {understood}"
        return f"{state}not taken yet" if question.spec.form != "quantity" else state.rstrip(", ")

    def _beside_nothing(self) -> str:
        prompt = self.row.question.prompt
        if prompt.offer and self.row.question.answer is None:
            return f"Enter takes {prompt.offer}"
        return "may stay empty" if prompt.optional else "open"


def _taken(question: Question) -> str:
    """What is said beside an answer that stands."""
    return "carried over" if question.carried else "ok"


class Choice(FormRow, can_focus=True):
    """A few options; the present one on its own until the row has the focus."""

    SHOWS = Chosen
    DEFAULT_CSS = "Choice { height: auto; }"

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "point(-1)", "Up", show=False),
        Binding("down", "point(1)", "Down", show=False),
        Binding("enter", "take", "Choose", show=False),
    ]

    @dataclass
    class Taken(Message):
        """An option was chosen."""

        choice: Choice
        value: str | None

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
            number = int(event.character)
            if 1 <= number <= len(self.row.options):
                self._at = number - 1
                self.refresh()

    def on_click(self, event: events.Click) -> None:
        """A click on an option points at it; on the one pointed at, takes it."""
        place = event.y - (1 if _label_column(self.row.label, self.size.width) else 2)
        if 0 <= place < len(self.row.options):
            if place == self._at:
                self.action_take()
            self._at = place
            self.refresh()

    def action_point(self, way: int) -> None:
        """Move the pointer, or past the ends to the next row."""
        place = self._at + way
        if 0 <= place < len(self.row.options):
            self._at = place
            self.refresh()
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
            return _taken(question)
        return "may stay empty" if question.prompt.optional else "open"

    def _option(self, number: int, option: Option, names: int) -> Content:
        pointed = number == self._at
        held = "(x)" if option.value == self.row.at else "( )"
        line = self.spelled(
            f"  {MARK if pointed else NO_MARK}{held} {number + 1} "
            f"{fitted(option.text, names) if option.detail else option.text}{option.detail}"
        )
        return Content.styled(fitted(line, self.size.width), "reverse" if pointed else "")


def _label_column(label: str, width: int) -> int:
    """Cells that a label takes beside its answer; 0 where it stands above it."""
    return 0 if width < 65 or len(label) > LABEL else 36


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
        self.refresh()

    def on_blur(self) -> None:
        """Take the mark away."""
        self.refresh()

    def on_click(self) -> None:
        """A click is a press."""
        self.action_press()

    def action_press(self) -> None:
        """Do what the line says."""
        self.post_message(self.Pressed(self.row))

    def render(self) -> Content:
        """The line behind its mark; it says what Enter does while it has the focus."""
        detail = ""
        if self.row.detail and self.row.act == "open":
            detail = f": {self.row.detail}"
        elif self.row.detail and self.row.act != "unfold":
            detail = f" ({self.row.detail})"
        enter = "   Enter" if self.has_focus else ""
        text = self.spelled(f"{self.mark()}{self.row.text}{detail}{enter}")
        style = (
            "bold reverse"
            if self.has_focus
            else ""
            if self.row.act in ("open", "unfold")
            else "bold"
        )
        return Content("\n").join(
            Content.styled(line, style) for line in wrapped(text, max(self.size.width, 20), "    ")
        )


def refusal(unclear: Unclear) -> str:
    """A refusal as it stands under a field."""
    return f"Error: {unclear.wrong} {unclear.remedy}".rstrip()


def new_row(row: Row, build: Build, text: str | None = None, note: str = "") -> Widget:
    """The widget for a row."""
    if isinstance(row, Asked):
        return Field(row, build, text, note)
    if isinstance(row, Chosen):
        return Choice(row)
    return Press(row) if isinstance(row, Line) else Words(row)
