"""Builds side by side, as many as are asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message
from textual.widget import Widget

from wizard.app.keys import bound
from wizard.app.screens.asking import Which
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.sheet import Lines, Reader, Scroll, reading_width
from wizard.session.found import Found
from wizard.session.option import Option


class CompareScreen(Reader):
    """The comparison; another build joins by a key."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("pick", "add", "Add a build"),
        bound("answers", "everything", "All answers"),
    ]

    @dataclass
    class Compared(Message):
        """The comparison is worked out."""

        lines: tuple[str, ...]

    def __init__(self, paths: Sequence[Path], others: Sequence[Found]) -> None:
        super().__init__("Side by side", ())
        self._paths, self._others = list(paths), others
        self._everything = False

    def body(self) -> Iterator[Widget]:
        """The lines, as soon as they are there."""
        yield Scroll(Lines(("working out the numbers; Esc leaves",)))

    def on_mount(self) -> None:
        """Compare what there is."""
        self._work_out()

    def _work_out(self) -> None:
        width = reading_width(plugwright(self))
        self._compare(tuple(self._paths), width, self._everything)

    @work(thread=True, group="compare", exclusive=True, description="the builds beside each other")
    def _compare(self, paths: tuple[Path, ...], width: int, everything: bool) -> None:
        from wizard.session.comparing import lines

        found = lines(paths, width, everything=everything)
        plugwright(self).tell_from_thread(self, self.Compared(found))

    @on(Compared)
    def _compared(self, event: Compared) -> None:
        self.query_one(Lines).show(event.lines)

    @work
    async def action_add(self) -> None:
        """Ask for another build and compare it too."""
        options = [Option(str(f.path), f.title, f.place) for f in self._others if not f.wrong]
        picked = await self.app.push_screen_wait(Which("Compare with", options))
        if picked is not None:
            self._paths.append(Path(picked))
            self._work_out()

    def action_everything(self) -> None:
        """Show the answers that are alike too, or leave them out again."""
        self._everything = not self._everything
        self._work_out()
