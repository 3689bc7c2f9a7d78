"""The picture on a page of its own: from port, from above, and in section at any station."""

from __future__ import annotations

from asyncio import Lock
from collections.abc import Iterator
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.widget import Widget

from wizard.apart.here import result_of
from wizard.app.messages import NumbersReady, Reckoned
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.picture import Picture, Wanted
from wizard.app.widgets.sheet import Lines, Scroll, Sheet
from wizard.session.figures import lying, next_cut

NOTHING = "No body is drawn yet: give length, height, thickness and a form, or stations."


class PictureScreen(Sheet[None]):
    """The picture, and how it lies in words."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "cut(-1)", "Cut ahead", id="forward"),
        Binding("right", "cut(1)", "Cut aft", id="aft"),
        Binding("up", "line(-1)", "Up", show=False),
        Binding("down", "line(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
    ]

    is_of_build = True

    DEFAULT_CSS = "PictureScreen Scroll { height: 1fr; } PictureScreen Lines { margin: 1 0 0 0; }"

    def __init__(self, reckoned: Reckoned) -> None:
        super().__init__()
        self.title_text = f"Picture: {reckoned.build.build.name or 'a build without a name'}"
        self._reckoned = reckoned
        self._station: float | None = None
        self._cut: float | None = None
        self._cutting = Lock()

    def body(self) -> Iterator[Widget]:
        """The picture over its words."""
        with Scroll(can_focus=False):
            yield Picture()
            yield Lines()

    def on_mount(self) -> None:
        """Show the build as it stands."""
        self._show()

    @on(NumbersReady)
    def _numbers_ready(self, event: NumbersReady) -> None:
        self._reckoned = event.reckoned
        self._show()

    def _show(self) -> None:
        build, now = self._reckoned.build, self._reckoned.now
        self.query_one(Picture).show(Wanted(build, now, self._station))

    @on(Picture.Shown)
    def _shown(self, event: Picture.Shown) -> None:
        if self._station is None:
            self._cut = event.drawing.station
        self._tell_how_it_lies(is_drawn=bool(event.drawing.lines))

    @work(exclusive=True, group="picture", description="how it lies")
    async def _tell_how_it_lies(self, *, is_drawn: bool) -> None:
        build, now = self._reckoned.build, self._reckoned.now
        page = self.query_one(Lines)  # the answer may come when the page is being taken down
        words = await result_of(plugwright(self).apart, lying, build, now)
        page.show(words if is_drawn else (NOTHING,))

    @work(group="reckon", description="the next cut")
    async def action_cut(self, way: int) -> None:
        """Cut the section at the next station that is marked out; no other key waits for it."""
        async with self._cutting:  # one after the other, as the keys came
            if self._cut is None:
                return
            apart, build = plugwright(self).apart, self._reckoned.build
            station = await result_of(apart, next_cut, build, self._cut, way)
            if not self.is_running:  # the page is being taken down
                return
            if station is None:
                end = "tail" if way > 0 else "nose"
                self.say(f"The section stands at the {end}.")
            else:
                self._station = self._cut = station
                self._show()

    def action_line(self, way: int) -> None:
        """A line up or down."""
        self.query_one(Scroll).scroll_relative(y=way, animate=False)

    def action_page(self, way: int) -> None:
        """A page up or down."""
        scroll = self.query_one(Scroll)
        scroll.scroll_relative(y=way * (scroll.size.height - 1), animate=False)
