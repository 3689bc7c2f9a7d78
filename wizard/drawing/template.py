"""The files that a maker cuts by: paper template as PDF or SVG, solid as STL."""

from __future__ import annotations

from datetime import date
from typing import Literal

from wizard import __version__
from wizard.drawing.lettering import fitted
from wizard.drawing.pages import NAMES, Page, Paper, pages
from wizard.physics.shape import Body
from wizard.plug.body.drawing import drawn_body, shape_findings
from wizard.plug.record import Build
from wizard.quantity.showing import literal

Suffix = Literal[".pdf", ".svg", ".stl"]
SUFFIXES: tuple[Suffix, ...] = (".pdf", ".svg", ".stl")

MAKER = f"Plugwright {__version__} template"
_OURS = b"Plugwright "
_STARTS: tuple[bytes, ...] = (b"%PDF-", b"<?xml", _OURS)
_LOOKED_AT = 4096  # bytes at either end of a file

_TITLE_ROOM, _TITLE_SIZE = 150.0, 4.2  # mm


class NotDrawn(ValueError):  # noqa: N818 - it names the state, as the words shown do
    """There is no body to draw; the message says why and what to do."""


def file(build: Build, suffix: Suffix, paper: Paper, on: date) -> bytes:
    """A file of the build's template.

    Args:
        build: the record.
        suffix: which file.
        paper: the sheet that PDF and SVG are laid out for.
        on: the day that is written on it.

    Raises:
        NotDrawn: no body is drawn.
        TooLarge: it would take an absurd heap of paper.
    """
    if suffix == ".stl":
        from wizard.drawing.solid import stl

        return stl(body_of(build), MAKER)
    sheets, title = template(build, paper, on), _title(build)
    if suffix == ".svg":
        from wizard.drawing.svg import svg

        return svg(sheets, title, MAKER)
    from wizard.drawing.pdf import pdf

    return pdf(sheets, title, MAKER, on)


def template(build: Build, paper: Paper, on: date) -> tuple[Page, ...]:
    """The sheets of the paper template; raises as `file` does."""
    from wizard.drawing.figures import figures

    note = (
        f"Template 1:1 on {NAMES[paper]}, {on.isoformat()}. "
        "Print at 100 %, never fitted to the page, and measure the check rule."
    )
    title = fitted(build.build.name or "a build without a name", _TITLE_ROOM, _TITLE_SIZE)
    return pages(figures(build, body_of(build)), paper, title, note)


def body_of(build: Build) -> Body:
    """The drawn body.

    Raises:
        NotDrawn: there is none, with the reason.
    """
    body = drawn_body(build)
    if body is not None:
        return body
    why = " ".join(finding.text for finding in shape_findings(build))
    raise NotDrawn(
        why or "no body is drawn yet: give a form with length, height and thickness, or stations"
    )


def ours(data: bytes) -> bool:
    """Whether a file was written here, so that a newer one may take its place."""
    ends = data[:_LOOKED_AT] + data[-_LOOKED_AT:]
    return data.startswith(_STARTS) and _OURS in ends


def _title(build: Build) -> str:
    return literal(build.build.name or "a build without a name")
