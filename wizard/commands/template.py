"""`plugwright template`: paper to glue on the blank at 1:1, or the solid for a machine."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop
from wizard.commands.output import clear, written

if TYPE_CHECKING:
    from wizard.drawing.pages import Paper
    from wizard.drawing.template import Suffix
    from wizard.plug.record import Build

EXAMPLES = """\
  plugwright template my-plug.toml -o my-plug.pdf
  plugwright template my-plug.toml -o my-plug.svg --paper letter
  plugwright template my-plug.toml -o my-plug.stl
"""


def _parser() -> Parser:
    about = "Write a paper template at 1:1 (.pdf, .svg) or the body as a solid (.stl)."
    asked = parser("template", about, EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("-o", "--output", required=True, metavar="FILE", help="the file to write")
    asked.add_argument(
        "--paper", choices=("a4", "letter"), help="else that of your bench, or of the build's rule"
    )
    asked.add_argument("--force", action="store_true", help="write over any file there")
    return asked


def run(arguments: list[str]) -> int:
    """Write the template of a build; returns the exit status."""
    asked = _parser().parse_args(arguments)
    target = Path(asked.output)
    suffix = _suffix(target)
    read = opened(asked.profile)
    from wizard.drawing.template import ours
    from wizard.store.faults import shown

    clear(target, (Path(asked.profile),), asked.force, ours)
    written(target, _file(asked.profile, read.build, suffix, asked.paper))
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
    from wizard.session.bench import bench_of
    from wizard.session.drawings import usual_paper
    from wizard.store.folder import builds_folder

    usual = usual_paper(build, bench_of(builds_folder())[0])
    try:
        return file(build, suffix, paper or usual, date.today())
    except (NotDrawn, TooLarge) as error:
        stop(f"{profile}: {error}")
