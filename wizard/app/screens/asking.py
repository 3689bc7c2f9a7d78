"""Small questions between two steps: which, are you sure, what name, what file."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Input

from wizard.app.widgets.drawn import Prose
from wizard.app.widgets.entry import Entry
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Sheet
from wizard.app.widgets.shelf_list import ShelfList
from wizard.session.option import Option

if TYPE_CHECKING:
    from wizard.app.app import Plugwright


class Which(Sheet[str | None]):
    """One of a few; Esc takes none."""

    is_question = True

    def __init__(
        self,
        title: str,
        options: Sequence[str | Option],
        at: str = "",
        about: str = "A digit or the arrows point; Enter chooses.",
    ) -> None:
        super().__init__()
        self.title_text = title
        self._about = about
        self._options = [o if isinstance(o, Option) else Option(o, o) for o in options]
        self._start = at

    def body(self) -> Iterator[Widget]:
        """The options."""
        yield Prose(self._about, classes="about")
        yield Picker(self._options, self._start)

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        self.dismiss(event.option.value)


class Sought(Which):
    """One of many: letters that are typed find among them."""

    def __init__(self, title: str, options: Sequence[str | Option], at: str = "") -> None:
        how = "Letters find; a digit or the arrows point; Enter chooses."
        super().__init__(title, options, at, how)

    def body(self) -> Iterator[Widget]:
        """What is looked for, and the options that hold it."""
        yield Prose(self._about, id="find", classes="about")
        yield ShelfList(self._options)

    @on(ShelfList.Typed)
    def _looked_for(self, event: ShelfList.Typed) -> None:
        words = event.text.casefold().split()
        found = [o for o in self._options if all(w in o.text.casefold() for w in words)]
        nothing = Option("", "Nothing here holds these words. Esc shows all.")
        self.query_one(ShelfList).offer(found or [nothing])
        self.query_one("#find", Prose).say(f"find: {event.text}" if event.text else self._about)

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        event.prevent_default()
        if event.option.value:
            self.dismiss(event.option.value)

    def action_close(self) -> None:
        """Show all again, else take none."""
        if self.query_one(ShelfList).typed:
            self.query_one(ShelfList).look_for("")
        else:
            super().action_close()


class Sure(Sheet[bool]):
    """Whether to do what can't be overlooked; the pointer starts at not doing it."""

    is_question = True

    def __init__(self, title: str, act: str) -> None:
        super().__init__()
        self.title_text = title
        self._act = act

    def body(self) -> Iterator[Widget]:
        """Keep, or do it."""
        yield Prose("A digit or the arrows point; Enter chooses.", classes="about")
        yield Picker([Option("", "leave it as it is"), Option("yes", self._act)])

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        self.dismiss(bool(event.option.value))

    def action_close(self) -> None:
        """Esc leaves it as it is."""
        self.dismiss(False)


class Line(Sheet[str | None]):
    """One line of text: a name or the path of a file."""

    is_question = True

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "take", "Take it", show=True),
    ]

    def __init__(self, title: str, about: str, start: str = "") -> None:
        super().__init__()
        self.title_text = title
        self._about, self._start = about, start

    def body(self) -> Iterator[Widget]:
        """The line to type into."""
        yield Prose(self._about, classes="about")
        with Horizontal(id="line"):
            yield Prose("> [", classes="bracket")
            yield Entry(self._start)
            yield Prose("]", classes="bracket")

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        if event.value.strip():
            self.dismiss(event.value.strip())
        else:
            self.say("Nothing is typed yet. Esc goes back.")

    def action_take(self) -> None:
        """Take the line, where the key did not reach it."""
        self.query_one(Entry).focus()


async def write_somewhere(
    app: Plugwright, about: str, start: Path, write: Callable[[Path], str]
) -> None:
    """Ask where a file goes until it is written or given up.

    Args:
        app: that asks.
        about: what is said of the path.
        start: the path that is offered; its ending is given to any other.
        write: writes the file off the event loop; gives what kept it from that, or nothing.
    """
    from wizard.session.opening import place

    ending = start.suffix
    while True:
        typed = await app.push_screen_wait(Line("Where to?", about, str(start)))
        if typed is None:
            app.say("Nothing was written.")
            return
        start = place(typed)
        if start.suffix.lower() != ending:
            start = start.with_name(start.name + ending)
        trouble = await to_thread(write, start)
        if not trouble:
            app.say(f"Written: {start}")
            return
        about = f"! {trouble}"
