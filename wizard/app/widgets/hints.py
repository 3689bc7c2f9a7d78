"""The keys that work here, in one line, built from the bindings themselves."""

from __future__ import annotations

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.dom import DOMNode
from textual.screen import Screen

from wizard.app.widgets.drawn import Drawn
from wizard.app.words import cell_len

MOST = 5
"""Hints in a line; the menu has the rest."""

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


def hinted(screen: Screen[object]) -> list[tuple[str, Binding]]:
    """The bindings to show on a screen, one an action, with the key to name."""
    found: dict[str, tuple[str, Binding]] = {}
    for key, active in screen.active_bindings.items():
        if active.binding.show and active.enabled and active.binding.description:
            found.setdefault(active.binding.action, (key, active.binding))
    ordered = sorted(found.values(), key=lambda pair: pair[0] == "escape")
    return ordered[:MOST]


class Hints(Drawn):
    """One line of keys with what they do."""

    DEFAULT_CSS = "Hints { height: 1; dock: bottom; background: $field; color: $ink; }"

    def on_mount(self) -> None:
        """Follow the bindings."""
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.refresh())

    def _parts(self) -> list[tuple[str, str, str]]:
        parts, used = [], 0
        for key, binding in hinted(self.screen):
            name = key_name(key)
            used += cell_len(name) + cell_len(binding.description) + 4
            if used > self.size.width:
                break
            parts.append((name, binding.description, binding.action))
        return parts

    def render(self) -> Content:
        """The keys in bold, each with its act."""
        styled: list[str | tuple[str, str]] = []
        for name, description, _ in self._parts():
            styled += [" ", (name, "bold"), f" {description}  "]
        return self.content(*styled)

    async def on_click(self, event: events.Click) -> None:
        """A click on a hint does what its key does."""
        at = 0
        for name, description, action in self._parts():
            at += cell_len(name) + cell_len(description) + 4
            if event.x < at:
                await self.app.run_action(action, self._owner(action))
                return

    def _owner(self, action: str) -> DOMNode:
        """Whose act it is: the screen's, or the app's."""
        bound = self.screen.active_bindings.values()
        return next(one.node for one in bound if one.binding.action == action)
