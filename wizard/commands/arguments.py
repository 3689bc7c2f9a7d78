"""Reading arguments, and saying in one line what is wrong with them."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from wizard.store.opening import Opened

PROGRAM = "plugwright"
WIDTH = 78
NOT_READ = 2
"""Exit status when the arguments or the profile can't be used."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one line and what to try, with exit status 2."""

    def error(self, message: str) -> NoReturn:
        """End the program with what is wrong."""
        stop(f"{message}. Try: {self.prog} --help")


def parser(command: str, description: str, examples: str) -> Parser:
    """A parser for one command, or for the program itself with an empty `command`."""
    return Parser(
        prog=f"{PROGRAM} {command}".rstrip(),
        description=fill(description, WIDTH),  # the formatter keeps examples, and this, as given
        epilog=f"examples:\n{examples}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )


def stop(message: str) -> NoReturn:
    """Say in one line what is wrong and end with exit status 2."""
    from wizard.quantity.showing import literal

    sys.stderr.write(f"{PROGRAM}: {literal(message, 1000)}\n")
    raise SystemExit(NOT_READ)


def opened(path: str) -> Opened:
    """The build in a profile; ends the program with exit status 2 if it can't be read."""
    from wizard.store.opening import Unreadable, open_profile

    try:
        return open_profile(Path(path))
    except Unreadable as error:
        from wizard.session.earlier import hint

        stop(" ".join(part for part in (f"{error}", hint(Path(path), error)) if part))
