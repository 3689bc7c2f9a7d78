"""The shape in the line mode: its picture, its sheet, its template, its girth."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from wizard.plug.body.girth import offered_girth
from wizard.session.drawings import (
    TEMPLATES,
    Kind,
    marking_lines,
    not_drawn,
    take_girth,
    usual_paper,
    write_template,
)
from wizard.session.opening import place
from wizard.session.session import ReadOnly

if TYPE_CHECKING:
    from wizard.plain.standing import Standing

COLUMNS = 76


def picture(walk: Standing) -> None:
    """Say what the body looks like as it lies, in signs of one line each."""
    from wizard.drawing.scene import scene
    from wizard.drawing.terminal import lines
    from wizard.plug.derive import derive

    build = walk.session.build
    drawn = scene(build, derive(build))
    if drawn is None:
        walk.talk.say(f"No picture yet: {not_drawn(build)}")
    else:
        walk.talk.say(*lines(drawn, COLUMNS, plain=True))


def marking(walk: Standing) -> None:
    """Say what is marked on the blank."""
    walk.talk.say(*marking_lines(walk.session.build))


def template(walk: Standing, typed: str) -> None:
    """Write the template to a path that ends in .pdf, .svg or .stl."""
    build = walk.session.build
    paper = usual_paper(build)
    kinds: dict[str, Kind] = {kind[0]: (kind[0], paper) for kind, _, _ in TEMPLATES.values()}
    path = place(typed.strip()) if typed.strip() else Path(f"{walk.session.path.stem}.pdf")
    kind = kinds.get(path.suffix.lower())
    if kind is None:
        walk.talk.say(f"Error: the name must end in {', '.join(kinds)}.")
        return
    trouble = not_drawn(build) or write_template(build, kind, path, walk.session.path)
    walk.talk.say(f"Error: {trouble}" if trouble else f"Written: {path.absolute()}")


def girth(walk: Standing) -> None:
    """Take the girth factor into the shape."""
    try:
        changed, words = take_girth(walk.session, offered_girth(walk.session.build))
    except ReadOnly:
        words, changed = f"Read only: {walk.session.holder} has this build open.", False
    walk.talk.say(f"{words} /undo takes it back." if changed else words)
    if changed:
        walk.say_news()
