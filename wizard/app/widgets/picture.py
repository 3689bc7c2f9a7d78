"""The picture of the body: over a page of its own, or beside the form where there is room."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from textual import on, work
from textual.content import Content
from textual.message import Message
from textual.timer import Timer

from wizard.app.messages import Reckoned
from wizard.app.widgets.drawn import Drawn, plugwright
from wizard.session.layout import PICTURED
from wizard.steps.answering import Unclear, answer
from wizard.steps.wording import typed

if TYPE_CHECKING:
    from wizard.drawing.scene import Scene
    from wizard.plug.record import Build, StepId
    from wizard.steps.prompts import Question

WIDE = 120
"""Columns from which the picture stands beside the form."""

PAUSE = 0.15
"""Seconds without a key after which a text that is being typed is drawn."""


class Picture(Drawn):
    """A picture as high as it wants to be."""

    DEFAULT_CSS = "Picture { height: auto; color: $ink; }"

    _grows = True
    """Whether its height follows from what it shows."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._scene: Scene | None = None

    def show(self, scene: Scene | None) -> None:
        """Show another picture, or none."""
        if scene is not self._scene:
            self._scene = scene
            self.refresh(layout=self._grows)

    def _lines(self, width: int, rows: int | None = None) -> tuple[str, ...]:
        if self._scene is None:
            return ()
        from wizard.drawing.terminal import lines

        return lines(self._scene, width, plain=plugwright(self).ascii_only, rows=rows)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as it takes."""
        return len(self._lines(width))

    def render(self) -> Content:
        """The lines."""
        return Content("\n".join(self._lines(self.size.width)))


class Beside(Picture):
    """The picture beside a form: it follows answers, and texts that are still being typed."""

    _grows = False
    DEFAULT_CSS = "Beside { height: 1fr; display: none; margin: 1 0 0 0; }"

    @dataclass
    class Tried(Message):
        """What is being typed would look like this."""

        scene: Scene | None

    def __init__(self) -> None:
        super().__init__()
        self._step: StepId = "shape"
        self._reckoned: Reckoned | None = None
        self._timer: Timer | None = None
        self._as_typed = False

    def tell(self, step: StepId, reckoned: Reckoned | None) -> None:
        """Show the build's picture, at the steps and widths that have one."""
        self._reckoned = reckoned
        scene = None if reckoned is None else reckoned.picture
        self._step = step
        self.display = step in PICTURED and self.app.size.width >= WIDE and scene is not None
        self._forget()
        self._as_typed = False
        self.show(scene)

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

    @work(thread=True, exclusive=True, group="picture", description="as typed")
    def _try(self, build: Build, question: Question, text: str) -> None:
        taken = answer(build, question, text)
        if not isinstance(taken, Unclear):
            from wizard.app.reckoning import reckoned

            *_, last = reckoned(taken)
            self.post_message(self.Tried(last.picture))

    @on(Tried)
    def _tried(self, event: Tried) -> None:
        event.stop()
        if event.scene is not None and self._timer is not None:
            self._as_typed = True
            self.show(event.scene)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """What the column has left."""
        return 1

    def render(self) -> Content:
        """As much of the picture as there is room for; what is only typed is said to be so."""
        width, rows = self.size
        note = ["as typed, not taken yet"] * self._as_typed
        return Content("\n".join((*note, *self._lines(width, rows - len(note)))))
