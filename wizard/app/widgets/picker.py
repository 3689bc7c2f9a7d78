"""A list to pick from: arrows or a digit point, Enter picks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from wizard.app.widgets.drawn import plugwright
from wizard.app.words import fitted, wrapped
from wizard.session.option import Option, place_of, sign_of


class Picker(ScrollView, can_focus=True):
    """Options under each other, the pointed one marked by a sign and reversed."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"picker--pointed", "picker--detail"}

    DEFAULT_CSS = """
    Picker {
        height: auto;
        max-height: 100%;
        background: $paper;
        color: $ink;
        &>.picker--pointed { text-style: bold reverse; }
        &>.picker--detail { color: $faint; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,minus", "point(-1)", "Up", show=False),
        Binding("down,plus", "point(1)", "Down", show=False),
        Binding("home", "end(0)", "First", show=False),
        Binding("end", "end(-1)", "Last", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("enter", "pick", "Choose", show=False),
    ]

    @dataclass
    class Picked(Message):
        """Enter was pressed on an option."""

        option: Option

    @dataclass
    class Pointed(Message):
        """Another option is pointed at."""

        option: Option

    def __init__(self, options: Sequence[Option], at: str = "", id: str | None = None) -> None:
        super().__init__(id=id)
        self._options = tuple(options)
        self._at = self._place(at)
        self._lines: list[tuple[int, str, bool]] = []
        self._width = 0
        self._was_moved = False

    def _place(self, value: str) -> int:
        return next((n for n, o in enumerate(self._options) if o.value == value), 0)

    @property
    def pointed(self) -> Option | None:
        """The option that is pointed at."""
        return self._options[self._at] if self._options else None

    def offer(self, options: Sequence[Option], at: str = "") -> None:
        """Show other options; one that the maker pointed at stays pointed at."""
        value = at or (self.pointed.value if self.pointed and self._was_moved else "")
        self._options = tuple(options)
        self._at = self._place(value)
        self._width = 0
        self._lay_out()
        self.refresh(layout=True)

    def _lay_out(self, width: int = 0) -> None:
        """Put the options on lines of the present width."""
        width = width or self.scrollable_content_region.width or self.size.width
        if width == self._width or not width:
            return
        self._width = width
        spelled = plugwright(self).spelled
        longest = max((len(o.text) for o in self._options), default=0)
        column = min(longest + 2, width * 3 // 5) if any(o.detail for o in self._options) else 0
        self._lines = []
        for number, option in enumerate(self._options):
            text = option.text
            if option.detail:
                fits = len(text) < column
                text = f"{text:<{column}} {option.detail}" if fits else f"{text}: {option.detail}"
            text = spelled(f"{sign_of(number)} {text}")
            for n, line in enumerate(wrapped(text, width - 2, "  ")):
                self._lines.append((number, line, n == 0))
        self.virtual_size = Size(width, len(self._lines))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the options take."""
        self._lay_out(width)
        return len(self._lines)

    def on_resize(self) -> None:
        """Wrap anew."""
        self._lay_out()
        self._show_pointed()

    def render_line(self, y: int) -> Strip:
        """One line of an option."""
        place = y + self.scroll_offset.y
        width = self.size.width
        if place >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        number, text, first = self._lines[place]
        pointed = number == self._at
        style = self.rich_style
        if pointed and self.has_focus:
            style += self.get_component_rich_style("picker--pointed", partial=True)
        sign = "> " if pointed and first else "  "
        return Strip([Segment(fitted(sign + text, width), style)], width)

    def _show_pointed(self) -> None:
        lines = [n for n, (number, _, _) in enumerate(self._lines) if number == self._at]
        if lines:
            self.scroll_to_region(
                Region(0, lines[0], 1, len(lines)), animate=False, force=True, x_axis=False
            )

    def _point(self, place: int) -> None:
        if not self._options:
            return
        self._was_moved = True
        self._at = max(0, min(place, len(self._options) - 1))
        self._show_pointed()
        self.refresh()
        self.post_message(self.Pointed(self._options[self._at]))

    def on_focus(self) -> None:
        """Show where the pointer is."""
        self.refresh()

    def on_blur(self) -> None:
        """Show that it is not here."""
        self.refresh()

    def on_key(self, event: events.Key) -> None:
        """A digit points, and only that."""
        if event.character and event.character.isdigit():
            event.stop()
            place = place_of(event.character, len(self._options))
            if place is not None:
                self._point(place)

    def on_click(self, event: events.Click) -> None:
        """A click picks."""
        place = event.y + self.scroll_offset.y
        if place < len(self._lines):
            self._point(self._lines[place][0])
            self.action_pick()

    def action_point(self, way: int) -> None:
        """Point one further."""
        self._point(self._at + way)

    def action_end(self, place: int) -> None:
        """Point at the first or the last."""
        self._point(place if place >= 0 else len(self._options) - 1)

    def action_page(self, way: int) -> None:
        """Point a page further."""
        self._point(self._at + way * max(self.size.height - 1, 1))

    def action_pick(self) -> None:
        """Pick what is pointed at."""
        if self._options:
            self.post_message(self.Picked(self._options[self._at]))
