"""Where the talk stands in a build, and what its last answer changed."""

from __future__ import annotations

from dataclasses import dataclass, field

from wizard.plain.talk import Talk
from wizard.plug.bench import Bench
from wizard.plug.body.girth import offered_girth
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.report.text import review
from wizard.report.working import lines as working_lines
from wizard.session.bench import offered
from wizard.session.kept import Kept
from wizard.session.layout import FITTED, Asked, Line, Row, Said, lay_out
from wizard.session.session import ReadOnly, Session
from wizard.session.standing import at_step, drilling, moved, readings, said, with_labels
from wizard.steps.prompts import Group, Question, Step
from wizard.steps.walk import STEPS, position
from wizard.steps.wording import said as answer_said
from wizard.steps.wording import typed
from wizard.tables import DEFERS, cautions_for

PATIENCE = 2.0
"""Seconds that a save may take before the talk goes on all the same."""

ASIDE = (
    *("back", "plan", "drill", "timetable", "picture", "marking", "template", "girth"),
    "hand_on",
)
"""Lines that have a command of their own here."""


class Leave(Exception):  # noqa: N818 - it names what is wanted
    """The maker wants to go."""


@dataclass
class Standing:
    """Where the talk stands.

    Attributes:
        session: the open build.
        talk: how to say and ask.
        at: key of the row at hand.
        opened: by group, its row that is gone through.
        derived: what followed from the build when its numbers were last told.
        told_of: the build as it was then.
        heard: the state of saving that was last told.
        bench: what the maker owns and knows.
    """

    session: Session
    talk: Talk
    at: str = ""
    opened: dict[str, int | None] = field(default_factory=dict)
    derived: Derived | None = None
    told_of: Build | None = None
    heard: Kept | None = None
    bench: Bench = field(default_factory=Bench)

    def _place(self) -> str:
        draft = self.session.draft
        return draft.field if draft is not None else ""

    @property
    def step(self) -> Step:
        """The step at hand."""
        return self.session.step

    def _rows(self) -> list[Row]:
        build = self.session.build
        girth = offered_girth(build) if self.step.id in FITTED else None
        rows = lay_out(build, self.step, self.opened, girth, self.session.pending)
        laid = offered(self.bench, build, rows)
        return [r for r in laid if not isinstance(r, Said)]

    def _row(self) -> Row:
        rows_now = self._rows()
        return next((r for r in rows_now if r.key == self.at), rows_now[0])

    def _enter(self, step: Step, at: str = "") -> None:
        """Go to a step: its name, what the hands do, its cautions."""
        self.session.go(step)
        self.opened = {}
        self._open_for(at)
        say = self.talk.say
        say("", f"Step {position(step)} of {len(STEPS)}: {step.title}. Phase: {step.phase}.")
        say(*(f"- {line}" for line in step.hands))
        shown = cautions_for(step.id)
        say(*(f"! {c.name}: {c.hazard} {c.precaution}" for c in shown))
        if shown:
            say(f"! {DEFERS}")
        rows_now = self._rows()
        keys = [r.key for r in rows_now]
        opening = next((r.key for r in rows_now if isinstance(r, Asked) and is_open(r)), keys[0])
        self.at = at if at in keys else opening

    def _open_for(self, key: str) -> None:
        for item in self.step.items:
            if isinstance(item, Group) and key.startswith(f"{item.key}."):
                number = key[len(item.key) + 1 :].split(".")[0]
                self.opened[item.key] = int(number) if number.isdigit() else None

    def _move(self, way: int) -> None:
        keys = [r.key for r in self._rows() if not (isinstance(r, Line) and r.act in ASIDE)]
        place = keys.index(self.at) + way if self.at in keys else 0
        self.at = keys[max(0, min(place, len(keys) - 1))]

    def _change(self, build: Build, question: Question) -> bool:
        return self.edit(build, question.path, answer_said(build, question.path))

    def edit(self, build: Build, path: tuple[str | int, ...], words: str) -> bool:
        """Make an edit; whether it could be made."""
        try:
            self.session.change(build, path, words)
            self.session.flush(PATIENCE)  # “ok” means that it is on the disk
        except ReadOnly:
            self.talk.say(f"Read only: {self.session.holder} has this build open.")
            return False
        return True

    # Numbers.

    def _derived(self) -> Derived:
        return derive(self.session.build)

    def _numbers(self) -> None:
        build, derived = self.session.build, self._derived()
        known = readings(derived.numbers, derived, None, build.build.units)
        self.talk.say(*(f"  {r.meaning}: {r.shown}" for r in known))

    def _working(self) -> None:
        chosen = self.session.build.build.units
        for entry in self._derived().numbers.values():
            self.talk.say(*(with_labels(line) for line in working_lines(entry, chosen)))

    def _review(self) -> None:
        build = self.session.build
        told = review(build, self._derived(), self.session.odd)
        self.talk.say(*(with_labels(line) for line in told.splitlines()))

    def _is_within_row(self) -> bool:
        """Whether the next question is one more of the same row of a group."""
        keys = [row.key for row in self._rows()]
        following = keys[keys.index(self.at) + 1 :][:1] if self.at in keys else []
        return any(
            self.at.startswith(f"{group}.{row}.") and following[0].startswith(f"{group}.{row}.")
            for group, row in self.opened.items()
            if following
        )

    def say_news(self) -> None:
        """What the last answer changed: numbers, warnings, whether to drill.

        Nothing within a row that is being gone through: its news comes at its end.
        """
        build = self.session.build
        if self._is_within_row() or build is self.told_of:
            return
        self.told_of = build
        now, past = self._derived(), self.derived
        self.derived = now
        for reading in moved(now, past, build.build.units):
            was = f"{reading.was} -> " if reading.was else ""
            self.talk.say(f"  {reading.meaning}: {was}{reading.shown or 'not known any more'}")
        known = {f.text for f in past.warnings} if past else set()
        for finding in at_step(now.warnings, self.step.id):
            if finding.text not in known:
                self.talk.say(f"! Warning: {said(finding)}")
        state = drilling(build, now)
        if state is not None and state != (drilling(build, past) if past else None):
            self.talk.say(f"! {state[1]}")

    def _say_if_unsaved(self) -> None:
        kept = self.session.kept
        if kept.state == "not saved":
            self.talk.say(f"! {kept.trouble}. /save PATH saves elsewhere.")
        if kept is not self.heard:
            self.talk.say(*(f"! {note}" for note in kept.notes))
        self.heard = kept


def is_open(row: Asked) -> bool:
    """Whether a question still needs its answer."""
    return row.question.answer is None and not row.question.prompt.optional


def state_of(question: Question) -> str:
    """What stands there now and what an empty line means, in brackets."""
    if question.answer is not None:
        return f" [{typed(question.answer)}]"
    if question.prompt.offer:
        return f" (Enter takes {question.prompt.offer})"
    return " (may stay empty)" if question.prompt.optional else ""
