"""The profile: one build as TOML, made to be read and mended by hand.

`read` turns bytes into a record and says all that is wrong with them; `write`
does the reverse. What was typed is kept as typed; keys that this version does
not know are kept and named.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from wizard.plug.checks import impossible
from wizard.plug.fields import Spec, specs
from wizard.plug.findings import Finding
from wizard.plug.limits import out_of_range
from wizard.plug.paths import Path, words
from wizard.plug.record import Build
from wizard.quantity import units
from wizard.quantity.reading import EXAMPLE, Quantity, Refusal
from wizard.quantity.reading import read as read_quantity
from wizard.store.lines import line_of
from wizard.store.parsing import LARGEST, parse
from wizard.store.problems import Problem, ProfileError
from wizard.store.writing import FORMAT, UNITS, write

__all__ = ["FORMAT", "LARGEST", "Problem", "ProfileError", "read", "write"]

MOST_HINTS = 20  # unknown keys that get a "did you mean"


@dataclass
class _Reader:
    """Walks the tables by the record's specs and collects what is wrong."""

    text: str
    unit_of: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    unknown: list[Path] = field(default_factory=list)

    def refuse(self, path: Path, wrong: str, expected: str) -> None:
        self.problems.append(Problem(path, line_of(self.text, path), wrong, expected))

    def table(self, cls: type[Any], data: Mapping[str, Any], path: Path) -> Any:
        known = specs(cls)
        answers: dict[str, Any] = {}
        others: dict[str, Any] = {}
        for key, value in data.items():
            here = (*path, key)
            if key == "other" or key not in known:
                others[key] = value
                self.unknown.append(here)
            else:
                answers[key] = self.value(known[key], value, here)
        return cls(**{k: v for k, v in answers.items() if v is not None}, other=others)

    def value(self, spec: Spec, value: Any, path: Path) -> Any:
        readers = {
            "quantity": self.quantity,
            "quantities": self.quantities,
            "text": self.words,
            "choice": self.choice,
            "whole": self.whole,
            "moment": self.moment,
            "day": self.day,
            "units": self.units,
            "table": self.inner,
            "tables": self.rows,
            "raw": self.raw,
        }
        return readers[spec.form](spec, value, path)

    def quantity(self, spec: Spec, value: Any, path: Path) -> Quantity | None:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            self.refuse(path, "This is not a measurement.", f"Expected {_example(spec)}.")
            return None
        text = value if isinstance(value, str) else getattr(value, "text", None) or str(value)
        read = read_quantity(text, spec.kind, self.unit_of.get(spec.kind), negative=True)
        if isinstance(read, Refusal):
            self.refuse(path, read.wrong, read.remedy)
            return None
        complaint = out_of_range(spec, read)
        if complaint:
            self.refuse(path, *complaint)
            return None
        return read

    def quantities(self, spec: Spec, value: Any, path: Path) -> tuple[Quantity, ...] | None:
        """Several readings; one that stands without brackets is taken as a list of one."""
        if not isinstance(value, list):
            read = self.quantity(spec, value, path)
            return None if read is None else (read,)
        every = [self.quantity(spec, item, (*path, i)) for i, item in enumerate(value)]
        return tuple(read for read in every if read is not None)

    def words(self, spec: Spec, value: Any, path: Path) -> str | None:
        if isinstance(value, str):
            return value
        self.refuse(path, "This is not text.", 'Expected text in quotes, like "basswood".')
        return None

    def choice(self, spec: Spec, value: Any, path: Path) -> str | None:
        if isinstance(value, str) and value in spec.choices:
            return value
        self.refuse(path, f"“{value}” is not known here.", f"Expected {_listed(spec.choices)}.")
        return None

    def whole(self, spec: Spec, value: Any, path: Path) -> int | None:
        if isinstance(value, str) and re.fullmatch("[0-9]{1,6}", value.strip()):
            value = int(value)
        least = int(spec.above or 0) + 1
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= 10**6:
            return value
        self.refuse(path, f"“{value}” is no count.", f"Expected a whole number from {least} up.")
        return None

    def moment(self, spec: Spec, value: Any, path: Path) -> datetime | None:
        if isinstance(value, datetime):
            return value
        self.refuse(
            path, "This is no date and time.", "Expected one like 2026-04-02T18:30:00+01:00."
        )
        return None

    def day(self, spec: Spec, value: Any, path: Path) -> date | None:
        if isinstance(value, date):
            return value
        self.refuse(path, "This is no date.", "Expected one like 2026-04-02, without quotes.")
        return None

    def units(self, spec: Spec, value: Any, path: Path) -> dict[str, str]:
        return dict(value) if _is_table(value) else {}

    def inner(self, spec: Spec, value: Any, path: Path) -> Any:
        assert spec.table is not None
        if _is_table(value):
            return self.table(spec.table, value, path)
        self.refuse(path, "This is no table.", f"Expected [{words(path)}] with keys under it.")
        return None

    def rows(self, spec: Spec, value: Any, path: Path) -> Any:
        assert spec.table is not None
        if isinstance(value, list) and all(_is_table(row) for row in value):
            return tuple(self.table(spec.table, row, (*path, i)) for i, row in enumerate(value))
        self.refuse(
            path, "This is no list of tables.", f"Expected [[{words(path)}]] with keys under it."
        )
        return None

    def raw(self, spec: Spec, value: Any, path: Path) -> Any:
        if _is_table(value):
            return value
        self.refuse(path, "This is no table.", f"Expected [{words(path)}] with keys under it.")
        return None

    def unit_choices(self, data: Mapping[str, Any]) -> None:
        """Learn [build] units before anything is read with them."""
        heading = data.get("build")
        chosen = heading.get("units") if isinstance(heading, Mapping) else None
        if chosen is None:
            return
        path: Path = ("build", "units")
        if not _is_table(chosen):
            self.refuse(path, "This is no table.", 'Expected { length = "in", mass = "g" }.')
            return
        for kind, label in chosen.items():
            if isinstance(label, str) and not (kind in EXAMPLE and units.labels(kind)):
                self.unknown.append((*path, kind))
                continue
            unit = units.find(label) if isinstance(label, str) else None
            if unit is None or unit.kind != kind:
                expected = _listed(units.labels(kind))
                self.refuse(
                    (*path, kind), f"“{label}” is no unit of {kind}.", f"Expected {expected}."
                )
            else:
                self.unit_of[kind] = unit.label


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _listed(choices: tuple[str, ...]) -> str:
    return " or ".join(choices)


def _example(spec: Spec) -> str:
    return f"a number with its unit, like {EXAMPLE[spec.kind].split(' or ')[0]}"


def _check_format(text: str, parsed: Mapping[str, Any], source: str) -> None:
    number = parsed.get("format")
    path: Path = ("format",)
    if isinstance(number, int) and not isinstance(number, bool):
        if number == FORMAT:
            return
        if number > FORMAT:
            wrong = f"The profile is of format {number}, made by a later version."
            remedy = f"This version reads format {FORMAT}: install a newer one."
        else:
            wrong, remedy = f"There is no format {number}.", f"Expected format = {FORMAT}."
    else:
        wrong, remedy = "The profile names no format.", f"Expected format = {FORMAT}."
    raise ProfileError(source, (Problem(path, line_of(text, path) or 1, wrong, remedy),))


def read(data: bytes, source: str) -> tuple[Build, tuple[Finding, ...]]:
    """The record that a profile holds, and what is odd about the file itself.

    Args:
        data: the file.
        source: what to call it in messages.

    Raises:
        ProfileError: it can't be read; holds every problem found.
    """
    text, parsed = parse(data, source)
    _check_format(text, parsed, source)
    reader = _Reader(text)
    reader.unit_choices(parsed)
    tables = {key: value for key, value in parsed.items() if key != "format"}
    build: Build = reader.table(Build, tables, ())
    if not reader.problems:
        for finding in impossible(build):
            reader.refuse(finding.path, finding.wrong, finding.remedy)
    if reader.problems:
        raise ProfileError(source, tuple(sorted(reader.problems, key=lambda p: p.line or 0)))
    return build, tuple(_unknown(path, i) for i, path in enumerate(reader.unknown))


def _unknown(path: Path, number: int) -> Finding:
    near = _nearest(path) if number < MOST_HINTS else None
    hint = f"Did you mean “{near}”?" if near else "It is kept as it is."
    return Finding("warning", path, "This key is not known and has no effect.", hint)


def _nearest(path: Path) -> str | None:
    """The known key most like an unknown one."""
    from difflib import get_close_matches

    cls: type[Any] = Build
    for part in path[:-1]:
        if isinstance(part, str):
            cls = specs(cls)[part].table or cls
    known = EXAMPLE if path[:-1] == UNITS else specs(cls)
    return next(iter(get_close_matches(str(path[-1])[:60], known, n=1)), None)
