"""From TOML to any record that declares its answers, and all that is wrong on the way.

A kind of file says which record it holds; the walk by the record's specs, the words of
each refusal and the way back to text are the same for all kinds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Generic, TypeVar

from wizard.plug.fields import Spec, specs
from wizard.plug.findings import Finding
from wizard.plug.limits import MOST_ROWS, counts, counts_in_words, out_of_range
from wizard.plug.paths import Path, words
from wizard.quantity import units
from wizard.quantity.reading import EXAMPLE, Quantity, Refusal
from wizard.quantity.reading import read as read_quantity
from wizard.store.ending import END, is_cut_short
from wizard.store.formats import Step, carried
from wizard.store.lines import line_of
from wizard.store.parsing import parse
from wizard.store.problems import Problem, ProfileError

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Kind(Generic[R]):
    """A kind of file.

    Attributes:
        record: class of the record that it holds.
        called: what such a file is called.
        format: the format that this version reads and writes.
        units: path of the table that names units; it is written on one line.
        header: comment at the top of the file.
        impossible: what can't be in such a record, answer by answer.
        older: by format, what makes a file of it one of the next format.
    """

    record: type[R]
    called: str
    format: int
    units: Path
    header: str
    impossible: Callable[[R], tuple[Finding, ...]]
    older: Mapping[int, Step] = field(default_factory=dict)


MOST_HINTS = 20  # unknown keys that get a "did you mean"


@dataclass
class _Reader:
    """Walks the tables by the record's specs and collects what is wrong."""

    text: str
    units_path: Path
    unit_of: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    unknown: list[Path] = field(default_factory=list)

    def refuse(self, path: Path, wrong: str, expected: str) -> None:
        self.problems.append(Problem(path, line_of(self.text, path), wrong, expected))

    def too_many(self, path: Path, rows: list[Any]) -> bool:
        """Whether there are more than anybody types; refused if so."""
        if len(rows) > MOST_ROWS:
            self.refuse(path, f"There are {len(rows)} of these.", f"Expected {MOST_ROWS} at most.")
        return len(rows) > MOST_ROWS

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
            "texts": self.texts,
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
        text = value if isinstance(value, str) else _digits(value)
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
        if self.too_many(path, value):
            return None
        every = [self.quantity(spec, item, (*path, i)) for i, item in enumerate(value)]
        return tuple(read for read in every if read is not None)

    def words(self, spec: Spec, value: Any, path: Path) -> str | None:
        if isinstance(value, str):
            return value
        self.refuse(path, "This is not text.", 'Expected text in quotes, like "basswood".')
        return None

    def texts(self, spec: Spec, value: Any, path: Path) -> tuple[str, ...] | None:
        """Several words; a number without quotes is taken with the digits typed."""
        every = value if isinstance(value, list) else [value]
        if self.too_many(path, every):
            return None
        if all(isinstance(v, str | int | float) and not isinstance(v, bool) for v in every):
            return tuple(v if isinstance(v, str) else _digits(v) for v in every)
        self.refuse(path, "This is no list of texts.", 'Expected one like ["1/4 in", "3/8 in"].')
        return None

    def choice(self, spec: Spec, value: Any, path: Path) -> str | None:
        if isinstance(value, str) and value in spec.choices:
            return value
        self.refuse(path, f"“{value}” is not known here.", f"Expected {_listed(spec.choices)}.")
        return None

    def whole(self, spec: Spec, value: Any, path: Path) -> int | None:
        if isinstance(value, str) and re.fullmatch("[0-9]{1,6}", value.strip()):
            value = int(value)
        least, most = counts(spec)
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
            return value
        expected = f"Expected a whole number {counts_in_words(spec)}."
        self.refuse(path, f"“{value}” is no count.", expected)
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
        if isinstance(value, list) and self.too_many(path, value):
            return None
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
        """Learn the units chosen before anything is read with them."""
        path = self.units_path
        chosen: Any = data
        for key in path:
            chosen = chosen.get(key) if isinstance(chosen, Mapping) else None
        if chosen is None:
            return
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


def _digits(value: float) -> str:
    """A bare number as it was typed."""
    return getattr(value, "text", None) or str(value)


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _listed(choices: tuple[str, ...]) -> str:
    return " or ".join(choices)


def _example(spec: Spec) -> str:
    return f"a number with its unit, like {EXAMPLE[spec.kind].split(' or ')[0]}"


FORMAT: Path = ("format",)


def _as_now(
    text: str, parsed: dict[str, Any], source: str, kind: Kind[Any]
) -> tuple[dict[str, Any], tuple[Finding, ...]]:
    """The tables as this version has them, and a note if the file has them otherwise."""
    number, called, is_later = parsed.get("format"), kind.called, False
    if isinstance(number, int) and not isinstance(number, bool):
        if number == kind.format:
            return parsed, ()
        if number < kind.format and all(n in kind.older for n in range(number, kind.format)):
            return _carried(text, parsed, source, kind)
        is_later = number > kind.format
        if is_later:
            wrong = f"The {called} is of format {number}, made by a later version."
            remedy = f"This version reads format {kind.format}: install a newer one."
        else:
            wrong, remedy = f"There is no format {number}.", f"Expected format = {kind.format}."
    else:
        wrong = f"The {called} names no format."
        remedy = f"Expected format = {kind.format}."
    problem = Problem(FORMAT, line_of(text, FORMAT) or 1, wrong, remedy)
    raise ProfileError(source, (problem,), is_later=is_later)


def _carried(
    text: str, parsed: dict[str, Any], source: str, kind: Kind[Any]
) -> tuple[dict[str, Any], tuple[Finding, ...]]:
    number = parsed["format"]
    wrong = f"The {kind.called} is of format {number}, made by an earlier version."
    try:
        now = carried(parsed, number, kind.format, kind.older)
    except (LookupError, TypeError, ValueError, AttributeError):  # its tables are no such tables
        remedy = f"It does not hold what format {number} holds: mend it, or go back to a copy."
        problem = Problem(FORMAT, line_of(text, FORMAT), wrong, remedy)
        raise ProfileError(source, (problem,)) from None
    remedy = f"Saving it makes it one of format {kind.format}."
    return now, (Finding("warning", FORMAT, wrong, remedy),)


def read_record(data: bytes, source: str, kind: Kind[R]) -> tuple[R, tuple[Finding, ...]]:
    """The record that a file holds, and what is odd about the file itself.

    Args:
        data: the file.
        source: what to call it in messages.
        kind: what it should hold.

    Raises:
        ProfileError: it can't be read; holds every problem found.
    """
    text, parsed = parse(data, source)
    if is_cut_short(text):
        raise ProfileError(source, (_cut_short(text),))
    parsed, carried_from = _as_now(text, parsed, source, kind)
    reader = _Reader(text, kind.units)
    reader.unit_choices(parsed)
    tables = {key: value for key, value in parsed.items() if key != "format"}
    record: R = reader.table(kind.record, tables, ())
    if not reader.problems:
        for finding in kind.impossible(record):
            reader.refuse(finding.path, finding.wrong, finding.remedy)
    if reader.problems:
        raise ProfileError(source, tuple(sorted(reader.problems, key=lambda p: p.line or 0)))
    unknown = (_unknown(path, i, kind) for i, path in enumerate(reader.unknown))
    return record, (*carried_from, *unknown)


def _cut_short(text: str) -> Problem:
    return Problem(
        (),
        text.rstrip("\n").count("\n") + 1,
        f"The file ends too early: its last line, “{END}”, is missing.",
        "Expected what came after this; add that line only if nothing is missing.",
    )


def _unknown(path: Path, number: int, kind: Kind[Any]) -> Finding:
    near = _nearest(path, kind) if number < MOST_HINTS else None
    hint = f"Did you mean “{near}”?" if near else "It is kept as it is."
    return Finding("warning", path, "This key is not known and has no effect.", hint)


def _nearest(path: Path, kind: Kind[Any]) -> str | None:
    """The known key most like an unknown one."""
    from difflib import get_close_matches

    cls: type[Any] = kind.record
    for part in path[:-1]:
        if isinstance(part, str):
            cls = specs(cls)[part].table or cls
    known = EXAMPLE if path[:-1] == kind.units else [key for key in specs(cls) if key != "other"]
    return next(iter(get_close_matches(str(path[-1])[:60], known, n=1)), None)
