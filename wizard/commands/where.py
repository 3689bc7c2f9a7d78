"""`plugwright where`: the files of this program, and whether they are there."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path

from wizard.commands.arguments import Parser, parser

EXAMPLES = """\
  plugwright where
  plugwright where --folder ~/plugs
  plugwright where --json
"""

MOVING = (
    "All of it lies in the folder of builds: copy that to back it up.\n"
    "--folder, or PLUGWRIGHT_HOME for good, names another folder."
)


def _parser() -> Parser:
    about = "Say where builds, the bench file, earlier versions and the report of a fault are."
    asked = parser("where", about, EXAMPLES)
    asked.add_argument("--folder", help="where builds live, instead of the usual place")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print the places; returns the exit status."""
    asked = _parser().parse_args(arguments)
    places = _places(asked.folder)
    if asked.json:
        told = {name: {"path": str(path), "there": path.exists()} for name, path in places.items()}
        sys.stdout.write(json.dumps({"format": 1, "places": told}, indent=2) + "\n")
        return 0
    from wizard.store.faults import shown

    for name, path in places.items():
        absent = "" if path.exists() else "  (not there yet)"
        sys.stdout.write(f"{name:<8} {shown(path)}{absent}\n")
    sys.stdout.write(f"{MOVING}\n")
    return 0


def _places(folder: str | None) -> Mapping[str, Path]:
    """Each place under its name; earlier versions, drafts and the bin share one folder."""
    from wizard.session.faults import report_path
    from wizard.store.bench import bench_path
    from wizard.store.folder import builds_folder

    builds = builds_folder(folder)
    report = report_path(builds)
    return {
        "builds": builds,
        "bench": bench_path(builds),
        "versions": report.parent,
        "report": report,
    }
