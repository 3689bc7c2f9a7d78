"""The picture of the body: over a page of its own, or beside the form where there is room."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content
from textual.message import Message
from textual.timer import Timer

from wizard.apart.here import result_of
from wizard.app.messages import Reckoned
from wizard.app.widgets.drawn import Drawn, plugwright
from wizard.plug.body.drawing import is_drawn
from wizard.session.figures import Drawing, Room, picture
from wizard.session.layout import PICTURED
from wizard.steps.answering import Unclear, answer
from wizard.steps.wording import typed

if TYPE_CHECKING:
    from wizard.plug.derived import Derived
    from wizard.plug.record import Build, StepId
    from wizard.steps.prompts import Question

WIDE = 120
"""Columns from which the picture stands beside the form."""

PAUSE = 0.15
"""Seconds without a key after which a text that is being typed is drawn."""


@dataclass(frozen=True, eq=False)
class Wanted:
    """What a picture is to be of.

    Attributes:
        build: the record.
        now: what follows from it; None if that is to be worked out with the picture.
        station: where the section is cut [m]; where it is largest if None.
    """

    build: Build
    now: Derived | None
    station: float | None = None

    @property
    def is_as_typed(self) -> bool:
        """Whether it is of a text that was not taken yet."""
        return self.now is None

    def is_as(self, other: Wanted | None) -> bool:
        """Whether it is of the very same."""
        return (
            other is not None
            and (self.build is other.build and self.now is other.now)
            and self.station == other.station
        )


class Picture(Drawn):
    """A picture as high as it wants to be; the last one stands until the next is drawn."""

    DEFAULT_CSS = "Picture { height: auto; color: $ink; }"

    @dataclass
    class Shown(Message):
        """A picture is shown, or that there is none."""

        drawing: Drawing

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._wanted: Wanted | None = None
        self._drawing = Drawing()
        self._drawn_for: tuple[Wanted | None, Room] | None = None

    def show(self, wanted: Wanted | None) -> None:
        """Show another picture, or none."""
        if wanted is None or not wanted.is_as(self._wanted):
            self._wanted = wanted
        self._draw()

    def on_resize(self) -> None:
        """Fill the room that there is now."""
        self._draw()

    def _room(self) -> Room:
        return Room(self.size.width, None, plugwright(self).ascii_only)

    def _draw(self) -> None:
        """Have it drawn, unless it is already."""
        wanted, room = self._wanted, self._room()
        if (wanted, room) == self._drawn_for:
            return
        if wanted is None:
            self.workers.cancel_group(self, "picture")  # what is still being drawn comes too late
            self._put(Drawing())
        elif room.width:
            self._have_drawn(wanted, room)
        else:  # not laid out yet: it will be told of its size
            return
        self._drawn_for = wanted, room

    @work(exclusive=True, group="picture", description="a picture")
    async def _have_drawn(self, wanted: Wanted, room: Room) -> None:
        asked = wanted.build, wanted.now, wanted.station, room
        self._put(await result_of(plugwright(self).apart, picture, *asked))

    def _put(self, drawing: Drawing) -> None:
        if drawing != self._drawing:
            grows = len(drawing.lines) != len(self._drawing.lines)
            self._drawing = drawing
            self.refresh(layout=grows)
        self.post_message(self.Shown(drawing))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as it takes."""
        return len(self._drawing.lines)

    def render(self) -> Content:
        """The lines."""
        return Content("\n".join(self._drawing.lines))


class Beside(Picture):
    """The picture beside a form: it follows answers, and texts that are still being typed."""

    DEFAULT_CSS = "Beside { height: 1fr; display: none; margin: 1 0 0 0; }"

    def __init__(self) -> None:
        super().__init__()
        self._step: StepId = "shape"
        self._reckoned: Reckoned | None = None
        self._timer: Timer | None = None
        self._is_as_typed = False

    def tell(self, step: StepId, reckoned: Reckoned | None) -> None:
        """Show the build's picture, at the steps and widths that have one."""
        self._step, self._reckoned = step, reckoned
        has_room = step in PICTURED and self.app.size.width >= WIDE
        self._forget()
        if reckoned is None or not has_room or not is_drawn(reckoned.build.shape):
            self.show(None)
        else:
            self.display = True
            self.show(Wanted(reckoned.build, reckoned.now))

    def typing(self, build: Build, question: Question, text: str) -> None:
        """Draw what is being typed, once the keys rest."""
        if not self.display:
            return
        self._forget()
        if text == typed(question.answer):
            self.tell(self._step, self._reckoned)
        else:
            self._timer = self.set_timer(PAUSE, partial(self._try, build, question, text))

    def _forget(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def _try(self, build: Build, question: Question, text: str) -> None:
        taken = answer(build, question, text)
        if not isinstance(taken, Unclear):
            self.show(Wanted(taken, None))

    def _room(self) -> Room:
        width, rows = self.size
        is_as_typed = self._wanted is not None and self._wanted.is_as_typed
        return Room(width, rows - is_as_typed, plugwright(self).ascii_only)

    def _put(self, drawing: Drawing) -> None:
        is_as_typed = self._wanted is not None and self._wanted.is_as_typed
        if drawing.lines or not is_as_typed:  # what is typed may be no body; the last one stands
            if is_as_typed is not self._is_as_typed:
                self._is_as_typed = is_as_typed
                self.refresh()
            self.display = bool(drawing.lines)
            super()._put(drawing)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """What the column has left."""
        return 1

    def render(self) -> Content:
        """As much of the picture as there is room for; what is only typed is said to be so."""
        note = ["as typed, not taken yet"] * self._is_as_typed
        return Content("\n".join((*note, *self._drawing.lines)))
