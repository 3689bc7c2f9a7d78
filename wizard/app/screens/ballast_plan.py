"""The drill plan: worked out beside the keys, shown with its picture, put in with Enter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widget import Widget

from wizard.apart.here import Here, result_of
from wizard.app.keys import bound
from wizard.app.messages import BuildChanged
from wizard.app.widgets.drawn import Prose, plugwright
from wizard.app.widgets.sheet import Lines, Scroll, Sheet, reading_width
from wizard.plug.bench import Bench
from wizard.plug.record import Build
from wizard.session.bench import bench_of
from wizard.session.option import Option
from wizard.session.plan import changes, page, proposed
from wizard.session.session import ReadOnly, Session

if TYPE_CHECKING:
    from wizard.plug.ballast.plan import DrillPlan

WORKING = "Working out a plan from the drawer: a few seconds. Esc leaves it."
HOW = "Enter puts the plan into the build; {pick} asks for it otherwise."
NOTHING_TO_PUT = "There is no plan to put in. {pick} asks for it otherwise; Esc goes back."


class BallastPlanScreen(Sheet[None]):
    """A plan to look at: Enter puts it into the build, undo takes it out again."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "put_in", "Put it in", id="put_plan"),
        bound("pick", "otherwise", "Otherwise"),
        bound("undo", "turn_back"),
        bound("redo", "turn_on", show=False),
        Binding("space,pagedown", "page(1)", "Page down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("up", "line(-1)", "Up", show=False),
        Binding("down", "line(1)", "Down", show=False),
    ]

    is_of_build = True

    DEFAULT_CSS = "BallastPlanScreen Scroll { height: 1fr; }"

    @dataclass
    class Ready(Message):
        """A plan was worked out."""

        plan: DrillPlan

    @dataclass
    class Drawn(Message):
        """The page of a plan was drawn."""

        plan: DrillPlan
        lines: tuple[str, ...]

    def __init__(self, session: Session, bench: Bench, lead: str = "") -> None:
        super().__init__()
        self._session, self._bench, self._lead = session, bench, lead
        self._plan: DrillPlan | None = None
        self._is_fresh = False
        self.title_text = f"Drill plan: {session.build.build.name or 'a build without a name'}"

    def body(self) -> Iterator[Widget]:
        """The plan, once it is there."""
        yield Prose("", id="state")
        yield Scroll(Lines(), can_focus=False)

    def on_mount(self) -> None:
        """Begin to work it out."""
        self._ask()

    def on_resize(self) -> None:
        """Draw the picture for the room there is."""
        self._show()

    # Working it out.

    def _ask(self) -> None:
        self._plan = None
        self.say(self._lead or WORKING)
        self._show()
        self._work_out(self._session.build)

    # Not in the second process: the numbers of the next answer would wait behind it.
    @work(group="plan", exclusive=True, description="a drill plan")
    async def _work_out(self, build: Build) -> None:
        self.post_message(self.Ready(await result_of(Here(), proposed, build, self._bench)))

    @on(Ready)
    def _ready(self, event: Ready) -> None:
        if event.plan.before.ballast != self._session.build.ballast:
            return  # asked otherwise meanwhile
        self._plan, self._is_fresh = event.plan, True
        self._show()

    @property
    def is_in(self) -> bool:
        """Whether the plan is what the build has."""
        plan, build = self._plan, self._session.build
        return plan is not None and bool(plan.holes) and plan.applied(build) == build

    def _show(self) -> None:
        if self._plan is None:
            self.query_one(Lines).show(("", "  working out a plan"))
        else:
            self._draw(self._plan, reading_width(self.app), self.is_in)

    @work(thread=True, group="draw plan", exclusive=True, description="its page")
    def _draw(self, plan: DrillPlan, width: int, is_in: bool) -> None:
        app = plugwright(self)
        lines = page(plan, self._bench, width, plain=app.ascii_only, is_in=is_in)
        app.tell_from_thread(self, self.Drawn(plan, lines))

    @on(Drawn)
    def _drawn(self, event: Drawn) -> None:
        if event.plan is not self._plan:
            return
        self.query_one(Lines).show(event.lines)
        if self._is_fresh:
            self._is_fresh = False
            self._tell(HOW if event.plan.holes else NOTHING_TO_PUT)

    # What the maker does.

    def action_put_in(self) -> None:
        """Put the plan into the build, which is saved at once."""
        if self._plan is None:
            self.say("Still working it out.")
        elif not self._plan.holes:
            self._tell(NOTHING_TO_PUT)
        elif self.is_in:
            self.action_close()
        elif self._change(self._plan.applied(self._session.build), "drill plan"):
            self._tell("The plan is in the build. {undo} takes it out again; Enter closes.")
            self._show()

    def _tell(self, words: str) -> None:
        """Say how to go on, with the keys that it takes."""
        key = plugwright(self).key
        self.say(words.format(pick=key("pick"), undo=key("undo")))

    def _change(self, build: Build, said: str) -> bool:
        try:
            self._session.change(build, ("ballast", "hole"), said)
        except ReadOnly:
            self.say(f"Read only: {self._session.holder} has this build open.")
            return False
        self._told()
        return True

    def _told(self) -> None:
        app = plugwright(self)
        app.build_changed()
        app.tell(BuildChanged())

    def action_turn_back(self) -> None:
        """Take the last edit back, the plan most of all."""
        moment = self._session.undo()
        again = plugwright(self).key("redo")
        self._turned(f"Undone: {moment.said}. {again} does it again." if moment else "")

    def action_turn_on(self) -> None:
        """Make the edit again that was taken back."""
        moment = self._session.redo()
        self._turned(f"Done again: {moment.said}." if moment else "")

    def _turned(self, words: str) -> None:
        self.say(words or "There is nothing more.")
        if words:
            self._told()
            self._show()

    @work
    async def action_otherwise(self) -> None:
        """Ask for another plan: higher, lower, from another side, with other walls."""
        from wizard.app.screens.asking import Line, Which

        asked = changes(self._session.build, self._bench)
        options = [Option(one.key, one.text, one.now) for one in asked]
        options.append(Option("bench", "Your bench: drawer and drills"))
        key = await self.app.push_screen_wait(Which("A plan otherwise", options))
        if key is None:
            return
        if key == "bench":
            await self._open_bench()
            return
        change = next(one for one in asked if one.key == key)
        if change.words:
            words = [Option(word, text) for word, text in change.words]
            picked = await self.app.push_screen_wait(Which(change.text, words, change.now))
        else:
            picked = await self.app.push_screen_wait(Line(change.text, change.about, change.now))
        if picked is not None:
            self._ask_otherwise(change.answered(self._session.build, picked), change.text)

    def _ask_otherwise(self, build: Build | str, text: str) -> None:
        if isinstance(build, str):
            self.say(build)
        elif self._change(build, text):
            self._ask()

    async def _open_bench(self) -> None:
        from wizard.app.screens.bench import BenchScreen

        await self.app.push_screen_wait(BenchScreen())
        self._bench, trouble = bench_of(plugwright(self).folder)
        self._lead = f"! {trouble}" if trouble else ""
        self._ask()

    def action_page(self, way: int) -> None:
        """A page down or up."""
        scroll = self.query_one(Scroll)
        scroll.scroll_relative(y=way * (scroll.size.height - 1), animate=False)

    def action_line(self, way: int) -> None:
        """A line down or up."""
        self.query_one(Scroll).scroll_relative(y=way, animate=False)
