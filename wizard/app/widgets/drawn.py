"""What all widgets share: the way to the app, and text made safe to show."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.content import Content
from textual.widget import Widget

from wizard.app.words import cell_len

if TYPE_CHECKING:
    from wizard.app.app import Plugwright


def plugwright(widget: Widget) -> Plugwright:
    """The app that a widget belongs to."""
    return cast("Plugwright", widget.app)


class Drawn(Widget):
    """A widget that draws its own lines."""

    def spelled(self, text: str) -> str:
        """A text as it may be shown here."""
        return plugwright(self).spelled(text)

    def content(self, *parts: str | tuple[str, str]) -> Content:
        """Text made safe, each part with its style if it has one."""
        return Content.assemble(
            *(
                self.spelled(part) if isinstance(part, str) else (self.spelled(part[0]), part[1])
                for part in parts
            )
        )


class Prose(Drawn):
    """Lines to read, wrapped to the room there is."""

    DEFAULT_CSS = "Prose { height: auto; }"

    def __init__(
        self, text: str = "", *, id: str | None = None, classes: str | None = None
    ) -> None:
        super().__init__(id=id, classes=classes)
        self._text = text

    def say(self, text: str) -> None:
        """Show another text."""
        if text != self._text:
            grows = not (self._is_one_line(text) and self._is_one_line(self._text))
            self._text = text
            self.refresh(layout=grows)

    def _is_one_line(self, text: str) -> bool:
        """Whether a text surely takes one line here."""
        return 0 < cell_len(self.spelled(text)) <= self.size.width and "\n" not in text

    @property
    def text(self) -> str:
        """What is shown."""
        return self._text

    def render(self) -> Content:
        """The text."""
        return self.content(self._text)
