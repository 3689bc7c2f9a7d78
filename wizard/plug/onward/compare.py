"""Two or more builds side by side: what was asked and answered, and what follows.

A difference of two numbers counts as one when it is larger than its expanded uncertainty
(k = 2). Their doubts are taken as independent: two plugs were weighed at other times,
often on other scales, and a cause that they do share only makes the true doubt smaller.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from wizard.plug.derived import Derived
from wizard.plug.fields import Spec, specs
from wizard.plug.numbers import CATALOGUE, SCALE
from wizard.plug.paths import Path
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity

COVERAGE = 2.0
"""k: so many standard uncertainties a difference must exceed (JCGM 100:2008, 6.2.1)."""

SAME = 1e-9
"""Relative difference up to which exact numbers are one: the rounding of sums."""

NOT_COMPARED: frozenset[Path] = frozenset(
    {("origin",), ("shown",)}
    | {("build", key) for key in ("name", "created", "step", "archived", "tags", "units")}
)
"""Answers that tell where a build is from, where it stands and how it is shown, not what it is."""


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer in all builds.

    Attributes:
        path: where it stands.
        answers: as typed; None where a build has none.
    """

    path: Path
    answers: tuple[str | None, ...]

    @property
    def differs(self) -> bool:
        """Whether not all builds answer alike."""
        return len(set(self.answers)) > 1


@dataclass(frozen=True, slots=True)
class NumberRow:
    """One number in all builds, in the unit of the catalogue.

    Attributes:
        name: a key of the catalogue.
        values: value and standard uncertainty; None where a build has none yet.
        differs: for each build whether it differs from the first beyond doubt.
    """

    name: str
    values: tuple[tuple[float, float] | None, ...]
    differs: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Builds side by side.

    Attributes:
        names: of the builds, as their makers call them.
        answers: each answer that any of them has.
        numbers: each number that any of them has.
        same: for each build whether it answers just as the first does.
    """

    names: tuple[str, ...]
    answers: tuple[AnswerRow, ...]
    numbers: tuple[NumberRow, ...]
    same: tuple[bool, ...]

    @property
    def one_build(self) -> bool:
        """Whether all of them are one and the same build."""
        return all(self.same)


def comparison(builds: Sequence[Build], derived: Sequence[Derived]) -> Comparison:
    """Builds side by side, the others against the first.

    Args:
        builds: two or more.
        derived: what follows from each.
    """
    tables = [dict(answers(build)) for build in builds]
    paths = sorted({p for table in tables for p in table}, key=_place)
    rows = tuple(AnswerRow(p, tuple(table.get(p) for table in tables)) for p in paths)
    return Comparison(
        tuple(build.build.name or "a build without a name" for build in builds),
        rows,
        tuple(_numbers(derived)),
        tuple(table == tables[0] for table in tables),
    )


def differ(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Whether two values, each with its standard uncertainty, differ beyond doubt.

    Source: JCGM 100:2008, 5.1.2 and 6.2.1, the inputs taken as independent.
    """
    (a, u), (b, v) = one, other
    return abs(a - b) > max(COVERAGE * math.hypot(u, v), SAME * max(abs(a), abs(b)))


def _numbers(derived: Sequence[Derived]) -> Iterator[NumberRow]:
    for name, entry in CATALOGUE.items():
        found = [d.value(name) for d in derived]
        scale = SCALE[entry.unit]
        values = tuple(None if v is None else (v.value / scale, v.u / scale) for v in found)
        first = values[0]
        if any(values):
            marks = tuple(bool(first and v and differ(first, v)) for v in values)
            yield NumberRow(name, values, marks)


def answers(build: Build) -> Iterator[tuple[Path, str]]:
    """Every answer of a build as it was typed, with its place."""
    for key, spec in specs(Build).items():
        yield from _below(getattr(build, key), spec, (key,))


def _below(value: Any, spec: Spec, path: Path) -> Iterator[tuple[Path, str]]:
    if value is None or value == () or spec.form == "raw" or path in NOT_COMPARED:
        return
    if spec.form == "tables":
        for row, record in enumerate(value):
            yield from _inside(record, (*path, row))
    elif spec.form == "table":
        yield from _inside(value, path)
    else:
        text = typed(value)
        if text:
            yield path, text


def _inside(record: Any, path: Path) -> Iterator[tuple[Path, str]]:
    for key, spec in specs(type(record)).items():
        yield from _below(getattr(record, key), spec, (*path, key))


def outcome(build: Build) -> str:
    """How a build turned out: by the tank, else by its numbers when it was finished."""
    told = [trial.as_asked for trial in build.trial if trial.as_asked]
    if told:
        return "did as asked" if told[-1] == "yes" else "did not do as asked"
    chance = build.shown.numbers.get("chance_aim") if build.shown else None
    return f"chance {chance}" if isinstance(chance, str) else ""


def typed(answer: Any) -> str:
    """An answer as it stands in the profile."""
    if isinstance(answer, Quantity):
        return answer.text
    if isinstance(answer, tuple):
        return "; ".join(typed(one) for one in answer)
    if isinstance(answer, dict):
        return ", ".join(f"{key} in {unit}" for key, unit in answer.items())
    return str(answer)


def _place(path: Path) -> tuple[tuple[int, int], ...]:
    """A path's place in the profile, for sorting: keys in the order of their records."""
    place: list[tuple[int, int]] = []
    cls: type[Any] = Build
    for part in path:
        if isinstance(part, int):
            place.append((0, part))
            continue
        known = specs(cls)
        place.append((list(known).index(part), 0))
        cls = known[part].table or cls
    return tuple(place)
