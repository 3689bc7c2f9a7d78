"""Writing the template: which file, where, and what came of it."""

from __future__ import annotations

from asyncio import to_thread
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.app.screens.asking import Line, Which
from wizard.session.bench import bench_of
from wizard.session.drawings import TEMPLATES, not_drawn, usual_paper, write_template
from wizard.session.opening import place
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
    path, about = Path.cwd() / f"{profile.stem}{kind[0]}", ABOUT
    while True:
        typed = await app.push_screen_wait(Line("Where to?", about, str(path)))
        if typed is None:
            app.say("Nothing was written.")
            return
        path = place(typed)
        if path.suffix.lower() != kind[0]:
            path = path.with_name(path.name + kind[0])
        trouble = await to_thread(write_template, build, kind, path, profile)
        if not trouble:
            app.say(f"Written: {path}")
            return
        about = f"! {trouble}"
