"""The whole build on one page: the same lines as `plugwright review`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual import on, work
from textual.widget import Widget

from wizard.apart.here import result_of
from wizard.app.messages import NumbersReady
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.sheet import Lines, Reader, Scroll
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.session.figures import review_page
from wizard.steps.walk import same_answers


class ReviewScreen(Reader):
    """Numbers, weight account, bench sum, doubts, findings; and what moved since finished."""

    def __init__(self, build: Build, odd: Sequence[Finding]) -> None:
        super().__init__("Review", ())
        self._record, self._file_findings = build, tuple(odd)

    def body(self) -> Iterator[Widget]:
        """The lines, as soon as the numbers are there."""
        yield Scroll(Lines(("working out the numbers",)))

    def on_mount(self) -> None:
        """Show the numbers at hand, or those to come."""
        reckoned = plugwright(self).reckoned
        if reckoned is not None and same_answers(reckoned.build, self._record):
            self._show(self._record, reckoned.now)

    @on(NumbersReady)
    def _numbers_ready(self, event: NumbersReady) -> None:
        self._show(event.reckoned.build, event.reckoned.now)

    @work(exclusive=True, group="reckon", description="the review")
    async def _show(self, build: Build, derived: Derived) -> None:
        apart, odd = plugwright(self).apart, self._file_findings
        self.query_one(Lines).show(await result_of(apart, review_page, build, derived, odd))
