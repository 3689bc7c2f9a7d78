"""All numbers, and how each came about: formula, values put in, result, source, doubt."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget

from wizard.app.messages import NumbersReady, Reckoned
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Lines, Scroll, Sheet
from wizard.plug.numbers import CATALOGUE
from wizard.report.showing import number
from wizard.report.working import lines
from wizard.session.option import Option
from wizard.session.standing import said, with_labels
from wizard.steps.prompts import Step

WARNINGS = "warnings"


class WorkingScreen(Sheet[None]):
    """A list of numbers; the working of the one pointed at stands beside or below it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "turn(1)", "Its working", priority=True),
        Binding("pageup", "turn(-1)", "Back up", show=False, priority=True),
    ]

    is_of_build = True
    title_text = "Numbers and their working: Enter copies one, PgDn turns its working"

    def __init__(self, reckoned: Reckoned, step: Step) -> None:
        super().__init__()
        self._reckoned, self._step = reckoned, step

    def body(self) -> Iterator[Widget]:
        """The numbers, the step's own first, and the working."""
        yield Picker(list(self._options()), id="numbers")
        yield Scroll(Lines(), id="working", can_focus=False)

    def on_mount(self) -> None:
        """Begin with the first number."""
        picker = self.query_one(Picker)
        picker.focus()
        if picker.pointed is not None:
            self._show(picker.pointed.value)

    def _options(self) -> Iterator[Option]:
        numbers, chosen = self._reckoned.now.numbers, self._reckoned.build.build.units
        ordered = dict.fromkeys((*self._step.shows, *CATALOGUE))
        for name in ordered:
            if name in numbers:
                yield Option(name, CATALOGUE[name].meaning, number(numbers[name], chosen))
        warnings = len(self._reckoned.now.warnings)
        if warnings:
            yield Option(WARNINGS, "! to look at", f"{warnings}")
        if not numbers and not warnings:
            yield Option("", "No number is known yet: go on answering.")

    @on(Picker.Pointed)
    def _pointed(self, event: Picker.Pointed) -> None:
        self._show(event.option.value)

    def _show(self, name: str) -> None:
        self.query_one(Lines).show(self._lines(name))
        self.query_one(Scroll).scroll_home(animate=False)

    def _lines(self, name: str) -> tuple[str, ...]:
        now = self._reckoned.now
        if name == WARNINGS:
            return tuple(f"! {said(finding)}" for finding in now.warnings)
        if name not in now.numbers:
            return ()
        working = lines(now.numbers[name], self._reckoned.build.build.units)
        return tuple(with_labels(line) for line in working)

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        self._copy(event.option)

    def action_turn(self, way: int) -> None:
        """Turn a page of the working."""
        scroll = self.query_one(Scroll)
        scroll.scroll_relative(y=way * max(scroll.size.height - 1, 1), animate=False)

    def _copy(self, option: Option) -> None:
        text = option.detail if option.value != WARNINGS else "\n".join(self._lines(WARNINGS))
        plugwright(self).copy(text)

    @on(NumbersReady)
    def _numbers_ready(self, event: NumbersReady) -> None:
        self._reckoned = event.reckoned
        self.query_one(Picker).offer(list(self._options()))
