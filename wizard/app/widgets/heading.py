"""The top of a step: which it is, how far the walk is, and whether all is saved."""

from __future__ import annotations

from textual.content import Content

from wizard.app.widgets.drawn import Drawn, plugwright
from wizard.app.words import cell_len, columns, fitted
from wizard.plug.record import Build
from wizard.session.kept import Kept
from wizard.steps.prompts import Phase, Step
from wizard.steps.walk import PHASES, STEPS, done_steps, position


def phase_states(build: Build, step: Step) -> tuple[tuple[Phase, str], ...]:
    """Each phase of the walk with where it stands, in a word."""
    done = done_steps(build)
    states = []
    for phase in PHASES:
        within = [s for s in STEPS if s.phase == phase]
        if phase == step.phase:
            state = "here"
        elif all(s.id in done for s in within):
            state = "done"
        else:
            state = "to do"
        states.append((phase, state))
    return tuple(states)


def saving(kept: Kept, read_only: bool) -> str:
    """How safe the answers are, in a word or two."""
    if read_only:
        return "read only"
    if kept.state == "saved":
        return f"saved {kept.at:%H:%M}" if kept.at else "all saved"
    return "NOT SAVED" if kept.state == "not saved" else "saving"


class Heading(Drawn):
    """Two lines that say where the maker is."""

    DEFAULT_CSS = "Heading { height: 2; background: $field; color: $ink; }"

    def __init__(self) -> None:
        super().__init__()
        self._left = self._called = self._saving = self._cautions = ""
        self._phases: tuple[str, ...] = ()
        self._phases_of: tuple[Build, Step] | None = None

    def tell(self, build: Build, step: Step, kept: Kept, read_only: bool, cautions: int) -> None:
        """Show this state."""
        self._left = f"Step {position(step)} of {len(STEPS)} · {step.title}"
        self._called = build.build.name or "a build without a name"
        self._saving = saving(kept, read_only)
        if self._phases_of is None or self._phases_of[0] is not build or self._phases_of[1] != step:
            self._phases_of = build, step
            self._phases = _phases(build, step)
        many = "1 caution" if cautions == 1 else f"{cautions} cautions"
        self._cautions = f"! {many}: {plugwright(self).key('cautions')}" if cautions else ""
        self.refresh()
        # With the very next frame: a row must not say “ok” in it beside an older “saved”.
        self.screen._dirty_widgets.add(self)

    def render(self) -> Content:
        """The two lines."""
        width = self.size.width
        right = self.spelled(f"{self._saving} ")
        first = columns(self.spelled(f" {self._left} · {self._called}"), right, width)
        cautions = self.spelled(self._cautions)
        room = width - cell_len(cautions) - 2
        whole = (text for text in map(self.spelled, self._phases) if cell_len(text) <= room)
        second = columns(f" {next(whole, '')}", cautions, width)
        return Content.assemble((fitted(first, width), "bold"), "\n", fitted(second, width))


def _phases(build: Build, step: Step) -> tuple[str, ...]:
    """How far the walk is, in words: all of them, and shorter where there is less room."""
    states = phase_states(build, step)
    done = sum(state == "done" for _, state in states)
    return (
        " · ".join(f"{phase}: {state}" for phase, state in states),
        f"{step.phase}: here · {done} of {len(PHASES)} phases done",
        f"{step.phase}: here",
    )


class Banner(Drawn):
    """One loud line while something is wrong; no room at all otherwise."""

    DEFAULT_CSS = """
    Banner { height: auto; display: none; text-style: bold reverse; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._text = ""

    def tell(self, text: str) -> None:
        """Show this, or nothing."""
        if text != self._text:
            self._text = text
            self.display = bool(text)
            self.refresh(layout=True)

    def render(self) -> Content:
        """The line."""
        return self.content(self._text)
