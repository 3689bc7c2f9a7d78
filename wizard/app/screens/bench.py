"""Your bench: what you own and know, one list; Enter changes what is pointed at."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Iterator
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from wizard.app.keys import bound
from wizard.app.screens.asking import Line, Sure, Which
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.picker import Picker
from wizard.app.widgets.sheet import Sheet
from wizard.plug.bench import Bench
from wizard.session.bench import Held, options, row_options
from wizard.session.option import Option
from wizard.steps import bench as asked
from wizard.steps.answering import Unclear
from wizard.steps.prompts import Group, Question
from wizard.steps.wording import typed


class Asking(Line):
    """One answer of the bench: what can't be taken is said under the line, and stays there."""

    def __init__(self, bench: Bench, question: Question) -> None:
        prompt = question.prompt
        about = f"{prompt.why} {prompt.how}".strip()
        super().__init__(
            prompt.ask, f"{about} An empty line leaves it open.", typed(question.answer)
        )
        self._bench, self._question = bench, question

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        event.prevent_default()
        taken = asked.answered(self._bench, self._question, event.value)
        if isinstance(taken, Unclear):
            self.say(f"Error: {taken.wrong} {taken.remedy}".rstrip())
        else:
            self.dismiss(event.value.strip())


class BenchScreen(Sheet[None]):
    """The list. Every change is saved at once and can be taken back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("undo", "turn_back"),
        bound("redo", "turn_on", show=False),
    ]

    title_text = "Your bench: offered to every new build, never required"

    def __init__(self) -> None:
        super().__init__()
        self._held = Held()

    def body(self) -> Iterator[Widget]:
        """What is known, and what may be added."""
        yield Prose("Enter changes what is pointed at. Every change is saved.", classes="about")
        yield Picker([], id="bench")

    def on_mount(self) -> None:
        """Read the file."""
        trouble = self._held.read(plugwright(self).folder)
        if trouble:
            self.say(f"! {trouble}")
        self._show()
        self.query_one(Picker).focus()

    def _show(self, at: str = "") -> None:
        self.query_one(Picker).offer(options(self._held.bench), at)

    async def _keep(self, bench: Bench, said: str, at: str = "") -> bool:
        """Make a change and save it; say what keeps it from being saved."""
        trouble = await to_thread(self._held.keep, bench)
        self._tell(f"! {trouble}" if trouble else said, at)
        return not trouble

    def _tell(self, words: str, at: str = "") -> None:
        """Say what became of a change, also where this page was left meanwhile."""
        plugwright(self).say(words)
        if self.is_running:
            self._show(at)

    @on(Picker.Picked)
    def _picked(self, event: Picker.Picked) -> None:
        event.stop()
        self._act(event.option.value)

    @work
    async def _act(self, value: str) -> None:
        what, _, key = value.partition(":")
        if what == "ask":
            question = next(q for q in asked.questions(self._held.bench) if _key(q) == key)
            await self._answer(question, value)
        elif what == "unit":
            await self._unit(key, value)
        elif what in ("row", "add"):
            group_key, _, row = key.partition(".")
            group = next(g for g in asked.groups() if g.key == group_key)
            if what == "add":
                row = str(asked.rows(self._held.bench, group))
                if not await self._keep(
                    asked.with_row(self._held.bench, group), f"{group.one} added"
                ):
                    return
            await self._rows(group, int(row))

    async def _answer(self, question: Question, at: str) -> None:
        text = await self._typed(question)
        if text is None:
            return
        taken = asked.answered(self._held.bench, question, text)
        if not isinstance(taken, Unclear):
            await self._keep(taken, f"{question.prompt.ask}: {text or 'left open'}", at)

    async def _typed(self, question: Question) -> str | None:
        """The answer to a question, picked or typed; None to leave it as it is."""
        picks = asked.picks(question)
        if picks:
            choices = [Option(pick.text, pick.text, pick.detail) for pick in picks]
            if question.spec.form == "text":
                choices.append(Option("type", "another name: type it"))
            choices.append(Option("", "left open"))
            now = typed(question.answer)
            picked = await self.app.push_screen_wait(Which(question.prompt.ask, choices, now))
            if picked != "type":
                return picked
        return await self.app.push_screen_wait(Asking(self._held.bench, question))

    async def _unit(self, kind: str, at: str) -> None:
        from wizard.quantity.units import labels

        chosen = self._held.bench.bench.units.get(kind, "")
        picks: list[str | Option] = [*labels(kind), Option("", "as each question has it")]  # type: ignore[arg-type]
        unit = await self.app.push_screen_wait(
            Which(f"Unit of {kind} in new builds", picks, chosen)
        )
        if unit is not None:
            changed = asked.in_units(self._held.bench, kind, unit)
            await self._keep(changed, f"{kind} in {unit or 'the usual unit'}", at)

    async def _rows(self, group: Group, row: int) -> None:
        """Change one row of a list until it is left, or take it out."""
        at = ""
        while True:
            bench = self._held.bench
            listed = row_options(bench, group, row)
            picked = await self.app.push_screen_wait(
                Which(f"{group.one} {row + 1}", listed, at, "Enter changes it; Esc goes back.")
            )
            if picked is None:
                break
            at = picked
            if picked == "remove":
                if await self._removed(group, row):
                    return
                continue
            question = next(q for q in asked.row_questions(bench, group, row) if _key(q) == picked)
            text = await self._typed(question)
            taken = None if text is None else asked.answered(bench, question, text)
            if taken is not None and not isinstance(taken, Unclear):
                await self._keep(taken, f"{question.prompt.ask}: {text or 'left open'}")
        self._show(f"row:{group.key}.{row}")

    async def _removed(self, group: Group, row: int) -> bool:
        line = asked.row_line(self._held.bench, group, row)
        if not await self.app.push_screen_wait(Sure(f"Remove {line}?", f"remove this {group.one}")):
            return False
        changed = asked.less_row(self._held.bench, group, row)
        return await self._keep(
            changed,
            f"{group.one} removed. {plugwright(self).key('undo')} brings it back.",
            f"add:{group.key}",
        )

    async def action_turn_back(self) -> None:
        """Take the last change back."""
        again = f"Undone. {plugwright(self).key('redo')} does it again."
        self._turned(await to_thread(self._held.undo), again)

    async def action_turn_on(self) -> None:
        """Make the change again that was taken back."""
        self._turned(await to_thread(self._held.redo), "Done again.")

    def _turned(self, trouble: str | None, words: str) -> None:
        if trouble is None:
            plugwright(self).say("There is nothing more.")
        else:
            self._tell(f"! {trouble}" if trouble else words)


def _key(question: Question) -> str:
    return ".".join(str(part) for part in question.path)
