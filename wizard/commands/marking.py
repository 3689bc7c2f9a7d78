"""`plugwright marking`: the marking-out sheet for the pencil."""

from __future__ import annotations

import sys

from wizard.commands.arguments import Parser, opened, parser, stop

EXAMPLES = """\
  plugwright marking my-plug.toml
"""


def _parser() -> Parser:
    asked = parser("marking", "Print what is marked on the blank before it is cut.", EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    return asked


def run(arguments: list[str]) -> int:
    """Print the marking-out sheet of a build; returns the exit status."""
    given = _parser().parse_args(arguments)
    read = opened(given.profile)
    from wizard.drawing.marking import marking_sheet
    from wizard.drawing.marking_text import lines

    sheet = marking_sheet(read.build)
    if sheet is None:
        stop(
            f"{given.profile}: nothing to mark yet: give length, height and thickness, or stations"
        )
    for line in lines(sheet):
        sys.stdout.write(line + "\n")
    return 0
