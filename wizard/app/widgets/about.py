"""Why the present question is asked and how its answer is found."""

from __future__ import annotations

from textual.content import Content

from wizard.app.widgets.drawn import Drawn
from wizard.app.words import wrapped


class About(Drawn):
    """A line or a few about the row that has the focus."""

    DEFAULT_CSS = "About { height: auto; min-height: 2; background: $field; padding: 0 1; }"

    def __init__(self) -> None:
        super().__init__()
        self._text = ""

    def tell(self, text: str) -> None:
        """Show this."""
        if text != self._text:
            before = self._lines(self.size.width)
            self._text = text
            self.refresh(layout=len(before) != len(self._lines(self.size.width)))

    def _lines(self, width: int) -> list[str]:
        return wrapped(self.spelled(self._text), width)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as the words take."""
        return len(self._lines(width))

    def render(self) -> Content:
        """The words."""
        return Content("\n".join(self._lines(self.size.width)))
