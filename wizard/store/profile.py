"""The profile: one build as TOML, made to be read and mended by hand.

`read` turns bytes into a record and says all that is wrong with them; `write`
does the reverse. What was typed is kept as typed; keys that this version does
not know are kept and named.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
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
from wizard.quantity.showing import literal
from wizard.store.lines import line_of

FORMAT = 1
LARGEST = 256 * 1024  # bytes; a build of many parts takes 10 kB
HEADER = (
    "# A Plugwright profile: one plug. Quantities stand as they were typed, with their unit.\n"
    "# It may be mended by hand; the program keeps every key but not comments.\n\n"
)


UNITS = ("build", "units")  # one line in the file: it is read at a glance


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that keeps a profile from being read.

    Attributes:
        path: the key it is about; empty for the file as a whole.
        line: counted from one, if known.
        wrong: what is wrong.
        expected: what was expected or what to do.
    """

    path: Path
    line: int | None
    wrong: str
    expected: str

    def __str__(self) -> str:
        """One line naming line, key and what is expected."""
        where = [f"line {self.line}"] if self.line else []
        if self.path:
            where.append(literal(words(self.path)))
        return ": ".join([*where, f"{literal(self.wrong, 300)} {literal(self.expected, 300)}"])


class ProfileError(Exception):
    """A profile that can't be read.

    Attributes:
        source: what the file is called.
        problems: all that is wrong, in the order of the file; at least one.
    """

    def __init__(self, source: str, problems: tuple[Problem, ...]) -> None:
        self.source = source
        self.problems = problems

    def __str__(self) -> str:
        """The first problem in one line."""
        return f"{literal(self.source)}: {self.problems[0]}"


class _Typed(float):
    """A TOML float that remembers its digits."""

    text: str

    def __new__(cls, text: str) -> _Typed:
        made = super().__new__(cls, text)
        made.text = text
        return made


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
            "text": self.words,
            "choice": self.choice,
            "whole": self.whole,
            "moment": self.moment,
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

    def units(self, spec: Spec, value: Any, path: Path) -> dict[str, str]:
        return {k: v for k, v in value.items() if isinstance(v, str)} if _is_table(value) else {}

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
        return value

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
            if kind not in EXAMPLE or not units.labels(kind):
                self.refuse((*path, kind), f"“{kind}” is no kind of quantity.", "Remove it.")
                continue
            unit = units.find(label) if isinstance(label, str) else None
            if unit is None or unit.kind != kind:
                expected = _listed(units.labels(kind))
                self.refuse((*path, kind), f"“{label}” is no unit of {kind}.", f"Use {expected}.")
            else:
                self.unit_of[kind] = unit.label


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _listed(choices: tuple[str, ...]) -> str:
    return " or ".join(choices)


def _example(spec: Spec) -> str:
    return f"a number with its unit, like {EXAMPLE[spec.kind].split(' or ')[0]}"


def _nonfinite(value: Any, path: Path) -> Path | None:
    if isinstance(value, float) and not math.isfinite(value):
        return path
    inner: Any = ()
    if isinstance(value, dict):
        inner = value.items()
    elif isinstance(value, list):
        inner = enumerate(value)
    for key, item in inner:
        found = _nonfinite(item, (*path, key))
        if found is not None:
            return found
    return None


def _parse(data: bytes, source: str) -> tuple[str, dict[str, Any]]:
    def stop(wrong: str, expected: str, line: int | None = None) -> ProfileError:
        return ProfileError(source, (Problem((), line, wrong, expected),))

    if len(data) > LARGEST:
        raise stop(f"The file holds {len(data)} bytes.", f"Expected {LARGEST} at most.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise stop("The file is not UTF-8 text.", "Save it as UTF-8.", line) from None
    try:
        parsed = tomllib.loads(text.replace("\r\n", "\n"), parse_float=_Typed)
    except RecursionError:
        raise stop("Tables are nested too deep.", "Expected a profile.") from None
    except (tomllib.TOMLDecodeError, ValueError) as error:
        found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)$", str(error))
        words_only = str(error)[: found.start()] if found else str(error)
        number = int(found[1]) if found and found[1] else text.count("\n") + 1 if found else None
        raise stop(f"This is not TOML: {words_only}.", "Mend that line.", number) from None
    bad = _nonfinite(parsed, ())
    if bad is not None:
        problem = Problem(bad, line_of(text, bad), "nan and inf are no numbers.", "Expected one.")
        raise ProfileError(source, (problem,))
    return text, parsed


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
    text, parsed = _parse(data, source)
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
    return build, tuple(_unknown(path) for path in reader.unknown)


def _unknown(path: Path) -> Finding:
    from difflib import get_close_matches

    cls: type[Any] = Build
    for part in path[:-1]:
        if isinstance(part, str):
            cls = specs(cls)[part].table or cls
    near = get_close_matches(str(path[-1]), specs(cls), n=1)
    hint = f"Did you mean “{near[0]}”?" if near else "It is kept as it is."
    return Finding("warning", path, "This key is not known and has no effect.", hint)


def _typed(spec: Spec, value: Any) -> Any:
    if isinstance(value, Quantity):
        return value.value if spec.kind == "number" else value.text
    return value


def _as_table(record: Any) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, spec in specs(type(record)).items():
        value = getattr(record, key)
        if value is None or (spec.form == "raw" and key == "other"):
            continue
        if spec.form == "table":
            inner = _as_table(value)
            if inner or (type(record) is Build and key == "ballast"):
                out[key] = inner
        elif spec.form == "tables":
            if value or key in ("hardware", "coat"):
                out[key] = [_as_table(row) for row in value]
        elif spec.form in ("units", "raw"):
            if value:
                out[key] = dict(value)
        else:
            out[key] = _typed(spec, value)
    return {**out, **record.other}


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _emit(table: Mapping[str, Any], path: tuple[str, ...]) -> str:
    """A table's own keys, then its tables, each under a header of its own."""
    import tomli_w

    own = {
        key: value
        for key, value in table.items()
        if not _is_rows(value) and (not isinstance(value, dict) or (*path, key) == UNITS)
    }
    text = ""
    for key, value in own.items():
        if isinstance(value, dict):
            pairs = ", ".join(tomli_w.dumps({k: v}).strip() for k, v in value.items())
            text += f"{key} = {{ {pairs} }}\n"
        else:
            text += tomli_w.dumps({key: value})
    for key, value in table.items():
        if key in own:
            continue
        name = tomli_w.dumps({key: {}}).strip()[1:-1]
        header = ".".join((*path, name))
        for row in value if isinstance(value, list) else [value]:
            brackets = f"[[{header}]]" if isinstance(value, list) else f"[{header}]"
            text += f"\n{brackets}\n{_emit(row, (*path, name))}"
    return text


def write(build: Build) -> bytes:
    """The profile of a build, as bytes of UTF-8 TOML."""
    body = _emit({"format": FORMAT, **_as_table(build)}, ())
    return (HEADER + body).encode()
