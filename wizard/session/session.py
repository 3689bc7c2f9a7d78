"""An open build and all that may be done with it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from wizard.plug.findings import Finding
from wizard.plug.onward.carried import still_carried
from wizard.plug.paths import Path as AnswerPath
from wizard.plug.record import Build
from wizard.session.drafts import standing, still_holds
from wizard.session.keeping import Keeper, Kept
from wizard.session.timeline import Moment, Timeline
from wizard.steps.prompts import Step
from wizard.steps.walk import at_step, step_named
from wizard.store.history import Draft
from wizard.store.locks import HeldBy


class ReadOnly(Exception):  # noqa: N818 - it names the state
    """Another window has the build; nothing is changed here."""


class Session:
    """One build, open.

    Attributes:
        build: the record as it stands.
        odd: what was odd about the file.
        draft: where the maker was when the build was last open, and what was being typed.
        pending: texts that are no answers yet, by dotted path: never cleared.
        holder: who has the build, if it can only be read here.
        notices: what is to be said on opening, sentences.
    """

    def __init__(
        self,
        build: Build,
        keeper: Keeper | HeldBy,
        path: Path,
        odd: tuple[Finding, ...] = (),
        draft: Draft | None = None,
        notices: tuple[str, ...] = (),
    ) -> None:
        self.odd, self.notices = odd, notices
        self.draft = draft if draft is not None and still_holds(build, draft) else None
        self.pending: dict[str, str] = {}
        if self.draft is not None:
            self._begin(self.draft.field, self.draft.text, self.draft.over)
        self._timeline = Timeline((Moment(build),))
        self._keeper = keeper if isinstance(keeper, Keeper) else None
        self.holder = keeper if isinstance(keeper, HeldBy) else None
        self._path = path

    @property
    def build(self) -> Build:
        """The record as it stands."""
        return self._timeline.now.build

    @property
    def path(self) -> Path:
        """Where the build is kept."""
        return self._keeper.kept.path if self._keeper else self._path

    @property
    def kept(self) -> Kept:
        """How safe the answers are."""
        return self._keeper.kept if self._keeper else Kept("saved", self._path)

    @property
    def step(self) -> Step:
        """The step at which the build stands."""
        return step_named(self.build.build.step)

    def change(self, build: Build, path: AnswerPath, said: str) -> None:
        """Make an edit and have it saved.

        Raises:
            ReadOnly: another window has the build.
        """
        if build == self.build:
            return
        self._own()
        self._timeline = self._timeline.then(still_carried(self.build, build), path, said)
        self._save()

    def go_back(self, build: Build, said: str) -> None:
        """Make an earlier version the present one, which is kept; undo brings it back.

        Raises:
            ReadOnly: another window has the build.
        """
        self._own().remember(self.build)
        self.change(at_step(build, self.step), (), said)

    def undo(self) -> Moment | None:
        """Take back the last edit; None if there is none."""
        return self._turn_to(self._timeline.undone())

    def redo(self) -> Moment | None:
        """Make again what was undone; None if there is nothing."""
        return self._turn_to(self._timeline.redone())

    def go(self, step: Step) -> None:
        """Stand at a step, so that the build resumes there; where it is only read, in here."""
        if self.build.build.step != step.id:
            self._timeline = self._timeline.amended(at_step(self.build, step))
            if self._keeper is not None:
                self._save()

    def typing(self, field: str, text: str) -> None:
        """Keep what is being typed, and in which field."""
        over = standing(self.build, field)
        self._begin(field, text, over)
        if self._keeper is not None:
            self._keeper.draft(Draft(field, text, over))

    def at(self, field: str) -> None:
        """Keep where the maker is; what was begun there goes on being kept."""
        self.typing(field, self.pending.get(field, standing(self.build, field)))

    def elsewhere(self, path: Path) -> None:
        """Save to another place from now on.

        Raises:
            ReadOnly: another window has the build.
        """
        self._own().elsewhere(path)
        self._save()

    def flush(self, patience: float) -> bool:
        """Wait until all is on the disk; False if that fails or takes too long."""
        return self._keeper.flush(patience) if self._keeper else True

    def close(self, patience: float = 5.0, refuges: Iterable[Path] = ()) -> bool:
        """Save what is left and let others have the build.

        Args:
            patience: how long that may take [s].
            refuges: folders to leave a copy in if it can't be saved in its place.
        """
        return self._keeper.close(patience, refuges) if self._keeper else True

    def _begin(self, field: str, text: str, over: str) -> None:
        """Remember what is begun; an answer that is only taken out still stands."""
        if text.strip() and text != over:
            self.pending[field] = text
        else:
            self.pending.pop(field, None)

    def _own(self) -> Keeper:
        if self._keeper is None:
            raise ReadOnly
        return self._keeper

    def _save(self) -> None:
        self._own().keep(self.build)

    def _turn_to(self, found: tuple[Timeline, Moment] | None) -> Moment | None:
        if found is None:
            return None
        here = self.step
        self._timeline, moment = found
        self._timeline = self._timeline.amended(at_step(self.build, here))
        self._save()
        return moment
