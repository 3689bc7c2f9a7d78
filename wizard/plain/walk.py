"""One build, step by step and row by row, over a `Talk`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.plain import ballast, coats, shape
from wizard.plain.talk import Talk
from wizard.plug.bench import Bench
from wizard.plug.derive import Derived, derive
from wizard.plug.paths import get, parse, put, step_of
from wizard.plug.record import Build
from wizard.report.text import review
from wizard.report.working import lines as working_lines
from wizard.session.bench import offered
from wizard.session.kept import Kept
from wizard.session.layout import Asked, Chosen, Line, Row, Said, lay_out
from wizard.session.opening import place
from wizard.session.session import ReadOnly, Session
from wizard.session.standing import at_step, drilling, moved, readings, said, with_labels
from wizard.session.timeline import Moment
from wizard.steps.answering import (
    Unclear,
    answer,
    left_empty,
    less_row,
    place_of_new,
    with_none,
    with_row,
)
from wizard.steps.glossary import GLOSSARY
from wizard.steps.picking import name_picks
from wizard.steps.prompts import Group, Question, Step, rows
from wizard.steps.walk import STEPS, after, before, position, step_named
from wizard.steps.wording import echo, typed
from wizard.steps.wording import said as answer_said
from wizard.tables import DEFERS, cautions_for

COMMANDS: Mapping[str, str] = {
    "/help": "about the question at hand, and this list",
    "/back": "the question before",
    "/next": "the question after, leaving this one as it is",
    "/clear": "leave this question open again",
    "/undo, /redo": "take the last answer back; give it again",
    "/numbers": "the numbers so far",
    "/working": "how each number came about",
    "/review": "all of the build",
    "/step 6": "go to step 6",
    "/names": "the names that a table knows here",
    "/notes WORDS": "add a line to the notes",
    "/words": "the trade's words in plain ones",
    "/save PATH": "save to another place from now on",
    "/plan": "a drill plan from your drawer; /plan take puts it into the build",
    "/timetable": "the coats in time: what is due, what to mix",
    "/begin 3, /done 3": "mark an operation of the timetable by its number",
    "/weigh 48.1 g": "the whole plug on the scale, as it is now",
    "/picture": "the body as it lies in the water",
    "/marking": "what is marked on the blank before it is cut",
    "/template PATH": "write the template, to a name in .pdf, .svg or .stl",
    "/girth": "make the drawn volume the weighed one",
    "/quit": "save and end; the end of the input does the same",
}

PATIENCE = 2.0
"""Seconds that a save may take before the talk goes on all the same."""


ASIDE = ("back", "plan", "timetable", "picture", "marking", "template", "girth")
"""Lines that have a command of their own here."""


class Leave(Exception):  # noqa: N818 - it names what is wanted
    """The maker wants to go."""


@dataclass
class Walk:
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

    def go_through(self) -> None:
        """Ask until the maker leaves.

        Raises:
            Leave: at the maker's wish.
            Gone: the input has ended.
        """
        if self.session.holder is not None:
            self.talk.say(f"Read only: {self.session.holder} has this build open.")
        self.talk.say(*self.session.notices)
        self.talk.say(*(f"! {said(finding)}" for finding in self.session.odd))
        self.derived = derive(self.session.build)
        self._enter(self.session.step, self._place())
        while True:
            self._say_if_unsaved()
            self._handle(self._row())

    def _place(self) -> str:
        draft = self.session.draft
        return draft.field if draft is not None else ""

    @property
    def step(self) -> Step:
        """The step at hand."""
        return self.session.step

    def _rows(self) -> list[Row]:
        build = self.session.build
        laid = offered(self.bench, build, lay_out(build, self.step, self.opened))
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
        opening = next((r.key for r in rows_now if isinstance(r, Asked) and _is_open(r)), keys[0])
        self.at = at if at in keys else opening

    def _open_for(self, key: str) -> None:
        for item in self.step.items:
            if isinstance(item, Group) and key.startswith(f"{item.key}."):
                number = key[len(item.key) + 1 :].split(".")[0]
                self.opened[item.key] = int(number) if number.isdigit() else None

    def _handle(self, row: Row) -> None:
        if isinstance(row, Asked):
            self._ask(row)
        elif isinstance(row, Chosen):
            self._choose(row)
        elif isinstance(row, Line) and row.act == "open":
            self.talk.say(f"{row.text}: {row.detail}")
            self._move(1)
        elif isinstance(row, Line) and row.act == "unfold":
            self._unfold(row)
        elif isinstance(row, Line):
            self._onward(row)

    def _move(self, way: int) -> None:
        keys = [r.key for r in self._rows() if not (isinstance(r, Line) and r.act in ASIDE)]
        place = keys.index(self.at) + way if self.at in keys else 0
        self.at = keys[max(0, min(place, len(keys) - 1))]

    # Questions.

    def _ask(self, row: Asked) -> None:
        question = row.question
        self.session.at(row.key)
        text = self.talk.ask(f"{question.prompt.ask}{_state(question)}:")
        if self._command(text, question):
            return
        if not text.strip() and question.answer is not None:
            self._move(1)
            return
        self._take(question, text if text.strip() else question.prompt.offer)

    def _take(self, question: Question, text: str) -> None:
        build = self.session.build
        if not text.strip():
            self.talk.say("Left open." if not question.prompt.optional else "Left empty.")
            self._move(1)
            return
        understood = echo(build, question, text)
        taken = answer(build, question, text)
        if isinstance(taken, Unclear):
            self.talk.say(f"Error: {taken.wrong} {taken.remedy}")
            if taken.choices:
                self._which(question, taken.choices)
            return
        if self._change(taken, question):
            reads = f" (reads as {understood})" if understood else ""
            self.talk.say(f"ok. {answer_said(taken, question.path)}{reads}")
            self.say_news()
            self._move(1)

    def _which(self, question: Question, choices: tuple[str, ...]) -> None:
        picked = self.talk.choose("Which is meant?", choices)
        if picked.isdigit() and 1 <= int(picked) <= len(choices):
            self._take(question, choices[int(picked) - 1])

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

    def _choose(self, row: Chosen) -> None:
        if row.group is not None:
            self.say_news()
        texts = [f"{o.text}: {o.detail}" if o.detail else o.text for o in row.options]
        values = [o.value for o in row.options]
        at = values.index(row.at) if row.at in values else None
        text = self.talk.choose(f"{row.label}: {row.shown or 'open'}", texts, at)
        if self._command(text, row.question):
            return
        if not text.strip():
            self._skip(row)
        elif not (text.strip().isdigit() and 1 <= int(text) <= len(values)):
            self.talk.say(f"Error: “{text.strip()[:20]}” is no number of the list.")
        elif row.group is not None:
            self._of_group(row.group, values[int(text) - 1])
        elif row.question is not None:
            self._take(row.question, values[int(text) - 1])

    def _skip(self, row: Chosen) -> None:
        if row.group is not None:
            self.opened[row.group.key] = None
        self._move(1)

    def _of_group(self, group: Group, value: str) -> None:
        build, count = self.session.build, rows(self.session.build, group)
        path = parse(group.key)
        place = place_of_new(build, group, self.opened.get(group.key))
        if value == "enough":
            self.opened[group.key] = None
            self._move(1)
        elif value == "add" and self.edit(
            with_row(build, group, place), path, f"a {group.one} added"
        ):
            self.opened[group.key] = place
            keys = [r.key for r in self._rows()]
            self.at = next(k for k in keys if k.startswith(f"{group.key}.{place}."))
        elif value == "none" and self.edit(with_none(build, group), path, group.none):
            self.say_news()
            self._move(1)
        elif value == "remove":
            opened = self.opened.get(group.key)
            self._remove(group, count - 1 if opened is None else opened)

    def _remove(self, group: Group, row: int) -> None:
        title = f"{group.one} {row + 1}"
        if self.talk.ask(f"Type yes to remove {title}:").strip().casefold() != "yes":
            self.talk.say("Nothing is removed.")
            return
        changed = less_row(self.session.build, group, row)
        if self.edit(changed, parse(group.key), f"{title} removed"):
            self.opened[group.key] = None
            self.at = f"{group.key}.more"
            self.talk.say(f"{title} is removed. /undo brings it back.")
            self.say_news()

    def _unfold(self, row: Line) -> None:
        text = self.talk.ask(f"{row.text}: {row.detail}. Enter passes them, yes asks them:")
        if self._command(text, None):
            return
        if text.strip().casefold() in ("y", "yes"):
            self.opened[row.key] = 1
            self.at = row.key.removesuffix(".rest")
        else:
            self._move(1)

    def _onward(self, row: Line) -> None:
        if row.act in ASIDE:
            self._move(1)
            return
        detail = f" ({row.detail})" if row.detail else ""
        text = self.talk.ask(f"{row.text}{detail}. Enter does it, /back and /step go elsewhere:")
        if self._command(text, None):
            return
        if text.strip():
            self.talk.say("Enter alone does it.")
        elif row.act == "onward":
            following = after(self.step)
            assert following is not None
            self._enter(following)
        elif row.act == "numbers":
            self._review()
            self._move(1)
        elif row.act == "finish":
            self._finish()

    def _finish(self) -> None:
        from datetime import datetime

        from wizard import __version__
        from wizard.report.finishing import finished

        build = self.session.build
        at = datetime.now().astimezone().replace(microsecond=0)
        if self.edit(finished(build, derive(build), __version__, at), ("shown",), "finished"):
            self.talk.say("Finished: the numbers as shown now are kept with the build.")
            raise Leave

    # What else can be typed.

    def _command(self, text: str, question: Question | None) -> bool:
        """Do what a line beginning with a stroke asks for; False if it is an answer."""
        if not text.startswith("/"):
            return False
        word, _, rest = text[1:].strip().partition(" ")
        acts = {
            "help": lambda: self._help(question),
            "back": self._back,
            "next": lambda: self._move(1),
            "clear": lambda: self._clear(question),
            "undo": lambda: self._turned(self.session.undo(), "Undone"),
            "redo": lambda: self._turned(self.session.redo(), "Done again"),
            "numbers": self._numbers,
            "working": self._working,
            "review": self._review,
            "step": lambda: self._go(rest),
            "names": lambda: self._names(question),
            "notes": lambda: self._note(rest),
            "words": lambda: self.talk.say(*(f"{w}: {m}" for w, m in GLOSSARY.items())),
            "save": lambda: self._save(rest),
            "plan": lambda: ballast.plan(self, rest),
            "timetable": lambda: coats.show(self, rest),
            "begin": lambda: coats.mark(self, rest, "begin"),
            "done": lambda: coats.mark(self, rest, "finish"),
            "weigh": lambda: coats.weighed(self, rest),
            "picture": lambda: shape.picture(self),
            "marking": lambda: shape.marking(self),
            "template": lambda: shape.template(self, rest),
            "girth": lambda: shape.girth(self),
            "quit": self._quit,
        }
        act = acts.get(word.casefold())
        if act is None:
            self.talk.say(f"Error: /{word} is not known. /help lists what is.")
        else:
            act()
        return True

    def _quit(self) -> None:
        raise Leave

    def _back(self) -> None:
        if self.at == self._rows()[0].key:
            previous = before(self.step)
            if previous is not None:
                self._enter(previous)
                return
        self._move(-1)

    def _clear(self, question: Question | None) -> None:
        if question is None or question.answer is None:
            self.talk.say("There is nothing to clear.")
            return
        cleared = left_empty(self.session.build, question)
        if isinstance(cleared, Unclear):
            self.talk.say(f"Error: {cleared.wrong} {cleared.remedy}")
        elif self._change(cleared, question):
            self.talk.say("Left open again.")
            self.say_news()

    def _turned(self, moment: Moment | None, words: str) -> None:
        if moment is None:
            self.talk.say("There is nothing to take back or give again.")
            return
        self.talk.say(f"{words}: {moment.said}.")
        key = ".".join(str(part) for part in moment.path)
        step = step_named(step_of(moment.path))
        if step is not self.step:
            self._enter(step, key)
        elif key in [r.key for r in self._rows()]:
            self.at = key

    def _go(self, number: str) -> None:
        if number.strip().isdigit() and 1 <= int(number) <= len(STEPS):
            self._enter(STEPS[int(number) - 1])
        else:
            listed = ", ".join(f"{position(s)} {s.title}" for s in STEPS)
            self.talk.say(f"Type /step and a number: {listed}.")

    def _help(self, question: Question | None) -> None:
        if question is not None:
            prompt = question.prompt
            self.talk.say(f"{prompt.ask}. {prompt.why} {prompt.how}".rstrip())
        self.talk.say(*(f"  {command}: {meaning}" for command, meaning in COMMANDS.items()))

    def _names(self, question: Question | None) -> None:
        picks = name_picks(question.path) if question is not None else ()
        self.talk.say(*(f"  {p.text} {p.detail}".rstrip() for p in picks))
        if not picks:
            self.talk.say("No table has names for this.")

    def _note(self, words: str) -> None:
        build = self.session.build
        notes = "\n".join(part for part in (build.build.notes, words.strip()) if part)
        if words.strip() and self.edit(
            put(build, ("build", "notes"), notes), ("build", "notes"), "notes"
        ):
            self.talk.say("Noted.")
        self.talk.say(*(get(self.session.build, ("build", "notes")) or "").splitlines())

    def _save(self, where: str) -> None:
        if not where.strip():
            self.talk.say(f"Now in {self.session.path}. Type /save and a path.")
            return
        self.session.elsewhere(place(where))
        self.session.flush(2.0)
        self._say_if_unsaved()
        self.talk.say(f"Now in {self.session.path}.")

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
        self.talk.say(*review(build, self._derived(), self.session.odd).splitlines())

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


def _is_open(row: Asked) -> bool:
    return row.question.answer is None and not row.question.prompt.optional


def _state(question: Question) -> str:
    """What stands there now and what an empty line means, in brackets."""
    if question.answer is not None:
        return f" [{typed(question.answer)}]"
    if question.prompt.offer:
        return f" (Enter takes {question.prompt.offer})"
    return " (may stay empty)" if question.prompt.optional else ""
