"""What screens are told by the app, named for what happened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from wizard.plug.derived import Derived
    from wizard.plug.record import Build
    from wizard.session.kept import Kept


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What follows from a build, and from the one before the last answer.

    Attributes:
        build: what it was worked out from.
        now: its numbers and findings.
        before: those before the last edit; None if there was none.
        promise: what the drawing promises before it is cut, in a line; empty for nothing.
    """

    build: Build
    now: Derived
    before: Derived | None = None
    promise: str = ""


class BuildChanged(Message, bubble=False):
    """An edit, an undo or a redo made another build."""


@dataclass
class SumsReady(Message, bubble=False):
    """The numbers that are sums are worked out; the others follow."""

    reckoned: Reckoned


@dataclass
class NumbersReady(Message, bubble=False):
    """The numbers of the build as it stands are worked out."""

    reckoned: Reckoned


@dataclass
class KeptChanged(Message, bubble=False):
    """The state of saving is another."""

    kept: Kept
