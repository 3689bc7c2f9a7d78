"""One process of the app, whose terminal is a pipe: what it paints comes out, keys go in.

It speaks in packets: a letter, a length of four bytes, the payload. The letters that
matter are D (codes for the terminal) and M (a word about the process, as JSON).
Source: textual/drivers/web_driver.py, which writes them.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
from asyncio import subprocess
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import suppress

from wizard.quantity.showing import literal

DRIVER = "wizard.app.browser:Browser"
BEGIN = b"__GANGLION__\n"
"""The line with which the packets begin."""
PATIENCE = 3.0
"""Seconds that a process may take to save and go before it is told more firmly."""
LONGEST = 1 << 24
"""Bytes of a packet; more than any frame has."""
_OF_A_TERMINAL = ("SSH_CONNECTION", "SSH_TTY", "TMUX", "STY", "TERM_PROGRAM")
"""Variables that tell of the terminal of the server, which the app isn't in."""


def environment(columns: int, rows: int, outer: Mapping[str, str]) -> dict[str, str]:
    """The variables of a process: those of the server, but for what they say of its terminal.

    Args:
        columns: of the browser's terminal.
        rows: of it.
        outer: the variables of the server.
    """
    return {
        **{name: text for name, text in outer.items() if name not in _OF_A_TERMINAL},
        "TEXTUAL_DRIVER": DRIVER,
        "TEXTUAL_COLOR_SYSTEM": "truecolor",
        "TERM": "xterm-256color",
        "PYTHONIOENCODING": "utf-8",
        "COLUMNS": str(columns),
        "ROWS": str(rows),
    }


class Child:
    """A process of the app.

    Args:
        process: with its three streams as pipes.
    """

    def __init__(self, process: subprocess.Process) -> None:
        self._process = process
        self._faults = asyncio.create_task(self._tell_faults())

    @classmethod
    async def started(cls, arguments: Sequence[str], columns: int, rows: int) -> Child:
        """Start the app.

        Args:
            arguments: of the command line.
            columns: of its terminal.
            rows: of its terminal.
        """
        process = await subprocess.create_subprocess_exec(
            *(sys.executable, "-P", "-m", "wizard", *arguments),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment(columns, rows, os.environ),
            start_new_session=True,  # Ctrl+C is for the server, which ends this in its turn
        )
        return cls(process)

    async def painted(self) -> AsyncIterator[bytes]:
        """What it paints, until it says that it ends or is gone; the rest is read and dropped."""
        out = self._process.stdout
        assert out is not None
        with suppress(asyncio.IncompleteReadError, asyncio.LimitOverrunError):
            while await out.readuntil(b"\n") != BEGIN:
                pass
            while True:
                head = await out.readexactly(5)
                size = int.from_bytes(head[1:], "big")
                if size > LONGEST:
                    break
                payload = await out.readexactly(size)
                if head[:1] == b"D":
                    yield payload
                elif head[:1] == b"M" and json.loads(payload).get("type") == "exit":
                    break
        while await out.read(1 << 16):  # one that can't write would never end
            pass

    async def type(self, text: str) -> None:
        """Press keys."""
        await self._send(b"D", text.encode("utf-8", "replace"))

    async def resize(self, columns: int, rows: int) -> None:
        """Tell it the size of its terminal."""
        await self._say({"type": "resize", "width": columns, "height": rows})

    async def end(self) -> int:
        """Have it save and go, and wait until it is gone; returns its exit status."""
        await self._say({"type": "quit"})
        if self._process.stdin is not None:
            self._process.stdin.close()
        for firmer in (self._process.terminate, self._process.kill):
            with suppress(TimeoutError):
                await asyncio.wait_for(self._process.wait(), PATIENCE)
                break
            with suppress(ProcessLookupError):
                firmer()
        status = await self._process.wait()
        await self._faults
        return status

    async def _say(self, word: Mapping[str, object]) -> None:
        await self._send(b"M", json.dumps(word).encode())

    async def _send(self, letter: bytes, payload: bytes) -> None:
        into = self._process.stdin
        if into is None or into.is_closing():
            return
        with suppress(OSError, RuntimeError):  # it has just gone
            into.write(letter + len(payload).to_bytes(4, "big") + payload)
            await into.drain()

    async def _tell_faults(self) -> None:
        """Pass on what it says of faults, in lines in which nothing acts."""
        err = self._process.stderr
        assert err is not None
        while data := await err.read(1 << 16):
            for line in data.decode("utf-8", "replace").splitlines():
                sys.stderr.write(f"{literal(line, 2000)}\n")
