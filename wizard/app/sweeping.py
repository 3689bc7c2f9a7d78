"""Python's sweep for objects that only hold each other, done while no key is pressed.

Left to itself it comes in the middle of an answer, looks at every object of every module
and takes a tenth of a second. Here what a place has loaded is set aside once, so that a
sweep takes a few milliseconds, and it is made when the keys rest: screens that were left
go at once.
"""

from __future__ import annotations

import asyncio
import gc

REST = 0.4
"""Seconds without a key after which is swept."""


class Sweeper:
    """Sweeps when the keys rest."""

    def __init__(self) -> None:
        self._set_aside: set[str] = set()
        self._waiting: asyncio.TimerHandle | None = None

    def stir(self, place: str) -> None:
        """Something happens at a place: sweep a while after it."""
        if self._waiting is not None:
            self._waiting.cancel()
        self._waiting = asyncio.get_running_loop().call_later(REST, self._sweep, place)

    def _sweep(self, place: str) -> None:
        gc.collect()
        if place not in self._set_aside:
            self._set_aside.add(place)
            gc.freeze()
        gc.enable()
