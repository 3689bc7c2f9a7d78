"""Pages as a PDF file, by fpdf2; loaded only when a file is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime

from fpdf import FPDF, ViewerPreferences

from wizard.drawing.lettering import latin
from wizard.drawing.pages import Page
from wizard.drawing.sheets import PENS, Align, Label, Stroke

_POINTS = 72.0 / 25.4  # in a mm


def pdf(pages: Sequence[Page], title: str, maker: str, on: date) -> bytes:
    """The file.

    Args:
        pages: the sheets.
        title: for the reader's title bar.
        maker: what made it, recorded in the file.
        on: the day it carries, so that the same build gives the same file.
    """
    file = FPDF(unit="mm")
    file.set_auto_page_break(False)
    file.set_margin(0)
    file.set_title(title)
    file.set_creator(maker)
    file.set_creation_date(datetime(on.year, on.month, on.day, tzinfo=UTC))
    # A reader that offers to fit the page to the paper would spoil the scale.
    file.viewer_preferences = ViewerPreferences(print_scaling="None")
    for page in pages:
        file.add_page(format=(page.width, page.height))
        for _, strokes, labels in page.parts:
            for stroke in strokes:
                _draw(file, stroke)
            for label in labels:
                _write(file, label)
    return bytes(file.output())


def _draw(file: FPDF, stroke: Stroke) -> None:
    pen = PENS[stroke.style]
    file.set_line_width(pen.width)
    file.set_draw_color(pen.grey)
    file.set_dash_pattern(*(pen.dash or (0, 0)))
    points = [(x, y) for x, y in stroke.points.tolist()]
    if stroke.closed:
        file.polygon(points, style="D")
    else:
        file.polyline(points, style="D")


def _write(file: FPDF, label: Label) -> None:
    text = latin(label.text)
    file.set_font("Helvetica", "B" if label.bold else "", label.size * _POINTS)
    shift: dict[Align, float] = {"left": 0.0, "middle": 0.5, "right": 1.0}
    file.text(label.right - shift[label.align] * file.get_string_width(text), label.down, text)
