"""What the tank says and what the bench has learned: read it, pick one line, take it."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widget import Widget

from wizard.apart.here import Here, result_of
from wizard.app.keys import bound
from wizard.app.messages import BuildChanged
from wizard.app.screens.asking import Sure
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Lines, Scroll, Sheet
from wizard.plug.record import Build
from wizard.session.session import ReadOnly, Session
from wizard.session.tank import Counting, Told, bench_learned, tank_says


@dataclass(frozen=True, slots=True)
class Words:
    """How a page names what it offers."""

    title: str
    how: str
    nothing: str
    act: str
    said: str
    tell: Callable[[Build, Path], Told]


TANK = Words(
    "What the tank says",
    "Enter writes the mend pointed at into the build. Space reads on.",
    "There is no mend to pick. Space reads on; Esc goes back.",
    "write it down as done",
    "mend",
    tank_says,
)
LEARNED = Words(
    "What your bench has learned",
    "Enter takes over the line pointed at. Space reads on.",
    "There is nothing to take over. Space reads on; Esc goes back.",
    "take it over into this build",
    "taken over from the bench",
    bench_learned,
)


class Doings(Picker):
    """What may be done, the best first."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "pick", "Take it", id="take_doing")]


class TellingScreen(Sheet[None]):
    """Lines to read over a list to pick from: Enter takes one, undo takes it back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("undo", "turn_back"),
        bound("redo", "turn_on", show=False),
        Binding("space,shift+down,ctrl+down", "scroll(1)", "Read on", id="read_on"),
        Binding("shift+up,ctrl+up", "scroll(-1)", "Read back", show=False),
    ]

    is_of_build = True

    DEFAULT_CSS = "TellingScreen Scroll { height: 1fr; }"

    @dataclass
    class Ready(Message):
        """The page was worked out."""

        build: Build
        told: Told

    def __init__(self, session: Session, words: Words) -> None:
        super().__init__()
        self._session, self._words = session, words
        self._told: Told | None = None
        self._lead = ""
        self.title_text = words.title

    def body(self) -> Iterator[Widget]:
        """What is said, and what may be picked."""
        yield Scroll(Lines(("working it out; Esc leaves",)), can_focus=False)
        yield Prose("", id="offered")
        yield Doings([])

    def on_mount(self) -> None:
        """Begin to work it out."""
        self.query_one(Picker).focus()
        self._ask()

    def _ask(self, lead: str = "") -> None:
        self._told, self._lead = None, lead
        self._work_out(self._session.build, plugwright(self).folder)

    @work(group="telling", exclusive=True, description="what is told")
    async def _work_out(self, build: Build, folder: Path) -> None:
        told = await result_of(Here(), self._words.tell, build, folder)
        self.post_message(self.Ready(build, told))

    @on(Ready)
    def _ready(self, event: Ready) -> None:
        if event.build != self._session.build:
            return  # changed meanwhile; what follows from that is on its way
        self._told = event.told
        self.query_one(Lines).show(event.told.lines or ("Nothing is told yet.",))
        self.query_one(Picker).offer(event.told.options)
        self.say(self._lead or (self._words.how if event.told.doings else self._words.nothing))

    @on(Picker.Picked)
    @work(exclusive=True, group="doing")
    async def _picked(self, event: Picker.Picked) -> None:
        if self._told is None:
            self.say("Still working it out.")
            return
        doing = self._told.doings[int(event.option.value)]
        if isinstance(doing, Counting):
            if await self.app.push_screen_wait(Sure(doing.words, doing.act)):
                self._ask(await to_thread(doing.kept, plugwright(self).folder))
            return
        if not await self.app.push_screen_wait(Sure(doing.words, self._words.act)):
            return
        try:
            build = self._session.build
            self._session.change(doing.done(build), doing.path, self._words.said)
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return
        undo = plugwright(self).key("undo")
        self._changed(f"It is in the build. {undo} takes it out again; Esc goes back.")

    def _changed(self, lead: str) -> None:
        app = plugwright(self)
        app.build_changed()
        app.tell(BuildChanged())
        self._ask(lead)

    def action_turn_back(self) -> None:
        """Take the last edit back."""
        moment = self._session.undo()
        if moment is None:
            self.say("There is nothing to undo.")
        else:
            again = plugwright(self).key("redo")
            self._changed(f"Undone: {moment.said}. {again} does it again.")

    def action_turn_on(self) -> None:
        """Make the edit again that was taken back."""
        moment = self._session.redo()
        if moment is None:
            self.say("There is nothing to redo.")
        else:
            self._changed(f"Done again: {moment.said}.")

    def action_scroll(self, way: int) -> None:
        """Read on or back."""
        scroll = self.query_one(Scroll)
        scroll.scroll_relative(y=way * max(scroll.size.height - 1, 1), animate=False)
