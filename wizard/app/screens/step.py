"""One step of the walk: what to do, what to answer, what follows."""

from __future__ import annotations

from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen

from wizard.app.messages import BuildChanged, KeptChanged, NumbersReady
from wizard.app.widgets.about import About
from wizard.app.widgets.choice import Choice
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.field import Field, refusal
from wizard.app.widgets.form import Form
from wizard.app.widgets.heading import Banner, Heading
from wizard.app.widgets.hints import Hints
from wizard.app.widgets.numbers import SHORT, Numbers
from wizard.app.widgets.picture import Beside
from wizard.app.widgets.row import FormRow
from wizard.app.widgets.rows import Press
from wizard.plug.bench import Bench
from wizard.plug.paths import parse, put, step_of
from wizard.plug.record import Build
from wizard.session.bench import bench_of, offered
from wizard.session.layout import Asked, Chosen, Line, lay_out, left_open
from wizard.session.option import Option
from wizard.session.session import ReadOnly, Session
from wizard.session.standing import said as finding_said
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
from wizard.steps.offers import bench_picks
from wizard.steps.prompts import Group, Question, Step, rows, unanswered
from wizard.steps.walk import after, before, step_named
from wizard.steps.wording import row_title, said, typed
from wizard.tables import cautions_for

NOTES = "build.notes"
ABOUT = {
    "timetable": "When each coat goes on, what is due, what to mix; from here it is begun.",
    "picture": "From port, from above and in section, tilted as it will lie in the water.",
    "marking": "The box to square, centre lines, taper lines and where everything goes.",
    "template": "Outlines and sections at 1:1 to glue on the blank; or the body as a solid.",
    "tank": "What to salt it to, what it said against the sum, and what to do; done with a key.",
    "plan": "Which pieces go into which holes, how deep, and what to mix; put in with a key.",
    "girth": "Heights and breadths times the factor: the drawing then holds what was weighed.",
}
"""Lines of a form that open something, by what they do, with what that is."""

FIRST_WORDS = "Enter takes an answer and goes on; Up and Down move; Esc: your builds."


class StepScreen(Screen[None]):
    """Any step: its rows come from `layout`, its numbers from the app."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "home", "Your builds", id="home", show=False),
        Binding("f12", "plan", "Drill plan", id="drill_plan"),
        Binding("f12", "tank", "The tank", id="tank"),
    ]

    AUTO_FOCUS = ""  # `load` gives the focus; never to another row first, even for a moment
    VERTICAL_BREAKPOINTS = [(0, "-short"), (SHORT + 1, "-high")]  # noqa: RUF012

    is_step = True

    def __init__(self, session: Session, at: str = "", lead: str = FIRST_WORDS) -> None:
        super().__init__()
        self._session = session
        self._at = at
        self._lead = lead
        self._step = session.step
        self._opened: dict[str, int | None] = {}
        self._warned: set[str] = set()
        self._bench = Bench()

    def compose(self) -> ComposeResult:
        """Heading, form and numbers; what the current row is about; the keys."""
        yield Heading()
        yield Banner()
        with Horizontal(id="work"):
            yield Form(id="form")
            with Vertical(id="side"):
                yield About()
                yield Numbers()
                yield Beside()
        yield Prose(self._lead, id="said")
        yield Hints()

    async def on_mount(self) -> None:
        """Show the step at which the build stands."""
        self._read_bench()
        await self.load(self._at)
        self._tell_banner()
        if NOTES in self._session.pending:
            plugwright(self).action_notes()
        for notice in self._session.notices:
            self.say(notice)

    @property
    def form(self) -> Form:
        """The rows."""
        return self.query_one(Form)

    @property
    def step(self) -> Step:
        """The step that is shown."""
        return self._step

    @property
    def question(self) -> Question | None:
        """The question that has the focus."""
        row = self.form.current
        if isinstance(row, Field | Choice):
            found: Question | None = row.row.question
            return found
        return None

    @property
    def field(self) -> Field | None:
        """The field that has the focus."""
        row = self.form.current
        return row if isinstance(row, Field) else None

    def say(self, text: str) -> None:
        """Say something in the line above the keys."""
        self.query_one("#said", Prose).say(text)

    async def load(self, at: str = "") -> None:
        """Show the build's step from its beginning, the focus where it is asked for.

        Args:
            at: key of a row; else the first question that is still open.
        """
        self._step = self._session.step
        self._opened = {}
        self.set_focus(None)  # else it would jump about while rows go
        if at:
            self._open_for(at)
        await self._sync()
        if at and self.form.row(at) is None:
            await self._unfold_all()
        row = self.form.row(at) or self._first_open() or self.form.rows[0]
        self.form.focus_row(row)
        self._tell_numbers()
        self.refresh_bindings()

    async def show_step(self, step: Step, at: str = "") -> None:
        """Go to a step; its cautions are shown when it is entered."""
        self._session.go(step)
        self._warned.clear()
        await self.load(at)
        self._tell_heading()
        plugwright(self).show_cautions_of(step)

    async def _sync(self) -> None:
        self._tell_heading()  # before a row says “ok”: nothing looks saved that isn't yet
        build = self._session.build
        laid_out = offered(self._bench, build, lay_out(build, self._step, self._opened))
        await self.form.sync(laid_out, build, self._restored)

    def _restored(self, key: str) -> tuple[str | None, str]:
        """A text that was typed here and is no answer yet."""
        return self._session.pending.get(key), ""

    async def _unfold_all(self) -> None:
        """Show every question of the step."""
        for row in self.form.rows:
            if isinstance(row.row, Line) and row.row.act == "unfold":
                self._opened[row.key] = 1
        await self._sync()

    def _first_open(self) -> FormRow | None:
        build = self._session.build
        still = {".".join(str(p) for p in q.path) for q in unanswered(build, self._step)}
        return next((row for row in self.form.rows if row.key in still), None)

    def _open_for(self, key: str) -> None:
        """Open the row of a group in which a question stands."""
        for item in self._step.items:
            if isinstance(item, Group) and key.startswith(f"{item.key}."):
                number = key[len(item.key) + 1 :].split(".")[0]
                if number.isdigit():
                    self._opened[item.key] = int(number)

    # What the app tells.

    @on(BuildChanged)
    async def _build_changed(self) -> None:
        await self._sync()

    @on(NumbersReady)
    def _numbers_ready(self) -> None:
        self._tell_numbers()

    @on(KeptChanged)
    def _kept_changed(self, event: KeptChanged) -> None:
        self._tell_heading()
        self._tell_banner()
        if event.kept.state == "saved" and self.query_one("#said", Prose).text.startswith("NOT "):
            self.say("All is saved again.")
        for note in event.kept.notes:
            self.say(f"! {note}")

    def _tell_heading(self) -> None:
        session = self._session
        self.query_one(Heading).tell(
            session.build,
            self._step,
            session.kept,
            session.holder is not None,
            len(cautions_for(self._step.id)),
        )

    def _tell_banner(self) -> None:
        kept, text = self._session.kept, ""
        if self._session.holder is not None:
            text = f"Read only: {self._session.holder} has this build open."
        elif kept.state == "not saved":
            text = f"{kept.trouble}. Trying again. Ctrl+P: save elsewhere."
        else:
            text = kept.moved
        self.query_one(Banner).tell(text)

    def _tell_numbers(self) -> None:
        reckoned = plugwright(self).reckoned
        shown: set[str] = set()
        if reckoned is not None:
            by_key = {
                ".".join(str(p) for p in f.path): finding_said(f) for f in reckoned.now.warnings
            }
            for row in self.form.rows:
                if not isinstance(row, Field) or not row.is_taken:
                    continue
                if row.key in by_key and row.text:
                    row.note(f"! {by_key[row.key].partition(': ')[2]}")
                    self._warned.add(row.key)
                    shown.add(row.key)
                elif row.key in by_key:
                    shown.add(row.key)  # “open” stands beside it: no need to warn of that
                elif row.key in self._warned:
                    row.note("")
                    self._warned.discard(row.key)
        self._tell_picture()
        self.query_one(Numbers).tell(self._step, reckoned, frozenset(shown))

    def on_resize(self) -> None:
        """Show the picture where there is room for it now."""
        self._tell_picture()

    def _tell_picture(self) -> None:
        for beside in self.query(Beside):
            beside.tell(self._step.id, plugwright(self).reckoned)

    # What the maker does.

    @on(FormRow.Focused)
    def _row_focused(self, event: FormRow.Focused) -> None:
        self._tell_about(event.sender)
        self._session.at(event.sender.key)

    def _tell_about(self, row: FormRow) -> None:
        self.query_one(About).tell(self._about(row))

    def _about(self, row: FormRow) -> str:
        question = row.row.question if isinstance(row.row, Asked | Chosen) else None
        if question is not None:
            choose = "A digit or the arrows point; Enter chooses." * isinstance(row, Choice)
            return " ".join(p for p in (question.prompt.why, question.prompt.how, choose) if p)
        if isinstance(row, Choice):
            return "A digit or the arrows point; Enter chooses."
        if isinstance(row.row, Line) and row.row.act == "open":
            return "Enter opens it, to look at or to change."
        if isinstance(row.row, Line) and row.row.act in ABOUT:
            return ABOUT[row.row.act]
        if isinstance(row.row, Line) and row.row.act == "unfold":
            return f"Enter shows them: {row.row.detail}."
        still = "; ".join(left_open(self._session.build, self._step))
        if still:
            return f"Left open: {still}. It can be answered any time; later numbers wait for it."
        return "Enter goes on; you can come back any time."

    @on(Field.Typed)
    def _typed(self, event: Field.Typed) -> None:
        self.say("")
        self._session.typing(event.field.key, event.text)
        question = event.field.row.question
        self.query_one(Beside).typing(self._session.build, question, event.text)

    @on(Field.Entered)
    async def _entered(self, event: Field.Entered) -> None:
        text = event.text
        question = event.field.row.question
        if not text.strip() and question.answer is None:
            text = question.prompt.offer
        if await self._take(event.field, text, asking=True):
            self._go_on(event.field.key)

    @on(Field.Left)
    async def _left(self, event: Field.Left) -> None:
        if not event.field.is_taken and event.field.is_attached:
            await self._take(event.field, event.text, asking=False)

    async def _take(self, field: Field, text: str, *, asking: bool) -> bool:
        """Make a text the answer of a field, or say why not; whether it was taken."""
        build, question = self._session.build, field.row.question
        if text == typed(question.answer):
            self._session.pending.pop(field.key, None)
            field.settle()
            return True
        taken = answer(build, question, text) if text.strip() else left_empty(build, question)
        if isinstance(taken, Unclear):
            self._session.pending[field.key] = text
            field.note(refusal(taken))
            if asking and taken.choices:
                self._ask_which(field, taken)
            return False
        self._session.pending.pop(field.key, None)
        if await self._change(taken, question):
            field.settle()
            return True
        return False

    async def _change(self, build: Build, question: Question) -> bool:
        try:
            self._session.change(build, question.path, said(build, question.path))
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return False
        plugwright(self).build_changed()
        await self._sync()
        return True

    def _go_on(self, key: str) -> None:
        row = self.form.after(key)
        if row is not None:
            self.form.focus_row(row)

    @work
    async def _ask_which(self, field: Field, unclear: Unclear) -> None:
        from wizard.app.screens.asking import Which

        picked = await self.app.push_screen_wait(Which(unclear.wrong, unclear.choices))
        if picked is not None:
            field.put(picked)
            if await self._take(field, picked, asking=False):
                self._go_on(field.key)

    @on(Choice.Passed)
    def _passed(self, event: Choice.Passed) -> None:
        self.form.action_move(event.way)

    @on(Choice.Taken)
    async def _chosen(self, event: Choice.Taken) -> None:
        row, value, build = event.choice.row, event.value, self._session.build
        if row.group is not None:
            await self._of_group(row.group, row.key, value or "enough")
            return
        if row.question is None:
            return
        if value is not None and value != (row.question.answer or ""):
            taken = answer(build, row.question, value) if value else left_empty(build, row.question)
            if isinstance(taken, Unclear):
                self.say(refusal(taken))
                return
            if not await self._change(taken, row.question):
                return
        self._go_on(row.key)

    async def _of_group(self, group: Group, key: str, value: str) -> None:
        build = self._session.build
        if value == "enough":
            self._opened[group.key] = None
            await self._sync()
            self._go_on(key)
        elif value == "add":
            place = place_of_new(build, group, self._opened.get(group.key))
            await self._rows_changed(with_row(build, group, place), group, place, "added")
        elif value == "none":
            if await self._rows_changed(with_none(build, group), group, None, group.none):
                self._go_on(key)
        elif value == "remove":
            opened = self._opened.get(group.key)
            self._remove(group, rows(build, group) - 1 if opened is None else opened)

    async def _rows_changed(self, build: Build, group: Group, opened: int | None, did: str) -> bool:
        path = parse(group.key)
        titled = row_title(group, opened) if opened is not None else group.one
        try:
            self._session.change(build, path, f"{titled}: {did}")
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return False
        self._opened[group.key] = opened
        plugwright(self).build_changed()
        await self._sync()
        if opened is not None:
            rows_now = self.form.rows
            first = next((r for r in rows_now if r.key.startswith(f"{group.key}.{opened}.")), None)
            if first is not None:
                self.form.focus_row(first)
        return True

    @work
    async def _remove(self, group: Group, row: int) -> None:
        from wizard.app.screens.asking import Sure

        title = row_title(group, row)
        if await self.app.push_screen_wait(Sure(f"Remove {title}?", f"remove {title}")):
            prefix = f"{group.key}."
            self._session.pending = {
                k: v for k, v in self._session.pending.items() if not k.startswith(prefix)
            }
            changed = less_row(self._session.build, group, row)
            if await self._rows_changed(changed, group, None, f"{title} removed"):
                self.say(f"{title} is removed. F3 brings it back.")
                tail = self.form.row(f"{group.key}.more")
                if tail is not None:
                    self.form.focus_row(tail)

    @on(Press.Pressed)
    async def _pressed(self, event: Press.Pressed) -> None:
        line = event.line
        if line.act == "open" and line.group is not None:
            await self._toggle(line.group, line.row)
        elif line.act == "unfold":
            await self._unfold(line.key)
        elif line.act == "onward":
            following = after(self._step)
            if following is not None:
                await self.show_step(following)
        elif line.act == "back":
            previous = before(self._step)
            if previous is not None:
                await self.show_step(previous)
        elif line.act == "plan":
            self.action_plan()
        elif line.act == "tank":
            self.action_tank()
        elif line.act in ABOUT:
            await plugwright(self).run_action(line.act)
        elif line.act == "numbers":
            plugwright(self).action_review()
        elif line.act == "finish":
            plugwright(self).finish()

    async def _unfold(self, key: str) -> None:
        """Show the rows that a line stands for, and begin with the first of them."""
        self._opened[key] = 1
        await self._sync()
        first = self.form.row(key.removesuffix(".rest"))
        if first is not None:
            self.form.focus_row(first)

    async def _toggle(self, group: Group, row: int) -> None:
        """Open a row of a group, or fold it up again."""
        is_open = self._opened.get(group.key) == row
        self._opened[group.key] = None if is_open else row
        await self._sync()
        key = f"{group.key}.{row}"
        target = next((r for r in self.form.rows if r.key.startswith(f"{key}.")), None)
        line = self.form.row(key)
        if (target or line) is not None:
            self.form.focus_row(target or line)  # type: ignore[arg-type]

    # The drill plan and the bench.

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A drill plan is made at the ballast step, and the tank is asked at the proof."""
        own = {"plan": "ballast", "tank": "proof"}.get(action)
        return own is None or self._step.id == own

    def action_tank(self) -> None:
        """What the tank says, at the step where it is asked."""
        self.action_telling("tank")

    def action_telling(self, of: str) -> None:
        """What the tank says, or what the bench has learned."""
        from wizard.app.screens.tank import LEARNED, TANK, TellingScreen

        self.app.push_screen(TellingScreen(self._session, TANK if of == "tank" else LEARNED))

    def _read_bench(self) -> None:
        self._bench, trouble = bench_of(plugwright(self).folder)
        if trouble:
            self.say(f"! {trouble}")

    @work
    async def action_plan(self) -> None:
        """Propose a drill plan; the bench may have been changed there."""
        from wizard.app.screens.ballast_plan import BallastPlanScreen

        self._read_bench()
        before = self._session.build.ballast
        await self.app.push_screen_wait(BallastPlanScreen(self._session, self._bench))
        await self.bench_changed()
        holes = self.form.row("ballast.hole.0")
        if holes is not None and self._session.build.ballast != before:
            self.form.focus_row(holes)

    async def bench_changed(self) -> None:
        """Offer what the bench knows now."""
        self._read_bench()
        await self._sync()

    # Undo, picks and notes.

    async def turn_back(self) -> None:
        """Take back the last answer and show where it was."""
        moment = self._session.undo()
        if moment is None:
            self.say("There is nothing to undo.")
        else:
            await self._turned(moment, f"Undone: {moment.said}. F4 does it again.")

    async def turn_on(self) -> None:
        """Give the answer again that was taken back."""
        moment = self._session.redo()
        if moment is None:
            self.say("There is nothing to redo.")
        else:
            await self._turned(moment, f"Done again: {moment.said}.")

    async def _turned(self, moment: Moment, words: str) -> None:
        key = ".".join(str(part) for part in moment.path)
        self._session.pending.pop(key, None)
        plugwright(self).build_changed()
        step = step_named(step_of(moment.path)) if moment.path else self._step
        if step is not self._step:
            self._session.go(step)
            await self.load(key)
        else:
            self._open_for(key)
            await self._sync()
        row = self.form.row(key) or self.form.row(f"{key}.more")
        if isinstance(row, Field):
            row.settle()
        if row is not None:
            self.form.focus_row(row)
        self.say(words)

    @work
    async def pick(self) -> None:
        """Pick a unit or a name for the field that has the focus."""
        from wizard.app.screens.asking import Which
        from wizard.steps.picking import name_picks, unit_picks, with_unit

        field = self.field
        if field is None:
            self.say("There is nothing to pick here.")
            return
        question = field.row.question
        own = bench_picks(self._bench, question.path)
        named = (*own, *name_picks(question.path))
        picks = named or unit_picks(question)
        if not picks:
            self.say("There is nothing to pick here: type the answer.")
            return
        about = (
            "Any other name may be typed." if named else "The unit goes behind the number typed."
        )
        options = [Option(pick.text, pick.text, pick.detail) for pick in picks]
        picked = await self.app.push_screen_wait(
            Which(question.prompt.ask, options, field.text, about)
        )
        if picked is not None:
            field.put(picked if named else with_unit(field.text, picked))

    @property
    def notes(self) -> str:
        """The notes about the build, as far as they are typed."""
        return self._session.pending.get(NOTES, self._session.build.build.notes or "")

    def typing_notes(self, text: str) -> None:
        """Keep notes that are being typed."""
        self._session.typing(NOTES, text)

    async def keep_notes(self, text: str) -> None:
        """Keep other notes."""
        path = parse(NOTES)
        self._session.pending.pop(NOTES, None)
        changed = put(self._session.build, path, text or None)
        try:
            self._session.change(changed, path, "notes")
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return
        plugwright(self).build_changed()
        await self._sync()
        if self.form.current is not None:
            self._session.at(self.form.current.key)

    def action_home(self) -> None:
        """Back to the builds; all is kept."""
        plugwright(self).go_home()
