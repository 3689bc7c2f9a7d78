"""A new build from another one: size, water, aim, wood, copies, on one list."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from wizard.app.screens.asking import Line, Which
from wizard.app.widgets.sheet import Reader, reading_width
from wizard.quantity.reading import whole
from wizard.session.option import Option
from wizard.session.siblings import Plan, begun, previewed, understood_size

if TYPE_CHECKING:
    from wizard.app.app import Plugwright
    from wizard.plug.record import Build

WATERS = (
    Option("same", "as it was"),
    Option("fresh", "fresh water", "0 g/kg"),
    Option("salt", "the open sea", "35 g/kg"),
    Option("other", "another salinity"),
)
WOODS = (
    Option("board", "the same board that was tested"),
    Option("wood", "another board of the same wood"),
    Option("other", "another wood"),
)

HOW = "Enter changes a line; what came over is marked in the new build."


async def begin_from(app: Plugwright, source: Build) -> None:
    """Ask what the new build is to be, and begin it."""
    await _Asking(app, source).ask()


class _Asking:
    """The list of what may be another, and the small questions behind it."""

    def __init__(self, app: Plugwright, source: Build) -> None:
        self._app, self._source = app, source
        self._plan, self._trouble = Plan(), ""

    async def ask(self) -> None:
        """Until it is begun or left."""
        title = f"A new build from {self._source.build.name or 'this one'}"
        at = "size"
        acts: Mapping[str, Callable[[], Awaitable[None]]] = {
            "size": self._size,
            "water": self._water,
            "aim": self._aim,
            "wood": self._wood,
            "copies": self._copies,
            "name": self._name,
            "look": self._look,
        }
        order = [*acts, "begin"]
        while True:
            about, self._trouble = self._trouble or HOW, ""
            picked = await self._app.push_screen_wait(Which(title, self._options(), at, about))
            if picked is None:
                return
            if picked == "begin":
                if await self._begin():
                    return
                at = order[0]
                continue
            await acts[picked]()
            at = picked if self._trouble else order[order.index(picked) + 1]

    def _options(self) -> list[Option]:
        plan = self._plan
        return [
            Option("size", "Size", plan.size_words(self._source)),
            Option("water", "Water", plan.water_words(self._source)),
            Option("aim", "Aim", plan.aim_words(self._source)),
            Option("wood", "Wood", plan.wood_words(self._source)),
            Option("copies", "How many of this plan", str(plan.copies)),
            Option("name", "Name", plan.name or "of the old one and the new length"),
            Option("look", "Look at what comes over"),
            Option("begin", "Begin it"),
        ]

    async def _line(
        self, title: str, about: str, start: str = "", refused: Callable[[str], str] | None = None
    ) -> str | None:
        """A line of text; one that can't be taken is asked again, with the reason above it."""
        while True:
            typed = await self._app.push_screen_wait(Line(title, about, start))
            trouble = refused(typed) if refused is not None and typed is not None else ""
            if not trouble:
                return typed
            start, about = typed or "", f"Error: {trouble}"

    async def _size(self) -> None:
        def refused(typed: str) -> str:
            found = understood_size(self._source, typed)
            return found if isinstance(found, str) else ""

        about = "A length with its unit, such as 140 mm, or how many times, such as 1.5 x"
        typed = await self._line("How long is the new body?", about, refused=refused)
        found = understood_size(self._source, typed) if typed is not None else ""
        if not isinstance(found, str):
            self._plan = replace(self._plan, factor=found)

    async def _water(self) -> None:
        picked = await self._app.push_screen_wait(Which("Water of the new plug", list(WATERS)))
        if picked is None:
            return
        salinity = {"same": "", "fresh": "0 g/kg", "salt": "35 g/kg"}.get(picked)
        if salinity is None:
            salinity = await self._line(
                "Salinity", "Such as 12 g/kg", refused=self._refuses("salinity")
            )
        temperature: str | None = ""
        if picked != "same" and salinity is not None:
            temperature = await self._line(
                "Temperature", "Of the new water", self._temperature(), self._refuses("temperature")
            )
        if salinity is not None and temperature is not None:
            self._take(salinity=salinity, temperature=temperature)

    def _temperature(self) -> str:
        at = self._source.water.temperature
        return at.text if at is not None else "15 degC"

    def _refuses(self, key: str, **others: str) -> Callable[[str], str]:
        """Why a text can't be taken as an answer of the plan; empty if it can."""

        def refused(typed: str) -> str:
            return self._with(**others, **{key: typed}).trouble(self._source)

        return refused

    def _with(self, **changes: str) -> Plan:
        return replace(self._plan, **changes)  # type: ignore[arg-type]

    def _take(self, **changes: str) -> None:
        self._plan = self._with(**changes)

    async def _aim(self) -> None:
        options = [
            Option("", "as it was"),
            Option("floats", "floats", "at the surface"),
            Option("suspends", "suspends", "hangs where it is stopped"),
            Option("sinks", "sinks", "goes down by itself"),
        ]
        picked = await self._app.push_screen_wait(Which("In the water it", options))
        if picked is None:
            return
        margin = ""
        if picked in ("floats", "sinks"):
            about = "How far from hanging, as a share of its weight"
            refused = self._refuses("margin", behaviour=picked)
            typed = await self._line("Margin from neutral", about, "15 %", refused)
            if typed is None:
                return
            margin = typed
        self._take(behaviour=picked, margin=margin)

    async def _wood(self) -> None:
        picked = await self._app.push_screen_wait(Which("Wood of the new plug", list(WOODS)))
        if picked == "other":
            from wizard.tables import woods

            names = [wood.name for wood in woods().values()]
            wood = await self._app.push_screen_wait(Which("Wood", names))
            if wood is not None:
                self._plan = replace(self._plan, wood=wood, same_board=False)
        elif picked is not None:
            self._plan = replace(self._plan, wood="", same_board=picked == "board")

    async def _copies(self) -> None:
        def refused(typed: str) -> str:
            return "" if 1 <= whole(typed) <= 100 else "Expected a whole number from 1 to 100."

        about = "Each has its own file and its own weighings."
        start = str(self._plan.copies)
        typed = await self._line("How many plugs of this plan?", about, start, refused)
        if typed is not None:
            self._plan = replace(self._plan, copies=whole(typed))

    async def _name(self) -> None:
        typed = await self._line("What is it called?", "Any words", self._plan.name)
        if typed is not None:
            self._plan = replace(self._plan, name=typed)

    async def _look(self) -> None:
        width = reading_width(self._app)
        lines = await to_thread(previewed, self._source, self._plan, width)
        await self._app.push_screen_wait(Reader("What comes over", lines))

    async def _begin(self) -> bool:
        """Begin it; whether that could be."""
        now = datetime.now().astimezone().replace(microsecond=0)
        found = await to_thread(begun, self._source, self._plan, self._app.folder, now)
        if isinstance(found, str):
            self._trouble = f"! {found}"
            return False
        count = "It is begun" if len(found) == 1 else f"{len(found)} builds are begun"
        if self._app.session is not None:
            self._app.go_home()
        self._app.open_path(found[0], f"{count}: every answer that came over is marked.")
        return True
