"""What a step's form holds, row by row, worked out from the build alone.

Pure: knows no widget. Each row has a key that stays the same while the maker types,
so that the form can keep the widgets that it has.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from wizard.plug.body.drawing import is_drawn
from wizard.plug.body.girth import is_worth_taking
from wizard.plug.paths import get, parse
from wizard.plug.record import Build
from wizard.session.option import Option
from wizard.steps.picking import name_picks
from wizard.steps.prompts import (
    Group,
    Question,
    Step,
    groups_unanswered,
    may_be_skipped,
    questions,
    row_questions,
    rows,
    unanswered,
)
from wizard.steps.walk import after, before
from wizard.steps.wording import label, one_of, row_summary, row_title, typed


def dotted(question: Question) -> str:
    """The path of a question as a row's key."""
    return ".".join(str(part) for part in question.path)


@dataclass(frozen=True, slots=True)
class Said:
    """A line to read."""

    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A question to answer in a field."""

    key: str
    question: Question


@dataclass(frozen=True, slots=True)
class Chosen:
    """A choice: a question with few answers, or what to do with a group's rows.

    Attributes:
        key: of the row.
        label: what is chosen.
        options: in order.
        at: the value that holds now; empty for none.
        shown: how the present state reads in one line.
        question: what it answers, if it answers one.
        group: whose rows it is about, if it is about some.
    """

    key: str
    label: str
    options: tuple[Option, ...]
    at: str = ""
    shown: str = ""
    question: Question | None = None
    group: Group | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A line to press Enter on.

    Attributes:
        key: of the row.
        text: what it says.
        detail: more about it.
        act: what Enter does: open, unfold, onward, back, numbers, finish, or an action
            of the app that opens something (timetable, picture, marking, template, girth,
            drill).
        group: whose row it stands for.
        row: which one.
    """

    key: str
    text: str
    detail: str = ""
    act: str = ""
    group: Group | None = None
    row: int = 0


Row = Said | Asked | Chosen | Line


def lay_out(
    build: Build,
    step: Step,
    opened: Mapping[str, int | None],
    girth: float | None = None,
    begun: Container[str] = (),
) -> tuple[Row, ...]:
    """The rows of a step's form.

    Args:
        build: the record.
        step: the step.
        opened: by group key, which of its rows is open for editing; by the key of a line
            that folds others up, that it was opened.
        girth: the girth factor [1], once it is worked out.
        begun: keys of the rows in whose fields a text stands that is no answer.
    """
    return (*_rows(build, step, opened), *_onward(build, step, girth, begun))


def _rows(build: Build, step: Step, opened: Mapping[str, int | None]) -> Iterator[Row]:
    for number, text in enumerate(step.hands):
        yield Said(f"hands.{number}", text)
    by_path = {question.path: question for question in questions(build, step)}
    block: list[Row] = []
    for item in step.items:
        if isinstance(item, Group):
            yield from _folded(block, opened)
            block = []
            if item.when(build, None):
                yield from _group(build, item, opened)
        elif (question := by_path.get(parse(item.key))) and question.prompt is item:
            block.append(_row(question))
    yield from _folded(block, opened)


IN_SIGHT = 2
"""Of answers in a row that may all stay empty, so many are asked; the rest is one line."""


def _folded(block: Sequence[Row], opened: Mapping[str, int | None]) -> Iterator[Row]:
    """The rows, long runs of what may stay empty folded up behind a line."""
    for waits, run in groupby(block, _may_wait):
        rows_of_run = list(run)
        seen, rest = rows_of_run[:IN_SIGHT], rows_of_run[IN_SIGHT:]
        yield from seen
        if not waits or len(rest) < 2:
            yield from rest
            continue
        key = f"{rest[0].key}.rest"
        if key in opened:
            yield from rest
        else:
            asked = "; ".join(r.label if isinstance(r, Chosen) else _ask(r) for r in rest)
            yield Line(key, f"{len(rest)} more that may stay empty", asked, "unfold")


def _ask(row: Row) -> str:
    return row.question.prompt.ask if isinstance(row, Asked) else ""


def _may_wait(row: Row) -> bool:
    question = row.question if isinstance(row, Asked | Chosen) else None
    if question is None or question.prompt.offer:
        return False
    return question.prompt.optional and question.answer in (None, ())


def _row(question: Question) -> Row:
    if question.prompt.listed:
        options = [Option(p.text, p.text, p.detail) for p in name_picks(question.path)]
    elif question.spec.form != "choice":
        return Asked(dotted(question), question)
    else:
        meanings = dict(question.prompt.words)
        ordered = dict.fromkeys((*meanings, *question.spec.choices))  # the prompt's order first
        options = [Option(c, c, meanings.get(c, "")) for c in ordered]
    if question.prompt.optional:
        options.append(Option("", "leave it empty"))
    return Chosen(
        dotted(question),
        question.prompt.ask,
        tuple(options),
        at=question.answer or "",
        shown=typed(question.answer),
        question=question,
    )


def _group(build: Build, group: Group, opened: Mapping[str, int | None]) -> Iterator[Row]:
    count, open_row = rows(build, group), opened.get(group.key)
    for row in range(count):
        key = f"{group.key}.{row}"
        title = row_title(group, row)
        summary = row_summary(build, group, row)
        yield Line(key, title, summary, "open", group, row)
        if row == open_row:
            yield from _folded([_row(q) for q in row_questions(build, group, row)], opened)
    yield _tail(build, group, count, open_row)


def _tail(build: Build, group: Group, count: int, opened: int | None) -> Chosen:
    """What to do with the rows: that is all, one more, one less, none at all."""
    one = group.one
    named = label(parse(group.key))
    options = []
    if count:
        options = [
            Option("enough", "that is all", f"go on with {count}"),
            Option("add", f"one more {one}", _behind(group, count, opened)),
        ]
        row = count - 1 if opened is None else opened
        options.append(Option("remove", f"remove {row_title(group, row)}", "asks first"))
    elif _asks(group):
        options = [Option("add", f"add {one_of(group)}")]
        if group.none:
            options.append(Option("none", f"there is {group.none}"))
        options.append(Option("enough", "go on without an answer"))
    else:
        options = [Option("enough", "go on"), Option("add", f"add {one_of(group)}")]
    at, shown = "", "not answered yet" if _asks(group) else "none"
    if count:
        at, shown = "enough", str(count)
    elif group.none and get(build, parse(group.key)) is not None:
        at, shown = "none", group.none
    return Chosen(f"{group.key}.more", named, tuple(options), at, shown, group=group)


def _behind(group: Group, count: int, opened: int | None) -> str:
    """Where a new row of a group with an order goes, if not to its end."""
    if not group.ordered or opened is None or opened >= count - 1:
        return ""
    return f"behind {row_title(group, opened)}"


def _asks(group: Group) -> bool:
    """Whether leaving a group empty leaves something open."""
    return bool(group.none) or group.least > 0


def left_open(build: Build, step: Step) -> tuple[str, ...]:
    """What a step still needs, by name."""
    return (
        *(label(q.path) for q in unanswered(build, step)),
        *(one_of(group) for group in groups_unanswered(build, step)),
    )


def not_taken(build: Build, step: Step, begun: Container[str]) -> tuple[str, ...]:
    """The answers of a step, by name, over which a text stands that is none; arguments as above.

    What is left open is not among them: it needs an answer anyway.
    """
    still = unanswered(build, step)
    return tuple(
        label(q.path) for q in questions(build, step) if dotted(q) in begun and q not in still
    )


def _standing(build: Build, step: Step, begun: Container[str]) -> str:
    """What a step still needs, in a few words."""
    still, wrong = len(left_open(build, step)), len(not_taken(build, step, begun))
    parts = [f"{still} left open"] * bool(still) + [f"{wrong} not taken"] * bool(wrong)
    all_done = "may be skipped" if may_be_skipped(build, step) else "all answered"
    return ", ".join(parts) or all_done


def _onward(build: Build, step: Step, girth: float | None, begun: Container[str]) -> Iterator[Row]:
    detail = _standing(build, step, begun)
    following, previous = after(step), before(step)
    if following is None:
        yield Line("numbers", "All numbers and the weight account", "", "numbers")
        kept = build.shown.at if build.shown is not None else None
        detail = f"finished {kept:%Y-%m-%d}" if kept is not None else detail
        yield Line("finish", "Finish: keep the numbers as shown now", detail, "finish")
        yield Line("hand_on", "Print it or hand it on", "sheet, spreadsheet, profile", "hand_on")
    else:
        yield Line("onward", f"Continue to {following.title}", detail, "onward")
    if step.id == "ballast":
        yield Line("plan", "Drill plan from the drawer", "", "plan")
        if build.ballast is not None and build.ballast.hole:
            count = len(build.ballast.hole)
            detail = "1 hole" if count == 1 else f"{count} holes"
            yield Line("drill", "Drill list in large letters", detail, "drill")
    if step.id == "proof":
        yield Line("tank", "What the tank says", "", "tank")
    if step.id == "coating":
        yield Line("timetable", "Timetable of the coats", _planned(build), "timetable")
    yield from _drawings(build, step, girth)
    if previous is not None:
        yield Line("back", f"Back to {previous.title}", "", "back")


PICTURED = ("shape", "ballast", "hardware", "review")
"""The steps at which the picture is a line away."""

FITTED = ("shape", "density")
"""The steps at which the drawing is made to fit what was weighed."""


def _drawings(build: Build, step: Step, girth: float | None) -> Iterator[Row]:
    """Lines that open the picture and what is cut by; only where there is a body."""
    if not is_drawn(build.shape):
        return
    if step.id in PICTURED:
        yield Line("picture", "Picture of the body", "", "picture")
    if step.id == "shape":
        yield Line("marking", "Marking-out sheet", "", "marking")
        yield Line("template", "Write the template", "PDF, SVG or STL", "template")
    if step.id in FITTED and girth is not None and is_worth_taking(girth):
        yield Line("girth", "Take the girth factor into the shape", f"{girth:.3f}", "girth")


def _planned(build: Build) -> str:
    count = len(build.operation)
    return f"{count} operation{'' if count == 1 else 's'}" if count else "not begun"
