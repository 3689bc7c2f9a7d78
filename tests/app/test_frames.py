"""What is painted frame by frame: no frame claims more than is true by then."""

from __future__ import annotations

import shutil
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Any

import pyte
import pytest
from textual._compositor import CompositorUpdate

from wizard.app.screens.step import StepScreen
from wizard.plug.record import Build
from wizard.session import keeping

if TYPE_CHECKING:
    from tests.app.conftest import Opening

PROFILES = Path(__file__).parents[2] / "profiles"


async def test_no_answer_looks_saved_before_it_is(
    opened: Opening, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Painted at the worst moment: the last sign was not painted yet when Enter takes it."""
    folder.mkdir()
    dart = Path(shutil.copy(PROFILES / "harbour-dart.toml", folder / "dart.toml"))
    terminal = pyte.Screen(80, 24)
    stream = pyte.Stream(terminal)
    frames: list[list[str]] = []
    may_save, proven, sync = Event(), keeping.proven, StepScreen._sync

    def slowly(build: Build, path: Path) -> bytes:
        may_save.wait(20.0)
        return proven(build, path)

    async def sync_and_paint(screen: StepScreen) -> None:
        row = screen.current
        await sync(screen)
        if row is not None:
            screen._dirty_widgets.add(row)
        screen._on_timer_update()

    async with opened(dart) as maker:

        def painted(screen: object, update: Any) -> None:
            if isinstance(update, CompositorUpdate):
                stream.feed(update.render_segments(maker.app.console))
                frames.append(list(terminal.display))

        await maker.until("Step ")
        await maker.go_to("Weighing")
        maker.save()
        await maker.find("Mass of the bare body")
        monkeypatch.setattr(maker.app, "_display", painted)
        await maker.press("f1", "escape")  # all is painted once
        await maker.until(lambda: " saved " in f"{terminal.display[0]}")
        await maker.press("ctrl+u")
        monkeypatch.setattr(keeping, "proven", slowly)
        monkeypatch.setattr(StepScreen, "_sync", sync_and_paint)
        await maker.type("25 g", "enter")
        taken = [
            frame
            for frame in frames
            for line in frame
            if "Mass of the bare body" in line and "[25 g " in line and "] ok" in line
        ]
        assert taken
        assert [frame[0] for frame in taken if "saved" in frame[0]] == []
        may_save.set()
        await maker.until(lambda: "saved" in terminal.display[0])
