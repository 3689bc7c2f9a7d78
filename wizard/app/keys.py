"""Keys as Textual binds them, as people call them, and those that a keypad sends.

Which act has which key stands in `wizard.plug.keys`; a bench file may give others.
"""

from __future__ import annotations

from typing import Any

from textual.binding import Binding
from textual.events import Key

from wizard.plug.keys import ACTS, BY_NAME

SHOWN = ("help", "working", "undo", "large", "pick", "notes", "picture", "menu")
"""Acts whose keys are shown where they work; the menu has the rest."""

BEFORE_A_FIELD = ("picture", "large", "quit")
"""Acts whose keys a field would take for itself."""

_ACTIONS = {"page": "timetable"}


def bound(act: str, action: str = "", does: str = "", **more: Any) -> Binding:
    """What a screen does with the keys of an act."""
    known = BY_NAME[act]
    return Binding(",".join(known.keys), action or act, does or known.does, id=act, **more)


EVERYWHERE: tuple[Binding, ...] = (
    *(
        bound(
            act.name,
            _ACTIONS.get(act.name, ""),
            show=act.name in SHOWN,
            priority=act.name in BEFORE_A_FIELD,
        )
        for act in ACTS
        if act.where != "builds"
    ),
    Binding("ctrl+c", "explain_quit", "How to quit", show=False),
    Binding("ctrl+s", "explain_saved", "Is it saved?", show=False),
    Binding("ctrl+z", "suspend_process", "Suspend", show=False),
)

_NAMES = {
    "escape": "Esc",
    "enter": "Enter",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "space": "Space",
    "left": "Left",
    "right": "Right",
}


def key_name(key: str) -> str:
    """A key as people call it."""
    if key.startswith("ctrl+"):
        return f"Ctrl+{key[5:].upper()}"
    return _NAMES.get(key, key.upper() if key[:1] == "f" and key[1:].isdigit() else key)


_KEYPAD = {
    "decimal": ("full_stop", "."),
    "separator": ("comma", ","),
    "divide": ("slash", "/"),
    "multiply": ("asterisk", "*"),
    "subtract": ("minus", "-"),
    "add": ("plus", "+"),
    "equal": ("equals_sign", "="),
}
"""What a keypad's signs type; some terminals send their names alone."""


def typed_by_keypad(event: Key) -> Key:
    """A key of the keypad as the sign that it types; any other as it is."""
    sign = _KEYPAD.get(event.key)
    if sign is None:
        return event
    key, character = sign
    return Key(key, event.character or character)
