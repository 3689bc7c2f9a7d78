"""Pages as an SVG file in mm.

SVG knows one sheet only, so sheets follow each other downwards, and those editors
that know of pages are told where each begins.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape, quoteattr

from wizard.drawing.pages import Page
from wizard.drawing.sheets import PENS, Align, Figure, Label, Stroke

_BETWEEN = 10.0  # mm
_PAGED = (
    ' xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    ' xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
_ANCHOR: dict[Align, str] = {"left": "start", "middle": "middle", "right": "end"}


def svg(pages: Sequence[Page], title: str, maker: str) -> bytes:
    """The file, in UTF-8."""
    return ("\n".join(_lines(pages, title, maker)) + "\n").encode("utf-8")


def _lines(pages: Sequence[Page], title: str, maker: str) -> Iterator[str]:
    tops = [sum(page.height + _BETWEEN for page in pages[:n]) for n in range(len(pages))]
    width, height = max(page.width for page in pages), tops[-1] + pages[-1].height
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg"{_PAGED} version="1.1" width="{_mm(width)}mm"'
        f' height="{_mm(height)}mm" viewBox="0 0 {_mm(width)} {_mm(height)}">'
    )
    yield f"<title>{escape(title)}</title>"
    yield f"<desc>{escape(maker)}</desc>"
    yield "<sodipodi:namedview>"
    for n, (page, top) in enumerate(zip(pages, tops, strict=True), start=1):
        yield (
            f'<inkscape:page id="page{n}" x="0" y="{_mm(top)}"'
            f' width="{_mm(page.width)}" height="{_mm(page.height)}"/>'
        )
    yield "</sodipodi:namedview>"
    yield "<style>"
    yield "text { font-family: Helvetica, Arial, sans-serif; } path { fill: none; }"
    yield from rules()
    yield "</style>"
    for n, (page, top) in enumerate(zip(pages, tops, strict=True), start=1):
        yield f'<g id="sheet{n}" transform="translate(0 {_mm(top)})">'
        for name, strokes, labels in page.parts:
            yield f"<g data-name={quoteattr(name)}>"
            yield from (_path(stroke) for stroke in strokes)
            yield from (_text(label) for label in labels)
            yield "</g>"
        yield "</g>"
    yield "</svg>"


def rules() -> Iterator[str]:
    """The style of each pen."""
    for style, pen in PENS.items():
        dash = f" stroke-dasharray: {pen.dash[0]} {pen.dash[1]};" if pen.dash else ""
        grey = f"rgb({pen.grey},{pen.grey},{pen.grey})"
        yield f".{style} {{ stroke: {grey}; stroke-width: {pen.width};{dash} }}"


def element(figure: Figure, title: str) -> str:
    """A figure as an element of an HTML page, which must hold `rules`."""
    size = f'width="{_mm(figure.width)}mm" height="{_mm(figure.height)}mm"'
    box = f'viewBox="0 0 {_mm(figure.width)} {_mm(figure.height)}"'
    inside = "".join(
        (*(_path(s) for s in figure.strokes), *(_text(label) for label in figure.labels))
    )
    return f'<svg {size} {box} role="img"><title>{escape(title)}</title>{inside}</svg>'


def _path(stroke: Stroke) -> str:
    points = " L".join(f"{_mm(x)} {_mm(y)}" for x, y in stroke.points.tolist())
    return f'<path class="{stroke.style}" d="M{points}{" Z" if stroke.closed else ""}"/>'


def _text(label: Label) -> str:
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{_mm(label.right)}" y="{_mm(label.down)}" font-size="{_mm(label.size)}"'
        f' text-anchor="{_ANCHOR[label.align]}"{weight}>{escape(label.text)}</text>'
    )


def _mm(value: float) -> str:
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
