"""How safe the answers are, as data and in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from wizard.store.faults import shown


@dataclass(frozen=True, slots=True)
class Kept:
    """How safe the answers are.

    Attributes:
        state: saved, saving (or about to), or not saved.
        path: where they are, or should be.
        at: when they were last saved; None before the first time.
        reason: why they are not saved, a clause.
        remedy: what helps, a clause.
        notes: what else the maker should know, sentences or clauses, each said once.
        moved: that they go on in another file, a sentence; empty while they do not.
        refuge: where a copy was left when they could not be saved in their place.
    """

    state: Literal["saved", "saving", "not saved"]
    path: Path
    at: datetime | None = None
    reason: str = ""
    remedy: str = ""
    notes: tuple[str, ...] = ()
    moved: str = ""
    refuge: Path | None = None

    @property
    def trouble(self) -> str:
        """Why they are not saved, what helps and where a copy is; empty if all is well."""
        if self.state == "saved":
            return ""
        reason = f"{self.reason}; {self.remedy}" if self.reason else "the disk was too slow"
        copy = f". A copy with every answer is in {shown(self.refuge)}" if self.refuge else ""
        return f"NOT SAVED: {reason}{copy}"
