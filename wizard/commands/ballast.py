"""`plugwright ballast`: which pieces go into which holes, and what to mix for them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop

if TYPE_CHECKING:
    from wizard.plug.ballast.plan import DrillPlan
    from wizard.plug.bench import Bench
    from wizard.plug.record import Build
    from wizard.store.opening import Opened

EXAMPLES = """\
  plugwright ballast my-plug.toml
  plugwright ballast my-plug.toml --bench cellar.toml
  plugwright ballast my-plug.toml --apply
  plugwright ballast my-plug.toml --json
"""
WIDTH = 88
LONGEST = 1000  # signs of a line before it is cut into lines
NO_PLAN = 1
"""Exit status when the profile was read and no plan could be made."""


def _parser() -> Parser:
    about = "Propose a drill plan for the ballast, from the drawer of the bench file."
    asked = parser("ballast", about, EXAMPLES)
    asked.add_argument("profile", help="the profile to read")
    asked.add_argument(
        "--bench", metavar="FILE", help="the bench file, else the one of your builds"
    )
    asked.add_argument("--apply", action="store_true", help="put the plan into the profile")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Print the drill plan of a build; returns the exit status."""
    asked = _parser().parse_args(arguments)
    read, bench = opened(asked.profile), _bench(asked.bench)
    from wizard.plug.ballast.plan import ballast_plan
    from wizard.plug.derive import derive
    from wizard.quantity.showing import literal

    derived = derive(read.build)
    plan = ballast_plan(read.build, derived, bench)
    if asked.apply and plan.holes:
        _apply(read, plan)
    if asked.json:
        from wizard.report.plan_machine import plan_document

        text = plan_document(asked.profile, plan, read.odd, bench.drills.owned) + "\n"
    else:
        text = _text(read.build, plan, bench)
        if asked.apply and plan.holes:
            text += f"\nThe plan is in {literal(asked.profile)} now.\n"
    sys.stdout.write(text)
    if asked.apply and not plan.holes:
        stop(f"{asked.profile}: there is no plan to apply")
    return 0 if plan.holes else NO_PLAN


def _text(build: Build, plan: DrillPlan, bench: Bench) -> str:
    from wizard.plug.ballast.after import after_ballast
    from wizard.plug.derive import derive
    from wizard.plug.rule import rule_of
    from wizard.report.ballast_lines import after_ballast_lines
    from wizard.report.ballast_plan import plan_lines

    lines = list(plan_lines(plan, bench))
    weighed = after_ballast(build, derive(build))
    if weighed is not None:
        lines += ["", *after_ballast_lines(weighed, build.build.units, rule_of(build))]
    return "".join(f"{line}\n" for text in lines for line in _wrapped(text))


def _wrapped(line: str) -> list[str]:
    """A line on as many as it takes, the later ones under its words."""
    from textwrap import wrap

    from wizard.quantity.showing import literal

    indent = " " * (len(line) - len(line.lstrip(" !")) + 2)
    shown = literal(line, LONGEST)
    return wrap(shown, WIDTH, subsequent_indent=indent, break_on_hyphens=False) or [""]


def _bench(named: str | None) -> Bench:
    """The bench named, else that of the maker's builds; ends the program if it can't be read."""
    from wizard.store.bench import BenchUnreadable, bench_path, open_bench
    from wizard.store.folder import builds_folder

    path = Path(named) if named else bench_path(builds_folder())
    if named and not path.exists():
        stop(f"{named}: there is no such file")
    try:
        return open_bench(path).bench
    except BenchUnreadable as error:
        stop(str(error))


def _apply(read: Opened, plan: DrillPlan) -> None:
    """Save the profile with the plan in it; ends the program if that can't be done."""
    from wizard.store.faults import StoreError
    from wizard.store.files import save
    from wizard.store.locks import HeldBy, hold
    from wizard.store.profile import write

    lock = hold(read.path)
    if isinstance(lock, HeldBy):
        stop(f"{read.path}: {lock} has this build open; close it there first")
    try:
        save(read.path, write(plan.applied(read.build)), expected=read.fingerprint)
    except StoreError as fault:
        stop(str(fault))
    finally:
        lock.release()
