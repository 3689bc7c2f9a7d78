"""What a step asks, as data: prompts, repeated groups, and the step itself.

A prompt never states a limit or a kind: those stand in the record, at the path
that the prompt fills.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from wizard.plug.fields import Spec
from wizard.plug.onward.carried import is_carried
from wizard.plug.paths import Path, get, parse, spec_at
from wizard.plug.record import Build, StepId

Phase = Literal["plan", "measure", "ballast", "finish"]


def always(build: Build, row: Any) -> bool:
    """A prompt that is always asked."""
    return True


@dataclass(frozen=True, slots=True)
class Prompt:
    """One thing to ask.

    Attributes:
        key: path in the record, relative to its group's row if it has one.
        ask: the question, short.
        why: why it is asked.
        how: how to measure or choose it.
        unit: label of the unit to start from; empty for words and counts.
        optional: whether it may be left empty for good.
        offer: an answer to offer, as it would be typed; empty for none.
        words: for a choice, what each of its words means.
        sketch: name of the drawing that shows how it is measured; empty for none.
        listed: whether a name must be one of those that `picking.name_picks` knows.
        when: whether it is asked, from the build and its row.
    """

    key: str
    ask: str
    why: str
    how: str = ""
    unit: str = ""
    optional: bool = False
    offer: str = ""
    words: tuple[tuple[str, str], ...] = ()
    sketch: str = ""
    listed: bool = False
    when: Callable[[Build, Any], bool] = always


@dataclass(frozen=True, slots=True)
class Group:
    """A list of like things, asked row by row.

    Attributes:
        key: path of the array in the record.
        one: what a row is called.
        none: how to say that there are none; empty if that is no answer.
        prompts: what is asked of each row.
        start: answers that a new row begins with, by key; one that hangs on the rest of the
            build is a function of it.
        when: whether it is asked, from the build (and None, as it has no row).
        least: rows that it needs.
        ordered: whether its rows follow each other in an order, so that a new one goes
            behind the one that is open.
    """

    key: str
    one: str
    none: str
    prompts: tuple[Prompt, ...]
    start: tuple[tuple[str, Any], ...] = ()
    when: Callable[[Build, Any], bool] = always
    least: int = 0
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the walk.

    Attributes:
        id: its word in the profile.
        title: as it stands over the screen.
        phase: the part of the work it belongs to.
        hands: what to do with the hands, in the order of the bench.
        items: what it asks.
        shows: names of the numbers that it moves, in the order to show them.
    """

    id: StepId
    title: str
    phase: Phase
    hands: tuple[str, ...]
    items: tuple[Prompt | Group, ...]
    shows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """A prompt at its place in a build: what a screen puts one field up for.

    Attributes:
        path: where the answer goes.
        prompt: what is asked.
        spec: what an answer may be.
        answer: what stands there now.
        carried: whether it came over from another build and was not changed since.
    """

    path: Path
    prompt: Prompt
    spec: Spec
    answer: Any
    carried: bool = False


def _question(build: Build, path: Path, prompt: Prompt) -> Question:
    answer = get(build, path)
    carried = answer not in (None, ()) and is_carried(build, path)
    return Question(path, prompt, spec_at(path), answer, carried)


def rows(build: Build, group: Group) -> int:
    """How many rows a group has now."""
    return len(get(build, parse(group.key)) or ())


def row_questions(build: Build, group: Group, row: int) -> tuple[Question, ...]:
    """What is asked of one row of a group, as it stands."""
    path = (*parse(group.key), row)
    held = get(build, path)
    return tuple(
        _question(build, (*path, *parse(p.key)), p) for p in group.prompts if p.when(build, held)
    )


def questions(build: Build, step: Step) -> tuple[Question, ...]:
    """All that a step asks of a build as it stands, in order."""
    out: list[Question] = []
    for item in step.items:
        if not item.when(build, None):
            continue
        if isinstance(item, Group):
            for row in range(rows(build, item)):
                out.extend(row_questions(build, item, row))
        else:
            out.append(_question(build, parse(item.key), item))
    return tuple(out)


def unanswered(build: Build, step: Step) -> tuple[Question, ...]:
    """What a step still needs."""
    return tuple(q for q in questions(build, step) if q.answer is None and not q.prompt.optional)


def groups_unanswered(build: Build, step: Step) -> tuple[Group, ...]:
    """Groups that need rows, or the word that there are none."""
    return tuple(
        item
        for item in step.items
        if isinstance(item, Group)
        and item.when(build, None)
        and (
            rows(build, item) < item.least
            or (bool(item.none) and get(build, parse(item.key)) is None)
        )
    )


def may_be_skipped(build: Build, step: Step) -> bool:
    """Whether a step needs nothing and nothing of it is answered."""
    if any(question.answer not in (None, ()) for question in questions(build, step)):
        return False
    listed = (item for item in step.items if isinstance(item, Group))
    return is_done(build, step) and not any(rows(build, group) for group in listed)


def is_done(build: Build, step: Step) -> bool:
    """Whether a step has all that it needs."""
    return not unanswered(build, step) and not groups_unanswered(build, step)
