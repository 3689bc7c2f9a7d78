"""`plugwright needs`: what a build takes, before it is begun."""

from __future__ import annotations

import json
import sys

from wizard.commands.arguments import Parser, opened, parser, stop

EXAMPLES = """\
  plugwright needs my-plug.toml
  plugwright needs my-plug.toml --copies 6
  plugwright needs my-plug.toml --json
"""
MOST_COPIES = 1000


def _parser() -> Parser:
    about = "List what a build takes: board, weights, hooks, drills, resin, coats, paper."
    asked = parser("needs", about, EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument("--copies", type=int, default=1, help="so many plugs of this plan")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print what a build takes; returns the exit status."""
    asked = _parser().parse_args(arguments)
    if not 1 <= asked.copies <= MOST_COPIES:
        stop(f"--copies {asked.copies} is impossible; expected 1 to {MOST_COPIES}")
    build = opened(asked.profile).build
    from wizard.plug.derive import derive
    from wizard.plug.onward.expecting import expected
    from wizard.plug.onward.needs import needs

    found = needs(build, derive(build), expected(build), asked.copies)
    if asked.json:
        from wizard.report.needs import need_rows

        whole = {
            "format": 1,
            "profile": asked.profile,
            "copies": found.copies,
            "needs": list(need_rows(build, found)),
            "assumed": list(found.assumed),
            "unknown": list(found.unknown),
        }
        sys.stdout.write(json.dumps(whole, indent=2, allow_nan=False) + "\n")
        return 0
    from wizard.quantity.showing import literal
    from wizard.report.as_text import section_lines
    from wizard.report.needs import needs_section

    sys.stdout.write(literal(build.build.name or "a build without a name") + "\n\n")
    for line in section_lines(needs_section(build, found).without_empty_columns):
        sys.stdout.write(line + "\n")
    return 0
