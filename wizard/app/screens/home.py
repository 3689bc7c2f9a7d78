"""The builds that were found, and what may be done with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen

from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.hints import Hints
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Title
from wizard.session.option import Option

if TYPE_CHECKING:
    from wizard.session.found import Found

NEW, OPEN, QUIT = "new", "open", "quit"


class HomeScreen(Screen[None]):
    """Resume, begin, open, review, quit."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "stay", "Stay", show=False),
    ]

    @dataclass
    class BuildsFound(Message):
        """The folder of builds was looked through."""

        found: Sequence[Found]
        trouble: str = ""

    def __init__(self, lead: str = "") -> None:
        super().__init__()
        self._found: Sequence[Found] = ()
        self._lead = lead

    def compose(self) -> ComposeResult:
        """The list, with what may be done at once."""
        yield Title("Plugwright: a plug that floats, hangs or sinks as meant")
        yield Prose("", id="lead")
        yield Picker(list(self._options()), id="builds")
        yield Prose(self._lead or "A digit or the arrows point; Enter chooses.", id="said")
        yield Hints()

    def say(self, text: str) -> None:
        """Say something in the line above the keys."""
        self.query_one("#said", Prose).say(text)

    def on_screen_resume(self) -> None:
        """Look through the folder anew."""
        plugwright(self).look_for_builds()

    @on(BuildsFound)
    def _builds_found(self, event: BuildsFound) -> None:
        self._found = event.found
        self.query_one(Picker).offer(list(self._options()))
        if event.trouble:
            self.query_one("#lead", Prose).say(event.trouble)

    def _options(self) -> Iterator[Option]:
        going_on = next((f for f in self._found if f.is_under_way), None)
        if going_on is not None:
            yield Option(str(going_on.path), f"Resume {going_on.line}")
        yield Option(NEW, "Begin a new build")
        yield Option(OPEN, "Open a file")
        for found in self._found:
            if found is not going_on:
                yield Option(str(found.path), f"{found.act} {found.line}")
        yield Option(QUIT, "Quit: all is saved")

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        app = plugwright(self)
        value = event.option.value
        if value == NEW:
            app.begin_build()
        elif value == OPEN:
            app.ask_for_file()
        elif value == QUIT:
            app.action_leave()
        else:
            found = next(f for f in self._found if str(f.path) == value)
            app.open_found(found)

    def action_stay(self) -> None:
        """Esc has nowhere to go back to from here."""
        self.say("These are your builds. Ctrl+Q quits; all is saved.")
