"""`plugwright export`: the sheet of a build, its account or its profile, to hand on."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop
from wizard.commands.output import clear, written

if TYPE_CHECKING:
    from wizard.papers.export import Suffix

EXAMPLES = """\
  plugwright export my-plug.toml                      the sheet as plain text
  plugwright export my-plug.toml -o my-plug.pdf       to print and pin up
  plugwright export first.toml second.toml -o both.pdf   two sheets side by side
  plugwright export my-plug.toml -o my-plug.csv       the weight account
  plugwright export my-plug.toml -o gift.toml --without-personal
"""


def _parser() -> Parser:
    about = (
        "Hand a build on: its sheet (.pdf .html .md .txt), its weight account (.csv), its "
        "numbers (.json), or its profile (.toml); the name's ending decides."
    )
    asked = parser("export", about, EXAMPLES)
    asked.add_argument("profiles", nargs="+", metavar="profile", help="the profiles to read")
    asked.add_argument("-o", "--output", metavar="FILE", help="the file to write; else text")
    asked.add_argument(
        "--without-personal",
        action="store_true",
        help="leave out the maker's name, notes, tags, bench hours, waters fished, unknown keys",
    )
    asked.add_argument(
        "--paper", choices=("a4", "letter"), help="else letter for lengths in inches, or a4"
    )
    asked.add_argument("--force", action="store_true", help="write over any file there")
    return asked


def run(arguments: list[str]) -> int:
    """Write what a build is handed on as; returns the exit status."""
    asked = _parser().parse_args(arguments)
    target = Path(asked.output) if asked.output else None
    suffix = _suffix(target)
    read = [opened(path) for path in asked.profiles]
    from datetime import date

    from wizard.papers.export import Item, OneOnly, exported, ours

    if target is not None:
        clear(target, [Path(path) for path in asked.profiles], asked.force, ours)
    wanted = [
        Item(path, one.build, one.odd) for path, one in zip(asked.profiles, read, strict=True)
    ]
    try:
        data = exported(
            wanted,
            suffix,
            date.today(),
            personal=not asked.without_personal,
            paper=asked.paper,
        )
    except OneOnly as error:
        stop(str(error))
    if target is None:
        sys.stdout.write(data.decode())
        return 0
    from wizard.store.faults import shown

    written(target, data)
    sys.stdout.write(f"wrote {shown(target)}\n")
    return 0


def _suffix(target: Path | None) -> Suffix:
    from wizard.papers.export import SUFFIXES
    from wizard.store.faults import shown

    if target is None:
        return ".txt"
    suffix = next((s for s in SUFFIXES if s == target.suffix.lower()), None)
    if suffix is None:
        stop(f"{shown(target)}: the name must end in {', '.join(SUFFIXES[:-1])} or {SUFFIXES[-1]}")
    return suffix
