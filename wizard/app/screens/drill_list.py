"""The holes one after the other, in letters to be read from the drill press."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget

from wizard.app.keys import bound
from wizard.app.messages import NumbersReady
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.large import Large
from wizard.app.widgets.sheet import Sheet, Title
from wizard.plug.bench import Bench
from wizard.session.drill_list import drill_list
from wizard.session.large import alert_at
from wizard.session.session import Session

LAST = "That was the last hole. Esc goes back; Up shows the one before."


class DrillListScreen(Sheet[None]):
    """A card for each hole: drill, place, depth, way."""

    is_of_build = True

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,down,space,plus,pagedown", "turn(1)", "Next hole"),
        Binding("up,minus,pageup", "turn(-1)", "The one before", show=False),
        bound("large", "close", "Back", show=False, priority=True),
    ]

    def __init__(self, session: Session, bench: Bench, at: int = 0) -> None:
        super().__init__()
        self._session, self._bench, self._at = session, bench, at

    def body(self) -> Iterator[Widget]:
        """The card."""
        yield Large()

    def on_mount(self) -> None:
        """Show the first card."""
        self._show()

    @on(NumbersReady)
    def _show(self) -> None:
        cards = drill_list(self._session.build, self._bench)
        self._at = max(0, min(self._at, len(cards) - 1))
        if not cards:
            self.action_close()  # undone meanwhile
            return
        reckoned = plugwright(self).reckoned
        derived = reckoned.now if reckoned is not None else None
        alert = alert_at(self._session.build, "ballast", derived)
        self.query_one(Large).show(replace(cards[self._at], alert=alert))
        name = self._session.build.build.name or "a build without a name"
        self.query_one(Title).say(f"Drill list: hole {self._at + 1} of {len(cards)} · {name}")

    def action_turn(self, way: int) -> None:
        """The next hole, or the one before."""
        count = len(drill_list(self._session.build))
        self.say(LAST if self._at + way >= count else "")
        self._at += way
        self._show()
