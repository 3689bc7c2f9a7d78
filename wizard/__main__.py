"""The command line: arguments first, then one front end, imported late."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import NoReturn

from wizard import __version__

EXAMPLES = """\
examples:
  plugwright                                  open the app on your builds
  plugwright my-plug.toml                     open one build, or begin it
  plugwright review my-plug.toml              every number of a build
  plugwright review my-plug.toml --json       the same for programs
  plugwright review my-plug.toml --working    with formulas, values and sources
"""

COMMANDS = ("review",)


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line and what to try, with exit status 2."""

    def error(self, message: str) -> NoReturn:
        from wizard.quantity.showing import literal

        sys.stderr.write(f"plugwright: {literal(message)}. Try: plugwright --help\n")
        raise SystemExit(2)


def _app_parser() -> _Parser:
    parser = _Parser(
        prog="plugwright",
        description="Make a fishing plug float, hang or sink as meant.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("profile", nargs="?", help="a build to open, or to begin there")
    parser.add_argument("--folder", help="where builds live, instead of the usual place")
    parser.add_argument("--version", action="version", version=f"plugwright {__version__}")
    return parser


def _review_parser() -> _Parser:
    parser = _Parser(
        prog="plugwright review",
        description="Print every number of a build at any stage.",
        epilog="example:\n  plugwright review my-plug.toml --json\n",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("profile", help="the profile to read")
    parser.add_argument("--json", action="store_true", help="one JSON object, for programs")
    parser.add_argument("--working", action="store_true", help="show how each number came about")
    return parser


def review(arguments: list[str]) -> int:
    """Print the review of a profile; returns the exit status."""
    asked = _review_parser().parse_args(arguments)
    from wizard.store.opening import Unreadable, open_profile

    try:
        opened = open_profile(Path(asked.profile))
    except Unreadable as error:
        sys.stderr.write(f"plugwright: {error}\n")
        return 2
    from wizard.plug.derive import derive

    derived = derive(opened.build)
    if asked.json:
        from wizard.report.machine import document

        print(document(asked.profile, opened.build, derived, opened.odd))
    else:
        from wizard.report.text import review as as_text

        sys.stdout.write(as_text(opened.build, derived, opened.odd, working=asked.working))
    return 0


def main(arguments: list[str] | None = None) -> int:
    """Run the program; returns the exit status."""
    given = sys.argv[1:] if arguments is None else arguments
    try:
        if given[:1] == ["review"]:
            return review(given[1:])
        asked = _app_parser().parse_args(given)
        from wizard.app.start import run

        return run(asked.profile, asked.folder)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


if __name__ == "__main__":
    raise SystemExit(main())
