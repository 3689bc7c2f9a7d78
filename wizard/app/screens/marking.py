"""The marking-out sheet: the same lines as `plugwright marking`."""

from __future__ import annotations

from textual import on

from wizard.app.messages import NumbersReady
from wizard.app.widgets.sheet import Lines, Reader
from wizard.plug.record import Build
from wizard.session.drawings import marking_lines


class MarkingScreen(Reader):
    """What is marked on the blank before it is cut."""

    def __init__(self, build: Build) -> None:
        super().__init__("Marking-out sheet", marking_lines(build))

    @on(NumbersReady)
    def _numbers_ready(self, event: NumbersReady) -> None:
        self.query_one(Lines).show(marking_lines(event.reckoned.build))
