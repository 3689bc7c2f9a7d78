"""The cautions of a step, short, shown when it is entered and by their key."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.app.widgets.sheet import Reader
from wizard.steps.prompts import Step
from wizard.tables import DEFERS, cautions_for


class CautionsScreen(Reader):
    """What may go wrong at a step and what to do about it."""

    def __init__(self, step: Step) -> None:
        super().__init__(f"! Cautions: {step.title}", tuple(_lines(step)))


def _lines(step: Step) -> Iterator[str]:
    shown = cautions_for(step.id)
    for caution in shown:
        yield f"! {caution.name}: {caution.hazard}"
        yield f"  {caution.precaution} First comes: {caution.defers_to}."
    if not shown:
        yield "This step has no cautions of its own."
    yield ""
    yield DEFERS
