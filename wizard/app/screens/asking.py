"""Small questions between two steps: which, are you sure, what name, what file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Input

from wizard.app.widgets.drawn import Prose
from wizard.app.widgets.entry import Entry
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Sheet
from wizard.session.option import Option


class Which(Sheet[str | None]):
    """One of a few; Esc takes none."""

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


class Sure(Sheet[bool]):
    """Whether to do what can't be overlooked; the pointer starts at not doing it."""

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
