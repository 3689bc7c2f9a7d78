"""`plugwright tank`: what to mix, what to expect, what the tank said, and the mend."""

from __future__ import annotations

import math
import sys
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop

if TYPE_CHECKING:
    from wizard.physics.brine import Salt

EXAMPLES = """\
  plugwright tank my-plug.toml
  plugwright tank my-plug.toml --litres 40 --table-salt
  plugwright tank my-plug.toml --json
"""


def _parser() -> Parser:
    asked = parser("tank", "The proof: mix sheet, prediction, verdict, suspects, mend.", EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("--litres", type=float, help="water in the tank, else as in the profile")
    which = asked.add_mutually_exclusive_group()
    which.add_argument("--sea", action="store_true", help="mix with sea salt")
    which.add_argument("--table-salt", action="store_true", help="mix with table salt")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print the page of the proof; returns the exit status."""
    asked = _parser().parse_args(arguments)
    volume = _volume(asked.litres)
    salt: Salt | None = "sea salt" if asked.sea else "table salt" if asked.table_salt else None
    read = opened(asked.profile)
    from wizard.plug.derive import derive
    from wizard.report.tank_page import document, page

    derived = derive(read.build)
    if asked.json:
        sys.stdout.write(document(asked.profile, read.build, derived, volume, salt) + "\n")
    else:
        sys.stdout.write(page(read.build, derived, volume, salt))
    return 0


def _volume(litres: float | None) -> float | None:
    if litres is None:
        return None
    if not (math.isfinite(litres) and 0.1 <= litres <= 1e5):
        stop(f"--litres {litres:g} is impossible; expected 0.1 to 100000")
    return litres * 1e-3
