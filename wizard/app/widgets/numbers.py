"""The numbers of a step, what the last answer did to them, and what to look at."""

from __future__ import annotations

from collections.abc import Iterator

from textual.content import Content

from wizard.app.messages import Reckoned
from wizard.app.widgets.drawn import Drawn, plugwright
from wizard.app.widgets.picture import Beside
from wizard.app.words import cell_len, fitted, wrapped
from wizard.session.standing import Reading, at_step, drilling, moved, readings, said
from wizard.steps.prompts import Step

Styled = tuple[str, str]

SHORT = 16
"""A terminal of no more lines than this has little room beside the question."""


class Numbers(Drawn):
    """A panel of lines; what doesn't fit is counted and one key away."""

    DEFAULT_CSS = "Numbers { height: auto; }"

    def __init__(self) -> None:
        super().__init__()
        self._step: Step | None = None
        self._reckoned: Reckoned | None = None
        self._shown_elsewhere: frozenset[str] = frozenset()
        self._sums: Reckoned | None = None
        self._wrapped: dict[int, list[Styled]] = {}

    def tell(self, step: Step, reckoned: Reckoned | None, elsewhere: frozenset[str]) -> None:
        """Show the numbers of a step.

        Args:
            step: which step.
            reckoned: the numbers, once they are worked out.
            elsewhere: keys of the answers under which their warnings stand already.
        """
        self._step, self._reckoned, self._shown_elsewhere = step, reckoned, elsewhere
        self._sums = None
        self._fit()

    def tell_sums(self, sums: Reckoned) -> None:
        """Show the numbers that are sums; what else stands here waits for the rest."""
        self._sums = sums
        self._fit()

    def _fit(self) -> None:
        self._wrapped.clear()
        height = self.get_content_height(None, None, self.size.width)
        self.refresh(layout=height != self.size.height)

    def _all(self, width: int) -> Iterator[Styled]:
        if self._step is None or self._reckoned is None:
            yield "  working out the numbers", ""
            return
        build, now, before = self._reckoned.build, self._reckoned.now, self._reckoned.before
        chosen = build.build.units
        state = drilling(build, now)
        if state is not None and self._step.id in ("ballast", "hardware", "coating"):
            yield f"{'! ' if not state[0] else '  '}{state[1]}", "bold"
        newest = self._sums or self._reckoned
        for reading in readings(self._step.shows, newest.now, newest.before, chosen):
            if reading.shown or reading.was:
                was = f"   was {reading.was}" if reading.was else ""
                yield from _number(reading.meaning, f"{reading.shown or 'not known'}{was}", width)
        promised = self._reckoned.promise
        if promised and self._step.id in ("stock", "shape"):
            yield f"  {promised}", ""
        for finding in at_step(now.warnings, self._step.id):
            if ".".join(str(p) for p in finding.path) not in self._shown_elsewhere:
                yield f"! {said(finding)}", ""
        others = [r for r in moved(now, before, chosen) if r.name not in self._step.shows]
        if others:
            yield f"  also: {'; '.join(map(_change, others))}", ""
        rest = len(now.warnings) - len(at_step(now.warnings, self._step.id))
        if rest > 0:
            yield f"  {rest} more to look at in other steps: {self._key}", ""

    @property
    def _key(self) -> str:
        return plugwright(self).key("working")

    def _lines(self, width: int, most: int) -> list[Styled]:
        if width not in self._wrapped:
            self._wrapped[width] = [
                (line, style)
                for text, style in self._all(width)
                for line in wrapped(self.spelled(text), width, "    ")
            ]
        lines = self._wrapped[width]
        if len(lines) > most:
            hidden = len(lines) - most + 1
            lines = [*lines[: most - 1], (f"  {hidden} more lines: {self._key}", "")]
        return lines or [("  no numbers yet at this step", "")]

    def _most(self) -> int:
        height = self.screen.size.height
        if not self.screen.has_class("-broad"):
            return max(height // 4, 3) if height > SHORT else 1
        shared = any(beside.display for beside in self.screen.query(Beside))
        return max(height - 8 if not shared else (height - 8) // 2, 4)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as there are to show, up to a quarter of the screen."""
        return 1 + len(self._lines(width, self._most()))

    def render(self) -> Content:
        """The panel under its rule."""
        width = self.size.width
        rule = self.spelled(f"── Numbers {'─' * width}")
        out = [Content.styled(fitted(rule, width + 1)[:width], "")]
        out += [Content.styled(text, style) for text, style in self._lines(width, self._most())]
        return Content("\n").join(out)


def _change(reading: Reading) -> str:
    if not reading.was:
        return f"{reading.meaning} {reading.shown} (new)"
    return f"{reading.meaning} {reading.was} → {reading.shown or 'not known any more'}"


def _number(meaning: str, shown: str, width: int) -> Iterator[Styled]:
    """A number on one line where it fits, else under its meaning."""
    column = 42
    if column + cell_len(shown) + 2 <= width and cell_len(meaning) <= column - 2:
        yield f"  {fitted(meaning, column - 2)} {shown}", ""
    else:
        yield f"  {meaning}:", ""
        yield f"      {shown}", ""
