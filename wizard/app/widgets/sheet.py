"""A page of its own over the step: title, body, keys; Esc closes it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any, ClassVar, TypeVar

from textual.app import App, ComposeResult
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget

from wizard.app.widgets.drawn import Drawn, Prose
from wizard.app.widgets.hints import Foot
from wizard.app.words import drawn_in, wrapped

T = TypeVar("T")


MOST_READ = 100
"""Columns beyond which no line is read with ease."""


def reading_width(app: App[Any]) -> int:
    """Columns for lines on a page of their own: beside them is the bar of the scroll."""
    return min(max(app.size.width - 4, 30), MOST_READ)


class Title(Prose):
    """The first line of a sheet."""

    DEFAULT_CSS = "Title { background: $field; text-style: bold; padding: 0 1; }"


class Sheet(Screen[T]):
    """A page with a title; subclasses say what is on it.

    Attributes:
        is_of_build: whether it shows an open build, so that undo, notes and the other
            pages can be had from it.
        is_question: whether it waits for one answer, so that no menu is opened over it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "Close", id="close"),
    ]

    title_text = ""
    is_of_build: ClassVar[bool] = False
    is_question: ClassVar[bool] = False

    def compose(self) -> ComposeResult:
        """Title, body, a line for what is said, the keys."""
        yield Title(self.title_text)
        yield from self.body()
        yield Foot()

    def body(self) -> Iterator[Widget]:
        """What is between title and keys."""
        raise NotImplementedError

    def say(self, text: str) -> None:
        """Say something in the line above the keys."""
        self.query_one("#said", Prose).say(text)

    def dismiss(self, result: T | None = None) -> AwaitComplete:
        """Close; asked once more, as by a double click, it must not close the page below."""
        return super().dismiss(result) if self.is_current else AwaitComplete()

    def action_close(self) -> None:
        """Go back to where one came from."""
        self.dismiss(None)


def _has_columns(line: str) -> bool:
    return "  " in line.strip()


class Lines(Drawn):
    """Lines to read, each wrapped under its own beginning."""

    DEFAULT_CSS = "Lines { height: auto; }"

    def __init__(self, lines: Sequence[str] = ()) -> None:
        super().__init__()
        self._lines = tuple(lines)

    def show(self, lines: Sequence[str]) -> None:
        """Show other lines."""
        self._lines = tuple(lines)
        self.refresh(layout=True)

    def wrapped(self, width: int) -> list[str]:
        """The lines as they stand in so many columns."""
        out: list[str] = []
        for is_table, lines in groupby(map(self.spelled, self._lines), _has_columns):
            for line in drawn_in(list(lines), width) if is_table else lines:
                indent = " " * (len(line) - len(line.lstrip(" ")) + 2)
                out += wrapped(line, width, indent)
        return out

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as they wrap to."""
        return len(self.wrapped(width))

    def render(self) -> Content:
        """The lines; one that begins at the edge in capitals is a heading."""
        return Content("\n").join(
            Content.styled(line, "bold" if line.isupper() and line[:1] != " " else "")
            for line in self.wrapped(self.size.width)
        )


class Scroll(VerticalScroll, can_focus=False):
    """A part of a page that scrolls by the keys of its sheet."""

    DEFAULT_CSS = "Scroll { padding: 0 1; }"


class Reader(Sheet[None]):
    """A page to read: Enter turns pages and closes after the last one."""

    is_of_build = True

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space,pagedown", "more", "More, then close", id="more"),
        Binding("pageup", "less", "Page up", show=False),
        Binding("up", "line(-1)", "Up", show=False),
        Binding("down", "line(1)", "Down", show=False),
    ]

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self.title_text = title
        self._lines = lines

    def body(self) -> Iterator[Widget]:
        """The lines."""
        yield Scroll(Lines(self._lines))

    @property
    def _scroll(self) -> Scroll:
        return self.query_one(Scroll)

    def whole(self) -> list[str]:
        """All that the page says, whether it is in view or not."""
        width = reading_width(self.app)
        lines = [line for part in self.query(Lines) for line in part.wrapped(width)]
        return [self.title_text, "", *lines]

    def action_more(self) -> None:
        """A page down; after the last one, close."""
        if self._scroll.scroll_offset.y >= self._scroll.max_scroll_y:
            self.action_close()
        else:
            self._by(self._scroll.size.height - 1)

    def action_less(self) -> None:
        """A page up."""
        self._by(1 - self._scroll.size.height)

    def action_line(self, way: int) -> None:
        """A line up or down."""
        self._by(way)

    def _by(self, lines: int) -> None:
        self._scroll.scroll_relative(y=lines, animate=False, immediate=True)
