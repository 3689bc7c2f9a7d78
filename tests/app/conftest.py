"""A maker at the keys: presses them, looks at the screen, never at the widgets."""

from __future__ import annotations

import asyncio
import time
import unicodedata
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from textual import events
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.pilot import Pilot
from textual.widget import Widget

from wizard.app.app import Plugwright
from wizard.app.start import habits

PATIENCE = 20.0
"""Seconds after which a thing that should show up counts as missing."""


class Maker:
    """Presses keys and reads what is on the screen."""

    def __init__(self, app: Plugwright, pilot: Pilot[int]) -> None:
        self.app, self.pilot = app, pilot

    async def press(self, *keys: str) -> None:
        """Press keys, one after the other, and wait until the screen stands still."""
        for key in keys:
            self._send(key)
        await self.settle()

    async def type(self, text: str, *keys: str) -> None:
        """Type a text, then press keys."""
        await self.press(*text, *keys)

    def _send(self, key: str) -> None:
        if len(key) == 1 and not key.isalnum():
            key = _character_to_key(key)
        original = REPLACED_KEYS.get(key, key)
        try:
            sign: str | None = unicodedata.lookup(_get_unicode_name_from_key(original))
        except KeyError:
            sign = key if len(key) == 1 else None
        driver = self.app._driver
        assert driver is not None
        driver.send_message(events.Key(key, sign))

    async def go_to(self, step: str) -> None:
        """Go to a step by its name."""
        await self.press("ctrl+f")
        await self.press("home")
        for _ in range(12):
            if step in self.focused:
                break
            await self.press("down")
        await self.press("enter")
        await self.read_cautions()

    async def read_cautions(self) -> None:
        """Read the cautions of a step to their end, if they are shown."""
        while "Cautions:" in self.lines[0]:
            await self.press("enter")

    async def find(self, label: str) -> None:
        """Move down to the row of that name."""
        for _ in range(60):
            if self.label.startswith(label):
                return
            await self.press("down")
        raise AssertionError(f"no row {label}\n{self.screen}")

    async def settle(self) -> None:
        """Wait until nothing is left to handle, to lay out or to paint."""
        quiet = 0
        deadline = time.monotonic() + PATIENCE
        while quiet < 2 and time.monotonic() < deadline:
            await asyncio.sleep(0.001)
            await self.pilot._wait_for_screen()
            quiet = quiet + 1 if self._is_quiet() else 0

    def _is_quiet(self) -> bool:
        screen = self.app.screen
        pumps = [w for w in screen.walk_children(with_self=True) if isinstance(w, Widget)]
        if not all(pump._mounted_event.is_set() for pump in pumps):
            return False
        waiting = any(not pump._message_queue.empty() for pump in (self.app, *pumps))
        painting = any(w._layout_required or w._repaint_required for w in pumps)
        reckoning = any(
            w.group in ("reckon", "picture") and not w.is_finished for w in self.app.workers
        )
        held = reckoning or screen._layout_required or screen._callbacks or screen._dirty_widgets
        return self.app.turns.is_idle and not (waiting or painting or held)

    async def until(self, wanted: str | Callable[[], bool]) -> None:
        """Wait until a text is on the screen, however wrapped, or something holds."""
        deadline = time.monotonic() + PATIENCE
        while not (self._is_shown(wanted) if isinstance(wanted, str) else wanted()):
            assert time.monotonic() < deadline, f"never came: {wanted}\n{self.screen}"
            await asyncio.sleep(0.01)
        await self.settle()

    def _is_shown(self, text: str) -> bool:
        """Whether a text is on the screen; a long path before it moves where lines break."""
        return text in self.screen or text in " ".join(self.screen.split())

    def save(self) -> None:
        """Have all that was answered, and the step that was gone to, on the disk."""
        assert self.app.session is not None
        assert self.app.session.flush(PATIENCE), self.screen

    @property
    def lines(self) -> list[str]:
        """The screen, a line each."""
        strips = self.app.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip).rstrip() for strip in strips]

    @property
    def screen(self) -> str:
        """The screen as one text."""
        return "\n".join(self.lines)

    def line(self, beginning: str) -> str:
        """The first line in which a text stands."""
        found = [line for line in self.lines if beginning in line]
        assert found, f"no line with {beginning}\n{self.screen}"
        return found[0]

    def digit_of(self, option: str) -> str:
        """The digit that stands before an option of the list in view."""
        found = [line.split(option)[0].split() for line in self.lines if f" {option}" in line]
        digits = [words[-1] for words in found if words and words[-1].isdigit()]
        assert digits, f"no option {option}\n{self.screen}"
        return digits[0]

    @property
    def focused(self) -> str:
        """The line that bears the mark of the focus."""
        marked = [line for line in self.lines if line.startswith("> ")]
        assert len(marked) == 1, self.screen
        return marked[0]

    @property
    def label(self) -> str:
        """What the row that has the focus is called."""
        return self.focused.removeprefix("> ").split("[")[0].rstrip(" │█")


Opening = Callable[..., AbstractAsyncContextManager[Maker]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where the builds of a test live."""
    return tmp_path / "builds"


@pytest.fixture
def opened(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Opening:
    """Opens the app on the folder, or on a profile, in a terminal of all colours."""
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")

    @asynccontextmanager
    async def opening(
        profile: Path | None = None,
        size: tuple[int, int] = (80, 24),
        ascii_only: bool = False,
        first_run: bool = False,
    ) -> AsyncIterator[Maker]:
        app = Plugwright(folder, profile, ascii_only=ascii_only, first_run=first_run)
        app.use_keys(habits(folder)[1])
        async with app.run_test(size=size) as pilot:
            maker = Maker(app, pilot)
            await maker.settle()
            yield maker
            if app.session is not None:
                app.session.close(PATIENCE)

    return opening
