"""The page on expectations names tests that exist, and every line of it names one or says why."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

TESTS = Path(__file__).parents[1]
PAGE = TESTS.parent / "docs" / "expectations.md"
NAMED = re.compile(r"`([a-z]+/test_[a-z_]+)::([a-z0-9_]*)`")
SAID = ("figures by", "said here", "why not")


def lines() -> list[str]:
    """The lines of its tables, without heads and rules."""
    rows = [li for li in PAGE.read_text(encoding="utf-8").splitlines() if li.startswith("| ")]
    heads = ("| expected |", "| --- |", "| trap |", "| point |")
    return [row for row in rows if not row.startswith(heads)]


@cache
def functions(file: str) -> tuple[str, ...]:
    """Names of the tests in a file, without `test_`."""
    text = (TESTS / f"{file}.py").read_text(encoding="utf-8")
    return tuple(re.findall(r"^(?:async )?def test_(\w+)", text, re.MULTILINE))


def test_every_line_names_a_test_or_says_why_there_is_none() -> None:
    assert len(lines()) > 90
    for line in lines():
        last = line.rstrip("| ").rpartition("|")[2]
        assert NAMED.search(last) or any(said in last for said in SAID), line


def test_every_test_that_is_named_exists() -> None:
    named = {pair for line in lines() for pair in NAMED.findall(line)}
    assert len(named) > 60
    for file, beginning in named:
        assert (TESTS / f"{file}.py").exists(), file
        assert any(name.startswith(beginning) for name in functions(file)), (file, beginning)
