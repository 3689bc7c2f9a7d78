"""A question with the line that its answer is typed into, and how it is understood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from textual import events
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from wizard.app.widgets.drawn import Prose
from wizard.app.widgets.entry import Entry
from wizard.app.widgets.row import LABEL, FormRow
from wizard.app.words import cut, fitted
from wizard.plug.bench import Bench
from wizard.plug.record import Build
from wizard.session.beside import beside
from wizard.session.layout import Asked
from wizard.steps.answering import Unclear
from wizard.steps.offers import bench_picks
from wizard.steps.picking import has_names, has_units
from wizard.steps.wording import typed

PICKS = "*"
"""A sign that no number or name has, and every keypad: it picks the unit, or the name."""

ERROR = "Error:"
"""How every refusal begins."""

MOST_TOLD = 3
"""Refusals that are told on top, so that the fields stay in view."""


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
        self.entry = Entry(
            start,
            placeholder="" if prompt.offer == "" else f"({prompt.offer})",
            passed_on=PICKS if has_units(row.question) or has_names(row.question.path) else "",
        )
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
    def has_units(self) -> bool:
        """Whether what is typed is measured in a unit that may be picked."""
        return has_units(self.row.question)

    def has_picks(self, bench: Bench) -> bool:
        """Whether something may be picked instead of typed."""
        path = self.row.question.path
        return self.has_units or has_names(path) or bool(bench_picks(bench, path))

    @property
    def is_refused(self) -> bool:
        """Whether the text was refused, which is said under the line."""
        return self._note.startswith(ERROR)

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
        self.entry.cursor_position = len(text) if self.entry.has_focus else 0

    def _put(self, text: str) -> None:
        self._last = text
        self.put(text)
        self._may_be_typed_over()
        self.refresh()

    def _may_be_typed_over(self) -> None:
        """An answer that is kept gives way to what is typed; what is being typed does not."""
        if self.entry.has_focus and self.text and self.is_taken and not self.is_draft:
            self.entry.to_type_over()

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

    @property
    def said_against(self) -> str:
        """What stands under the line; empty for nothing."""
        return self._note

    def on_descendant_focus(self) -> None:
        """The line has got the focus."""
        self._may_be_typed_over()
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

    async def on_key(self, event: events.Key) -> None:
        """The sign of the keypad that picks."""
        if event.character == PICKS and self.entry.passed_on:
            event.stop()
            await self.run_action("app.pick")

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
        return beside(self.build, self.row.question, self.text, is_draft=self.is_draft)


def refusal(unclear: Unclear) -> str:
    """A refusal as it stands under a field."""
    return f"{ERROR} {unclear.wrong} {unclear.remedy}".rstrip()


def refusals(said: Sequence[tuple[str, str]], most: int = MOST_TOLD) -> str:
    """Several refusals as they stand on top: labels, and the words under the fields.

    Args:
        said: label and refusal of each field.
        most: how many of them are told.
    """
    count = "1 answer is" if len(said) == 1 else f"{len(said)} answers are"
    it = "it" if len(said) == 1 else "them"
    lines = [f"{ERROR} {count} not taken. Continue once more passes {it} by."]
    lines += [f"{label}:{words.removeprefix(ERROR)}" for label, words in said[:most]]
    return "\n".join(lines)
