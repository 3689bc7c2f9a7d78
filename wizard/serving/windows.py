"""A process of the app for each window of a browser, and never more than a few."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Any

from aiohttp import WSMsgType
from aiohttp.web import WebSocketResponse

from wizard.serving.child import Child

MOST = 4
"""Windows at once; each is a process of its own."""
PATIENCE = 1.0
"""Seconds that a browser may take to hear that its window ends."""
SIZES = range(2, 501)
"""Columns and rows of a terminal."""

# Why a window ends, as the page knows it. 1000 and 1001: RFC 6455, 7.4.1; from 4000 on our own.
LEFT, SERVER_ENDS, FULL, ELSEWHERE, TROUBLE = 1000, 1001, 4001, 4002, 4003


class Window:
    """A window of a browser and the process that it shows.

    Args:
        socket: to the browser.
        child: the process.
        cut: drops the connection at once, with all that was not taken.
    """

    def __init__(self, socket: WebSocketResponse, child: Child, cut: Callable[[], None]) -> None:
        self._socket, self._child, self._cut = socket, child, cut
        self._ended: asyncio.Task[bool] | None = None
        self._shown = asyncio.create_task(self._show())

    @property
    def is_ending(self) -> bool:
        """Whether it is on its way out."""
        return self._ended is not None

    async def live(self) -> None:
        """Hand on what the browser says until either goes, then end the other."""
        async for message in self._socket:
            if message.type is WSMsgType.TEXT:
                await self._take(message.data)
        await self.end(LEFT)

    async def end(self, why: int) -> bool:
        """Have the process save and go, tell the browser why; returns once both are gone.

        Args:
            why: the code that the page explains.

        Returns:
            Whether everything was saved.
        """
        if self._ended is None:
            self._ended = asyncio.create_task(self._end(why))
        return await asyncio.shield(self._ended)

    async def _end(self, why: int | None) -> bool:
        if why is not None:  # the process still paints, and must not wait for who takes it
            await told(self._socket, why)
            self._cut()
        status = await self._child.end()
        await self._shown
        await told(self._socket, TROUBLE if status else LEFT)
        return status == 0

    async def _show(self) -> None:
        """Send on what the process paints; when that ends, the window does."""
        async for codes in self._child.painted():
            with suppress(OSError):  # the browser is gone: read on, so that the process can go
                await self._socket.send_bytes(codes)
        self._ended = self._ended or asyncio.create_task(self._end(None))

    async def _take(self, text: str) -> None:
        match _parsed(text):
            case ["stdin", str(keys)]:
                await self._child.type(keys)
            case ["resize", {"width": int(columns), "height": int(rows)}]:
                await self._child.resize(fitting(columns), fitting(rows))
            case ["ping", str(mark)]:
                with suppress(OSError):
                    await self._socket.send_json(["pong", mark])


class Windows:
    """All windows, by the marks that the pages give themselves.

    A page keeps its mark when it is loaded again. What it showed before then ends first,
    also where the old connection was lost unnoticed, so that its build is free again.

    Args:
        arguments: of the app's command line.
    """

    def __init__(self, arguments: Sequence[str]) -> None:
        self._arguments = arguments
        self._open: dict[str, Window] = {}
        self._turn = asyncio.Lock()

    async def show(
        self,
        mark: str,
        socket: WebSocketResponse,
        size: tuple[int, int],
        cut: Callable[[], None],
    ) -> None:
        """Show the app in a window until it ends.

        Args:
            mark: of the page.
            socket: to the browser.
            size: columns and rows of its terminal.
            cut: drops the connection at once.
        """
        async with self._turn:
            before = self._open.get(mark)
            if before is not None:
                await before.end(ELSEWHERE)
            elif not await self._has_room():
                await told(socket, FULL)
                return
            child = await Child.started(self._arguments, *map(fitting, size))
            window = self._open[mark] = Window(socket, child, cut)
        try:
            await window.live()
        finally:
            try:
                await window.end(SERVER_ENDS)
            finally:
                if self._open.get(mark) is window:
                    del self._open[mark]

    async def _has_room(self) -> bool:
        """Whether one more may be opened, once those that are ending have ended."""
        if len(self._open) >= MOST:
            ending = [window for window in self._open.values() if window.is_ending]
            await asyncio.gather(*(window.end(LEFT) for window in ending))
            return len(self._open) - len(ending) < MOST
        return True

    async def end(self) -> bool:
        """End them all; returns whether everything was saved."""
        async with self._turn:
            ended = (window.end(SERVER_ENDS) for window in self._open.values())
            return all(await asyncio.gather(*ended))


async def told(socket: WebSocketResponse, why: int) -> None:
    """Close a connection with the reason; one that doesn't answer is closed all the same."""
    with suppress(OSError, TimeoutError):
        await asyncio.wait_for(socket.close(code=why), PATIENCE)


def fitting(cells: int) -> int:
    """A number of columns or rows that a terminal can have."""
    return min(max(cells, SIZES.start), SIZES.stop - 1)


def _parsed(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None
