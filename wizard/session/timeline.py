"""The edits of a sitting in order: undo and redo over frozen builds."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wizard.plug.paths import Path
from wizard.plug.record import Build

LONGEST = 500
"""Edits that can be undone; each shares all that it didn't change with the one before."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A build as one edit left it.

    Attributes:
        build: the record after the edit.
        path: the answer that the edit changed; empty for the start.
        said: what was done, in words.
    """

    build: Build
    path: Path = ()
    said: str = ""


@dataclass(frozen=True, slots=True)
class Timeline:
    """The moments of a sitting and the one that holds now.

    Attributes:
        moments: in order of the edits; at least the start.
        at: which one holds, counted from zero.
    """

    moments: tuple[Moment, ...]
    at: int = 0

    @property
    def now(self) -> Moment:
        """The moment that holds."""
        return self.moments[self.at]

    def then(self, build: Build, path: Path, said: str) -> Timeline:
        """With one more edit; what was undone before it is given up."""
        kept = (*self.moments[: self.at + 1], Moment(build, path, said))[-LONGEST:]
        return Timeline(kept, len(kept) - 1)

    def amended(self, build: Build) -> Timeline:
        """With the present moment's build exchanged, where nothing is worth undoing."""
        moments = list(self.moments)
        moments[self.at] = replace(self.now, build=build)
        return Timeline(tuple(moments), self.at)

    def undone(self) -> tuple[Timeline, Moment] | None:
        """One edit back, and the edit that was taken back; None at the start."""
        return (Timeline(self.moments, self.at - 1), self.now) if self.at else None

    def redone(self) -> tuple[Timeline, Moment] | None:
        """One edit forward again, and that edit; None at the end."""
        if self.at + 1 == len(self.moments):
            return None
        forward = Timeline(self.moments, self.at + 1)
        return forward, forward.now
