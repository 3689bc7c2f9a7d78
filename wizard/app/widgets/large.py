"""A card in letters that can be read from across the bench."""

from __future__ import annotations

from textual.content import Content

from wizard.app.widgets.drawn import Drawn, plugwright
from wizard.app.words import cut
from wizard.session.card import Card
from wizard.session.card_lines import MARGIN, card_lines

STYLES = {"block": "", "text": "bold", "small": "", "alert": "bold reverse"}


class Large(Drawn):
    """The lines of a card, in ink on paper: the strongest contrast that the colours have."""

    DEFAULT_CSS = "Large { height: 1fr; background: $paper; color: $ink; }"

    def __init__(self, card: Card | None = None) -> None:
        super().__init__()
        self._card = card

    def show(self, card: Card) -> None:
        """Show another card."""
        if card != self._card:
            self._card = card
            self.refresh()

    def render(self) -> Content:
        """As much of it as there is room for."""
        if self._card is None:
            return Content("")
        width, height = self.size
        lines = card_lines(self._card, width, height, plain=plugwright(self).ascii_only)
        return Content("\n").join(
            Content.styled(" " * MARGIN + self._text(line.text, width), STYLES[line.kind])
            for line in lines
        )

    def _text(self, text: str, width: int) -> str:
        return cut(self.spelled(text), max(width - 2 * MARGIN, 1))
