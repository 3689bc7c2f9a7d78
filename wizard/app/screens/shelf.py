"""What may be done with a build of the shelf: renamed, copied, put away, thrown away, undone."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.app.screens.asking import Line, Which
from wizard.session.found import Found
from wizard.session.option import Option
from wizard.session.shelving import ORDERS
from wizard.store.bin import InUse, binned, delete, empty, restore
from wizard.store.faults import StoreError
from wizard.store.opening import Unreadable
from wizard.store.tidying import archive, duplicate, rename, tag

if TYPE_CHECKING:
    from wizard.app.app import Plugwright

DELETE, EMPTY = "delete", "empty"
"""The words that must be typed before a build goes, and before it goes for good."""

FAULTS = (InUse, StoreError, Unreadable)


@dataclass(frozen=True, slots=True)
class Undo:
    """How to take back what was last done to the shelf.

    Attributes:
        said: what was done, in words.
        act: takes it back.
    """

    said: str
    act: Callable[[], object]


class Shelf:
    """The shelf's own acts, each of which can be taken back.

    Args:
        app: the app.
    """

    def __init__(self, app: Plugwright) -> None:
        self._app = app
        self._undo: list[Undo] = []

    async def act_on(self, found: Found) -> None:
        """Ask what to do with a build, and do it."""
        picked = await self._app.push_screen_wait(
            Which(found.title, list(_choices(found)), "", found.line)
        )
        if picked == "open":
            self._app.open_found(found)
        elif picked in ("sheet", "compare", "scale", "export", "needs"):
            from wizard.app.screens.handing import do

            await do(self._app, picked, found.path)
        elif picked is not None:
            await {
                "rename": self._rename,
                "duplicate": self._duplicate,
                "tag": self._tag,
                "archive": self._archive,
                "delete": self._delete,
            }[picked](found)
        self._app.look_for_builds()

    async def _done(self, said: str, act: Callable[[], object], undo: Callable[[], object]) -> None:
        """Do something in a thread, say so, and keep the way back."""
        if await self._try(act):
            self._undo.append(Undo(said, undo))
            self._app.say(f"{said}. {self._app.key('undo')} takes that back.")

    async def _try(self, act: Callable[[], object]) -> bool:
        try:
            await to_thread(act)
        except FAULTS as fault:
            self._app.say(f"! {fault}")
            return False
        return True

    async def undo(self) -> None:
        """Take back what was done last."""
        if not self._undo:
            self._app.say("Nothing to take back here.")
            return
        last = self._undo.pop()
        if await self._try(last.act):
            self._app.say(f"Taken back: {last.said}.")
        self._app.look_for_builds()

    async def _rename(self, found: Found) -> None:
        about = "Its file keeps its name."
        name = await self._app.push_screen_wait(Line("Call it something else", about, found.name))
        if name and name != found.name:
            path, old = found.path, found.name
            await self._done(
                f"“{found.title}” is now “{name}”",
                lambda: rename(path, name),
                lambda: rename(path, old),
            )

    async def _duplicate(self, found: Found) -> None:
        about = "All answers, not finished. For another size or board, begin a new one from it."
        start = f"{found.title}, copy"
        name = await self._app.push_screen_wait(Line("Name of the copy", about, start))
        if not name:
            return
        made: list[Path] = []

        def copy() -> None:
            made.append(duplicate(found.path, name, self._app.folder, _now()))

        await self._done(f"“{name}” is a copy", copy, lambda: delete(made[0], _now()))

    async def _tag(self, found: Found) -> None:
        about = "Words to find it by, with commas between; a dash alone takes all away."
        typed = await self._app.push_screen_wait(Line("Tags", about, ", ".join(found.tags)))
        if typed is None:
            return
        words = () if typed == "-" else tuple(w.strip() for w in typed.split(",") if w.strip())
        old, path = found.tags, found.path
        await self._done(
            f"“{found.title}” has {len(words)} tags",
            lambda: tag(path, words),
            lambda: tag(path, old),
        )

    async def _archive(self, found: Found) -> None:
        path, away = found.path, not found.is_archived
        where = "put away" if away else "back on the shelf"
        await self._done(
            f"“{found.title}” is {where}",
            lambda: archive(path, away),
            lambda: archive(path, not away),
        )

    async def _delete(self, found: Found) -> None:
        about = f"Type {DELETE} to put it into the bin. It can be brought back from there."
        typed = await self._app.push_screen_wait(Line(f"Delete “{found.title}”?", about))
        if typed is None or typed.casefold() != DELETE:
            self._app.say("Nothing was deleted.")
            return
        thrown = []

        def throw() -> None:
            thrown.append(delete(found.path, _now()))

        await self._done(
            f"“{found.title}” is in the bin", throw, lambda: restore(thrown[0], found.path.parent)
        )

    async def look_into_bin(self) -> None:
        """Bring a build back from the bin, or empty it."""
        folder = self._app.folder
        thrown = await to_thread(binned, folder)
        if not thrown:
            self._app.say("The bin is empty.")
            return
        options = [
            Option(str(one.place), one.name, f"deleted {one.when.astimezone():%Y-%m-%d %H:%M}")
            for one in thrown
        ]
        options.append(Option(EMPTY, "Empty the bin for good"))
        picked = await self._app.push_screen_wait(
            Which("The bin", options, "", "Enter brings a build back.")
        )
        one = next((t for t in thrown if str(t.place) == picked), None)
        if one is not None and await self._try(lambda: restore(one, folder)):
            self._app.say(f"{one.name} is back on the shelf.")
        elif picked == EMPTY:
            await self._empty(len(thrown))
        self._app.look_for_builds()

    async def _empty(self, count: int) -> None:
        builds = "1 build goes" if count == 1 else f"{count} builds go"
        about = f"{builds} for good, earlier versions too. Type {EMPTY} to do it."
        typed = await self._app.push_screen_wait(Line("Empty the bin?", about))
        if typed is not None and typed.casefold() == EMPTY:
            if await self._try(lambda: empty(self._app.folder)):
                self._app.say("The bin is empty.")
        else:
            self._app.say("Nothing was removed.")


def _choices(found: Found) -> Sequence[Option]:
    """What may be done with what was found; a file that can't be read may only go."""
    go = Option("delete", "Delete: put it into the bin")
    if found.wrong:
        return (Option("open", "What is wrong, and earlier versions"), go)
    away = "Take it out of the archive" if found.is_archived else "Put it away into the archive"
    return (
        Option("open", "Review it" if found.is_finished else "Go on with it"),
        Option("sheet", "Its sheet, with the picture"),
        Option("scale", "A new build from it: another size, wood, water or aim"),
        Option("compare", "Compare it with others"),
        Option("export", "Hand it on: print, spreadsheet, profile"),
        Option("needs", "What it takes, to have at hand"),
        Option("rename", "Call it something else"),
        Option("duplicate", "Make a copy"),
        Option("tag", "Tags"),
        Option("archive", away),
        go,
    )


async def choose_order(app: Plugwright, order: str) -> str:
    """Ask for the order of the shelf."""
    options = [Option(key, words) for key, (words, _) in ORDERS.items()]
    picked = await app.push_screen_wait(Which("Order of the builds", options, order))
    return picked or order


def _now() -> datetime:
    return datetime.now().astimezone()
