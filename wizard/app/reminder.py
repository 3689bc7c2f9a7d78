"""Says when a coat is due while the app is open: a line, a bell, a notification.

One timer, set for the next moment at which something changes. It is set anew at least
every few minutes, because it doesn't count while the computer sleeps, and that is also
when a clock that was set is noticed. Nothing is painted unless something is said.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from wizard.app import clock
from wizard.app.notice import notification

if TYPE_CHECKING:
    from textual.timer import Timer

    from wizard.app.app import Plugwright
    from wizard.plug.record import Build
    from wizard.schedule.clock import Due, Sighting
    from wizard.schedule.entries import Timetable

LONGEST = timedelta(minutes=5)
"""Between two looks at the clock."""
CLOSING = timedelta(minutes=30)
"""Before a window closes, this is said."""


def moments(made: Timetable) -> Iterator[datetime]:
    """When something changes that is worth saying."""
    for entry in made.entries:
        if entry.done:
            continue
        if entry.running or not entry.operation.hands_on:
            yield entry.finish
            continue
        yield entry.start
        if entry.earliest is not None:
            yield entry.earliest
        if entry.latest is not None:
            yield entry.latest - CLOSING
            yield entry.latest
        return  # what follows hangs on when this one is done


class Reminder:
    """Follows the open build.

    Args:
        app: to say it on.
    """

    def __init__(self, app: Plugwright) -> None:
        self._app = app
        self._build: Build | None = None
        self._timer: Timer | None = None
        self._next: datetime | None = None
        self._seen: Sighting | None = None

    def follow(self, build: Build | None) -> None:
        """Remind of what is due in this build from now on; of nothing without one."""
        self._build = build if build is not None and build.operation else None
        self._set()

    def _set(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        if self._build is None:
            return
        now = clock.now()
        self._next = min((m for m in self._moments(now) if m > now), default=None)
        wait = LONGEST if self._next is None else min(self._next - now, LONGEST)
        seconds = max(wait.total_seconds(), 0.0) + 0.05
        self._seen = self._seen or clock.sighting()
        self._timer = self._app.set_timer(seconds, self._look, name="reminder")

    def _moments(self, now: datetime) -> list[datetime]:
        from wizard.plug.coats.schedule import NoHours, timetable

        if self._build is not None:
            with suppress(NoHours):
                return list(moments(timetable(self._build, now)))
        return []

    def _look(self) -> None:
        from wizard.schedule.clock import clock_jumped

        seen = clock.sighting()
        jump = clock_jumped(self._seen, seen) if self._seen is not None else None
        self._seen = seen
        if jump is not None:
            self._app.say(f"! {jump.text}.")
        if self._next is not None and self._next <= seen.wall:
            self._remind(seen.wall)
        self._set()

    def _remind(self, now: datetime) -> None:
        due = self._due(now)
        if self._build is None or due is None:
            return
        name = self._build.build.name or "Plugwright"
        self._app.say(f"{due.text[:1].upper()}{due.text[1:]}.")
        bell, notify = self._wanted()
        if bell:
            self._app.bell()
        code = notification(os.environ, self._app.spelled(name), due.text) if notify else None
        if code is not None:
            self._app.send_code(code)

    def _due(self, now: datetime) -> Due | None:
        from wizard.plug.coats.schedule import NoHours, timetable
        from wizard.schedule.clock import status

        if self._build is None:
            return None
        try:
            return status(timetable(self._build, now), now)
        except NoHours:
            return None

    def _wanted(self) -> tuple[bool, bool]:
        """Whether the maker wants a bell and a notification; both unless said otherwise."""
        from wizard.store.bench import BenchUnreadable, bench_path, open_bench

        try:
            habits = open_bench(bench_path(self._app.folder)).bench.bench
        except BenchUnreadable:
            return True, True
        return habits.bell != "no", habits.notify != "no"
