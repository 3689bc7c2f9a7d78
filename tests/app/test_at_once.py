"""What comes twice, too early, too late or at once: each is done once, and nothing ends."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncGenerator, Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import pytest
from textual import events

from tests.app.conftest import PATIENCE
from tests.demos import ONE_OF_EACH
from wizard.apart.here import Here, once
from wizard.app.messages import BuildChanged
from wizard.app.screens import bench
from wizard.session.figures import next_cut
from wizard.steps.walk import step_named

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

T = TypeVar("T")


@pytest.fixture
def dart(folder: Path) -> Path:
    """A copy of a demo build."""
    folder.mkdir()
    source = next(path for path in ONE_OF_EACH if path.stem == "harbour-dart")
    return Path(shutil.copy(source, folder / "dart.toml"))


def click(maker: Maker, text: str) -> None:
    """Click once where a text stands."""
    row = next(n for n, line in enumerate(maker.lines) if text in line)
    place = maker.lines[row].index(text), row
    driver = maker.app._driver
    assert driver is not None
    for kind in (events.MouseDown, events.MouseUp):
        driver.send_message(kind(None, *place, 0, 0, 1, False, False, False))


async def test_a_double_click_closes_one_page_and_not_the_one_below(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.press("ctrl+f")
        for _ in range(2):
            click(maker, "Weighing")
        await maker.settle()
        await maker.read_cautions()
        assert "Weighing" in maker.lines[0]
        assert "Step " in maker.lines[0]


async def test_what_is_said_while_a_page_opens_is_said_on_it(opened: Opening, dart: Path) -> None:
    async with opened(dart) as maker:
        maker.app.action_help()
        maker.app.say("A coat is due.")
        await maker.settle()
        assert "Help" in maker.lines[0]
        assert "A coat is due." in maker.screen


async def test_a_form_that_changes_twice_at_once_shows_each_question_once(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart, size=(80, 60)) as maker:
        await maker.go_to("Weighing")
        here = maker.app.step_screen
        assert here is not None
        going = asyncio.create_task(here.show_step(step_named("shape")))
        await asyncio.sleep(0)
        maker.app.tell(BuildChanged())
        await going
        await maker.settle()
        await maker.read_cautions()
        assert maker.screen.count("Length of the body") == 1


class Unanswered(Here):
    """Doesn't say where the next cut is until it is let."""

    def __init__(self) -> None:
        self.let = asyncio.Event()

    async def ask(
        self, what: Callable[..., Iterator[T]], *arguments: Any
    ) -> AsyncGenerator[T, None]:
        if what is once and arguments[0] is next_cut:
            await self.let.wait()
        async for part in super().ask(what, *arguments):
            yield part


async def test_a_cut_that_is_not_answered_holds_no_other_key_up(
    opened: Opening, dart: Path
) -> None:
    async with opened(dart) as maker:
        await maker.until(lambda: maker.app.reckoned is not None)
        await maker.press("f8")
        await maker.until("section at")
        maker.app.apart = apart = Unanswered()
        for key in ("right", "escape"):
            maker._send(key)
        try:
            await maker.until(lambda: "Step " in maker.lines[0])
        finally:
            apart.let.set()


async def test_a_bench_that_is_left_while_it_is_saved_is_saved(
    opened: Opening, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened() as maker:
        page = bench.BenchScreen()
        maker.app.push_screen(page)
        await maker.settle()

        async def slow(act: Callable[..., T], *arguments: Any) -> T:
            done = act(*arguments)
            while page.query("#said"):
                await asyncio.sleep(0)
            return done

        monkeypatch.setattr(bench, "to_thread", slow)
        await maker.press("enter")
        assert maker.app.screen is not page
        await maker.press("2", "enter", "escape")
        await maker.settle()
        assert "your builds" in maker.screen or "Begin a new build" in maker.screen


async def test_leaving_while_a_build_is_being_opened_is_no_fault(
    opened: Opening, dart: Path
) -> None:
    async with opened() as maker:
        maker.app.open_path(dart)
        step = maker.app.step_screen
        assert step is not None
        while not step.query("#work"):
            await asyncio.sleep(0)
        maker.app.action_leave()
        async with asyncio.timeout(PATIENCE):
            while maker.app.is_running:
                await asyncio.sleep(0.01)
    assert maker.app.return_value == 0
    assert not list(dart.parent.rglob("*.fault"))
