"""Desktop notifications by escape codes, for the terminals that are known to take them."""

from __future__ import annotations

from collections.abc import Mapping

LONGEST = 160
_BY_PROGRAM = frozenset({"iTerm.app", "WezTerm", "ghostty"})
_BY_NAME = ("foot", "rxvt-unicode", "xterm-ghostty", "xterm-kitty")
_IN_BETWEEN = ("TMUX", "STY")
"""Variables of programs that stand between and swallow such codes."""


def notification(environment: Mapping[str, str], title: str, text: str) -> str | None:
    """The code that asks a terminal for a notification; None where it isn't known to take one.

    Args:
        environment: of the process.
        title: what it is about.
        text: what is said; nothing in either acts.
    """
    if any(name in environment for name in _IN_BETWEEN):
        return None
    head, body = _tame(title), _tame(text)
    term = environment.get("TERM", "")
    if environment.get("TERM_PROGRAM") in _BY_PROGRAM or term == "xterm-kitty":
        return f"\x1b]9;{head}: {body}\x07"
    if term.startswith(_BY_NAME):
        return f"\x1b]777;notify;{head};{body}\x07"
    return None


def _tame(text: str) -> str:
    """A text without what ends or divides the code, and without any other code."""
    plain = "".join(sign if sign.isprintable() and sign != ";" else " " for sign in text)
    return plain[:LONGEST]
