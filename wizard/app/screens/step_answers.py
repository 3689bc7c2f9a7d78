"""Answers: understood, judged, taken, and where Enter goes on to."""

from __future__ import annotations

from textual import on, work

from wizard.app.screens.step_large import StepLarge
from wizard.app.screens.step_page import ABOUT
from wizard.app.widgets.about import About
from wizard.app.widgets.choice import Choice
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.field import MOST_TOLD, Field, refusal, refusals
from wizard.app.widgets.picture import Beside
from wizard.app.widgets.row import FormRow
from wizard.plug.record import Build
from wizard.session.figures import ready
from wizard.session.layout import Asked, Chosen, Line, left_open, not_taken
from wizard.session.session import ReadOnly
from wizard.steps.answering import (
    Unclear,
    answer,
    left_empty,
)
from wizard.steps.prompts import Group, Question
from wizard.steps.wording import said, typed

ROOMY = 24
"""Lines of a terminal from which on there is room for a summary above the form."""

EMPTIES = "Ctrl+U empties the line."


class StepAnswers(StepLarge):
    """A step whose questions are answered."""

    # What the maker does.

    @on(FormRow.Focused)
    def _row_focused(self, event: FormRow.Focused) -> None:
        self._tell_about(event.sender)
        self.tell_large()
        self._session.at(event.sender.key)

    def _tell_about(self, row: FormRow) -> None:
        self.query_one(About).tell(self._about(row))

    def _about(self, row: FormRow) -> str:
        question = row.row.question if isinstance(row.row, Asked | Chosen) else None
        if question is not None:
            choose = "A digit or the arrows point; Enter chooses." * isinstance(row, Choice)
            empty = EMPTIES * (isinstance(row, Field) and row.is_refused)
            told = (empty, question.prompt.why, question.prompt.how, choose)
            return " ".join(part for part in told if part)
        if isinstance(row, Choice):
            return "A digit or the arrows point; Enter chooses."
        if isinstance(row.row, Line) and row.row.act == "open":
            return "Enter opens it, to look at or to change."
        if isinstance(row.row, Line) and row.row.act in ABOUT:
            return ABOUT[row.row.act]
        if isinstance(row.row, Line) and row.row.act == "unfold":
            return f"Enter shows them: {row.row.detail}."
        build, step = self._session.build, self._step
        if wrong := "; ".join(not_taken(build, step, self._session.pending)):
            return f"Not taken: {wrong}. What was answered before still counts."
        still = "; ".join(left_open(build, step))
        if still:
            return f"Left open: {still}. It can be answered any time; later numbers wait for it."
        return "Enter goes on; you can come back any time."

    @on(Field.Typed)
    async def _typed(self, event: Field.Typed) -> None:
        self.say("")
        plugwright(self).apart.wake(ready)
        if event.field.is_refused:  # that was said of another text
            event.field.note("")
            self._tell_about(event.field)
        self._session.typing(event.field.key, event.text)
        if event.field.is_taken:  # the line to go on may have told of it
            await self._sync()
        question = event.field.row.question
        self.query_one(Beside).typing(self._session.build, question, event.text)
        self.tell_large()

    def keep_typing(self) -> None:
        """Keep what stands in the field at hand as a draft."""
        if self.field is not None:
            self._session.typing(self.field.key, self.field.text)

    @on(Field.Entered)
    async def _entered(self, event: Field.Entered) -> None:
        text = event.text
        question = event.field.row.question
        if not text.strip() and question.answer is None:
            text = question.prompt.offer
        if await self._take(event.field, text, asking=True):
            self._go_on(event.field.key)

    @on(Field.Left)
    async def _left(self, event: Field.Left) -> None:
        field = event.field  # what was refused may be erased again
        if field.is_attached and (field.is_refused or not field.is_taken):
            await self._take(event.field, event.text, asking=False)

    async def _take(self, field: Field, text: str, *, asking: bool) -> bool:
        """Make a text the answer of a field, or say why not; whether it was taken."""
        build, question = self._session.build, field.row.question
        if text == typed(question.answer):
            self._session.pending.pop(field.key, None)
            field.settle()
            return True
        taken = answer(build, question, text) if text.strip() else left_empty(build, question)
        if isinstance(taken, Unclear):
            self._session.pending[field.key] = text
            field.note(refusal(taken))
            if field is self.field:
                self._tell_about(field)
            self.tell_large()
            await self._sync()
            if asking and taken.choices:
                self._ask_which(field, taken)
            return False
        self._session.pending.pop(field.key, None)
        if await self._change(taken, question):
            field.settle()
            if not self._refused():
                self._tell_summary("")
            return True
        return False

    async def _change(self, build: Build, question: Question) -> bool:
        try:
            self._session.change(build, question.path, said(build, question.path))
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return False
        plugwright(self).build_changed()
        await self._sync()
        return True

    def _refused(self) -> list[Field]:
        """The fields whose text can't be taken, from above."""
        fields = (row for row in self.form.rows if isinstance(row, Field))
        return [field for field in fields if field.text.strip() and not field.is_taken]

    def _refused_are_told(self) -> bool:
        """Tell on top what can't be taken, and go to the first; once for the same texts."""
        refused = self._refused()
        most = MOST_TOLD if self.size.height >= ROOMY else 0  # the words are under the fields too
        told = [(field.row.question.prompt.ask, field.said_against) for field in refused]
        summary = refusals(told, most)
        if not refused or summary == self._summary:
            return False
        self._tell_summary(summary)
        self.form.focus_row(refused[0])
        return True

    def _go_on(self, key: str) -> None:
        row = self.form.after(key)
        if row is not None:
            self.form.focus_row(row)

    @work
    async def _ask_which(self, field: Field, unclear: Unclear) -> None:
        from wizard.app.screens.asking import Which

        picked = await self.app.push_screen_wait(Which(unclear.wrong, unclear.choices))
        if picked is not None:
            field.put(picked)
            if await self._take(field, picked, asking=False):
                self._go_on(field.key)

    @on(Choice.Pointed)
    def _pointed(self) -> None:
        self.tell_large()

    @on(Choice.Passed)
    def _passed(self, event: Choice.Passed) -> None:
        self.form.action_move(event.way)

    @on(Choice.Taken)
    async def _chosen(self, event: Choice.Taken) -> None:
        row, value, build = event.choice.row, event.value, self._session.build
        if row.group is not None:
            await self._of_group(row.group, row.key, value or "enough")
            return
        if row.question is None:
            return
        if value is not None and value != (row.question.answer or ""):
            taken = answer(build, row.question, value) if value else left_empty(build, row.question)
            if isinstance(taken, Unclear):
                self.say(refusal(taken))
                return
            if not await self._change(taken, row.question):
                return
        self._go_on(row.key)

    async def _of_group(self, group: Group, key: str, value: str) -> None:
        """Do what was chosen for the rows of a group."""
        raise NotImplementedError
