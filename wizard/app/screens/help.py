"""Help: about the question at hand, what may be typed, the keys, the words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.app.widgets.sheet import Reader
from wizard.app.words import cell_len, fitted
from wizard.plug.keys import ACTS
from wizard.quantity import units
from wizard.quantity.reading import EXAMPLE
from wizard.steps.glossary import GLOSSARY
from wizard.steps.prompts import Question, Step
from wizard.steps.sketches import SKETCHES

MOVING = (
    ("Enter", "takes the answer and goes on"),
    ("Up, Down, Tab", "move from row to row; nothing is changed by moving"),
    ("1 to 9", "point at an option of a list; Enter chooses it"),
    ("Esc", "goes back a level; nothing is lost"),
    ("PgUp, PgDn", "scroll"),
    ("a first sign", "takes the place of an answer; Left and Backspace change it"),
    ("Ctrl+U", "empties the line; undo brings an answer back"),
)

MEANING = {
    "working": "Working: every number, how it came about, how sure it is",
    "undo": "Undo the last answer",
    "redo": "Redo: give it again",
    "large": "Large letters, to read from across the bench; the same key goes back",
    "pick": "Pick a unit or a name for the field",
    "notes": "Notes about the build",
    "cautions": "Cautions of the step",
    "picture": "Picture of the body as it lies",
    "page": "Drill plan, tank, or timetable of the coats: what the step has",
    "menu": "Menu: all there is; letters find in it",
}
"""What an act means, where its word alone says too little."""


class HelpScreen(Reader):
    """A page of help, the question first."""

    def __init__(
        self, question: Question | None, step: Step | None, keys: Mapping[str, str]
    ) -> None:
        super().__init__("Help", tuple(_lines(question, step, keys)))


def _lines(question: Question | None, step: Step | None, keys: Mapping[str, str]) -> Iterator[str]:
    if question is not None:
        yield from about(question)
        yield ""
    if step is not None:
        yield f"AT THIS STEP: {step.title.upper()}"
        yield from (f"  - {line}" for line in step.hands)
        yield ""
    yield "KEYS"
    told = [*MOVING]
    for act in ACTS:
        where = " (on the list of builds)" if act.where == "builds" else ""
        told.append((keys[act.name], f"{MEANING.get(act.name, act.does)}{where}"))
    widest = max(cell_len(key) for key, _ in told)
    yield from (f"  {fitted(key, widest)}  {meaning}" for key, meaning in told)
    yield "  Other keys can be chosen in the bench file, under [keys]."
    yield "  With the mouse on, hold Shift (Option on a Mac) to mark text for copying."
    yield ""
    yield "WORDS"
    yield from (f"  {word}: {meaning}" for word, meaning in GLOSSARY.items())


def about(question: Question) -> Iterator[str]:
    """One question: why it is asked, how it is answered, what may be typed."""
    prompt, spec = question.prompt, question.spec
    yield prompt.ask.upper()
    yield f"  Why: {prompt.why}"
    if prompt.how:
        yield f"  How: {prompt.how}"
    if prompt.sketch:
        yield from (f"  {line}" for line in SKETCHES[prompt.sketch])
    if spec.form == "quantity":
        yield f"  Type it like {EXAMPLE[spec.kind]}; also 12,5 and 3/8 and 1 1/2."
        labels = units.labels(spec.kind)
        if labels:
            yield f"  Units: {', '.join(labels)}. A bare number takes the unit used here last."
    elif spec.form == "whole":
        yield "  A whole number from 1 up."
    elif spec.form == "choice":
        yield from (f"  {word}: {meaning}" for word, meaning in prompt.words)
    if prompt.offer:
        yield f"  Offered: {prompt.offer}. Enter on the empty line takes it."
    if prompt.optional:
        yield "  It may stay empty."
