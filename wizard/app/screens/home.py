"""The builds that were found, and what may be done with them."""

from __future__ import annotations

from asyncio import sleep
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.screen import Screen

from wizard.apart.here import result_of
from wizard.app.keys import bound
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.hints import Foot
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Title
from wizard.app.widgets.shelf_list import ShelfList
from wizard.app.widgets.small_picture import SmallPicture
from wizard.session.option import Option

if TYPE_CHECKING:
    from pathlib import Path

    from wizard.app.screens.shelf import Shelf
    from wizard.session.found import Found

NEW, OPEN, AWAY, BIN, ALL, QUIT = "new", "open", "away", "bin", "all", "quit"
EMPTY = (
    "No build is here yet. One goes in ten steps from the board to the tank. Each answer is"
    " saved at once, so you can stop anywhere and go on another day."
)
HOW = "A digit or the arrows point; Enter chooses; letters find a build by its words."
PICTURE = 44
"""Columns of the picture beside the list."""


class HomeScreen(Screen[None]):
    """Resume, begin, open, review, find, tidy, quit."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("this_build", "act"),
        bound("order"),
        bound("undo", "take_back"),
        Binding("escape", "stay", "Stay", show=False),
    ]

    DEFAULT_CSS = """
    HomeScreen #shelf { height: 1fr; }
    HomeScreen #find { padding: 0 1; text-style: bold; }
    HomeScreen #picture { display: none; width: 46; }
    HomeScreen.-broad #picture { display: block; }
    """

    @dataclass
    class BuildsFound(Message):
        """The folder of builds was looked through; so many files are not read in full yet."""

        found: Sequence[Found]
        trouble: str = ""
        left: int = 0

    def __init__(self, lead: str = "") -> None:
        super().__init__()
        self._found: Sequence[Found] = ()
        self._lead = lead
        self._order, self._archived = "modified", False
        self._kept: Shelf | None = None

    def compose(self) -> ComposeResult:
        """The list, with what may be done at once."""
        yield Title("Plugwright: a plug that floats, hangs or sinks as meant")
        yield Prose("", id="lead")
        yield Prose("", id="find")
        with Horizontal(id="shelf"):
            yield ShelfList(list(self._options()), id="builds")
            yield SmallPicture(id="picture")
        yield Foot(self._lead or HOW)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What needs a build is not offered while there is none."""
        return bool(self._found) if action in ("act", "order") else True

    def say(self, text: str) -> None:
        """Say something in the line above the keys."""
        self.query_one("#said", Prose).say(text)

    def on_screen_resume(self) -> None:
        """Look through the folder anew, once this screen is painted."""
        self.call_after_refresh(plugwright(self).look_for_builds)

    @on(BuildsFound)
    def _builds_found(self, event: BuildsFound) -> None:
        self._found = event.found
        self.refresh_bindings()
        app = plugwright(self)
        self._offer(app.left_build)
        app.left_build = ""
        reading = f"Reading the builds: {event.left} left." if event.left else ""
        empty = "" if self._found else EMPTY
        self.query_one("#lead", Prose).say(event.trouble or reading or empty)
        self._show_picture()

    def _offer(self, at: str = "") -> None:
        shelf = self.query_one(ShelfList)
        shelf.can_find = bool(self._found)
        shelf.offer(list(self._options()), at)

    # What is on the list.

    @property
    def _typed(self) -> str:
        lists = self.query(ShelfList)
        return lists.first().typed if lists else ""

    def _builds(self) -> Sequence[Found]:
        """The builds to show, in their order."""
        if not self._found:
            return ()
        from wizard.session.shelving import matching, on_show, ordered

        shown = on_show(self._found, archived=self._archived)
        return ordered(matching(shown, self._typed), self._order)

    def _options(self) -> Iterator[Option]:
        builds = self._builds()
        if self._typed:
            yield from (_option(found) for found in builds)
            if not builds:
                yield Option(ALL, "No build holds these words: show all again (Esc)")
            return
        going_on = None if self._archived else next((f for f in builds if f.is_under_way), None)
        if going_on is not None:
            yield Option(str(going_on.path), f"Resume {going_on.line}")
        if not self._archived:
            yield Option(NEW, "Begin a new build")
            yield Option(OPEN, "Open a file")
        yield from (_option(found) for found in builds if found is not going_on)
        away = sum(found.is_archived for found in self._found)
        if self._archived:
            yield Option(AWAY, "Back to the shelf")
        elif away:
            yield Option(AWAY, f"The archive: {away} put away")
        if self._found:
            yield Option(BIN, "The bin: bring back what was deleted")
        yield Option(QUIT, "Quit: all is saved")

    @on(ShelfList.Typed)
    def _looked_for(self, event: ShelfList.Typed) -> None:
        self.query_one("#find", Prose).say(f"find: {event.text}" if event.text else "")
        self._offer()
        self._show_picture()

    # What is chosen.

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        app = plugwright(self)
        self.say(self._lead or HOW)  # what was said of the choice before is over
        value = event.option.value
        if value == NEW:
            app.begin_build()
        elif value == OPEN:
            app.ask_for_file()
        elif value == ALL:
            self.query_one(ShelfList).look_for("")
        elif value == QUIT:
            app.action_leave()
        elif value == AWAY:
            self._archived = not self._archived
            self._offer()
        elif value == BIN:
            self._look_into_bin()
        elif (found := self._of(value)) is not None:
            app.open_found(found)

    def _of(self, value: str) -> Found | None:
        return next((f for f in self._found if str(f.path) == value), None)

    @property
    def _pointed(self) -> Found | None:
        option = self.query_one(ShelfList).pointed
        return None if option is None else self._of(option.value)

    @property
    def _shelf(self) -> Shelf:
        if self._kept is None:
            from wizard.app.screens.shelf import Shelf

            self._kept = Shelf(plugwright(self))
        return self._kept

    @work
    async def action_act(self) -> None:
        """What may be done with the build that is pointed at."""
        found = self._pointed
        if found is None:
            self.say("Point at a build first.")
        else:
            await self._shelf.act_on(found)

    @work
    async def action_order(self) -> None:
        """Choose the order of the builds."""
        from wizard.app.screens.shelf import choose_order

        self._order = await choose_order(plugwright(self), self._order)
        self._offer()

    @work
    async def action_take_back(self) -> None:
        """Take back what was last done to the shelf."""
        await self._shelf.undo()

    @work
    async def _look_into_bin(self) -> None:
        await self._shelf.look_into_bin()

    def action_stay(self) -> None:
        """Esc shows all builds again; it has nowhere to go back to from here."""
        if self._typed:
            self.query_one(ShelfList).look_for("")
        elif self._archived:
            self._archived = False
            self._offer()
        else:
            quits = plugwright(self).key("quit")
            self.say(f"These are your builds. {quits} quits; all is saved.")

    # The picture beside the list.

    @on(Picker.Pointed)
    def _points(self) -> None:
        self._show_picture()

    def _show_picture(self) -> None:
        found = self._pointed
        if not self.has_class("-broad") or found is None or found.wrong:
            self.query_one(SmallPicture).show(())
            return
        self._draw(found.path)

    @work(group="picture", exclusive=True, description="a picture")
    async def _draw(self, path: Path) -> None:
        from wizard.session.glimpse import PAUSE, glimpse

        await sleep(PAUSE)
        app = plugwright(self)
        lines = await result_of(app.apart, glimpse, path, PICTURE, app.ascii_only)
        if self._pointed is not None and self._pointed.path == path:
            self.query_one(SmallPicture).show(lines)


def _option(found: Found) -> Option:
    return Option(str(found.path), f"{found.act} {found.line}")
