"""Answers and places in words: as typed, as understood, as a line of a list."""

from __future__ import annotations

from typing import Any

from wizard.plug.paths import Path, get, parse, words
from wizard.plug.record import Build
from wizard.quantity import units
from wizard.quantity.reading import Quantity, tidy
from wizard.quantity.showing import plain
from wizard.steps.answering import understood
from wizard.steps.prompts import Group, Prompt, Question, Step, row_questions
from wizard.steps.walk import STEPS


def typed(answer: Any) -> str:
    """An answer as it would be typed; empty for none."""
    if isinstance(answer, Quantity):
        return answer.text
    if isinstance(answer, tuple):
        return "; ".join(typed(reading) for reading in answer)
    return "" if answer is None else str(answer)


def echo(build: Build, question: Question, text: str) -> str:
    """How a measurement is understood while it is typed; empty while it can't be.

    A bare number is repeated with the unit that it gets. The value stands in the
    prompt's unit, or in the maker's own where those are the same.
    """
    if question.spec.form not in ("quantity", "quantities") or not text.strip():
        return ""
    value = understood(build, question, text)
    if isinstance(value, tuple):
        return f"{len(value)} readings" if len(value) > 1 else "1 reading"
    if not isinstance(value, Quantity):
        return ""
    if not value.unit:
        return plain(value.value, 6)
    if value.text != tidy(text):  # the unit was not typed
        return _in_unit(value, value.unit)
    return _in_unit(value, _other_unit(build, question, value.unit))


def _in_unit(value: Quantity, unit: str) -> str:
    return f"{plain(units.from_core(value.value, unit), 4)} {unit}"


def _other_unit(build: Build, question: Question, unit: str) -> str:
    chosen = build.build.units.get(question.spec.kind, unit)
    return chosen if chosen != unit else question.prompt.unit or unit


def prompt_at(path: Path) -> tuple[Step, Prompt] | None:
    """The step and prompt that ask for the answer at a path."""
    keys = [str(part) for part in path if not isinstance(part, int)]
    for step in STEPS:
        for item in step.items:
            if isinstance(item, Prompt):
                if item.key.split(".") == keys:
                    return step, item
                continue
            for prompt in item.prompts:
                if [*item.key.split("."), *prompt.key.split(".")] == keys:
                    return step, prompt
    return None


def group_at(path: Path) -> Group | None:
    """The group in whose rows, or as whose rows, the answer at a path stands."""
    keys = [str(part) for part in path if not isinstance(part, int)]
    for step in STEPS:
        for item in step.items:
            if isinstance(item, Group) and keys[: item.key.count(".") + 1] == item.key.split("."):
                return item
    return None


def label(path: Path) -> str:
    """What the answer at a path is called on the screen."""
    found = prompt_at(path)
    group = group_at(path)
    row = next((part for part in path if isinstance(part, int)), None)
    rowed = row_title(group, row) if group and row is not None else ""
    if found is None:
        if rowed and isinstance(path[-1], str):  # a key of the file that no step asks for
            return f"{rowed}, {path[-1].replace('_', ' ')}"
        return rowed or (_capital(many(group)) if group else words(path))
    asked = found[1].ask
    return f"{rowed}, {asked[:1].lower()}{asked[1:]}" if rowed else asked


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def many(group: Group) -> str:
    """What the rows of a group are called together: “pieces of hardware”."""
    first, *rest = group.one.split(" ")
    return " ".join((f"{first}s", *rest))


def one_of(group: Group) -> str:
    """A row of a group with its article: “a coat”, “an operation”."""
    return f"{'an' if group.one[0] in 'aeiou' else 'a'} {group.one}"


def row_title(group: Group, row: int) -> str:
    """What a row of a group is called: “hole 2”."""
    return f"{group.one} {row + 1}"


def row_summary(build: Build, group: Group, row: int) -> str:
    """The answers of a row in one line, and how many are still open."""
    asked = row_questions(build, group, row)
    held = get(build, (*parse(group.key), row))
    name = getattr(held, "name", None)  # a kind of the same word needs no saying
    told = (q for q in asked if not (q.spec.form == "choice" and q.answer == name))
    parts = [_part(q) for q in told if _worth_saying(q)]
    still = sum(1 for q in asked if q.answer is None and not q.prompt.optional)
    if held is None or not parts:
        parts = ["nothing yet"]
    if any(q.carried for q in asked):
        parts.append("carried over")
    return ", ".join(parts) + (f" ({still} left open)" if still else "")


_SILENT = ("note", "notes", "before", "started")
"""Answers too long, or too slight, for the line of their row."""


def _worth_saying(question: Question) -> bool:
    return question.answer not in (None, ()) and question.path[-1] not in _SILENT


def _part(question: Question) -> str:
    if question.path[-1] == "count":
        return f"{question.answer} x"
    if question.path[-1] == "hole":
        return f"in hole {question.answer}"
    if question.path[-1] == "coat":
        return f"coat {question.answer}"
    if question.path[-1] == "finished":
        return "done"
    return typed(question.answer)


def said(build: Build, path: Path) -> str:
    """An answer that was just given, with its label."""
    answer = typed(get(build, path))
    return f"{label(path)}: {answer or 'left open'}"
