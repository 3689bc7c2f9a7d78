"""The rows of a step, one under the other, kept in step with the build."""

from __future__ import annotations

from asyncio import Lock
from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.geometry import Region
from textual.widget import Widget

from wizard.app.widgets.row import FormRow, Words
from wizard.app.widgets.rows import new_row
from wizard.plug.record import Build
from wizard.session.layout import Line, Row

Restored = Callable[[str], tuple[str | None, str]]
"""For a row's key: a text that was never taken, and what was said about it."""


class Form(VerticalScroll, can_focus=False):
    """The rows of a step. Widgets whose row is still there are kept, with what is typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,minus", "move(-1)", "Up", show=False),
        Binding("down,plus", "move(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
    ]

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._turn = Lock()

    async def sync(self, rows: Sequence[Row], build: Build, restored: Restored) -> None:
        """Show these rows and no others, after those that were asked for before."""
        async with self._turn:
            await self._sync(rows, build, restored)

    async def _sync(self, rows: Sequence[Row], build: Build, restored: Restored) -> None:
        have = {key: widget for widget in self.children if (key := _key(widget))}
        wanted = {row.key for row in rows}
        kept: dict[str, Widget] = {}
        with self.app.batch_update():
            for key, widget in have.items():
                if key not in wanted or not _fits(widget, next(r for r in rows if r.key == key)):
                    await widget.remove()
                else:
                    kept[key] = widget
            await self._fill(rows, kept, build, restored)

    async def _fill(
        self, rows: Sequence[Row], kept: dict[str, Widget], build: Build, restored: Restored
    ) -> None:
        fresh: list[Widget] = []
        for row in rows:
            widget = kept.get(row.key)
            if widget is None:
                fresh.append(new_row(row, build, *restored(row.key)))
                continue
            _show(widget, row, build)
            if fresh:
                await self.mount(*fresh, before=widget)
                fresh = []
        if fresh:
            await self.mount(*fresh)

    @property
    def rows(self) -> list[FormRow]:
        """The rows that can have the focus, in order."""
        return [child for child in self.children if isinstance(child, FormRow)]

    def row(self, key: str) -> FormRow | None:
        """The row of that key."""
        return next((row for row in self.rows if row.key == key), None)

    @property
    def current(self) -> FormRow | None:
        """The row that has the focus."""
        return next((row for row in self.rows if row.is_current), None)

    _aim: FormRow | None = None
    """The row that has, or is about to have, the focus."""

    _one_row = False
    _is_early = False

    def on_mount(self) -> None:
        """Follow the row that has the focus once it has a place."""
        self.screen.screen_layout_refresh_signal.subscribe(self, lambda _: self._laid_out())

    def _laid_out(self) -> None:
        if self._is_early:
            self._is_early = False
            self._follow()

    def show_one_row(self, alone: bool) -> None:
        """Show the row that has the focus alone, or as many as there is room for."""
        self._one_row = alone
        self.styles.height = 1 if alone else None
        self._follow()

    def focus_row(self, row: FormRow) -> None:
        """Give a row the focus and bring all of it into view."""
        self._aim = row
        if row is self.rows[0] and not self._one_row:
            self.scroll_home(animate=False)
        row.target.focus(scroll_visible=False)

    @on(FormRow.Focused)
    def _row_focused(self, event: FormRow.Focused) -> None:
        self._aim = event.sender
        self._follow()

    def on_resize(self) -> None:
        """Keep the row that has the focus in view when the room changes."""
        self._follow()

    def watch_virtual_size(self) -> None:
        """Keep it in view when rows grow or go."""
        self._follow()

    def _follow(self) -> None:
        self.call_after_refresh(self._bring_into_view)

    def _bring_into_view(self) -> None:
        """Scroll so that all of the row and the beginning of the next one are seen."""
        row = self._aim
        if row is not None and row.is_attached:
            region = row.virtual_region
            self._is_early = not region  # the row is not laid out yet
            if self._is_early:
                return
            if self._one_row:
                self._stand_alone(region)
                return
            height = min(region.height + 1, self.size.height)
            self.scroll_to_region(
                Region(0, region.y, 1, height), animate=False, force=True, x_axis=False
            )

    def _stand_alone(self, region: Region) -> None:
        """Be as high as the row is, up to half of the screen, and show no other."""
        self.styles.height = max(1, min(region.height, self.screen.size.height // 2))
        self.scroll_to(y=region.y, animate=False, force=True, immediate=True)

    def after(self, key: str) -> FormRow | None:
        """Where Enter goes on to from a row: past the rows of a group that are folded up."""
        rows = self.rows
        place = next((n for n, row in enumerate(rows) if row.key == key), len(rows))
        return next(
            (r for r in rows[place + 1 :] if not _is_folded_up(r)),
            None,
        )

    def action_move(self, way: int) -> None:
        """Move the focus a row up or down, around the ends."""
        rows, current = self.rows, self.current
        if rows:
            place = rows.index(current) + way if current else 0
            self.focus_row(rows[place % len(rows)])

    def action_page(self, way: int) -> None:
        """Scroll by most of a page."""
        lines = way * max(self.size.height - 2, 1)
        self.scroll_relative(y=lines, animate=False, immediate=True)


def _is_folded_up(row: FormRow) -> bool:
    return isinstance(row.row, Line) and row.row.act in ("open", "unfold")


def _key(widget: Widget) -> str | None:
    return widget.key if isinstance(widget, FormRow | Words) else None


def _fits(widget: Widget, row: Row) -> bool:
    """Whether a widget can show a row."""
    return isinstance(widget, FormRow | Words) and isinstance(row, widget.SHOWS)


def _show(widget: Widget, row: Row, build: Build) -> None:
    if isinstance(widget, FormRow | Words):
        widget.show(row, build)
