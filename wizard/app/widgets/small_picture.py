"""The picture of the build that is pointed at, where there is room for it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.app.widgets.drawn import Drawn


class SmallPicture(Drawn):
    """Lines of a picture as they are."""

    DEFAULT_CSS = "SmallPicture { height: auto; padding: 0 1; color: $ink; }"

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._lines: tuple[str, ...] = ()

    def show(self, lines: Sequence[str]) -> None:
        """Show another picture."""
        self._lines = tuple(lines)
        self.refresh(layout=True)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as it has."""
        return len(self._lines)

    def render(self) -> Content:
        """The lines."""
        return Content("\n".join(self.spelled(line) for line in self._lines))
