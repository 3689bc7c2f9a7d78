"""The pages that can be had from everywhere, and what is done from there."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from textual import work
from textual.message import Message
from textual.screen import Screen

from wizard.app.keyed import Keyed
from wizard.app.messages import Reckoned
from wizard.plug.keys import BY_NAME

if TYPE_CHECKING:
    from wizard.app.app import Plugwright
    from wizard.app.screens.step import StepScreen
    from wizard.plug.derived import Derived
    from wizard.session.session import Session
    from wizard.steps.prompts import Step

SAVING = 0.7
"""Seconds to wait for a last save before the build is read from its file."""

STILL_WORKING = "The numbers are still being worked out: once more in a moment."

OF_A_STEP = frozenset({"large", "pick", "answers", "steps", "template", "girth"})
"""Actions that need the screen of a step."""

OF_A_BUILD = frozenset(
    {"working", "undo", "redo", "notes", "cautions", "timetable", "review", "picture", "marking"}
)
"""Actions that can be had on the pages over a step as well."""


class Pages(Keyed):
    """The part of the app that opens pages; each is loaded when it is first wanted.

    Attributes:
        session: the open build, if one is.
        reckoned: what follows from it, once that is worked out.
        folder: where builds live.
        copied: what was last sent to the clipboard.
    """

    session: Session | None
    reckoned: Reckoned | None
    folder: Path
    copied: str = ""
    _entered: set[str]

    @property
    def _whole(self) -> Plugwright:
        """The same, as those who are given the app know it."""
        return cast("Plugwright", self)

    def build_changed(self) -> None:
        """Work out what follows from another build."""
        raise NotImplementedError

    @property
    def step_screen(self) -> StepScreen | None:
        """The open build's screen."""
        from wizard.app.screens.step import StepScreen

        return next((s for s in self.screen_stack if isinstance(s, StepScreen)), None)

    def _is_open(self, page: type[Screen[Any]]) -> bool:
        """Whether a page is open; under another one it is said how to come back to it."""
        if isinstance(self.screen, page):
            return True
        is_below = any(isinstance(screen, page) for screen in self.screen_stack)
        if is_below:
            self.say("That page is open under this one: Esc goes back to it.")
        return is_below

    def tell(self, message: Message) -> None:
        """Tell every screen that is open."""
        for screen in self.screen_stack:
            screen.post_message(message)

    def say(self, text: str) -> None:
        """Say something on the screen that is open, or as soon as it is."""
        screen = self.screen
        say = getattr(screen, "say", None)
        if say is None:
            return
        if screen.is_mounted:
            say(text)
        else:
            screen.call_later(say, text)

    def copy(self, text: str) -> None:
        """Ask the terminal's clipboard for a text, keep it for the end, say what was done."""
        from os import environ

        from wizard.app.clipboard import TOLD, requests

        self._clipboard = self.copied = text  # the first is what Textual's own paste gives
        for code in requests(text, environ):
            self._whole.send_code(code)
        self.say(TOLD.format(text.partition("\n")[0]))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Whether an action can be had here: most need the open build's own screen."""
        here = self.screen
        if action == "menu":
            return not getattr(here, "is_question", False)
        is_step = getattr(here, "is_step", False)
        if action in OF_A_STEP:
            return is_step and here.can(action)  # type: ignore[attr-defined]
        if action in OF_A_BUILD:
            return is_step or (getattr(here, "is_of_build", False) and self.step_screen is not None)
        return True

    def action_explain_quit(self) -> None:
        """Ctrl+C is often meant for something else."""
        unsaved = self.session is not None and self.session.kept.state == "not saved"
        state = "it asks first, as not all is saved" if unsaved else "all is saved"
        self.say(f"{self.key('quit')} quits; {state}.")

    def action_explain_saved(self) -> None:
        """Ctrl+S is a habit from elsewhere."""
        kept = self.session.kept if self.session else None
        if kept is None:
            self.say("Every answer is saved as soon as it is taken.")
        elif kept.state == "not saved":
            self.say(kept.trouble)
        else:
            self.say(f"Every answer is saved as soon as it is taken: {kept.path}")

    def action_help(self) -> None:
        """Help about what has the focus, the keys and the words."""
        from wizard.app.screens.help import HelpScreen

        here = self.step_screen
        question = here.question if here is not None and here is self.screen else None
        if not self._is_open(HelpScreen):
            keys = {act: " or ".join(self.keys_of(act)) for act in BY_NAME}
            self.push_screen(HelpScreen(question, here.step if here else None, keys))

    def action_working(self) -> None:
        """All numbers and how each came about."""
        from wizard.app.screens.working import WorkingScreen

        here = self.step_screen
        if here is None or self.reckoned is None:
            self.say("There are no numbers yet.")
        elif not self._is_open(WorkingScreen):
            self.push_screen(WorkingScreen(self.reckoned, here.step))

    def action_review(self) -> None:
        """All of the build on one page."""
        from wizard.app.screens.review import ReviewScreen

        if self.session is not None and not self._is_open(ReviewScreen):
            self.push_screen(ReviewScreen(self.session.build, self.session.odd))

    def action_picture(self) -> None:
        """The picture of the body on a page of its own, and back."""
        from wizard.app.screens.picture import PictureScreen

        if isinstance(self.screen, PictureScreen):
            self.screen.action_close()
        elif self.reckoned is None:
            self.say("The picture is still being drawn: once more in a moment.")
        elif not self._is_open(PictureScreen):
            self.push_screen(PictureScreen(self.reckoned))

    def action_telling(self, of: str) -> None:
        """What the tank says, or what the bench has learned."""
        from wizard.app.screens.tank import LEARNED, TANK, TellingScreen

        if self.session is not None and not self._is_open(TellingScreen):
            self.push_screen(TellingScreen(self.session, TANK if of == "tank" else LEARNED))

    def action_marking(self) -> None:
        """What is marked on the blank before it is cut."""
        from wizard.app.screens.marking import MarkingScreen

        if self.session is not None and not self._is_open(MarkingScreen):
            self.push_screen(MarkingScreen(self.session.build))

    @work
    async def action_template(self) -> None:
        """Write the template to glue on the blank, or the solid."""
        from wizard.app.screens.template import ask_for_template

        await ask_for_template(self._whole)

    @work
    async def action_hand_on(self) -> None:
        """Print the build, or hand it on as a file."""
        from wizard.app.screens.handing import do

        if self.session is not None and self.session.flush(SAVING):
            await do(self._whole, "export", self.session.path)

    def action_girth(self) -> None:
        """Take the girth factor into the shape."""
        from wizard.app.girth import girth_into_shape

        girth_into_shape(self._whole)

    @work
    async def action_timetable(self) -> None:
        """The coats in time: what is due, what to begin and to finish."""
        from wizard.app.screens.timetable import TimetableScreen
        from wizard.plug.bench import Bench
        from wizard.steps.walk import step_named
        from wizard.store.bench import BenchUnreadable, bench_path, open_bench

        session = self.session
        if session is None or self._is_open(TimetableScreen):
            return
        try:
            bench, trouble = open_bench(bench_path(self.folder)).bench, ""
        except BenchUnreadable as fault:
            bench, trouble = Bench(), str(fault)
        derived = self.reckoned.now if self.reckoned is not None else None
        page = TimetableScreen(session, derived, bench, f"! {trouble}" if trouble else "")
        key = await self.push_screen_wait(page)
        here = self.step_screen
        if key and here is not None:
            await here.show_step(step_named("coating"), key)

    def action_cautions(self) -> None:
        """The cautions of the step."""
        here = self.step_screen
        if here is not None:
            self._cautions(here.step)

    def show_cautions_of(self, step: Step) -> None:
        """The cautions of a step that is entered for the first time in this sitting."""
        from wizard.tables import cautions_for

        if step.id not in self._entered and cautions_for(step.id):
            self._cautions(step)
        self._entered.add(step.id)

    def _cautions(self, step: Step) -> None:
        from wizard.app.screens.cautions import CautionsScreen

        if not self._is_open(CautionsScreen):
            self.push_screen(CautionsScreen(step))

    async def action_undo(self) -> None:
        """Take back the last answer, wherever it was given."""
        here = self.step_screen
        if here is not None:
            await here.turn_back()

    async def action_redo(self) -> None:
        """Give again the answer that was taken back."""
        here = self.step_screen
        if here is not None:
            await here.turn_on()

    async def action_large(self) -> None:
        """The question at hand in letters to be read from across the bench, and back."""
        here = self.step_screen
        if here is not None and here is self.screen:
            await here.turn_large()

    def action_pick(self) -> None:
        """Pick a unit or a name for the field."""
        here = self.step_screen
        if here is not None and here is self.screen:
            here.pick()

    @work
    async def action_notes(self) -> None:
        """Notes about the build."""
        from wizard.app.screens.notes import NotesScreen

        here = self.step_screen
        if here is None or self._is_open(NotesScreen):
            return
        text = await self.push_screen_wait(NotesScreen(here.notes, here.typing_notes))
        if text is not None:
            await here.keep_notes(text)

    @work
    async def action_answers(self) -> None:
        """All answers on one list."""
        from wizard.app.screens.answers import AnswersScreen
        from wizard.steps.walk import step_named

        here, session = self.step_screen, self.session
        if here is None or here is not self.screen or session is None:
            return
        picked = await self.push_screen_wait(AnswersScreen(session.build, here.step))
        if picked is not None:
            step, _, key = picked.partition(":")
            await here.show_step(step_named(step), key)

    @work
    async def action_steps(self) -> None:
        """Go to any step."""
        from wizard.app.screens.asking import Which
        from wizard.session.option import Option
        from wizard.steps.walk import STEPS, state, step_named

        here, session = self.step_screen, self.session
        if here is None or here is not self.screen or session is None:
            return
        options = [Option(s.id, s.title, state(session.build, s)) for s in STEPS]
        picked = await self.push_screen_wait(Which("Go to a step", options, here.step.id))
        if picked is not None:
            await here.show_step(step_named(picked))

    @work
    async def action_history(self) -> None:
        """Earlier versions of the build."""
        from wizard.app.screens.earlier import choose

        if self.step_screen is self.screen:
            await choose(self._whole)

    @work
    async def action_menu(self) -> None:
        """All that can be done here, on one list."""
        from wizard.app.screens.menu import choose

        await choose(self._whole)

    @property
    def worked_out(self) -> Derived | None:
        """What follows from the build as it stands; None while it is worked out."""
        from wizard.steps.walk import same_answers

        session, reckoned = self.session, self.reckoned
        if session is None or reckoned is None:
            return None
        return reckoned.now if same_answers(reckoned.build, session.build) else None

    def finish(self) -> None:
        """Keep the numbers as they are shown now, and call the build finished."""
        from datetime import datetime

        from wizard import __version__
        from wizard.report.finishing import finished
        from wizard.session.session import ReadOnly

        session, now = self.session, self.worked_out
        if session is None:
            return
        if now is None:
            self.say(STILL_WORKING)
            return
        at = datetime.now().astimezone().replace(microsecond=0)
        build = finished(session.build, now, __version__, at)
        try:
            session.change(build, ("shown",), "finished")
        except ReadOnly:
            self.say(f"Read only: {session.holder} has this build open.")
            return
        self.build_changed()
        self.action_review()
