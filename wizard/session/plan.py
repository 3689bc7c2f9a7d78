"""The page of a drill plan: its lines with the picture, and what may be asked otherwise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.plug.bench import Bench
from wizard.plug.paths import get, parse, spec_at
from wizard.plug.record import Build
from wizard.steps.answering import Unclear, answer, left_empty
from wizard.steps.ballast import PREFERENCES
from wizard.steps.offers import offers
from wizard.steps.prompts import Prompt, Question
from wizard.steps.wording import typed

if TYPE_CHECKING:
    from wizard.plug.ballast.plan import DrillPlan

OPEN = "left open"


def proposed(build: Build, bench: Bench) -> DrillPlan:
    """The plan for a build; takes seconds."""
    from wizard.plug.ballast.plan import ballast_plan
    from wizard.plug.derive import derive

    return ballast_plan(build, derive(build), bench)


def page(plan: DrillPlan, bench: Bench, width: int, *, plain: bool, is_in: bool) -> tuple[str, ...]:
    """The lines of a plan: verdict, picture, what moves, then all the rest.

    Args:
        plan: the plan.
        bench: what it was made from.
        width: columns for the picture.
        plain: draw with ASCII alone.
        is_in: whether the build has it already.
    """
    return tuple(_lines(plan, bench, width, plain, is_in))


def _lines(plan: DrillPlan, bench: Bench, width: int, plain: bool, is_in: bool) -> Iterator[str]:
    from wizard.report.ballast_plan import plan_lines

    rest = list(plan_lines(plan, bench))[1:]  # the page has a title of its own
    verdict = rest[: rest.index("")] if "" in rest else rest
    yield from verdict
    if is_in:
        yield "It is in the build."
    if plan.holes:
        yield ""
        yield from _picture(plan, width, plain)
        yield from _moved(plan)
    yield from rest[len(verdict) :]
    yield from _weighed(plan)


def _picture(plan: DrillPlan, width: int, plain: bool) -> Iterator[str]:
    from wizard.drawing.scene import scene
    from wizard.drawing.terminal import lines

    drawn = scene(plan.build, plan.derived)
    if drawn is not None:
        yield from lines(drawn, width, plain=plain)


def _moved(plan: DrillPlan) -> Iterator[str]:
    """What the plan changes against the build as it stood."""
    from wizard.plug.derive import derive
    from wizard.plug.onward.whatif import what_moves
    from wizard.report.ballast_lines import moved_lines

    if plan.before.ballast is None or not plan.before.ballast.piece:
        return
    moves = what_moves(derive(plan.before), plan.derived)
    yield ""
    yield "Against the ballast laid out before"
    yield from (f"  {line}" for line in moved_lines(moves, plan.before.build.units))


def _weighed(plan: DrillPlan) -> Iterator[str]:
    """What the scale said once the ballast was in."""
    from wizard.plug.ballast.after import after_ballast
    from wizard.plug.derive import derive
    from wizard.plug.rule import rule_of
    from wizard.report.ballast_lines import after_ballast_lines

    if not any(row.stage == "ballasted" for row in plan.before.weight):
        return
    found = after_ballast(plan.before, derive(plan.before))
    if found is not None:
        yield ""
        units = plan.before.build.units
        yield from after_ballast_lines(found, units, rule_of(plan.before))


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that a plan may be asked to heed.

    Attributes:
        question: what is answered.
        now: the answer that holds, or what stands for it.
    """

    question: Question
    now: str

    @property
    def key(self) -> str:
        """Of the answer."""
        return ".".join(str(part) for part in self.question.path)

    @property
    def text(self) -> str:
        """What is asked."""
        return self.question.prompt.ask

    @property
    def about(self) -> str:
        """Why, and how."""
        return f"{self.question.prompt.why} {self.question.prompt.how}".strip()

    @property
    def words(self) -> tuple[tuple[str, str], ...]:
        """What may be chosen; empty for what is typed."""
        if not self.question.prompt.words:
            return ()
        chosen = ((word, f"{word}: {text}") for word, text in self.question.prompt.words)
        return (*chosen, ("", OPEN))

    def answered(self, build: Build, text: str) -> Build | str:
        """The build with the answer, or why it can't be taken."""
        taken = answer(build, self.question, text) if text else left_empty(build, self.question)
        return f"{taken.wrong} {taken.remedy}".strip() if isinstance(taken, Unclear) else taken


def changes(build: Build, bench: Bench) -> tuple[Change, ...]:
    """What a plan may be asked to heed, with what holds now."""
    return tuple(_change(build, bench, prompt) for prompt in PREFERENCES)


def _change(build: Build, bench: Bench, prompt: Prompt) -> Change:
    path = parse(prompt.key)
    question = Question(path, prompt, spec_at(path), get(build, path))
    return Change(question, typed(question.answer) or offers(bench, build, question))
