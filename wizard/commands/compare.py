"""`plugwright compare`: two or more builds side by side."""

from __future__ import annotations

import sys

from wizard.commands.arguments import Parser, opened, parser, stop

EXAMPLES = """\
  plugwright compare harbour-sprat-95.toml harbour-sprat-140.toml
  plugwright compare first.toml second.toml third.toml --all
  plugwright compare first.toml second.toml --json
"""


def _parser() -> Parser:
    about = "Show builds side by side; numbers that differ beyond their doubt are marked."
    asked = parser("compare", about, EXAMPLES)
    asked.add_argument("profiles", nargs="+", metavar="profile", help="the profiles to read")
    asked.add_argument("--all", action="store_true", help="answers that are alike as well")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print a comparison; returns the exit status."""
    asked = _parser().parse_args(arguments)
    if len(asked.profiles) < 2:
        stop("compare needs two profiles or more. Try: plugwright compare --help")
    builds = [opened(path).build for path in asked.profiles]
    from wizard.plug.derive import derive
    from wizard.plug.onward.compare import comparison

    derived = [derive(build) for build in builds]
    found = comparison(builds, derived)
    if asked.json:
        from wizard.report.comparing import comparison_document

        sys.stdout.write(comparison_document(asked.profiles, found) + "\n")
        return 0
    from wizard.report.as_text import text
    from wizard.report.comparing import comparison_page
    from wizard.steps.wording import label

    page = comparison_page(builds, derived, found, label, everything=asked.all)
    sys.stdout.write(text(page))
    return 0
