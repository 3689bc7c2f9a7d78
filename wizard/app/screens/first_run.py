"""The first page: units and instruments, once, and away with one key."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Iterator
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget

from wizard.app.widgets.choice import Choice
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.form import Form
from wizard.app.widgets.rows import Press
from wizard.app.widgets.sheet import Sheet
from wizard.plug.record import Build
from wizard.session.bench import bench_of
from wizard.session.first_run import answers_of, chosen, keep, rows

ABOUT = (
    "Asked once, so that later questions begin right. A digit or the arrows point; Enter takes "
    "it and goes on; Esc skips the page. All of it can be changed: Menu, Your bench."
)


class FirstRunScreen(Sheet[str]):
    """Four choices; closes with what there is to say about it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "skip", "Skip")]

    title_text = "Before the first build: what do you measure with?"

    def body(self) -> Iterator[Widget]:
        """The choices and the ways on."""
        yield Prose(ABOUT, classes="about")
        yield Form()

    async def on_mount(self) -> None:
        """Begin with what is known already."""
        bench, _ = bench_of(plugwright(self).folder)
        self._answers = answers_of(bench)
        await self._show()
        form = self.query_one(Form)
        form.focus_row(form.rows[0])

    async def _show(self) -> None:
        await self.query_one(Form).sync(rows(self._answers), Build(), lambda _: (None, ""))

    @on(Choice.Taken)
    async def _taken(self, event: Choice.Taken) -> None:
        key = event.choice.row.key
        if event.value is not None:
            self._answers = chosen(self._answers, key, event.value)
            await self._show()
        form = self.query_one(Form)
        following = form.after(key)
        if following is not None:
            form.focus_row(following)

    @on(Choice.Passed)
    def _passed(self, event: Choice.Passed) -> None:
        self.query_one(Form).action_move(event.way)

    @on(Press.Pressed)
    async def _pressed(self, event: Press.Pressed) -> None:
        await self._leave(kept=event.line.act == "keep")

    async def action_skip(self) -> None:
        """Esc skips it, which is kept too: it is not asked again."""
        await self._leave(kept=False)

    async def _leave(self, *, kept: bool) -> None:
        folder = plugwright(self).folder
        trouble = await to_thread(keep, folder, self._answers if kept else None)
        said = "Kept on your bench: new builds begin with it." if kept else ""
        self.dismiss(f"! {trouble}" if trouble else said)
