"""What the program has to say about a build, as data; the words come last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wizard.plug.paths import Path, step_of, words
from wizard.plug.record import StepId

Level = Literal["refusal", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth saying.

    Attributes:
        level: a refusal is impossible, a warning can be kept, a note explains.
        path: the answer it is about.
        wrong: what is wrong, a whole sentence.
        remedy: what was expected or what to do, whole sentences; may be empty.
    """

    level: Level
    path: Path
    wrong: str
    remedy: str = ""

    @property
    def step(self) -> StepId:
        """The step at which it can be mended."""
        return step_of(self.path)

    @property
    def text(self) -> str:
        """All of it in one line, naming the answer."""
        return " ".join(part for part in (f"{words(self.path)}:", self.wrong, self.remedy) if part)
