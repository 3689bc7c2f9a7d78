"""The same work in a thread of this process."""

from __future__ import annotations

from asyncio import wrap_future
from collections.abc import AsyncGenerator, Callable, Iterator
from concurrent.futures import Future
from threading import Thread
from typing import Any, Protocol, TypeVar

T = TypeVar("T")
_END = object()


class Apart(Protocol):
    """Whoever works something out apart."""

    def ask(self, what: Callable[..., Iterator[T]], *arguments: Any) -> AsyncGenerator[T, None]:
        """What a function of a module yields, as it comes."""
        ...

    def wake(self, ready: Callable[[], Iterator[Any]] | None = None) -> None:
        """Do this first, if nothing was asked for long: something will be soon."""

    async def close(self) -> None:
        """Nothing will be asked any more."""


def once(what: Callable[..., T], *arguments: Any) -> Iterator[T]:
    """What a function returns, as the only part."""
    yield what(*arguments)


async def result_of(apart: Apart, what: Callable[..., T], *arguments: Any) -> T:
    """What a function of a module returns, worked out apart."""
    results: list[T] = [part async for part in apart.ask(once, what, *arguments)]
    return results[-1]  # one, or twice the same if a process was lost


async def _aside(what: Callable[..., T], *arguments: Any) -> T:
    """What a function returns, from a thread that the program doesn't wait for when it ends."""
    result: Future[T] = Future()

    def work() -> None:
        if result.set_running_or_notify_cancel():
            try:
                result.set_result(what(*arguments))
            except Exception as fault:
                result.set_exception(fault)

    Thread(target=work, name="aside", daemon=True).start()
    return await wrap_future(result)


class Here:
    """Works in threads."""

    async def ask(
        self, what: Callable[..., Iterator[T]], *arguments: Any
    ) -> AsyncGenerator[T, None]:
        """What a function yields, as it comes."""
        parts = what(*arguments)
        while (part := await _aside(next, parts, _END)) is not _END:
            yield part

    def wake(self, ready: Callable[[], Iterator[Any]] | None = None) -> None:
        """Always awake."""

    async def close(self) -> None:
        """Nothing is left behind."""
