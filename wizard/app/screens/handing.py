"""A build looked at, compared, used for another one, or handed on."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.app.screens.asking import Line, Sure, Which
from wizard.app.widgets.sheet import Reader, reading_width
from wizard.session.found import Found, Look
from wizard.session.opening import place
from wizard.session.option import Option
from wizard.store.opening import Unreadable, open_profile

if TYPE_CHECKING:
    from wizard.app.app import Plugwright
    from wizard.papers.export import Suffix
    from wizard.plug.record import Build

KINDS: Sequence[tuple[str, str, str]] = (
    (".pdf", "Sheet to print", "PDF with picture and outline"),
    ("both", "Sheet beside that of another build", "one PDF"),
    (".html", "Sheet for a browser", "HTML"),
    (".md", "Sheet as Markdown", ""),
    (".txt", "Sheet as plain text", ""),
    (".csv", "Weight account for a spreadsheet", "CSV"),
    (".json", "Numbers for programs", "JSON"),
    (".toml", "Profile for another maker", "TOML"),
)


async def do(app: Plugwright, what: str, path: Path) -> None:
    """Do one of these with the build at a path."""
    try:
        build = (await to_thread(open_profile, path)).build
    except Unreadable as error:
        app.say(f"! {error}")
        return
    if what == "scale":
        from wizard.app.screens.scaling import begin_from

        await begin_from(app, build)
    elif what == "compare":
        await compare(app, path)
    elif what == "export":
        await hand_on(app, build, path)
    elif what == "needs":
        lines = await to_thread(_needs, build, reading_width(app))
        await app.push_screen_wait(Reader("What it takes", lines))
    else:
        lines = await to_thread(_sheet, build, reading_width(app))
        await app.push_screen_wait(Reader("Sheet", lines))


def _sheet(build: Build, width: int) -> tuple[str, ...]:
    from wizard.papers.export import sheet_lines

    return sheet_lines(build, date.today(), width)


def _needs(build: Build, width: int) -> tuple[str, ...]:
    from wizard.plug.derive import derive
    from wizard.plug.onward.expecting import expected
    from wizard.plug.onward.needs import needs
    from wizard.report.as_text import section_lines
    from wizard.report.needs import needs_section

    found = needs(build, derive(build), expected(build))
    return tuple(section_lines(needs_section(build, found).without_empty_columns, width))


async def _others(app: Plugwright) -> Sequence[Found]:
    return await to_thread(lambda: Look(app.folder).at_once())


async def _another(app: Plugwright, title: str) -> tuple[Path | None, Sequence[Found]]:
    """Ask for another build of the shelf."""
    others = [found for found in await _others(app) if not found.wrong]
    options = [Option(str(f.path), f.title, f.place) for f in others]
    picked = await app.push_screen_wait(Which(title, options))
    return (None if picked is None else Path(picked)), others


async def compare(app: Plugwright, path: Path) -> None:
    """Ask for another build and show both side by side."""
    from wizard.app.screens.comparing import CompareScreen

    other, others = await _another(app, "Compare with")
    if other is not None:
        await app.push_screen_wait(CompareScreen((path, other), others))


async def hand_on(app: Plugwright, build: Build, path: Path) -> None:
    """Ask as what and where, and write the file."""
    kind = await app.push_screen_wait(
        Which("Hand it on as", [Option(key, text, detail) for key, text, detail in KINDS])
    )
    if kind is None:
        return
    builds = [(path, build)]
    if kind == "both":
        other, _ = await _another(app, "Beside which build?")
        if other is None:
            return
        try:
            builds.append((other, (await to_thread(open_profile, other)).build))
        except Unreadable as error:
            app.say(f"! {error}")
            return
    personal = await app.push_screen_wait(
        Which(
            "With what is personal?",
            [
                Option("yes", "as it is"),
                Option("no", "without name, notes, tags and waters fished"),
            ],
        )
    )
    if personal is None:
        return
    suffix: Suffix = ".pdf" if kind == "both" else kind  # type: ignore[assignment]
    start = str(Path.cwd() / f"{path.stem}{'-beside' if kind == 'both' else ''}{suffix}")
    typed = await app.push_screen_wait(Line("Where to?", "The path of the file to write.", start))
    if typed is not None:
        await _write(app, builds, suffix, personal == "yes", place(typed))


async def _write(
    app: Plugwright,
    builds: Sequence[tuple[Path, Build]],
    suffix: Suffix,
    personal: bool,
    target: Path,
) -> None:
    from wizard.papers.export import Item, exported
    from wizard.store.faults import SaveFailed
    from wizard.store.files import put

    if target.suffix.lower() != suffix:
        target = target.with_name(target.name + suffix)
    if any(target == path or _same(target, path) for path, _ in builds):
        app.say("That is the build itself: choose another name.")
        return
    if target.exists() and not await app.push_screen_wait(
        Sure(f"{target.name} is there already", "write over it")
    ):
        app.say("Nothing was written.")
        return

    def write() -> None:
        wanted = [Item(str(path), build) for path, build in builds]
        put(target, exported(wanted, suffix, date.today(), personal=personal, paper=None))

    app.say("Writing…")
    try:
        await to_thread(write)
    except SaveFailed as fault:
        app.say(f"! {fault}")
        return
    app.say(f"Written: {target}")


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
