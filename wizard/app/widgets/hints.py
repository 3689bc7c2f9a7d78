"""The keys that work here, in a line or two, built from the bindings themselves."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.dom import DOMNode
from textual.screen import Screen

from wizard.app.keys import key_name
from wizard.app.widgets.drawn import Drawn, Prose
from wizard.app.words import cell_len
from wizard.plug.keys import ACTS, BY_NAME

if TYPE_CHECKING:
    from wizard.app.app import Plugwright

MOST = 9
"""Hints at most; the menu has the rest."""

ROOMY = 18
"""Lines of a terminal from which the hints may take two of them."""

Hint = tuple[str, str, str]
"""A key as people call it, what it does, and its action."""


def hinted(screen: Screen[object]) -> list[Hint]:
    """What to show on a screen: its own keys first, then the acts in their order."""
    found: dict[str, tuple[str, Binding]] = {}
    for key, active in screen.active_bindings.items():
        if active.binding.show and active.enabled and active.binding.description:
            found.setdefault(active.binding.action, (key, active.binding))
    words = getattr(screen, "hint_words", {})
    key_of = cast("Plugwright", screen.app).key
    ordered = sorted(found.items(), key=lambda one: _place(*one[1]))
    hints = [
        (
            key_of(binding.id) if binding.id and binding.id in BY_NAME else key_name(key),
            words.get(action, binding.description),
            action,
        )
        for action, (key, binding) in ordered
    ]
    return hints if len(hints) <= MOST else [*hints[: MOST - 2], *hints[-2:]]


_ORDER = ("", *(act.name for act in ACTS if act.name != "menu"), "menu", "escape")


def _place(key: str, binding: Binding) -> int:
    """Where a hint stands: the menu has the rest and Esc is the way back, so they come last."""
    if key == "escape":
        return len(_ORDER)
    own = binding.id in ("page", "this_build", "order", None)
    return 0 if own or binding.id not in _ORDER else _ORDER.index(binding.id)


class Hints(Drawn):
    """Keys with what they do: one line, or two where that does not do and there is room."""

    DEFAULT_CSS = "Hints { height: auto; background: $field; color: $ink; }"

    def on_mount(self) -> None:
        """Follow the bindings."""
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self._follow())

    _painted: tuple[list[list[Hint]], int] | None = None

    def _follow(self) -> None:
        """Show the keys if they are others now; the rest of the screen moves only if it must."""
        lines, gap = self._lines(self.size.width)
        if (lines, gap) != self._painted:
            self.refresh(layout=len(lines) != self.size.height)

    def _lines(self, width: int) -> tuple[list[list[Hint]], int]:
        """The hints on their lines, and the cells between two of them."""
        hints = hinted(self.screen)
        for gap in (3, 2, 1):
            if _long(hints, gap) <= width:
                return [hints], gap
        roomy = self.screen.size.height >= ROOMY
        lines = _broken(hints, roomy)
        while len(hints) > 2 and not _fit(lines, 1, width):
            hints.pop(len(hints) - 3)  # the way back and the menu stay
            lines = _broken(hints, roomy)
        return lines, 2 if _fit(lines, 2, width) else 1

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """One line, or two."""
        return len(self._lines(width)[0])

    def render(self) -> Content:
        """The keys in bold, each with its act."""
        lines, gap = self._painted = self._lines(self.size.width)
        return Content("\n").join(self._line(line, gap) for line in lines)

    def _line(self, hints: list[Hint], gap: int) -> Content:
        styled: list[str | tuple[str, str]] = [" "]
        for number, (name, description, _) in enumerate(hints):
            styled += [" " * gap if number else "", (name, "bold"), f" {description}"]
        return self.content(*styled)

    async def on_click(self, event: events.Click) -> None:
        """A click on a hint does what its key does."""
        lines, gap = self._lines(self.size.width)
        hints = lines[min(event.y, len(lines) - 1)]
        ends = accumulate(cell_len(name) + cell_len(does) + 1 + gap for name, does, _ in hints)
        for end, (_, _, action) in zip(ends, hints, strict=True):
            if event.x <= end:
                await self.app.run_action(action, self._owner(action))
                return

    def _owner(self, action: str) -> DOMNode:
        """Whose act it is: the screen's, or the app's."""
        bound = self.screen.active_bindings.values()
        return next(one.node for one in bound if one.binding.action == action)


class Foot(Vertical):
    """The last lines of a screen: what is said, over the keys."""

    DEFAULT_CSS = "Foot { dock: bottom; height: auto; }"

    def __init__(self, lead: str = "") -> None:
        super().__init__()
        self._lead = lead

    def compose(self) -> ComposeResult:
        """What is said, and the keys."""
        yield Prose(self._lead, id="said")
        yield Hints()


def _broken(hints: list[Hint], roomy: bool) -> list[list[Hint]]:
    """The hints on one line, or on two of about as many where there is room."""
    half = (len(hints) + 1) // 2 if roomy else len(hints)
    return [line for line in (hints[:half], hints[half:]) if line]


def _fit(lines: list[list[Hint]], gap: int, width: int) -> bool:
    return all(_long(line, gap) <= width for line in lines)


def _long(hints: list[Hint], gap: int) -> int:
    """Cells that hints take on one line, with a space before and one behind."""
    return (
        2
        + sum(cell_len(name) + 1 + cell_len(does) for name, does, _ in hints)
        + gap * (len(hints) - 1)
    )
