"""One build, step by step and row by row, over a `Talk`.

`standing` knows where the talk is, `commands` what else may be typed; here is the asking.
"""

from __future__ import annotations

from dataclasses import dataclass

from wizard.plain.commands import Commanded
from wizard.plain.standing import ASIDE, Leave, state_of
from wizard.plug.derive import derive
from wizard.plug.paths import parse
from wizard.quantity.reading import whole
from wizard.session.layout import Asked, Chosen, Line, Row
from wizard.session.standing import said
from wizard.steps.answering import (
    Unclear,
    answer,
    less_row,
    place_of_new,
    with_none,
    with_row,
)
from wizard.steps.prompts import Group, Question, rows
from wizard.steps.walk import after
from wizard.steps.wording import echo
from wizard.steps.wording import said as answer_said


@dataclass
class Walk(Commanded):
    """The walk itself: every row of every step asked, and the answers taken."""

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

    # Questions.

    def _ask(self, row: Asked) -> None:
        question = row.question
        begun = self.session.pending.get(row.key)
        if begun is not None:
            self.talk.say(f"Begun here and kept as a draft: {begun}")
        self.session.at(row.key)
        text = self.talk.ask(f"{question.prompt.ask}{state_of(question)}:")
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
            self.session.pending.pop(".".join(map(str, question.path)), None)
            reads = f" (reads as {understood})" if understood else ""
            self.talk.say(f"ok. {answer_said(taken, question.path)}{reads}")
            self.say_news()
            self._move(1)

    def _which(self, question: Question, choices: tuple[str, ...]) -> None:
        picked = self.talk.choose("Which is meant?", choices)
        if 1 <= whole(picked) <= len(choices):
            self._take(question, choices[whole(picked) - 1])

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
        elif not 1 <= whole(text) <= len(values):
            self.talk.say(f"Error: “{text.strip()[:20]}” is no number of the list.")
        elif row.group is not None:
            self._of_group(row.group, values[whole(text) - 1])
        elif row.question is not None:
            self._take(row.question, values[whole(text) - 1])

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
