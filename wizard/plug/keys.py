"""Acts of the app that have a key, by name, so that a bench file can give them others.

Function keys come with a control key that neither terminals, nor tmux, nor a line
editor take for themselves. No letter, digit or sign that types is a command.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:  # the first screen needs keys, and nothing of a record
    from wizard.plug.findings import Finding

Where = Literal["everywhere", "build", "builds"]


@dataclass(frozen=True, slots=True)
class Act:
    """Something that a key does.

    Attributes:
        name: in the bench file.
        keys: that do it unless the bench file says otherwise; the first one is shown.
        does: what it does, in a word or a few.
        where: in all places, on the pages of an open build, or on the list of builds.
    """

    name: str
    keys: tuple[str, ...]
    does: str
    where: Where = "build"


ACTS: tuple[Act, ...] = (
    Act("help", ("f1", "ctrl+g"), "Help", "everywhere"),
    Act("working", ("f2", "ctrl+r"), "Working"),
    Act("undo", ("f3", "ctrl+o"), "Undo", "everywhere"),
    Act("large", ("f4", "ctrl+d"), "Large"),
    Act("pick", ("f5", "ctrl+t"), "Pick"),
    Act("notes", ("f6", "ctrl+n"), "Notes"),
    Act("answers", ("f7", "ctrl+l"), "All answers"),
    Act("picture", ("f8", "ctrl+x"), "Picture"),
    Act("cautions", ("f9",), "Cautions"),
    Act("steps", ("ctrl+f", "f11"), "Go to a step"),
    Act("page", ("f12",), "Timetable of the coats"),
    Act("menu", ("ctrl+p", "f10"), "Menu", "everywhere"),
    Act("redo", ("ctrl+y",), "Redo", "everywhere"),
    Act("quit", ("ctrl+q",), "Quit", "everywhere"),
    Act("this_build", ("f6", "ctrl+n"), "This build", "builds"),
    Act("order", ("f7", "ctrl+l"), "Order", "builds"),
)
"""Every act whose key may be changed."""

BY_NAME: Mapping[str, Act] = {act.name: act for act in ACTS}

EXPECTED = 'Expected text like "f13" or "f3,ctrl+e": f1 to f24, or ctrl+ and a letter.'
_KEY = re.compile(r"f([1-9]|1[0-9]|2[0-4])|ctrl\+[a-z]")
_TAKEN = {
    "ctrl+c": "it is pressed by habit and says how to quit",
    "ctrl+h": "terminals send it for Backspace",
    "ctrl+i": "terminals send it for Tab",
    "ctrl+j": "terminals send it for Enter",
    "ctrl+m": "terminals send it for Enter",
    "ctrl+z": "it suspends the program",
    "ctrl+s": "it is pressed by habit and says what is saved",
    **dict.fromkeys(("ctrl+a", "ctrl+k", "ctrl+u", "ctrl+v", "ctrl+w"), "it edits a line"),
}
"""Keys that an act can't have, with the reason."""


def named_keys(typed: object) -> tuple[str, ...]:
    """The keys that a text of the bench file names."""
    if not isinstance(typed, str):
        return ()
    return tuple(part for part in re.split(r"[\s,]+", typed.strip().lower()) if part)


def key_findings(chosen: Mapping[str, Any]) -> Iterator[Finding]:
    """What is wrong with the keys that a maker chose, act by act; each a refusal."""
    from wizard.plug.findings import Finding

    seen: dict[str, list[Act]] = {}
    for act in ACTS:
        for key in act.keys if act.name not in chosen else named_keys(chosen[act.name]):
            seen.setdefault(key, []).append(act)
    for name, typed in chosen.items():
        wrong, remedy = _wrong(name, typed, seen)
        if wrong:
            yield Finding("refusal", ("keys", name), wrong, remedy)


def _wrong(name: str, typed: object, seen: Mapping[str, list[Act]]) -> tuple[str, str]:
    act, keys = BY_NAME.get(name), named_keys(typed)
    if act is None:
        near = get_close_matches(name, BY_NAME, n=1)
        meant = f"Did you mean “{near[0]}”?" if near else f"Expected one of {', '.join(BY_NAME)}."
        return "No act of the app is called so.", meant
    if not keys:
        return "This names no key.", EXPECTED
    for key in keys:
        if key in _TAKEN:
            return f"“{key}” can't be had: {_TAKEN[key]}.", EXPECTED
        if not _KEY.fullmatch(key):
            return f"“{key[:20]}” is no key for an act.", EXPECTED
        for other in seen[key]:
            if other is not act and _meet(act, other):
                free = f"Give “{other.name}” another key as well, or take another here."
                return f"“{key}” is the key of “{other.name}”.", free
    return "", ""


def _meet(one: Act, other: Act) -> bool:
    """Whether two acts can be wanted in the same place."""
    return "everywhere" in (one.where, other.where) or one.where == other.where
