"""What a step shows: heading, rows, numbers, the line of what was said."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.reactive import Reactive
from textual.screen import Screen
from textual.widget import Widget

from wizard.app.messages import BuildChanged, KeptChanged, NumbersReady, SumsReady
from wizard.app.widgets.about import About
from wizard.app.widgets.choice import Choice
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.field import Field
from wizard.app.widgets.form import Form
from wizard.app.widgets.heading import Banner, Heading
from wizard.app.widgets.hints import Foot
from wizard.app.widgets.numbers import SHORT, Numbers
from wizard.app.widgets.picture import Beside
from wizard.app.widgets.row import FormRow
from wizard.plug.bench import Bench
from wizard.session.bench import bench_of, offered
from wizard.session.layout import FITTED, Line, lay_out
from wizard.session.session import Session
from wizard.session.standing import said as finding_said
from wizard.steps.prompts import Group, Question, Step, unanswered
from wizard.tables import cautions_for

NOTES = "build.notes"
ABOUT = {
    "timetable": "When each coat goes on, what is due, what to mix; from here it is begun.",
    "picture": "From port, from above and in section, tilted as it will lie in the water.",
    "marking": "The box to square, centre lines, taper lines and where everything goes.",
    "template": "Outlines and sections at 1:1 to glue on the blank; or the body as a solid.",
    "hand_on": "The sheet to pin above the bench, the numbers for a spreadsheet, the profile.",
    "tank": "What to salt it to, what it said against the sum, and what to do; done with a key.",
    "drill": "Hole by hole: which drill, where, how deep; to be read from the drill press.",
    "plan": "Which pieces go into which holes, how deep, and what to mix; put in with a key.",
    "girth": "Heights and breadths times the factor: the drawing then holds what was weighed.",
}
"""Lines of a form that open something, by what they do, with what that is."""

FIRST_WORDS = "Enter goes on; Up and Down move; Esc: your builds."


class StepPage(Screen[None]):
    """What a step shows: its rows come from `layout`, its numbers from the app."""

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)
    """Rows mark the focus themselves; Textual's own paints the whole screen for it."""

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
        self._summary = ""
        self._typed_over = ("", "")
        self._bench = Bench()
        self._girth: float | None = None

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
        yield Foot(self._lead)

    async def on_mount(self) -> None:
        """Show the step at which the build stands."""
        self._read_bench()
        await self.load(self._at)
        self._tell_banner()
        if NOTES in self._session.pending:
            plugwright(self).action_notes()
        for notice in self._session.notices:
            self.say(notice)

    def _read_bench(self) -> None:
        self._bench, trouble = bench_of(plugwright(self).folder)
        if trouble:
            self.say(f"! {trouble}")

    @property
    def form(self) -> Form:
        """The rows."""
        return self.query_one(Form)

    @property
    def current(self) -> FormRow | None:
        """The row that has the focus; none before there are any."""
        found = self.query(Form)
        return found.first().current if found else None

    @property
    def step(self) -> Step:
        """The step that is shown."""
        return self._step

    @property
    def question(self) -> Question | None:
        """The question that has the focus."""
        row = self.current
        if isinstance(row, Field | Choice):
            found: Question | None = row.row.question
            return found
        return None

    @property
    def field(self) -> Field | None:
        """The field that has the focus."""
        row = self.current
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
        self._tell_summary("")
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
        self._girth = self._worked_out_girth()
        rows = lay_out(build, self._step, self._opened, self._girth, self._session.pending)
        laid_out = offered(self._bench, build, rows)
        await self.form.sync(laid_out, build, self._restored)
        self.tell_large()

    def _worked_out_girth(self) -> float | None:
        """The girth factor, where the form leads to it [1]."""
        reckoned = plugwright(self).reckoned
        if reckoned is None or self._step.id not in FITTED:
            return None
        girth = reckoned.now.value("girth")
        return None if girth is None else girth.value

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

    @on(SumsReady)
    def _sums_ready(self, event: SumsReady) -> None:
        self.query_one(Numbers).tell_sums(event.reckoned)

    @on(NumbersReady)
    async def _numbers_ready(self) -> None:
        if self._girth != self._worked_out_girth():
            await self._sync()
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
            text = f"{kept.trouble}. Trying again. {plugwright(self).key('menu')}: save elsewhere."
        else:
            text = self._summary or kept.moved
        self.query_one(Banner).tell(text)

    def _tell_summary(self, text: str) -> None:
        """Show on top what stands against going on; nothing for an empty text."""
        if text != self._summary:
            self._summary = text
            self._tell_banner()

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
                if row.key in by_key and (row.text or row.row.question.prompt.optional):
                    row.note(f"! {by_key[row.key].partition(': ')[2]}")
                    self._warned.add(row.key)
                    shown.add(row.key)
                elif row.key in by_key:
                    shown.add(row.key)  # “open” stands beside it: no need to warn of that
                elif row.key in self._warned:
                    row.note("")
                    self._warned.discard(row.key)
        self._tell_picture()
        self.tell_large()
        self.query_one(Numbers).tell(self._step, reckoned, frozenset(shown))

    def tell_large(self) -> None:
        """Show the row at hand in large letters, if it is shown so."""

    def can(self, action: str) -> bool:
        """Whether one of the acts that need this screen makes sense just now."""
        if action != "pick":
            return True
        field = self.field
        return field is not None and field.has_picks(self._bench)

    def on_resize(self) -> None:
        """Show the picture where there is room for it now."""
        self._tell_picture()

    def _tell_picture(self) -> None:
        field = self.field
        for beside in self.query(Beside):
            beside.tell(self._step.id, plugwright(self).reckoned)
            if field is not None and not field.is_taken:  # numbers and room come while one types
                beside.typing(self._session.build, field.row.question, field.text)
