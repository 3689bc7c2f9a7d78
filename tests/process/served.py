"""`plugwright serve` as a process, and a window onto it that speaks as a browser does."""

from __future__ import annotations

import asyncio
import os
import re
import subprocess
import sys
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass
from pathlib import Path

import aiohttp
import pyte

PATIENCE = 30.0
"""Seconds after which what should show up counts as missing, on however slow a machine."""
MARK = "0123456789abcdef" * 2


@dataclass
class Served:
    """The process, and the address that it printed."""

    process: subprocess.Popen[str]
    said: str

    @property
    def address(self) -> str:
        """With the token."""
        return str(re.findall(r"^  (http://\S+)$", self.said, re.MULTILINE)[0])

    @property
    def root(self) -> str:
        """Without it."""
        return self.address.split("/?")[0]

    @property
    def token(self) -> str:
        return self.address.split("token=")[1]

    @property
    def host(self) -> str:
        return self.root.removeprefix("http://")

    def ended(self, number: int) -> int:
        """Send it a signal; returns the exit status, once it is gone."""
        self.process.send_signal(number)
        self.said += self.process.communicate(timeout=PATIENCE)[0]
        return self.process.returncode


@contextmanager
def serving(folder: Path, *arguments: str, start: str = "", **variables: str) -> Iterator[Served]:
    """The program serving a folder, until the test is done with it.

    Args:
        folder: of the builds.
        arguments: more of the command line.
        start: Python that runs the program, if not the module itself.
        variables: of the environment.
    """
    run = ["-c", start] if start else ["-m", "wizard"]
    process = subprocess.Popen(
        [sys.executable, *run, "serve", "--folder", str(folder), *arguments],
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env={**os.environ, "LC_ALL": "C.UTF-8", **variables}, start_new_session=True,
    )  # fmt: skip
    assert process.stdout is not None
    with process:
        try:
            said = ""
            while "Ctrl+C" not in said:
                line = process.stdout.readline()
                assert line, f"it ended: {said}"
                said += line
            yield Served(process, said)
        finally:
            if process.poll() is None:
                process.kill()


class Tablet:
    """A window: the page's own words over its socket, the terminal as a maker reads it."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self.socket = socket
        self.screen = pyte.Screen(80, 24)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = bytearray()

    @property
    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.screen.display)

    async def until(self, wanted: str | Callable[[], object]) -> None:
        """Wait until a text is on the screen, or something holds."""
        holds = (lambda: wanted in self.text) if isinstance(wanted, str) else wanted
        try:
            async with asyncio.timeout(PATIENCE):
                while not holds():
                    message = await self.socket.receive()
                    assert message.type is aiohttp.WSMsgType.BINARY, (message, self.text)
                    self.raw += message.data
                    self._stream.feed(message.data)
        except TimeoutError:
            raise AssertionError(f"never came: {wanted}\n{self.text}") from None

    async def click(self, text: str) -> None:
        """Click on a text (XTerm Control Sequences, mouse tracking in the form of 1006)."""
        await self.until(text)
        lines = self.text.split("\n")
        row = next(number for number, line in enumerate(lines) if text in line)
        place = f"0;{lines[row].index(text) + 2};{row + 1}"
        await self.type(f"\x1b[<{place}M\x1b[<{place}m")

    async def type(self, text: str) -> None:
        await self.socket.send_json(["stdin", text])

    async def closed(self) -> int | None:
        """Read on until the server closes it; returns the reason's number."""
        async with asyncio.timeout(PATIENCE):
            async for message in self.socket:
                self.raw += message.data
        return self.socket.close_code


@asynccontextmanager
async def tablet(served: Served, mark: str = MARK) -> AsyncIterator[Tablet]:
    """A window onto what is served."""
    address = f"{served.root}/windows/{mark}?token={served.token}&width=80&height=24"
    async with (
        aiohttp.ClientSession() as client,
        client.ws_connect(address, origin=served.root) as socket,
    ):
        yield Tablet(socket)
