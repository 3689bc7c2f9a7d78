"""The same work in a thread of this process."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import AsyncGenerator, Callable, Iterator
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


class Here:
    """Works in threads."""

    async def ask(
        self, what: Callable[..., Iterator[T]], *arguments: Any
    ) -> AsyncGenerator[T, None]:
        """What a function yields, as it comes."""
        parts = what(*arguments)
        while (part := await to_thread(next, parts, _END)) is not _END:
            yield part  # type: ignore[misc]

    def wake(self, ready: Callable[[], Iterator[Any]] | None = None) -> None:
        """Always awake."""

    async def close(self) -> None:
        """Nothing is left behind."""
