"""The server: a page of our own, the terminal that it loads, and a socket for each window."""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Awaitable, Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable

from aiohttp import web

from wizard.serving.door import TOKEN, Door, fresh_token
from wizard.serving.windows import Windows

HEARTBEAT = 20.0
"""Seconds between two questions whether a browser is still there."""
LONGEST = 1 << 20
"""Bytes of one message of a browser; a paste may be long."""

OURS, THEIRS = files("wizard.serving") / "page", files("textual_serve") / "static"
PAGE = OURS / "page.html"
PARTS: Mapping[str, tuple[Traversable, str]] = {
    "icon.svg": (OURS / "icon.svg", "image/svg+xml"),
    "page.css": (OURS / "page.css", "text/css"),
    "page.js": (OURS / "page.js", "text/javascript"),
    "terminal.css": (THEIRS / "css" / "xterm.css", "text/css"),
    "terminal.js": (THEIRS / "js" / "textual.js", "text/javascript"),
    "letters.ttf": (THEIRS / "fonts" / "RobotoMono-VariableFont_wght.ttf", "font/ttf"),
}
"""All that the page loads, with its kind; nothing else is served."""

HOST = web.RequestKey("host", str)
"""The host by which a request that is let in calls this server."""

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


def policy(host: str) -> str:
    """What the page may load: its own parts, and its own socket.

    The terminal sets its sizes by styles within the page, which must be allowed.
    Source: W3C Content Security Policy Level 3; older browsers don't count a socket as `self`.
    """
    socket = f" ws://{host}" if host else ""
    return (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline';"
        f" font-src 'self'; img-src 'self'; connect-src 'self'{socket};"
        " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


HEADERS = {
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), clipboard-read=(), geolocation=(), microphone=()",
    "Referrer-Policy": "no-referrer",
    "Server": "plugwright",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
"""Sent with every answer: nothing is kept, framed, or told to other pages."""


class Server:
    """Answers the browsers.

    Args:
        windows: of the app.
    """

    def __init__(self, windows: Windows) -> None:
        self._windows = windows
        self.door: Door | None = None
        self.is_saved = True
        self.app = web.Application(middlewares=[self._guard])
        self.app.add_routes(
            [
                web.get("/", self._page),
                web.get("/parts/{name}", self._part),
                web.get("/windows/{mark:[0-9a-f]{32}}", self._window),
            ]
        )
        self.app.on_response_prepare.append(self._add_headers)
        self.app.on_shutdown.append(self._end)

    @web.middleware
    async def _guard(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Let nobody in without the token, whatever is asked for."""
        door = self.door
        reached = request.transport.get_extra_info("sockname")[0] if request.transport else ""
        if door is None:
            raise web.HTTPForbidden
        typed, kept = request.query.get(TOKEN), request.cookies.get(door.cookie)
        complaint = door.complaint(reached, request.headers, typed, kept)
        if complaint:
            raise web.HTTPForbidden(text=f"{complaint}\n")
        request[HOST] = request.host
        return await handler(request)

    async def _add_headers(self, request: web.Request, response: web.StreamResponse) -> None:
        response.headers.update(HEADERS)
        response.headers["Content-Security-Policy"] = policy(request.get(HOST, ""))

    async def _page(self, request: web.Request) -> web.Response:
        response = web.Response(body=PAGE.read_bytes(), content_type="text/html", charset="utf-8")
        if self.door is not None and TOKEN in request.query:
            response.set_cookie(
                self.door.cookie, self.door.token, httponly=True, samesite="Strict", path="/"
            )
        return response

    async def _part(self, request: web.Request) -> web.Response:
        part, kind = PARTS.get(request.match_info["name"], (None, ""))
        if part is None:
            raise web.HTTPNotFound
        return web.Response(body=part.read_bytes(), content_type=kind)

    async def _window(self, request: web.Request) -> web.StreamResponse:
        socket = web.WebSocketResponse(heartbeat=HEARTBEAT, max_msg_size=LONGEST)
        await socket.prepare(request)
        columns, rows = (_number(request.query.get(side, "")) for side in ("width", "height"))
        size = columns or 80, rows or 24
        if request.transport is not None:
            await self._windows.show(
                request.match_info["mark"], socket, size, request.transport.abort
            )
        return socket

    async def _end(self, app: web.Application) -> None:
        self.is_saved = await self._windows.end()


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 6 else 0


@dataclass(frozen=True)
class Wish:
    """What is to be served.

    Args:
        host: the address or name to listen at.
        port: to listen on; 0 for any that is free.
        arguments: of the app's command line.
    """

    host: str
    port: int
    arguments: tuple[str, ...]


class NotListening(Exception):  # noqa: N818 - it names the state
    """The address can't be had."""


async def serve(wish: Wish, tell: Callable[[Door], None]) -> tuple[int, bool]:
    """Serve until a signal comes.

    Args:
        wish: what is to be served.
        tell: called once it listens.

    Returns:
        The number of the signal that ended it, and whether all windows ended saved.

    Raises:
        NotListening: the address can't be had.
    """
    ended: asyncio.Future[int] = asyncio.get_running_loop().create_future()
    for end in (signal.SIGINT, signal.SIGTERM):
        with suppress(NotImplementedError):  # Windows, where Ctrl+C breaks the loop instead
            asyncio.get_running_loop().add_signal_handler(end, _settle, ended, int(end))
    server = Server(Windows(wish.arguments))
    # No log: it would hold the token.
    runner = web.AppRunner(server.app, access_log=None, shutdown_timeout=2.0)
    await runner.setup()
    try:
        try:
            await web.TCPSite(runner, wish.host, wish.port).start()
        except (OSError, UnicodeError) as fault:
            raise NotListening(getattr(fault, "strerror", None) or f"{fault}") from fault
        server.door = Door(wish.host, _port(runner), fresh_token())
        tell(server.door)
        number = await ended
    finally:
        await runner.cleanup()
    return number, server.is_saved


def _settle(ended: asyncio.Future[int], number: int) -> None:
    if not ended.done():
        ended.set_result(number)


def _port(runner: web.AppRunner) -> int:
    port: int = runner.addresses[0][1]
    return port
