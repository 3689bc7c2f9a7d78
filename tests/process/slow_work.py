"""Work for another process to do, in tests of who does it."""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path


def who(count: int) -> Iterator[int]:
    """The process that works, again and again."""
    for _ in range(count):
        yield os.getpid()


def counted(place: Path, count: int) -> Iterator[int]:
    """Numbers, each written down before it is handed over."""
    for number in range(count):
        place.write_text(str(number))
        yield number
        time.sleep(0.01)


def dying(place: Path) -> Iterator[int]:
    """Two numbers, but the first process to try dies between them."""
    yield 1
    if not place.exists():
        place.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    yield 2


def faulty() -> Iterator[int]:
    """A number, then a fault."""
    yield 1
    raise ArithmeticError("no such number")


def printing() -> Iterator[int]:
    """A number, and words where the replies go."""
    sys.stdout.write("words")
    sys.stdout.flush()
    yield 1


def unsendable() -> Iterator[Callable[[], int]]:
    """Something that can't go through a pipe."""
    yield lambda: 1
