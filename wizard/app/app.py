"""The app itself: one open build, its numbers, and the way between the screens."""

from __future__ import annotations

import os
from contextlib import aclosing
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import work
from textual.binding import BindingType
from textual.events import Event, Key, Paste
from textual.filter import LineFilter
from textual.message import Message
from textual.screen import Screen

from wizard.apart.here import Apart, Here
from wizard.app.filters import Outgoing, spelled_in_ascii
from wizard.app.keys import EVERYWHERE, typed_by_keypad
from wizard.app.messages import KeptChanged, NumbersReady, Reckoned, SumsReady
from wizard.app.pages import Pages
from wizard.app.reminder import Reminder
from wizard.app.screens.home import HomeScreen
from wizard.app.sweeping import Sweeper
from wizard.app.themes import DARK, themes_for
from wizard.app.turns import Turns
from wizard.app.widgets import scrollbar
from wizard.quantity.showing import literal

if TYPE_CHECKING:
    from wizard.plug.derived import Derived
    from wizard.plug.record import Build
    from wizard.session.found import Found
    from wizard.session.kept import Kept
    from wizard.session.session import Session
    from wizard.store.opening import Unreadable

PATIENCE = 0.7
"""Seconds that a last save may take before the program leaves all the same."""

UNHURRIED = 3.0
"""Seconds that it may take where no signal presses, before the disk is called too slow."""

TELLING = 0.3
"""Seconds between two words on how far the reading of the builds is."""


class Plugwright(Pages):
    """The app.

    Args:
        folder: where builds live.
        profile: a build to open at once; begun if it isn't there.
        ascii_only: whether the terminal shows nothing but ASCII.
        theme: the name of the colours to begin with.
        lead: what is said first on the list of builds.
        first_run: whether units and instruments are asked first.
        options: for Textual.
    """

    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = list(EVERYWHERE)
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - declared so by Textual
        (0, "-narrow"),
        (72, "-wide"),
        (118, "-broad"),
    ]

    def __init__(
        self,
        folder: Path,
        profile: Path | None = None,
        *,
        ascii_only: bool = False,
        theme: str = DARK,
        lead: str = "",
        first_run: bool = False,
        apart: Apart | None = None,
        sweeper: Sweeper | None = None,
        **options: Any,
    ) -> None:
        self._ascii = ascii_only
        scrollbar.use()
        self._outgoing = Outgoing(not os.environ.get("NO_COLOR"), ascii_only)
        super().__init__(**options)
        for own in themes_for(self.console.color_system):
            self.register_theme(own)
        self.theme = theme
        self.animation_level = "none"
        self.folder, self._profile = folder, profile
        self._lead, self._is_first_run = lead, first_run
        self.session: Session | None = None
        self.left_build = ""  # path of the build last left, for the list to point at
        self.reckoned: Reckoned | None = None
        self._before: Derived | None = None
        self._entered: set[str] = set()
        self.status = 0
        self._is_leaving = False
        self._was_there = False
        self.reminder = Reminder(self)
        self.turns = Turns(self, super().on_event)
        self.apart: Apart = apart or Here()
        self._sweeper = sweeper

    # How everything is shown.

    def get_line_filters(self) -> list[LineFilter]:
        """What every painted line goes through."""
        return [self._outgoing]

    @property
    def ascii_only(self) -> bool:
        """Whether the terminal shows nothing but ASCII."""
        return self._ascii

    def spelled(self, text: str) -> str:
        """A text as it may be shown: nothing in it acts, and ASCII where nothing else is."""
        if "\n" in text:
            return "\n".join(self.spelled(line) for line in text.split("\n"))
        shown = text if text.isprintable() else literal(text, 10_000)
        return spelled_in_ascii(shown) if self._ascii else shown

    def get_default_screen(self) -> Screen[Any]:
        """The builds."""
        return HomeScreen(self._lead)

    @property
    def _background_screens(self) -> list[Screen[Any]]:
        """None: no screen here shines through another, and Textual would paint all for it."""
        return []

    # Keys, one at a time.

    async def on_event(self, event: Event) -> None:
        """Let keys wait for their turn; all else is handled at once."""
        if isinstance(event, Key | Paste) and not event.is_forwarded:
            self._stir()
            self.turns.put(typed_by_keypad(event) if isinstance(event, Key) else event)
        else:
            await super().on_event(event)

    def _stir(self) -> None:
        if self._sweeper is not None:
            self._sweeper.stir("builds" if self.session is None else "a build")

    async def on_unmount(self) -> None:
        """Take no more keys, leave no process behind."""
        self.turns.stop()
        await self.apart.close()

    # Opening and leaving.

    def on_mount(self) -> None:
        """Go on once the first screen is painted."""
        self.app_resume_signal.subscribe(self, self._repaint)
        self.call_after_refresh(self._after_first_paint)

    def _repaint(self, _: object) -> None:
        """Paint the whole screen: a suspended program comes back to an empty one."""
        self.screen.refresh()

    def _after_first_paint(self) -> None:
        if self._is_leaving:  # a signal came before there was anything to leave
            self.action_leave()
            return
        self.warm()
        self._stir()
        if self._profile is not None:
            from wizard.session.opening import place

            self.open_path(place(str(self._profile)))
        elif self._is_first_run and len(self.screen_stack) == 1:
            self.first_page()

    @work
    async def first_page(self) -> None:
        """Ask for units and instruments, once or again."""
        from wizard.app.screens.first_run import FirstRunScreen

        if self._is_open(FirstRunScreen):
            return
        if said := await self.push_screen_wait(FirstRunScreen()):
            self.say(said)

    @work(thread=True, group="warm")
    def warm(self) -> None:
        """Load what the first answer needs, while the maker still looks."""
        import wizard.app.screens.step
        import wizard.plug.derive  # noqa: F401

    @work(thread=True, group="look", exclusive=True)
    def look_for_builds(self) -> None:
        """Look through the folder of builds and tell the first screen."""
        from time import monotonic

        from textual.worker import get_current_worker

        from wizard.session.found import Look

        look, worker = Look(self.folder, self._was_there), get_current_worker()
        found, told = look.at_once(), monotonic()
        self._was_there = self._was_there or self.folder.is_dir()
        home, message = self.screen_stack[0], HomeScreen.BuildsFound
        self.tell_from_thread(home, message(found, look.trouble, look.unread))
        for left in look.reading_on():
            if worker.is_cancelled:
                return
            if not left or monotonic() - told > TELLING:
                told = monotonic()
                self.tell_from_thread(home, message(look.all_found, left=left))

    def tell_from_thread(self, screen: Screen[Any], message: Message) -> None:
        """Post a message from another thread; nothing happens once the app is gone."""
        loop = self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(screen.post_message, message)

    def open_path(self, path: Path, lead: str = "", *, anew: bool = False) -> None:
        """Open a build and go to where it was left, with something to say about it."""
        from wizard.session.opening import resume
        from wizard.store.opening import Unreadable

        try:
            session = resume(path, self._kept_from_thread, anew=anew)
        except Unreadable as error:
            self._offer_earlier(path, error)
            return
        self._open(session, lead)

    @work
    async def _offer_earlier(self, path: Path, error: Unreadable) -> None:
        from wizard.app.screens.earlier import offer

        await offer(self, path, error)

    def _open(self, session: Session, lead: str = "") -> None:
        from wizard.app.screens.step import StepScreen
        from wizard.app.screens.step_page import FIRST_WORDS
        from wizard.session.figures import ready

        self.session, self.reckoned, self._before = session, None, None
        draft = session.draft
        at = draft.field if draft is not None else ""
        if draft is None:
            self._entered = set()
        self._entered.add(session.step.id)
        self.apart.wake(ready)
        self._stir()
        self.push_screen(StepScreen(session, at, lead or FIRST_WORDS))
        self.build_changed()

    def open_found(self, found: Found) -> None:
        """Open what was found: go on with it, review it, or say what is wrong with it."""
        if not os.path.lexists(found.path):  # it would be begun anew
            self.say(f"! {found.path.name} is no longer there.")
            self.look_for_builds()
            return
        self.open_path(found.path)
        if found.is_finished and self.session is not None:
            self.action_review()

    @work
    async def begin_build(self) -> None:
        """Ask for a name and begin."""
        from wizard.app.screens.asking import Line
        from wizard.session.opening import begin
        from wizard.store.faults import SaveFailed

        name = await self.push_screen_wait(
            Line("A new build: what is it called?", "Any words, such as: Pier herring 95")
        )
        if name is None:
            return
        try:
            session = begin(self.folder, name, self._kept_from_thread)
        except SaveFailed as fault:
            self.say(f"! {fault}")
            return
        self._open(session)

    @work
    async def ask_for_file(self) -> None:
        """Ask for the path of a profile and open it."""
        from wizard.app.screens.asking import Line
        from wizard.session.opening import place

        typed = await self.push_screen_wait(
            Line("Open a file", "The path of a profile; a .toml that isn't there is begun.")
        )
        if not typed:
            return
        path = place(typed)
        if path.suffix != ".toml" and not os.path.lexists(path):  # a name, or a slip
            self.say(f"! No file {path.name} is there. “Begin a new build” takes a name.")
            return
        self.open_path(path)

    def go_home(self) -> None:
        """Close the build and show the builds; one that can't be saved stays open."""
        if self.session is not None:
            if not self.session.flush(UNHURRIED):
                self.say(f"{self.session.kept.trouble}. It stays open here until it is saved.")
                return
            self.session.close(PATIENCE)
            self.left_build = str(self.session.path)
        self.session = self.reckoned = None
        self.reminder.follow(None)
        while len(self.screen_stack) > 1:
            self.pop_screen()

    def action_leave(self) -> None:
        """Save what is left and quit."""
        from rich.text import Text

        trouble = ""
        self._keep_typing()
        if self.session is not None and not self.session.close(PATIENCE, self.refuges):
            trouble = self.session.kept.trouble
        words = trouble or (f"Copied last: {self.copied}" if self.copied else "")
        told = Text(literal(words, 1000)) if words else None  # a path is no markup
        self.exit(self.status or (1 if trouble else 0), message=told)

    def _keep_typing(self) -> None:
        """Keep what stands in a line: a signal may come before the last key was told of."""
        for screen in self.screen_stack:
            keep = getattr(screen, "keep_typing", None)
            if keep is not None:
                keep()

    @property
    def refuges(self) -> tuple[Path, ...]:
        """Where a copy is left when a build can't be saved in its place."""
        from tempfile import gettempdir

        return (self.folder, Path(gettempdir()))

    def action_suspend_process(self) -> None:
        """Go to the background with all saved: it may never be brought back."""
        if self.session is not None:
            self.session.flush(UNHURRIED)
        super().action_suspend_process()

    @work
    async def action_quit(self) -> None:  # type: ignore[override]
        """Quit; asks first only if something could be lost."""
        from wizard.app.screens.asking import Sure

        session = self.session
        if session is not None and not session.flush(UNHURRIED):
            act = f"quit; a copy goes to {self.refuges[0]} if it can"
            if not await self.push_screen_wait(Sure(f"{session.kept.trouble}. Quit?", act)):
                return
        self.action_leave()

    def leave_from_thread(self, status: int = 0) -> None:
        """Quit, asked for by a signal or a lost terminal."""
        self.status, self._is_leaving = status, True
        loop = self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self.action_leave)

    def _handle_exception(self, error: Exception) -> None:
        """End on a fault; once it was left, all is saved and what goes on misses its widgets."""
        if not self._exit:
            super()._handle_exception(error)

    def _fatal_error(self) -> None:
        """End on a fault of the program, with the build saved and a line that says so."""
        from rich.text import Text

        from wizard.session.faults import told

        fault, session = self._exception, self.session
        fault = getattr(fault, "error", fault)  # what failed in a worker, not that one failed
        is_saved = session is None or session.close(PATIENCE, self.refuges)
        trouble = "" if session is None or is_saved else session.kept.trouble
        self._exit_renderables.append(Text(told(fault, self.folder, trouble)))
        self._close_messages_no_wait()

    # What follows from the build.

    def build_changed(self) -> None:
        """Work out what follows from another build."""
        if self.session is not None:
            if self.reckoned is not None:
                self._before = self.reckoned.now
            self._reckon(self.session.build)
            self.reminder.follow(self.session.build)

    # With a description of its own no repr of a whole build is made at every answer.
    @work(group="reckon", exclusive=True, description="the numbers")
    async def _reckon(self, build: Build) -> None:
        """Work out what follows, off the keys: sums, all numbers, what is promised by them."""
        from wizard.plug.derived import Derived
        from wizard.session.figures import numbers
        from wizard.steps.walk import same_answers

        async with aclosing(self.apart.ask(numbers, build)) as parts:
            async for part in parts:
                if self.session is None or not same_answers(self.session.build, build):
                    return
                past = self.reckoned
                if not isinstance(part, Derived):
                    if past is None or part == past.promise:
                        continue
                    self.reckoned = replace(past, promise=part)
                else:
                    found = Reckoned(build, part, self._before, past.promise if past else "")
                    if not part.is_whole:
                        self.tell(SumsReady(found))
                        continue
                    self.reckoned = found
                self.tell(NumbersReady(self.reckoned))

    def _kept_from_thread(self, kept: Kept) -> None:
        loop = self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self.tell, KeptChanged(kept))

    def send_code(self, code: str) -> None:
        """Send the terminal a code that paints nothing."""
        if self._driver is not None:
            self._driver.write(code)
            self._driver.flush()
