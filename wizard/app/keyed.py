"""The part of the app that knows which key does what: the usual one, or the maker's own."""

from __future__ import annotations

from collections.abc import Mapping

from textual.app import App

from wizard.app.keys import key_name
from wizard.plug.keys import BY_NAME, named_keys


class Keyed(App[int]):
    """An app whose acts have keys that can be changed."""

    _own_keys: Mapping[str, str] = {}

    def use_keys(self, chosen: Mapping[str, str]) -> None:
        """Give acts the keys that the maker chose, by the act's name."""
        self._own_keys = {act: ",".join(named_keys(keys)) for act, keys in chosen.items()}
        self.set_keymap(self._own_keys)

    def keys_of(self, act: str) -> tuple[str, ...]:
        """The keys of an act as people call them."""
        own = self._own_keys.get(act)
        return tuple(key_name(key) for key in (own.split(",") if own else BY_NAME[act].keys))

    def key(self, act: str) -> str:
        """The key of an act that is shown."""
        return self.keys_of(act)[0]
