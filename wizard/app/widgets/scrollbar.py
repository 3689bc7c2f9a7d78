"""A scrollbar that is seen without colours: a line, and a block where one is."""

from __future__ import annotations

from rich.color import Color
from rich.segment import Segment, Segments
from rich.style import Style
from textual.scrollbar import ScrollBar, ScrollBarRender


class Drawn(ScrollBarRender):
    """Draws the bar with signs instead of backgrounds."""

    @classmethod
    def render_bar(
        cls,
        size: int = 25,
        virtual_size: float = 50,
        window_size: float = 20,
        position: float = 0,
        thickness: int = 1,
        vertical: bool = True,
        back_color: Color = Color.parse("#555555"),  # noqa: B008 - as it is declared there
        bar_color: Color = Color.parse("bright_magenta"),  # noqa: B008
    ) -> Segments:
        """The bar, one sign a line."""
        first, last = _thumb(size, virtual_size, window_size, position)
        segments = []
        for place in range(size):
            inside = first <= place < last
            act = "grab" if inside else "scroll_up" if place < first else "scroll_down"
            style = Style(color=bar_color, bgcolor=back_color, meta={"@mouse.down": act})
            segments.append(Segment(("█" if inside else "│") * thickness, style))
        return Segments(segments, new_lines=True)


def _thumb(size: int, whole: float, window: float, position: float) -> tuple[int, int]:
    """First line of the block and the one after its last."""
    if not (size and window and whole > window):
        return 0, size
    length = max(1, min(size - 1, round(size * window / whole)))
    first = round((size - length) * position / (whole - window))
    return first, first + length


def use() -> None:
    """Draw every scrollbar so."""
    ScrollBar.renderer = Drawn
