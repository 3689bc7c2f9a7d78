"""`plugwright list`: the builds of a folder, found, sorted, for a person or a program."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, parser, stop

if TYPE_CHECKING:
    from wizard.session.found import Found, Look

EXAMPLES = """\
  plugwright list
  plugwright list --find "sinks pier" --sort due
  plugwright list --folder ~/plugs --archived
  plugwright list --json
"""
SORTS = ("modified", "name", "step", "aim", "due")
_PATIENCE = 0.5  # seconds after which what is going on is told


def _parser() -> Parser:
    asked = parser("list", "List the builds of a folder.", EXAMPLES)
    asked.add_argument("--folder", help="where builds live, instead of the usual place")
    asked.add_argument("--find", default="", metavar="WORDS", help="only those that hold all words")
    asked.add_argument("--sort", choices=SORTS, default=SORTS[0], help="the order")
    asked.add_argument("--archived", action="store_true", help="those that are put away")
    asked.add_argument("--quick", action="store_true", help="new files by their heads alone")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print the builds of a folder; returns the exit status."""
    asked = _parser().parse_args(arguments)
    from wizard.session.found import Look
    from wizard.session.shelving import matching, on_show, ordered
    from wizard.store.folder import builds_folder

    folder = builds_folder(asked.folder)
    if asked.folder and not folder.is_dir():
        stop(f"--folder: there is no folder {asked.folder}. Look at its name.")
    look = Look(folder)
    look.at_once()
    if look.trouble:
        stop(look.trouble)
    if not asked.quick:
        _read_on(look)
    shown = on_show(look.all_found, archived=asked.archived)
    builds = ordered(matching(shown, asked.find), asked.sort)
    if asked.json:
        sys.stdout.write(json.dumps(_document(asked, builds), indent=2) + "\n")
        return 0
    for line in _lines(asked, builds):
        sys.stdout.write(line + "\n")
    return 0


def _read_on(look: Look) -> None:
    """Read the rest; tell how far it is where somebody watches and it takes its time."""
    from time import monotonic

    begun, told, watched = monotonic(), False, sys.stderr.isatty()
    try:
        for left in look.reading_on():
            if watched and monotonic() - begun > _PATIENCE:
                sys.stderr.write(f"\rreading builds, {left} left; Ctrl+C stops ")
                told = True
    except KeyboardInterrupt:
        sys.stderr.write(f"\nstopped: {look.unread} builds are told by their heads alone\n")
        return
    if told:
        sys.stderr.write("\r" + " " * 50 + "\r")


def _document(asked: Namespace, builds: Sequence[Found]) -> dict[str, object]:
    return {"format": 1, "builds": [_entry(found) for found in builds]}


def _entry(found: Found) -> dict[str, object]:
    from wizard.store.moments import at

    changed = at(found.modified).astimezone().isoformat(timespec="seconds")
    entry: dict[str, object] = {"profile": str(found.path), "modified": changed}
    if found.wrong:
        return {**entry, "wrong": list(found.wrong)}
    return {
        **entry,
        "name": found.name,
        "step": found.position,
        "finished": found.is_finished,
        "aim": found.aim,
        "result": found.result,
        "due": found.due,
        "tags": list(found.tags),
        "archived": found.is_archived,
    }


def _lines(asked: Namespace, builds: Sequence[Found]) -> Iterator[str]:
    from wizard.quantity.showing import literal
    from wizard.report.as_text import table
    from wizard.report.page import Section, columns

    good = [found for found in builds if not found.wrong]
    if not builds:
        what = "No build holds these words" if asked.find else "There are no builds here"
        yield f"{what}."
        return
    rows = tuple(
        (found.title, found.place, found.aim, found.result, found.due, found.path.name)
        for found in good
    )
    heads = columns("build", "stands at", "aim", "result", "next", "file")
    if rows:
        yield from table(Section("", (), heads, rows).without_empty_columns, _width())
    for found in builds:
        if found.wrong:
            yield literal(f"! {found.path.name} can't be read: {found.wrong[0]}", 300)


def _width() -> int:
    """Columns of the terminal; as much as it takes where the lines go into a pipe."""
    from shutil import get_terminal_size

    return max(get_terminal_size().columns, 60) if sys.stdout.isatty() else 1000
