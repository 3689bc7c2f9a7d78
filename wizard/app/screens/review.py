"""The whole build on one page: the same lines as `plugwright review`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual import on
from textual.widget import Widget

from wizard.app.messages import NumbersReady
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.sheet import Lines, Reader, Scroll
from wizard.plug.derive import Derived
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.report.finishing import since_finished
from wizard.report.text import review
from wizard.session.standing import with_labels
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

    def _show(self, build: Build, derived: Derived) -> None:
        self.query_one(Lines).show(tuple(page(build, derived, self._file_findings)))


def page(build: Build, derived: Derived, odd: Sequence[Finding]) -> Iterator[str]:
    """The lines of the review page."""
    if build.shown is not None and build.shown.at is not None:
        yield f"Finished {build.shown.at:%Y-%m-%d %H:%M} with version {build.shown.version}."
        changed = since_finished(build, derived)
        yield from (f"  ! since then: {line}" for line in changed)
        if not changed:
            yield "The numbers are the ones shown then."
        yield ""
    yield from (with_labels(line) for line in review(build, derived, odd).splitlines())
