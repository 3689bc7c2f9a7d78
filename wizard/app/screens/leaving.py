"""Any screen left as a file: its text, or a picture that keeps its colours."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from wizard.app.screens.asking import Which, write_somewhere
from wizard.app.widgets.sheet import Reader
from wizard.session.option import Option

if TYPE_CHECKING:
    from wizard.app.app import Plugwright

KINDS = (
    Option(".txt", "Text", "for a printer, a mail, another screen"),
    Option(".svg", "Picture, SVG", "as it looks, colours and all; any browser shows it"),
)
_ELSEWHERE = re.compile(r"@font-face \{.*?\}\s*|<!--.*?-->\s*", re.DOTALL)
"""Fonts fetched from other machines (the reader's own serves), and remarks."""


def as_text(screen: Screen[Any]) -> str:
    """What a screen says: a page to read whole, any other as far as it is in view."""
    if isinstance(screen, Reader):
        lines = screen.whole()
    else:
        strips = screen._compositor.render_strips()
        lines = ["".join(segment.text for segment in strip) for strip in strips]
    return "".join(f"{line.rstrip()}\n" for line in lines)


def as_picture(app: Plugwright) -> str:
    """The screen in view as an SVG that asks nothing of other machines."""
    return _ELSEWHERE.sub("", app.export_screenshot(title="Plugwright"))


async def leave(app: Plugwright) -> None:
    """Ask what to leave of the screen in view and where, until it is written or given up."""
    contents = {".txt": as_text(app.screen), ".svg": as_picture(app)}
    ending = await app.push_screen_wait(Which("Leave this screen as a file", KINDS))
    if ending is None:
        return
    profile = app.session.path if app.session is not None else None
    about = "The path of the file to write. Nothing that is there is written over."
    start = _free(profile.stem if profile is not None else "builds", ending)
    await write_somewhere(app, about, start, lambda path: _written(path, contents[ending]))


def _free(stem: str, ending: str) -> Path:
    """A name that is not taken yet, in the folder the program was started in."""
    here, number = Path.cwd(), 1
    while (here / f"{stem}-screen-{number}{ending}").exists():
        number += 1
    return here / f"{stem}-screen-{number}{ending}"


def _written(path: Path, text: str) -> str:
    """Why a file was not written, in words; empty if it is."""
    from wizard.store.asked import in_the_way, write
    from wizard.store.faults import SaveFailed

    trouble = in_the_way(path, (), lambda ends: False)
    if trouble:
        return trouble
    try:
        write(path, text.encode("utf-8", "replace"))
    except SaveFailed as fault:
        return str(fault)
    return ""
