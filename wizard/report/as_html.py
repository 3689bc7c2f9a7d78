"""A page as HTML that stands alone: no script, no font, no picture from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from wizard.report.as_text import safe
from wizard.report.page import LOUD, Page, Section

STYLE = """\
:root { color-scheme: light; }
body { font: 11pt/1.35 Georgia, "Times New Roman", serif; color: #111; background: #fff;
  max-width: 46rem; margin: 1.5rem auto; padding: 0 1rem; }
h1 { font-size: 1.7rem; margin: 0 0 .2rem; border-bottom: 3px solid #111; }
h2 { font-size: 1.05rem; margin: 1.1rem 0 .25rem; border-bottom: 1px solid #888; }
p { margin: .15rem 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; font-size: .92rem; }
th, td { text-align: left; vertical-align: top; padding: .08rem .6rem .08rem 0;
  border-bottom: 1px solid #ddd; max-width: 24rem; overflow-wrap: break-word; }
th { font-weight: normal; font-style: italic; color: #444; }
.number { text-align: right; font-variant-numeric: tabular-nums; }
.loud { font-weight: bold; }
footer { margin-top: 1rem; font-size: .85rem; color: #444; }
svg { max-width: 100%; height: auto; }
svg text { font-family: Helvetica, Arial, sans-serif; }
svg path { fill: none; }
.beside { display: flex; gap: 2rem; }
.beside > main { flex: 1 1 0; min-width: 0; }
body:has(.beside) { max-width: 96rem; }
@media print { body { margin: 0; max-width: none; font-size: 9pt; }
  section { break-inside: avoid; } }
"""


def html(pages: Sequence[Page], pictures: Sequence[str], style: str = "") -> str:
    """One or more pages beside each other, as one document.

    Args:
        pages: what to write.
        pictures: for each page an svg element, or nothing.
        style: rules that the pictures bring along.
    """
    return "\n".join(_document(pages, pictures, style)) + "\n"


def _document(pages: Sequence[Page], pictures: Sequence[str], style: str) -> Iterator[str]:
    title = " and ".join(plain(page.title) for page in pages)
    yield "<!DOCTYPE html>"
    yield '<html lang="en">'
    yield '<head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield '<meta name="generator" content="Plugwright">'
    yield f"<title>{title}</title>"
    yield f"<style>\n{STYLE}{style}</style></head>"
    yield "<body>"
    if len(pages) > 1:
        yield '<div class="beside">'
    for page, picture in zip(pages, pictures, strict=True):
        yield from _main(page, picture)
    if len(pages) > 1:
        yield "</div>"
    yield "</body></html>"


def _main(page: Page, picture: str) -> Iterator[str]:
    yield f"<main><h1>{plain(page.title)}</h1>"
    yield from (f"<p>{plain(line)}</p>" for line in page.lead)
    if picture:
        yield f"<figure>{picture}</figure>"
    for section in page.sections:
        yield from _section(section)
    if page.foot:
        yield f"<footer>{plain(page.foot)}</footer>"
    yield "</main>"


def plain(text: str) -> str:
    """Text in which nothing acts."""
    return escape(safe(text))


def _section(section: Section) -> Iterator[str]:
    yield f"<section><h2>{plain(section.title)}</h2>"
    yield from (f"<p>{plain(line)}</p>" for line in section.lines)
    if section.rows:
        yield from _table(section)
    yield "</section>"


def _table(section: Section) -> Iterator[str]:
    leans = [' class="number"' if c.align == "right" else "" for c in section.columns]
    heads = "".join(
        f'<th scope="col"{lean}>{plain(c.head)}</th>'
        for lean, c in zip(leans, section.columns, strict=True)
    )
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>"
    for n, row in enumerate(section.rows):
        loud = n in section.loud
        first, *rest = row
        cells = (f"{LOUD} {first}" if loud else first, *rest)
        inside = "".join(
            f"<td{lean}>{plain(cell)}</td>" for lean, cell in zip(leans, cells, strict=True)
        )
        row_class = ' class="loud"' if loud else ""
        yield f"<tr{row_class}>{inside}</tr>"
    yield "</tbody></table>"
