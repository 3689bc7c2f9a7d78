"""What is said beside a line that an answer is typed into: how it is understood."""

from __future__ import annotations

from wizard.plug.record import Build
from wizard.quantity.reading import Quantity
from wizard.steps.prompts import Question
from wizard.steps.wording import echo, typed


def taken_sign(question: Question) -> str:
    """What is said beside an answer that stands."""
    return "carried over" if question.carried else "ok"


def beside(build: Build, question: Question, text: str, *, is_draft: bool = False) -> str:
    """How a text is understood at a question, or what may be done there.

    Args:
        build: the record.
        question: what is asked, with the answer that stands.
        text: what stands in the line.
        is_draft: whether it was typed in an earlier sitting and never taken.
    """
    if not text.strip():
        return _beside_nothing(question)
    understood = echo(build, question, text)
    if text == typed(question.answer):
        same = isinstance(question.answer, Quantity) and understood.endswith(question.answer.unit)
        word = f"{taken_sign(question)}{_of_no_table(question, text)}"
        return f"{word}, {understood}" if understood and not same else word
    state = "draft, " if is_draft else ""
    if understood:
        return f"{state}reads as {understood}"
    return f"{state}not taken yet" if question.spec.form != "quantity" else state.rstrip(", ")


def _of_no_table(question: Question, text: str) -> str:
    """That a wood is none of the table's: “pine” is several, and none of them is guessed."""
    if question.path != ("stock", "wood"):
        return ""
    from wizard.tables import find_wood

    return "" if find_wood(text) else ", not in the table"


def _beside_nothing(question: Question) -> str:
    prompt = question.prompt
    if prompt.offer and question.answer is None:
        return f"Enter takes {prompt.offer}"
    return "may stay empty" if prompt.optional else "open"
