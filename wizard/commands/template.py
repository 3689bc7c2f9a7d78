"""`plugwright template`: paper to glue on the blank at 1:1, or the solid for a machine."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop

if TYPE_CHECKING:
    from wizard.drawing.pages import Paper
    from wizard.drawing.template import Suffix
    from wizard.plug.record import Build

EXAMPLES = """\
  plugwright template my-plug.toml -o my-plug.pdf
  plugwright template my-plug.toml -o my-plug.svg --paper letter
  plugwright template my-plug.toml -o my-plug.stl
"""
_LOOKED_AT = 4096  # bytes at either end of a file that stands in the way


def _parser() -> Parser:
    about = "Write a paper template at 1:1 (.pdf, .svg) or the body as a solid (.stl)."
    asked = parser("template", about, EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("-o", "--output", required=True, metavar="FILE", help="the file to write")
    asked.add_argument(
        "--paper", choices=("a4", "letter"), help="else letter for lengths in inches, or a4"
    )
    asked.add_argument("--force", action="store_true", help="write over any file there")
    return asked


def run(arguments: list[str]) -> int:
    """Write the template of a build; returns the exit status."""
    asked = _parser().parse_args(arguments)
    target = Path(asked.output)
    suffix = _suffix(target)
    read = opened(asked.profile)
    _clear(target, Path(asked.profile), asked.force)
    data = _file(asked.profile, read.build, suffix, asked.paper)
    from wizard.store.faults import SaveFailed, shown
    from wizard.store.files import put

    try:
        put(Path(os.path.realpath(target)), data)
    except SaveFailed as fault:
        stop(str(fault))
    sys.stdout.write(f"wrote {shown(target)}\n")
    return 0


def _suffix(target: Path) -> Suffix:
    from wizard.drawing.template import SUFFIXES
    from wizard.store.faults import shown

    suffix = next((s for s in SUFFIXES if s == target.suffix.lower()), None)
    if suffix is None:
        stop(f"{shown(target)}: the name must end in {', '.join(SUFFIXES[:-1])} or {SUFFIXES[-1]}")
    return suffix


def _file(profile: str, build: Build, suffix: Suffix, paper: Paper | None) -> bytes:
    from datetime import date

    from wizard.drawing.pages import TooLarge
    from wizard.drawing.template import NotDrawn, file
    from wizard.plug.rule import rule_of

    usual: Paper = "letter" if rule_of(build) == "in" else "a4"
    try:
        return file(build, suffix, paper or usual, date.today())
    except (NotDrawn, TooLarge) as error:
        stop(f"{profile}: {error}")


def _clear(target: Path, profile: Path, force: bool) -> None:
    """End the program unless the file may be written: nobody's work is written over."""
    from wizard.store.faults import shown, words

    try:
        found = os.stat(target)
        if not stat.S_ISREG(found.st_mode):
            stop(f"{shown(target)} is not a file; choose another name")
        if os.path.samestat(found, os.stat(profile)):
            stop(f"{shown(target)} is the profile itself; choose another name")
        if not force and not _ours(target):
            stop(f"{shown(target)} is there already; choose another name or add --force")
    except FileNotFoundError:
        return
    except (OSError, ValueError) as fault:
        stop(f"{shown(target)} can't be written: {'; '.join(words(fault))}")


def _ours(path: Path) -> bool:
    """Whether the file in the way is an earlier template."""
    from wizard.drawing.template import ours

    with path.open("rb") as file:
        head = file.read(_LOOKED_AT)
        size = file.seek(0, os.SEEK_END)
        file.seek(max(size - _LOOKED_AT, 0))
        return ours(head + file.read(_LOOKED_AT))
