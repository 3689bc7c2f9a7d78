"""`plugwright review`: every number of a build at any stage."""

from __future__ import annotations

import sys

from wizard.commands.arguments import Parser, opened, parser

EXAMPLES = """\
  plugwright review my-plug.toml
  plugwright review my-plug.toml --working
  plugwright review my-plug.toml --json
"""


def _parser() -> Parser:
    asked = parser("review", "Print every number of a build at any stage.", EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    asked.add_argument("--working", action="store_true", help="show how each number came about")
    return asked


def run(arguments: list[str]) -> int:
    """Print the review of a profile; returns the exit status."""
    asked = _parser().parse_args(arguments)
    read = opened(asked.profile)
    from wizard.plug.derive import derive

    derived = derive(read.build)
    if asked.json:
        from wizard.report.machine import document

        sys.stdout.write(document(asked.profile, read.build, derived, read.odd) + "\n")
    else:
        from wizard.report.text import review

        sys.stdout.write(review(read.build, derived, read.odd, working=asked.working))
    return 0
