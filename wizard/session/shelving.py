"""Finding a build on the shelf: what is typed, what is put away, in which order."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from wizard.session.found import Found

ORDERS: Mapping[str, tuple[str, Callable[[Found], Any]]] = {
    "modified": ("last worked on first", lambda f: -f.modified),
    "name": ("by name", lambda f: f.title.casefold()),
    "step": ("by step, the furthest first", lambda f: (-f.position, f.title.casefold())),
    "aim": ("by aim", lambda f: (f.aim == "", f.aim, f.title.casefold())),
    "due": ("what is due first", lambda f: (f.urgency, -f.modified)),
}
"""The orders of the shelf: what each is called, and the key that it sorts by."""

USUAL = "modified"


def ordered(builds: Sequence[Found], order: str = USUAL) -> tuple[Found, ...]:
    """Builds in an order of the shelf; files that can't be read come last."""
    _, key = ORDERS[order]
    return tuple(sorted(builds, key=lambda f: (bool(f.wrong), key(f) if not f.wrong else 0)))


def matching(builds: Sequence[Found], typed: str) -> tuple[Found, ...]:
    """The builds in which every word that was typed stands somewhere, whatever its case."""
    words = typed.casefold().split()
    return tuple(f for f in builds if all(word in _told(f) for word in words))


def _told(found: Found) -> str:
    """All that is told of a build, for looking in."""
    if found.wrong:
        return f"{found.path.name} {found.wrong[0]}".casefold()
    parts = (found.line, found.path.name, "archived" if found.is_archived else "")
    return " ".join(parts).casefold()


def on_show(builds: Sequence[Found], *, archived: bool) -> tuple[Found, ...]:
    """The builds of the shelf, or those that are put away."""
    return tuple(f for f in builds if f.is_archived == archived)
