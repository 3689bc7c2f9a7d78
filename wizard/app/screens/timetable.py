"""The timetable of the coats: what is due, what to do, begun and finished with one key."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widget import Widget

from wizard.app import clock
from wizard.app.keys import bound
from wizard.app.messages import BuildChanged, NumbersReady
from wizard.app.screens.asking import Sure
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Lines, Scroll, Sheet
from wizard.plug.bench import Bench
from wizard.plug.coats.proposing import with_proposal
from wizard.plug.coats.schedule import NoHours, timetable
from wizard.plug.derived import Derived
from wizard.plug.paths import Path
from wizard.plug.record import Build
from wizard.schedule.entries import Timetable
from wizard.session.coats import (
    about_lines,
    choices,
    mark_of,
    marked,
    pointed_first,
    shown,
    state_lines,
)
from wizard.session.session import ReadOnly, Session

PROPOSED = "Proposed from your coats, with typical times. Enter takes it over; then change it."
NO_COATS = "No coats are answered yet: with them the list is longer. "
HOW = "Enter begins the line pointed at, and finishes it when it is begun."


class CoatLines(Picker):
    """The lines of the timetable."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "pick", "Begin, finish", id="mark"),
    ]


class TimetableScreen(Sheet[str | None]):
    """The lines over what is known of the one pointed at; a countdown on top.

    Closed with the key of an answer, that answer is wanted to be changed.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("pick", "more", "More"),
        bound("undo", "turn_back"),
        bound("redo", "turn_on", show=False),
        Binding("shift+down,ctrl+down", "scroll(1)", "Read on", show=False),
        Binding("shift+up,ctrl+up", "scroll(-1)", "Read back", show=False),
    ]

    is_of_build = True

    DEFAULT_CSS = """
    TimetableScreen #due { text-style: bold; padding: 0 1; }
    TimetableScreen #lines { height: auto; max-height: 55%; }
    TimetableScreen #detail { height: 1fr; border-top: none; margin: 1 0 0 0; }
    """

    def __init__(
        self, session: Session, derived: Derived | None, bench: Bench, lead: str = ""
    ) -> None:
        super().__init__()
        self._lead = lead
        self.session, self.bench = session, bench
        self._derived = derived
        self._timer: Timer | None = None
        self._made: tuple[Build, datetime, Timetable] | None = None
        self.title_text = f"Timetable of the coats: {session.build.build.name or 'a build'}"

    def body(self) -> Iterator[Widget]:
        """What is due, the lines, and the one pointed at."""
        yield Prose("", id="due")
        yield CoatLines([], id="lines")
        yield Scroll(Lines(), id="detail", can_focus=False)

    def on_mount(self) -> None:
        """Point at what is next."""
        self.query_one(Picker).focus()
        build, is_proposed = shown(self.session.build)
        lead = NO_COATS * (not build.coat) + PROPOSED if is_proposed else HOW
        self.say(self._lead or lead)
        self.show_lines(pointed_first(self.made(), clock.now()))

    # What is shown.

    @property
    def build(self) -> Build:
        """The build, with the operations proposed while it has none of its own."""
        return shown(self.session.build)[0]

    @property
    def pointed(self) -> str:
        """The line that is pointed at."""
        option = self.query_one(Picker).pointed
        return option.value if option is not None else ""

    def made(self) -> Timetable:
        """The timetable as of this minute."""
        build, now = self.session.build, clock.now()
        minute = now.replace(second=0, microsecond=0)
        if self._made is None or self._made[0] is not build or self._made[1] != minute:
            try:
                made = timetable(self.build, now)
            except NoHours:  # refused when typed and read; a hand may still have made them
                made = Timetable(now)
            self._made = (build, minute, made)
        return self._made[2]

    def show_lines(self, at: str = "") -> None:
        """Show everything as it stands now, pointing at a line."""
        now, made, build = clock.now(), self.made(), self.build
        self.query_one(Picker).offer(choices(build, made, now), at or self.pointed)
        self._show_state(build, made, now)
        self._show_detail(build, made, now)
        self._count_down(now)

    def _show_state(self, build: Build, made: Timetable, now: datetime) -> None:
        self.query_one("#due", Prose).say("\n".join(state_lines(build, made, now)))

    def _show_detail(self, build: Build, made: Timetable, now: datetime) -> None:
        lines = about_lines(build, made, self._derived, self.pointed, now)
        self.query_one(Lines).show(lines)

    @on(Picker.Pointed)
    def _pointed(self) -> None:
        self._show_detail(self.build, self.made(), clock.now())
        self.query_one(Scroll).scroll_home(animate=False)

    @on(NumbersReady)
    def _numbers_ready(self, event: NumbersReady) -> None:
        self._derived = event.reckoned.now
        self._show_detail(self.build, self.made(), clock.now())

    def action_scroll(self, way: int) -> None:
        """Read on in what is known of the line."""
        scroll = self.query_one(Scroll)
        scroll.scroll_relative(y=way * max(scroll.size.height - 1, 1), animate=False)

    # The countdown: once a minute, and only while it is looked at.

    def on_screen_resume(self) -> None:
        """Count again."""
        if self.is_mounted:
            self.show_lines()

    def on_screen_suspend(self) -> None:
        """Stop counting."""
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def _count_down(self, now: datetime) -> None:
        if self._timer is not None:
            self._timer.stop()
        seconds = 60.0 - now.second - now.microsecond / 1e6
        self._timer = self.set_timer(seconds + 0.05, self._tick, name="countdown")

    def _tick(self) -> None:
        now, made, build = clock.now(), self.made(), self.build
        self._show_state(build, made, now)
        self.query_one(Picker).offer(choices(build, made, now), self.pointed)
        self._count_down(now)

    # What the maker does.

    def change(self, build: Build, path: Path, words: str, at: str = "") -> bool:
        """Make an edit; whether it could be made."""
        try:
            self.session.change(build, path, words)
        except ReadOnly:
            self.say(f"Read only: {self.session.holder} has this build open.")
            return False
        self._tell()
        self.show_lines(at or pointed_first(self.made(), clock.now()))
        return True

    def _tell(self) -> None:
        """Let the numbers follow, and the step that lies under this page."""
        app = plugwright(self)
        app.build_changed()
        app.tell(BuildChanged())

    @on(Picker.Picked)
    def _picked(self) -> None:
        self.action_mark()

    @work(exclusive=True, group="mark")
    async def action_mark(self) -> None:
        """Begin or finish the line pointed at; take over what is only proposed."""
        if not self.session.build.operation:
            self._take_over()
            return
        build, made, now = self.session.build, self.made(), clock.now()
        mark = mark_of(build, made, self._derived, self.pointed, now)
        if mark.act == "nothing":
            back = f" {plugwright(self).key('pick')} takes the mark back." if mark.is_done else ""
            self.say(f"{mark.said}{back}")
            return
        line = self.pointed
        if mark.doubts:
            title = f"! {' '.join(mark.doubts)} {mark.act.capitalize()} it all the same?"
            if not await self.app.push_screen_wait(Sure(title, f"{mark.act} it")):
                return
        changed, words = marked(build, line, mark.act, clock.now())
        if self.change(changed, ("operation",), words.partition(".")[0]):
            self.say(words)

    def _take_over(self) -> None:
        changed = with_proposal(self.session.build, self.bench)
        if self.change(changed, ("operation",), "timetable begun"):
            self.say(f"Taken over. {HOW} {plugwright(self).key('pick')} does the rest.")

    @work(exclusive=True, group="mark")
    async def action_more(self) -> None:
        """What else can be done with the line, the list and the plug."""
        from wizard.app.screens.timetable_acts import choose

        await choose(self)

    def action_turn_back(self) -> None:
        """Take back the last edit."""
        moment = self.session.undo()
        self._turned(f"Undone: {moment.said}." if moment else "There is nothing to undo.")

    def action_turn_on(self) -> None:
        """Make the edit again that was taken back."""
        moment = self.session.redo()
        self._turned(f"Done again: {moment.said}." if moment else "There is nothing to redo.")

    def _turned(self, words: str) -> None:
        self._tell()
        self.show_lines(pointed_first(self.made(), clock.now()))
        self.say(words)
