"""What can be typed besides answers: lines that begin with a stroke."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.plain import ballast, coats, shape, tank
from wizard.plain.standing import Leave, Standing
from wizard.plug.paths import get, put, step_of
from wizard.quantity.reading import whole
from wizard.session.opening import place
from wizard.session.session import ReadOnly
from wizard.session.timeline import Moment
from wizard.steps.answering import (
    Unclear,
    left_empty,
)
from wizard.steps.glossary import GLOSSARY
from wizard.steps.picking import name_picks
from wizard.steps.prompts import Question
from wizard.steps.walk import STEPS, before, position, step_named

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
    "/drill": "the holes that are laid out, to drill by",
    "/timetable": "the coats in time: what is due, what to mix",
    "/begin 3, /done 3": "mark an operation of the timetable by its number",
    "/weigh 48.1 g": "the whole plug on the scale, as it is now",
    "/tank": "what the tank says, and the mend",
    "/mend 1": "write a mend down as done, by its number",
    "/picture": "the body as it lies in the water",
    "/marking": "what is marked on the blank before it is cut",
    "/template PATH": "write the template, to a name in .pdf, .svg or .stl",
    "/girth": "make the drawn volume the weighed one",
    "/quit": "save and end; the end of the input does the same",
}


@dataclass
class Commanded(Standing):
    """A talk in which commands are understood."""

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
            "drill": lambda: ballast.drill(self),
            "timetable": lambda: coats.show(self, rest),
            "begin": lambda: coats.mark(self, rest, "begin"),
            "done": lambda: coats.mark(self, rest, "finish"),
            "weigh": lambda: coats.weighed(self, rest),
            "tank": lambda: tank.show(self),
            "mend": lambda: tank.mend(self, rest),
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
        if 1 <= whole(number) <= len(STEPS):
            self._enter(STEPS[whole(number) - 1])
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
        try:
            self.session.elsewhere(place(where))
        except ReadOnly:
            self.talk.say(f"Read only: {self.session.holder} has this build open.")
            return
        self.session.flush(2.0)
        self._say_if_unsaved()
        self.talk.say(f"Now in {self.session.path}.")
