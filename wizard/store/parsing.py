"""From bytes to tables: TOML that can't hurt, every float with the digits it was typed in."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterator
from typing import Any

from wizard.plug.paths import Path
from wizard.store.lines import DEEPEST, line_of, scan
from wizard.store.problems import Problem, ProfileError

LARGEST = 256 * 1024  # bytes; a build of many parts takes 10 kB
LONGEST_WHOLE = 2**63  # TOML 1.0 promises whole numbers of 64 bits


class Typed(float):
    """A TOML float that remembers its digits."""

    text: str

    def __new__(cls, text: str) -> Typed:
        """The number that a text stands for."""
        made = super().__new__(cls, text)
        made.text = text
        return made


_TWICE = {
    "Cannot overwrite": ("This key stands twice.", "Expected it once: remove one of the two."),
    "Duplicate inline": ("This key stands twice.", "Expected it once: remove one of the two."),
    "Cannot declare": ("This table stands twice.", "Expected its keys under one header."),
}
_WHERE = re.compile(r" \(at (?:line ([0-9]+), column [0-9]+|end of document)\)$")
_EXPECTED = 'Expected a line like mass = "13.62 g".'
_TOO_LONG = ("This number has too many digits.", "Expected 18 at most.")


def _unfit(parsed: dict[str, Any]) -> Iterator[tuple[Path, str, str]]:
    """Values that the parser lets through but no profile holds."""
    todo: list[tuple[Path, Any]] = [((), parsed)]
    while todo:
        path, value = todo.pop()
        if isinstance(value, float) and not math.isfinite(value):
            yield path, "nan and inf are no numbers.", "Expected a finite one."
        elif isinstance(value, int) and not -LONGEST_WHOLE <= value < LONGEST_WHOLE:
            yield path, *_TOO_LONG
        elif len(path) > DEEPEST:
            yield path[:DEEPEST], "Tables are nested too deep.", f"Expected {DEEPEST} at most."
        elif isinstance(value, dict):
            todo.extend(((*path, key), inner) for key, inner in value.items())
        elif isinstance(value, list):
            todo.extend(((*path, row), inner) for row, inner in enumerate(value))


def _not_toml(text: str, error: ValueError) -> Problem:
    """What the parser said, with the key and the line that it is about."""
    where = _WHERE.search(str(error))
    if where is None:  # a whole number longer than Python reads names no place
        digits = re.search("[0-9_]{4000,}", text)
        line = text.count("\n", 0, digits.start()) + 1 if digits else 1
        statement = scan(text).at(line)
        return Problem(statement.path if statement else (), line, *_TOO_LONG)
    said = str(error)[: where.start()]
    line = int(where[1] or text.count("\n") + 1)
    twice = next((words for start, words in _TWICE.items() if said.startswith(start)), None)
    statement = scan(text).at(line)
    if statement is None:
        return Problem((), line, f"This is not TOML: {said}.", _EXPECTED)
    # A value that never ends, and a key's second value, are to be sought where they begin.
    line = statement.first if twice or where[1] is None else line
    wrong, expected = twice or (f"This is not TOML: {said}.", _EXPECTED)
    return Problem(statement.path, line, wrong, expected)


def parse(data: bytes, source: str) -> tuple[str, dict[str, Any]]:
    """The text of a profile and its tables.

    Raises:
        ProfileError: too large, no UTF-8, no TOML, or numbers that none can be.
    """

    def stop(wrong: str, expected: str, line: int | None = None) -> ProfileError:
        return ProfileError(source, (Problem((), line, wrong, expected),))

    if len(data) > LARGEST:
        raise stop(f"The file holds {len(data)} bytes.", f"Expected {LARGEST} at most.")
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise stop("The file is not UTF-8 text.", "Expected it saved as UTF-8.", line) from None
    deep = _too_deep(text)
    if deep:
        raise stop("Tables are nested too deep.", f"Expected {DEEPEST} at most.", deep)
    try:
        parsed = tomllib.loads(text, parse_float=Typed)
    except RecursionError:
        deep = scan(text).too_deep
        raise stop("Tables are nested too deep.", f"Expected {DEEPEST} at most.", deep) from None
    except ValueError as error:
        raise ProfileError(source, (_not_toml(text, error),)) from None
    bad = [Problem(path, line_of(text, path), *said) for path, *said in _unfit(parsed)]
    if bad:
        raise ProfileError(source, tuple(sorted(bad, key=lambda p: p.line or 0)))
    return text, parsed


def _too_deep(text: str) -> int | None:
    """A line whose dotted keys the parser would take minutes over; None if there is none."""
    if all(line.count(".") <= DEEPEST for line in text.split("\n")):
        return None
    return scan(text).too_deep
