"""A process of its own for the work, started when it is asked and let go when it rests."""

from __future__ import annotations

import asyncio
import pickle
import sys
from asyncio import Queue, StreamReader, subprocess
from collections.abc import AsyncGenerator, Callable, Iterator
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import Any, TypeVar

from wizard import __version__
from wizard.apart.child import DROP, FAILED, PART
from wizard.apart.here import Here
from wizard.apart.wire import LENGTH, packed

T = TypeVar("T")

REST = 20.0
"""Seconds without a request after which the process is let go, and its memory with it."""

LOSSES = 3
"""Processes that may be lost before no other is started."""

PATIENCE = 0.5
"""Seconds that its end may take."""

SILENCE = 10.0
"""Seconds without a part after which the process counts as lost: stopped, or stuck."""

_ROOT = str(Path(__file__).parents[2])
_START = "import sys; sys.path.append(sys.argv[1]); from wizard.apart.child import main; main()"


class Elsewhere:
    """Works in another process; in this one where there can be no other, or it fails.

    To be used from one event loop.
    """

    def __init__(self) -> None:
        self._numbers = count()
        self._answers: dict[int, Queue[tuple[str, Any]]] = {}
        self._starting: asyncio.Task[None] | None = None
        self._process: subprocess.Process | None = None
        self._reading: asyncio.Task[None] | None = None
        self._resting: asyncio.TimerHandle | None = None
        self._lost = 0
        self._is_closed = False

    async def ask(
        self, what: Callable[..., Iterator[T]], *arguments: Any
    ) -> AsyncGenerator[T, None]:
        """What a function yields, as it comes; from its beginning again if the process fails."""
        number, answers = next(self._numbers), Queue[tuple[str, Any]]()
        self._answers[number], kind = answers, PART
        try:
            if not await self._send((number, what, arguments)):
                kind = FAILED
            while kind == PART:
                kind, part = await self._next(answers)
                if kind == PART:
                    yield part
        finally:
            del self._answers[number]
            self._rest()
            if kind == PART:  # whoever asked has turned to something else
                self._write((number, DROP, ()))
        if kind == FAILED:
            async for part in Here().ask(what, *arguments):
                yield part

    async def _next(self, answers: Queue[tuple[str, Any]]) -> tuple[str, Any]:
        try:
            async with asyncio.timeout(SILENCE):  # never swallows that the asker was cancelled
                return await answers.get()
        except TimeoutError:
            if self._process is not None:
                self._lose(self._process)
            return FAILED, None

    def wake(self, ready: Callable[[], Iterator[Any]] | None = None) -> None:
        """Start the process, if there is none: something will be asked soon.

        Args:
            ready: what it does first, so that it has it behind it.
        """
        self._rest()
        if self._process is None and self._starting is None and not self._is_closed:
            self._starting = asyncio.create_task(self._start(ready))

    async def close(self) -> None:
        """Nothing will be asked any more: wait until nothing is left."""
        self._is_closed = True
        if self._starting is not None:
            await self._starting
        if self._resting is not None:
            self._resting.cancel()
        process = self._process
        self._let_go()
        if self._reading is not None:
            done, _ = await asyncio.wait({self._reading}, timeout=PATIENCE)
            if not done and process is not None:
                _kill(process)

    def _let_go(self) -> None:
        """Close its input, at whose end it ends."""
        if self._process is not None:
            assert self._process.stdin is not None
            self._process.stdin.close()
            self._process = None

    def _rest(self) -> None:
        """Begin to wait for the end of the rest anew."""
        if self._resting is not None:
            self._resting.cancel()
        self._resting = asyncio.get_running_loop().call_later(REST, self._rested)

    def _rested(self) -> None:
        if self._answers:  # a long piece of work
            self._rest()
        else:
            self._let_go()

    async def _send(self, message: object) -> bool:
        """Send a request, to a new process if need be; whether there is one to answer it."""
        self.wake()
        if self._starting is not None:
            await asyncio.shield(self._starting)
        return self._write(message)

    def _write(self, message: object) -> bool:
        if self._process is None:
            return False
        assert self._process.stdin is not None
        with suppress(OSError):
            self._process.stdin.write(packed(message))
            return True
        return False

    async def _start(self, ready: Callable[[], Iterator[Any]] | None) -> None:
        try:
            if self._lost < LOSSES and sys.executable:
                process = await subprocess.create_subprocess_exec(
                    sys.executable, "-P", "-c", _START, _ROOT, __version__,
                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                    start_new_session=True,
                )  # fmt: skip
                self._process = process
                self._reading = asyncio.create_task(self._read(process))
                if ready is not None:
                    self._write((next(self._numbers), ready, ()))
        except (OSError, RuntimeError):  # no memory, process or thread left: it is done here
            self._lost = LOSSES
        finally:
            self._starting = None

    async def _read(self, process: subprocess.Process) -> None:
        """Hand out what comes, until nothing comes any more."""
        assert process.stdout is not None
        with suppress(Exception):  # its end, or a part that makes no sense here
            while True:
                number, kind, part = pickle.loads(await _frame(process.stdout))
                if number in self._answers:
                    self._answers[number].put_nowait((kind, part))
        self._give_up(process)
        await _ended(process)

    def _lose(self, process: subprocess.Process) -> None:
        """End a process that is stopped or stuck."""
        self._give_up(process)
        _kill(process)

    def _give_up(self, process: subprocess.Process) -> None:
        """Ask it nothing more; whoever waits for it works here, unless it was let go."""
        if self._process is process:
            self._process = None
            self._lost += 1
            for answers in self._answers.values():
                answers.put_nowait((FAILED, None))


async def _ended(process: subprocess.Process) -> None:
    """Wait for the end of a process that gives nothing more; kill one that stays.

    Whoever kills a process that is just ending takes its status away from who waits for
    it, and asyncio says so on the terminal.
    """
    assert process.stdin is not None
    process.stdin.close()
    try:
        async with asyncio.timeout(PATIENCE):
            await process.wait()
    except TimeoutError:
        _kill(process)
        await process.wait()


def _kill(process: subprocess.Process) -> None:
    with suppress(ProcessLookupError):
        process.kill()


async def _frame(stream: StreamReader) -> bytes:
    (length,) = LENGTH.unpack(await stream.readexactly(LENGTH.size))
    return await stream.readexactly(length)
