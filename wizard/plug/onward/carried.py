"""Answers that came over from another build: which they are, and when they stop being so.

A mark is the place of an answer as `paths.words` writes it; one for a table or an array
stands for all below it. It holds as long as the answer is the one that came over.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import Any

from wizard.plug.findings import Finding
from wizard.plug.paths import Path, get, put, spec_at, words
from wizard.plug.record import Build

_PART = re.compile(r"([a-z_]+)(?:\[([0-9]{1,6})\])?", re.ASCII)
_MISSING = object()


def place_of(mark: str) -> Path | None:
    """The path of a mark; None if there is no such answer in any build."""
    path: Path = ()
    for part in mark.split("."):
        found = _PART.fullmatch(part)
        if found is None:
            return None
        path = (*path, found[1]) if found[2] is None else (*path, found[1], int(found[2]) - 1)
    try:
        spec_at(path)
    except KeyError:
        return None
    return path


def marked(build: Build) -> tuple[Path, ...]:
    """Where the answers stand that came over from another build."""
    return () if build.origin is None else _places(build.origin.carried)


@lru_cache(maxsize=64)
def _places(marks: tuple[str, ...]) -> tuple[Path, ...]:
    found = (place_of(mark) for mark in marks)
    return tuple(path for path in found if path is not None)


def is_carried(build: Build, path: Path) -> bool:
    """Whether the answer at a path, or the table that it stands in, came over."""
    return any(path[: len(mark)] == mark for mark in marked(build))


def still_carried(before: Build, after: Build) -> Build:
    """The changed build with the marks that still hold.

    Args:
        before: with its marks.
        after: the same after an edit; where it brings marks of its own (an earlier version
            does), those hold.
    """
    if after.origin is None or not after.origin.carried or before.origin != after.origin:
        return after
    kept = []
    for path in marked(after):
        found = _where_now(before, after, path)
        if found is not None:
            kept.append(words(found))
    if tuple(kept) == after.origin.carried:
        return after
    return put(after, ("origin",), replace(after.origin, carried=tuple(kept)))


def _where_now(before: Build, after: Build, path: Path) -> Path | None:
    """Where a marked answer stands after an edit; None once it is another."""
    value = _at(before, path)
    if _at(after, path) == value and not _row_moved(before, after, path):
        return path
    for n, part in enumerate(path):
        if not isinstance(part, int):
            continue
        rows, row = _at(after, path[:n]), _at(before, path[: n + 1])
        if isinstance(rows, tuple) and row in rows:
            return (*path[:n], rows.index(row), *path[n + 1 :])
        return None
    return None


def _row_moved(before: Build, after: Build, path: Path) -> bool:
    """Whether rows of the array that the path goes through came or went before its own."""
    n = next((n for n, part in enumerate(path) if isinstance(part, int)), None)
    if n is None:
        return False
    old, new = _at(before, path[:n]), _at(after, path[:n])
    return len(old or ()) != len(new or ())


def _at(build: Build, path: Path) -> Any:
    try:
        return get(build, path)
    except (AttributeError, TypeError):  # a path through what is no table here
        return _MISSING


def carried_findings(build: Build) -> tuple[Finding, ...]:
    """What to say about answers that are expectations until they are measured here."""
    if build.origin is None:
        return ()
    paths = marked(build)
    rows = dict.fromkeys(p[:3] for p in paths if p[:2] == ("density", "sample"))
    findings = [_expected(build, path) for path in rows]
    if paths:
        stand = "1 answer stands" if len(paths) == 1 else f"{len(paths)} answers stand"
        text = f"{stand} as carried over from “{build.origin.name or 'another build'}”."
        findings.append(Finding("note", ("origin", "carried"), text, "Look at each once."))
    return tuple(findings)


def _expected(build: Build, path: Path) -> Finding:
    note = _at(build, (*path, "note"))
    why = f" ({note})" if isinstance(note, str) else ""
    return Finding(
        "warning",
        path,
        f"This density is an expectation, not a test of this board{why}.",
        "Test a piece of this board and take this sample out.",
    )
