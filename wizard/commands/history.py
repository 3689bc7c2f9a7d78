"""`plugwright history`: earlier versions of a build, what changed since, and the way back."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, parser, stop

if TYPE_CHECKING:
    from wizard.plug.record import Build
    from wizard.session.earlier import Earlier

EXAMPLES = """\
  plugwright history my-plug.toml
  plugwright history my-plug.toml --since 12
  plugwright history my-plug.toml --restore 12
"""


def _parser() -> Parser:
    about = "List the earlier versions that are kept of a build, or go back to one."
    asked = parser("history", about, EXAMPLES)
    asked.add_argument("profile", help="the profile, which need not be readable any more")
    one = asked.add_mutually_exclusive_group()
    one.add_argument("--since", metavar="N", help="what changed since that version")
    one.add_argument(
        "--restore", metavar="N", help="put that version in its place; the present one is kept"
    )
    return asked


def run(arguments: list[str]) -> int:
    """List, compare or restore versions; returns the exit status."""
    asked = _parser().parse_args(arguments)
    path = Path(asked.profile)
    from wizard.session.earlier import earlier
    from wizard.store.faults import shown

    found = earlier(path)
    if asked.restore is not None:
        return _restore(path, _version(found, asked.restore, path))
    build, wrong = _present(path)
    if not found and wrong:
        stop(f"{wrong}; no earlier version is kept")
    if asked.since is not None:
        lines = _since(_version(found, asked.since, path), build, wrong)
    else:
        lines = _listed(found, build, wrong)
    sys.stdout.write("".join(f"{line}\n" for line in (shown(path.name), *lines)))
    return 0


def _present(path: Path) -> tuple[Build | None, str]:
    """The build as it is now, or why it can't be read."""
    from wizard.store.opening import Unreadable, open_profile

    try:
        return open_profile(path).build, ""
    except Unreadable as error:
        return None, str(error)


def _version(found: Sequence[Earlier], key: str, path: Path) -> Earlier:
    from wizard.store.faults import shown

    version = next((v for v in found if v.key == key), None)
    if version is None:
        kept = ", ".join(v.key for v in found) or "none"
        stop(f"{shown(path)}: there is no version {key}; kept are: {kept}")
    return version


def _listed(found: Sequence[Earlier], build: Build | None, wrong: str) -> Iterator[str]:
    from wizard.quantity.showing import literal
    from wizard.session.changes import changes, count

    if wrong:
        yield f"! {literal(wrong, 1000)}"
    for version in found:
        now = f"; {count(changes(version.build, build))} now" if build else ""
        yield f"  {version.key:>6}  {version.when:%Y-%m-%d %H:%M}  {version.place}{now}"
    if not found:
        yield "No earlier version is kept yet: one is kept at each step and on closing."


def _since(version: Earlier, build: Build | None, wrong: str) -> Iterator[str]:
    from wizard.session.changes import changes, count

    if build is None:
        stop(wrong)
    lines = changes(version.build, build)
    yield f"Since version {version.key} of {version.when:%Y-%m-%d %H:%M} {count(lines)}:"
    yield from (f"  {line}" for line in lines)


def _restore(path: Path, version: Earlier) -> int:
    from wizard.session.earlier import restore
    from wizard.store.faults import SaveFailed, shown

    try:
        done = restore(path, version)
    except SaveFailed as fault:
        stop(str(fault))
    kept = (
        f"what stood there is now {shown(done.aside.name)}"
        if done.aside
        else "what stood there is kept as a version"
    )
    when = f"{version.when:%Y-%m-%d %H:%M}"
    sys.stdout.write(f"{shown(path.name)} is version {version.key} of {when} again; {kept}\n")
    return 0
