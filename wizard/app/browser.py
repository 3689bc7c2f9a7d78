"""The terminal of a browser's window: a pipe to the server, which ends the app when it breaks.

Extends Textual's driver for this at its seams: how it leaves, and where it writes.
"""

from __future__ import annotations

import asyncio
import os
import signal
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.drivers.web_driver import WebDriver
from textual.events import AppFocus

if TYPE_CHECKING:
    from textual.app import App


class Browser(WebDriver):
    """Textual's driver, which here leaves as the app does: with everything saved."""

    def __init__(self, app: App[Any], **options: Any) -> None:
        super().__init__(app, **options)
        self._write = partial(self._put)
        self._is_leaving = self._is_lost = False

    def start_application_mode(self) -> None:
        """Begin; signals then save before they end it, and the focus shows at once."""
        super().start_application_mode()
        loop = asyncio.get_running_loop()
        for number in (signal.SIGINT, signal.SIGTERM):
            with suppress(NotImplementedError):  # Windows
                loop.add_signal_handler(number, self._leave, 128 + number)
        # A window that is only looked at shows where the focus is as well.
        self._app.call_later(self._app.post_message, AppFocus())

    def run_input_thread(self) -> None:
        """Read keys until told to stop, or until the server is gone."""
        super().run_input_thread()
        if not self.exit_event.is_set():
            self._leave()

    def on_meta(self, packet_type: str, payload: dict[str, object]) -> None:
        """Take a word of the server."""
        if packet_type == "quit":
            self._leave()
        elif packet_type == "resize":
            super().on_meta(packet_type, payload)

    def _put(self, data: bytes) -> int:
        """Write all of it, unless nobody is there to read."""
        rest = memoryview(data)
        while rest and not self._is_lost:
            try:
                rest = rest[os.write(self.fileno, rest) :]
            except OSError:
                self._is_lost = True
                self._leave()
        return len(data)

    def _leave(self, status: int = 0) -> None:
        if self._is_leaving:
            return
        self._is_leaving = True
        leave = getattr(self._app, "leave_from_thread", None)
        if leave is not None:
            leave(status)
