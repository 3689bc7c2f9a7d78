"""One key at a time, however fast they come.

Textual hands a key to the widget that has the focus when it arrives. Keys typed ahead,
or arriving in one lump over a slow line, would so reach a field that the Enter before
them has not left yet. Here a key waits until all that the one before it set in motion
is done.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from typing import TYPE_CHECKING, Any

from textual.events import Event
from textual.message_pump import MessagePump

if TYPE_CHECKING:
    from textual.app import App

LONGEST = 2.0
"""Seconds that a key waits at most; one that something holds up is delivered all the same."""


class Turns:
    """A queue of keys.

    Args:
        app: whose keys they are.
        deliver: hands a key on.
    """

    def __init__(self, app: App[Any], deliver: Callable[[Event], Awaitable[None]]) -> None:
        self._app, self._deliver = app, deliver
        self._waiting: asyncio.Queue[Event] = asyncio.Queue()
        self._task: asyncio.Task[None] | None = None
        self._at_work = False

    def put(self, event: Event) -> None:
        """Deliver a key when its turn has come."""
        self._waiting.put_nowait(event)
        if self._task is None:
            self._task = asyncio.create_task(self._work(), name="keys in turn")

    def stop(self) -> None:
        """Deliver no more."""
        if self._task is not None:
            self._task.cancel()

    @property
    def is_idle(self) -> bool:
        """Whether no key is waiting or on its way."""
        return self._waiting.empty() and not self._at_work

    async def _work(self) -> None:
        while True:
            event = await self._waiting.get()
            self._at_work = True
            try:
                await self._all_done()
                await self._deliver(event)
            except Exception as error:
                self._app._handle_exception(error)
            self._at_work = False

    async def _all_done(self) -> None:
        """Wait until nothing that the last key set in motion is left to be handled."""
        quiet = 0
        try:
            async with asyncio.timeout(LONGEST):
                while quiet < 2 and self._app.is_running:
                    for pump in self._chain():
                        await _passed(pump)
                    quiet = quiet + 1 if self._is_quiet() else 0
                    await asyncio.sleep(0)  # pumps that are closed make nobody wait
        except TimeoutError:
            pass

    def _chain(self) -> Iterator[MessagePump]:
        """From the widget that has the focus up to the app: the way that a key takes."""
        start = self._app.focused or self._app.screen
        yield from list(start.ancestors_with_self)

    def _is_quiet(self) -> bool:
        screen = self._app.screen
        widgets = screen.walk_children(with_self=True)
        if not all(widget._mounted_event.is_set() for widget in widgets):
            return False
        return all(pump._message_queue.empty() for pump in (self._app, *widgets))


async def _passed(pump: MessagePump) -> None:
    """Wait until a pump has handled all that it was given before."""
    passed = asyncio.Event()
    if pump.call_later(passed.set):
        await passed.wait()
