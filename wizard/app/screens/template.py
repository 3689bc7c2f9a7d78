"""Writing the template: which file, where, and what came of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from wizard.app.screens.asking import Which, write_somewhere
from wizard.session.bench import bench_of
from wizard.session.drawings import TEMPLATES, not_drawn, usual_paper, write_template
from wizard.session.option import Option

if TYPE_CHECKING:
    from wizard.app.app import Plugwright

ABOUT = "The path of the file to write. An earlier template is written over, nothing else."


async def ask_for_template(app: Plugwright) -> None:
    """Ask what to write and where, until it is written or given up."""
    session = app.session
    if session is None:
        return
    build, profile = session.build, session.path
    missing = not_drawn(build)
    if missing:
        app.say(f"No template yet: {missing}")
        return
    options = [Option(key, text, about) for key, (_, text, about) in TEMPLATES.items()]
    paper = usual_paper(build, bench_of(app.folder)[0])
    picked = await app.push_screen_wait(Which("Template", options, f"pdf {paper}"))
    if picked is None:
        return
    kind = TEMPLATES[picked][0]
    start = Path.cwd() / f"{profile.stem}{kind[0]}"
    await write_somewhere(
        app, ABOUT, start, lambda path: write_template(build, kind, path, profile)
    )
