"""One step of the walk: what to do, what to answer, what follows.

In layers, each a module: `step_page` shows, `step_answers` takes answers, `step_rows`
minds the lists; here is what can be had beside them.
"""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.binding import Binding, BindingType

from wizard.app.keys import bound
from wizard.app.screens.step_page import NOTES
from wizard.app.screens.step_rows import StepRows
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.field import Field
from wizard.plug.paths import parse, put, step_of
from wizard.session.option import Option
from wizard.session.session import ReadOnly
from wizard.session.timeline import Moment
from wizard.steps.offers import bench_picks
from wizard.steps.walk import step_named


class StepScreen(StepRows):
    """Any step."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "home", "Your builds", id="home", show=False),
        bound("page", "plan", "Drill plan"),
        bound("page", "tank", "The tank"),
    ]

    # The drill plan and the bench.

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A drill plan is made at the ballast step, and the tank is asked at the proof."""
        own = {"plan": "ballast", "tank": "proof"}.get(action)
        return own is None or self._step.id == own

    def action_tank(self) -> None:
        """What the tank says, at the step where it is asked."""
        plugwright(self).action_telling("tank")

    @work
    async def action_plan(self) -> None:
        """Propose a drill plan; the bench may have been changed there."""
        from wizard.app.screens.ballast_plan import BallastPlanScreen

        self._read_bench()
        before = self._session.build.ballast
        await self.app.push_screen_wait(BallastPlanScreen(self._session, self._bench))
        await self.bench_changed()
        holes = self.form.row("ballast.hole.0")
        if holes is not None and self._session.build.ballast != before:
            self.form.focus_row(holes)

    async def bench_changed(self) -> None:
        """Offer what the bench knows now."""
        self._read_bench()
        await self._sync()

    # Undo, picks and notes.

    def _let_go(self) -> bool:
        """Put the kept answer back over what is being typed; whether something was."""
        field = self.field
        if field is None or field.is_taken or self.app.screen is not self:
            return False
        self._typed_over = (field.key, field.text)
        self._session.pending.pop(field.key, None)
        field.settle()
        self._session.at(field.key)
        self.say("As it was kept. Redo brings back what was typed.")
        return True

    def _take_up(self) -> bool:
        """Put back what was being typed before it was let go; whether there was such."""
        key, text = self._typed_over
        self._typed_over = ("", "")
        field = self.field
        if field is None or field.key != key or not field.is_taken:
            return False
        field.put(text)
        return True

    async def turn_back(self) -> None:
        """Take back what is being typed, else the last answer, and show where it was."""
        if self._let_go():
            await self._sync()
            return
        moment = self._session.undo()
        if moment is None:
            plugwright(self).say("There is nothing to undo.")
        else:
            again = plugwright(self).key("redo")
            await self._turned(moment, f"Undone: {moment.said}. {again} does it again.")

    async def turn_on(self) -> None:
        """Give again what was taken back."""
        if self._take_up():
            return
        moment = self._session.redo()
        if moment is None:
            plugwright(self).say("There is nothing to redo.")
        else:
            await self._turned(moment, f"Done again: {moment.said}.")

    async def _turned(self, moment: Moment, words: str) -> None:
        key = ".".join(str(part) for part in moment.path)
        self._session.pending.pop(key, None)
        plugwright(self).build_changed()
        step = step_named(step_of(moment.path)) if moment.path else self._step
        if step is not self._step:
            self._session.go(step)
            await self.load(key)
        else:
            self._open_for(key)
            await self._sync()
        row = self.form.row(key) or self.form.row(f"{key}.more")
        if isinstance(row, Field):
            row.settle()
        if row is not None:
            self.form.focus_row(row)
        plugwright(self).say(words)  # on the page that may lie over this one

    @work
    async def pick(self) -> None:
        """Pick a unit or a name for the field that has the focus."""
        from wizard.app.screens.asking import Which
        from wizard.steps.picking import name_picks, unit_now, unit_picks, with_unit

        field = self.field
        if field is None:
            self.say("There is nothing to pick here.")
            return
        question = field.row.question
        own = bench_picks(self._bench, question.path)
        named = (*own, *name_picks(question.path))
        picks = named or unit_picks(question)
        if not picks:
            self.say("There is nothing to pick here: type the answer.")
            return
        about = (
            "Any other name may be typed." if named else "The unit goes behind the number typed."
        )
        options = [Option(pick.text, pick.text, pick.detail) for pick in picks]
        at = field.text if named else unit_now(self._session.build, question, field.text)
        picked = await self.app.push_screen_wait(Which(question.prompt.ask, options, at, about))
        if picked is not None:
            text = picked if named else with_unit(field.text, picked)
            field.put(text)
            if not named:  # more digits go before the unit
                field.entry.cursor_position = max(len(text) - len(f" {picked}"), 0)
            elif await self._take(field, text, asking=True):
                self._go_on(field.key)

    @property
    def notes(self) -> str:
        """The notes about the build, as far as they are typed."""
        return self._session.pending.get(NOTES, self._session.build.build.notes or "")

    def typing_notes(self, text: str) -> None:
        """Keep notes that are being typed."""
        self._session.typing(NOTES, text)

    async def keep_notes(self, text: str) -> None:
        """Keep other notes."""
        path = parse(NOTES)
        self._session.pending.pop(NOTES, None)
        changed = put(self._session.build, path, text or None)
        try:
            self._session.change(changed, path, "notes")
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return
        plugwright(self).build_changed()
        await self._sync()
        if self.form.current is not None:
            self._session.at(self.form.current.key)

    async def action_home(self) -> None:
        """Back to small letters, else to the builds; all is kept."""
        if self.is_large:
            await self.turn_large()
        else:
            plugwright(self).go_home()
