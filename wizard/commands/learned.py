"""`plugwright learned`: what the finished builds of a folder say about their maker."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wizard.commands.arguments import Parser, opened, parser, stop

if TYPE_CHECKING:
    from wizard.learning.habits import Calibration
    from wizard.plug.bench import Bench
    from wizard.plug.record import Build

EXAMPLES = """\
  plugwright learned
  plugwright learned --folder ~/plugs
  plugwright learned my-plug.toml              what this build may take over
  plugwright learned --reset                   builds finished until now count no more
  plugwright learned --all                     all of them count again
"""


def _parser() -> Parser:
    asked = parser("learned", "What your finished builds say about how you work.", EXAMPLES)
    asked.add_argument("profile", nargs="?", help="a build that may take something over")
    asked.add_argument("--folder", help="where builds live, instead of the usual place")
    counted = asked.add_mutually_exclusive_group()
    counted.add_argument(
        "--reset", action="store_true", help="begin anew: builds finished until now count no more"
    )
    counted.add_argument("--all", action="store_true", help="count all finished builds again")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print what was learned; returns the exit status."""
    asked = _parser().parse_args(arguments)
    from wizard.learning.keeping import counted_from
    from wizard.learning.offering import learn
    from wizard.store.folder import builds_folder

    target = opened(asked.profile).build if asked.profile else None
    folder = builds_folder(asked.folder)
    known = learn(_finished(folder), counted_from(_bench(folder, asked)))
    if asked.json:
        sys.stdout.write(json.dumps(_document(known, target), indent=2, allow_nan=False) + "\n")
        return 0
    from wizard.report.learning import learned_lines, offer_lines

    lines = learned_lines(known)
    if target is not None:
        found = offer_lines(known, target)
        lines += ["", "What this build may take over", *(found or ["nothing: too little is known"])]
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


def _document(known: Calibration, target: Build | None) -> dict[str, Any]:
    from wizard.learning.keeping import to_table
    from wizard.learning.offering import offers

    learned = to_table(known)
    if known.since is not None:
        learned["since"] = known.since.isoformat()
    if target is None:
        return {"format": 1, "learned": learned}
    found = [
        {"key": o.habit.key, "becomes": o.becomes, "instead": o.instead}
        for o in offers(known, target)
    ]
    return {"format": 1, "learned": learned, "offers": found}


def _bench(folder: Path, asked: Namespace) -> Bench:
    """The bench, with builds counted from another moment on where that is asked for."""
    from wizard.learning.keeping import counting_from
    from wizard.store.bench import BenchUnreadable, bench_path, open_bench, save_bench
    from wizard.store.faults import StoreError

    try:
        held = open_bench(bench_path(folder))
        if asked.reset or asked.all:
            now = datetime.now().astimezone().replace(microsecond=0)
            held = save_bench(held, counting_from(held.bench, now if asked.reset else None))
    except (BenchUnreadable, StoreError) as fault:
        stop(str(fault))
    return held.bench


def _finished(folder: Path) -> list[Build]:
    """Every finished build that can be read; the others are no fault of this one."""
    from wizard.store.faults import ReadRefused
    from wizard.store.finished import finished_builds

    try:
        return list(finished_builds(folder))
    except ReadRefused as fault:
        stop(str(fault))
