"""The computer's clocks, asked in one place."""

from __future__ import annotations

import time
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wizard.schedule.clock import Sighting


def now() -> datetime:
    """The moment by the wall clock, with the offset of the computer's zone."""
    return datetime.now().astimezone()


def counted() -> float:
    """Seconds of a clock that nobody sets; where there is one, it counts in sleep too."""
    boot = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if boot is None else time.clock_gettime(boot)


def sighting() -> Sighting:
    """Both clocks at once, to tell later whether one of them was set."""
    from wizard.schedule.clock import Sighting

    return Sighting(now(), counted())
