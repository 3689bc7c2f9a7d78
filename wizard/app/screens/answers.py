"""All answers on one list: the way without the walk."""

from __future__ import annotations

from collections.abc import Iterator

from textual import on
from textual.widget import Widget

from wizard.app.widgets.drawn import Prose
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Sheet
from wizard.plug.record import Build
from wizard.session.option import Option
from wizard.steps.prompts import Group, Step, questions
from wizard.steps.walk import STEPS
from wizard.steps.wording import label, one_of, typed


def all_answers(build: Build) -> Iterator[Option]:
    """Every question of a build in the order of the walk, with its answer.

    The value of an option is the step's word and the key of the row, joined by a colon.
    """
    for step in STEPS:
        head = step.title
        for question in questions(build, step):
            key = ".".join(str(part) for part in question.path)
            answer = typed(question.answer) or ("-" if question.prompt.optional else "open")
            yield Option(f"{step.id}:{key}", f"{head}: {label(question.path)}", answer)
        yield from _groups(build, step, head)


def _groups(build: Build, step: Step, head: str) -> Iterator[Option]:
    for item in step.items:
        if isinstance(item, Group) and item.when(build, None):
            yield Option(f"{step.id}:{item.key}.more", f"{head}: add or remove {one_of(item)}")


class AnswersScreen(Sheet[str | None]):
    """The list; Enter goes to the answer pointed at."""

    title_text = "All answers"

    def __init__(self, build: Build, step: Step) -> None:
        super().__init__()
        self._build, self._step = build, step

    def body(self) -> Iterator[Widget]:
        """The list, pointing at the first answer of the present step."""
        options = list(all_answers(self._build))
        start = next((o.value for o in options if o.value.startswith(f"{self._step.id}:")), "")
        yield Prose("Enter goes to the answer pointed at.", classes="about")
        yield Picker(options, start)

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        self.dismiss(event.option.value)
