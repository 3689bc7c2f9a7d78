"""Answers as they stand on a sheet: as typed, those that came over from another build marked."""

from __future__ import annotations

from wizard.plug.onward.carried import marked
from wizard.plug.onward.compare import typed
from wizard.plug.paths import get
from wizard.plug.record import Build

CARRIED = "*"
"""The sign behind an answer that came over from another build and was not changed since."""


class Answers:
    """The answers of one build, by their places."""

    def __init__(self, build: Build) -> None:
        self.build = build
        self._marks = marked(build)

    def is_carried(self, *path: str | int) -> bool:
        """Whether an answer, or the table that it stands in, came over."""
        return any(path[: len(mark)] == mark for mark in self._marks)

    def text(self, *path: str | int, otherwise: str = "") -> str:
        """An answer as typed, with its mark; `otherwise` where there is none."""
        answer = get(self.build, path)
        if answer is None or answer == ():
            return otherwise
        return f"{typed(answer)} {CARRIED}" if self.is_carried(*path) else typed(answer)
