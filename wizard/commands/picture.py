"""`plugwright picture`: the body from the side, from above and in section."""

from __future__ import annotations

import sys

from wizard.commands.arguments import Parser, opened, parser, stop

EXAMPLES = """\
  plugwright picture my-plug.toml
  plugwright picture my-plug.toml --width 60 --ascii
  plugwright picture my-plug.toml --station "1 1/2 in"
"""
_WIDEST = 400


def _parser() -> Parser:
    asked = parser("picture", "Draw the plug as it will lie in the water.", EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("--width", type=int, help="columns to use, else those of the terminal")
    asked.add_argument("--ascii", action="store_true", help="no braille signs")
    asked.add_argument("--station", help="where to cut the section, aft of the nose")
    return asked


def run(arguments: list[str]) -> int:
    """Print the picture of a build; returns the exit status."""
    asked = _parser().parse_args(arguments)
    read = opened(asked.profile)
    from wizard.drawing.scene import scene
    from wizard.drawing.template import NotDrawn, body_of
    from wizard.drawing.terminal import lines
    from wizard.plug.derive import derive

    station = None if asked.station is None else _length(asked.station)
    width = _width(asked.width)
    try:
        body_of(read.build)
    except NotDrawn as error:
        stop(f"{asked.profile}: {error}")
    picture = scene(read.build, derive(read.build), station)
    assert picture is not None
    for line in lines(picture, width, plain=asked.ascii or not _shows_braille()):
        sys.stdout.write(line + "\n")
    return 0


def _width(asked: int | None) -> int:
    from shutil import get_terminal_size

    from wizard.drawing.terminal import NARROWEST

    if asked is None:
        return min(max(get_terminal_size().columns, NARROWEST), _WIDEST)
    if not NARROWEST <= asked <= _WIDEST:
        stop(f"--width {asked} is impossible; expected {NARROWEST} to {_WIDEST} columns")
    return asked


def _length(text: str) -> float:
    from wizard.quantity.reading import Refusal, read

    found = read(text, "length", negative=True)
    if isinstance(found, Refusal):
        stop(f"--station: {found}")
    return found.value


def _shows_braille() -> bool:
    try:
        "⣿".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
