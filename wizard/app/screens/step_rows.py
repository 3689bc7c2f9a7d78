"""Rows of a group added, opened and removed; lines that lead on."""

from __future__ import annotations

from textual import on, work

from wizard.app.screens.step_answers import StepAnswers
from wizard.app.screens.step_page import ABOUT
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.rows import Press
from wizard.plug.paths import parse
from wizard.plug.record import Build
from wizard.session.session import ReadOnly
from wizard.steps.answering import (
    less_row,
    place_of_new,
    with_none,
    with_row,
)
from wizard.steps.prompts import Group, rows
from wizard.steps.walk import after, before
from wizard.steps.wording import row_title


class StepRows(StepAnswers):
    """A step whose lists grow and shrink."""

    async def _of_group(self, group: Group, key: str, value: str) -> None:
        build = self._session.build
        if value == "enough":
            self._opened[group.key] = None
            await self._sync()
            self._go_on(key)
        elif value == "add":
            place = place_of_new(build, group, self._opened.get(group.key))
            await self._rows_changed(with_row(build, group, place), group, place, "added")
        elif value == "none":
            if await self._rows_changed(with_none(build, group), group, None, group.none):
                self._go_on(key)
        elif value == "remove":
            opened = self._opened.get(group.key)
            self._remove(group, rows(build, group) - 1 if opened is None else opened)

    async def _rows_changed(self, build: Build, group: Group, opened: int | None, did: str) -> bool:
        path = parse(group.key)
        titled = row_title(group, opened) if opened is not None else group.one
        try:
            self._session.change(build, path, f"{titled}: {did}")
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return False
        self._opened[group.key] = opened
        plugwright(self).build_changed()
        await self._sync()
        if opened is not None:
            rows_now = self.form.rows
            first = next((r for r in rows_now if r.key.startswith(f"{group.key}.{opened}.")), None)
            if first is not None:
                self.form.focus_row(first)
        return True

    @work
    async def _remove(self, group: Group, row: int) -> None:
        from wizard.app.screens.asking import Sure

        title = row_title(group, row)
        if await self.app.push_screen_wait(Sure(f"Remove {title}?", f"remove {title}")):
            prefix = f"{group.key}."
            self._session.pending = {
                k: v for k, v in self._session.pending.items() if not k.startswith(prefix)
            }
            changed = less_row(self._session.build, group, row)
            if await self._rows_changed(changed, group, None, f"{title} removed"):
                self.say(f"{title} is removed. {plugwright(self).key('undo')} brings it back.")
                tail = self.form.row(f"{group.key}.more")
                if tail is not None:
                    self.form.focus_row(tail)

    @on(Press.Pressed)
    async def _pressed(self, event: Press.Pressed) -> None:
        line = event.line
        if line.act == "open" and line.group is not None:
            await self._toggle(line.group, line.row)
        elif line.act == "unfold":
            await self._unfold(line.key)
        elif line.act == "onward":
            following = after(self._step)
            if following is not None and not self._refused_are_told():
                await self.show_step(following)
        elif line.act == "back":
            previous = before(self._step)
            if previous is not None:
                await self.show_step(previous)
        elif line.act == "drill":
            self.drill()
        elif line.act in ("plan", "tank"):
            await self.run_action(line.act)
        elif line.act in ABOUT:
            await plugwright(self).run_action(line.act)
        elif line.act == "numbers":
            plugwright(self).action_review()
        elif line.act == "finish":
            plugwright(self).finish()
            await self._sync()

    async def _unfold(self, key: str) -> None:
        """Show the rows that a line stands for, and begin with the first of them."""
        self._opened[key] = 1
        await self._sync()
        first = self.form.row(key.removesuffix(".rest"))
        if first is not None:
            self.form.focus_row(first)

    async def _toggle(self, group: Group, row: int) -> None:
        """Open a row of a group, or fold it up again."""
        is_open = self._opened.get(group.key) == row
        self._opened[group.key] = None if is_open else row
        await self._sync()
        key = f"{group.key}.{row}"
        target = next((r for r in self.form.rows if r.key.startswith(f"{key}.")), None)
        line = self.form.row(key)
        if (target or line) is not None:
            self.form.focus_row(target or line)  # type: ignore[arg-type]
