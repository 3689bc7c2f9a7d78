"""What a build is handed on as: the name's ending decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from wizard import __version__
from wizard.drawing.pages import Paper
from wizard.drawing.scene import scene
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.onward.personal import without_personal
from wizard.plug.record import Build
from wizard.plug.rule import rule_of
from wizard.quantity.showing import literal
from wizard.report.page import Page
from wizard.report.sheet import sheet

Suffix = Literal[".pdf", ".html", ".md", ".txt", ".csv", ".json", ".toml"]
SUFFIXES: tuple[Suffix, ...] = (".pdf", ".html", ".md", ".txt", ".csv", ".json", ".toml")
PAGED: tuple[Suffix, ...] = (".pdf", ".html", ".md", ".txt")
"""Kinds that hold more than one build."""

BESIDE = 2
"""Builds whose sheets are printed beside each other."""

MAKER = f"Plugwright {__version__} sheet"

_PICTURE = (170.0, 70.0)  # mm, of the picture in HTML
_COLUMNS = 76


@dataclass(frozen=True, slots=True)
class Item:
    """One build to hand on.

    Attributes:
        profile: its path, as it was given.
        build: the record.
        odd: what is odd about the file itself.
    """

    profile: str
    build: Build
    odd: tuple[Finding, ...] = ()


class OneOnly(ValueError):  # noqa: N818 - it names the state, as the words shown do
    """Several builds for a kind of file that holds one."""


def exported(
    wanted: Sequence[Item], suffix: Suffix, on: date, *, personal: bool = True, paper: Paper | None
) -> bytes:
    """The file.

    Args:
        wanted: the builds; more than one only for the kinds of `PAGED`.
        suffix: which kind.
        on: the day that is written on it.
        personal: whether the maker's name, notes and tags go with it.
        paper: of a PDF; else the usual one for the first build's rule.

    Raises:
        OneOnly: several builds for one file that holds one.
    """
    if len(wanted) > 1 and suffix not in PAGED:
        raise OneOnly(f"a {suffix} file holds one build; name one, or end the name in .pdf")
    kept = wanted if personal else [_bared(item) for item in wanted]
    if suffix == ".toml":
        from wizard.store.profile import write

        return write(kept[0].build)
    derived = [derive(item.build) for item in kept]
    if suffix in PAGED:
        return _paged(kept, derived, suffix, on, paper)
    if suffix == ".csv":
        from wizard.report.account_csv import account_csv

        return account_csv(kept[0].build, derived[0]).encode()
    from wizard.report.machine import document

    item = kept[0]
    return (document(item.profile, item.build, derived[0], item.odd) + "\n").encode()


def _bared(item: Item) -> Item:
    from pathlib import PurePath

    return Item(PurePath(item.profile).name, without_personal(item.build))


def _paged(
    wanted: Sequence[Item],
    derived: Sequence[Derived],
    suffix: Suffix,
    on: date,
    paper: Paper | None,
) -> bytes:
    pages = [
        sheet(item.build, found, on, __version__)
        for item, found in zip(wanted, derived, strict=True)
    ]
    if suffix == ".pdf":
        return _pdf(wanted, derived, pages, on, paper)
    if suffix == ".html":
        return _html(wanted, derived, pages)
    from wizard.report.as_markdown import markdown
    from wizard.report.as_text import text

    write = markdown if suffix == ".md" else text
    return "\n".join(
        write(page, picture_lines(item.build, found))
        for item, found, page in zip(wanted, derived, pages, strict=True)
    ).encode()


def picture_lines(build: Build, derived: Derived, width: int = _COLUMNS) -> tuple[str, ...]:
    """The picture as lines of text; none while no body is drawn."""
    from wizard.drawing.terminal import lines

    shown = scene(build, derived)
    return () if shown is None else lines(shown, width)


def sheet_lines(build: Build, on: date, width: int) -> tuple[str, ...]:
    """The sheet as lines of a width, its picture among them.

    Args:
        build: the record.
        on: the day that is written on it.
        width: columns.
    """
    from wizard.report.as_text import text

    derived = derive(build)
    page = sheet(build, derived, on, __version__)
    return tuple(text(page, picture_lines(build, derived, width), width).splitlines())


def _html(wanted: Sequence[Item], derived: Sequence[Derived], pages: Sequence[Page]) -> bytes:
    from wizard.drawing.portrait import portrait
    from wizard.drawing.svg import element, rules
    from wizard.report.as_html import html

    pictures = []
    for item, found in zip(wanted, derived, strict=True):
        shown = scene(item.build, found)
        name = literal(item.build.build.name or "the plug")
        drawn = "" if shown is None else element(portrait(shown, *_PICTURE), f"Picture of {name}")
        pictures.append(drawn)
    return html(pages, pictures, "\n".join((*rules(), ""))).encode()


def _pdf(
    wanted: Sequence[Item],
    derived: Sequence[Derived],
    pages: Sequence[Page],
    on: date,
    paper: Paper | None,
) -> bytes:
    from wizard.drawing.pdf import pdf
    from wizard.papers.sheet_pdf import Drawn, beside, sheet_leaves

    usual: Paper = "letter" if rule_of(wanted[0].build) == "in" else "a4"
    sheets = []
    for item, found, page in zip(wanted, derived, pages, strict=True):
        shown, body = scene(item.build, found), drawn_body(item.build)
        drawn = None if shown is None or body is None else Drawn(item.build, body, shown)
        sheets.append(sheet_leaves(page, drawn, paper or usual))
    if len(sheets) == BESIDE:
        leaves = beside(sheets)
    else:
        leaves = tuple(leaf for sheet in sheets for leaf in sheet)
    title = " and ".join(literal(page.title) for page in pages)
    return pdf(leaves, title, MAKER, on)


def ours(data: bytes) -> bool:
    """Whether a file is an earlier sheet, by its two ends, so that a newer may replace it."""
    return data.startswith((b"%PDF-", b"<!DOCTYPE html>")) and b"Plugwright" in data
