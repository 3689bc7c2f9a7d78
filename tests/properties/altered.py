"""Profiles altered anyhow, answer by answer: still TOML, and often still a profile.

Flipped bytes seldom get beyond the parser. These changes know which keys there are and
what kind of answer each takes, so that odd answers reach the arithmetic and the papers.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from copy import deepcopy
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from random import Random
from typing import Any

import tomli_w

from tests.process.hostile_texts import TEXTS
from wizard.plug.bench import Bench
from wizard.plug.fields import Spec, specs
from wizard.plug.limits import counts
from wizard.plug.record import Build
from wizard.quantity import units

PROFILES = sorted((Path(__file__).parents[2] / "profiles").glob("*.toml"))
TABLES: list[dict[str, Any]] = [tomllib.loads(path.read_text()) for path in PROFILES]

NUMBERS = ("0", "1", "2", "3/4", "1 1/2", "12", "90", "1000", "9999", "0.001", "0.0000001", "-1",
           "-0.5", "-90", "0.333333333333", "99.99")  # fmt: skip
WORDS = ("", "x", "lead", "tungsten", "epoxy", "balsa", "basswood", "2", "no", "slant face", "UTC",
         "Europe/Dublin", "Nowhere/At all", "mon-fri 18-22", "daily 0-24")  # fmt: skip
EAST, WEST = timezone(timedelta(hours=14)), timezone(-timedelta(hours=14))
MOMENTS = (
    datetime(1, 1, 1), datetime(1, 1, 1, tzinfo=EAST), datetime(9999, 12, 31, 23, 59, 59),
    datetime(9999, 12, 31, 23, 59, 59, tzinfo=WEST), datetime(2026, 3, 29, 2, 30),
    datetime(2026, 10, 25, 1, 30, tzinfo=UTC), datetime(1970, 1, 1), datetime(2026, 4, 2, 18, 30),
    datetime(2026, 4, 3, 8, tzinfo=UTC),
)  # fmt: skip
DAYS = (date(1, 1, 1), date(9999, 12, 31), date(2026, 2, 28), *MOMENTS)


def altered(chance: Random, most: int = 30) -> bytes:
    """One of the profiles with up to so many changes, as TOML."""
    tables = deepcopy(chance.choice(TABLES))
    for _ in range(chance.choice((1, 1, 2, 3, 5, 10, most))):
        _change(chance, tables, Build)
    return tomli_w.dumps(tables).encode()


def altered_bench(chance: Random) -> bytes:
    """A bench file made up of any answers, as TOML."""
    tables = {"format": 1, **_table(chance, Bench, 0.6)}
    if chance.random() < 0.9:
        tables.pop("keys", None)  # made up ones name no act
    for _ in range(chance.choice((0, 1, 3))):
        _change(chance, tables, Bench)
    return tomli_w.dumps(tables).encode()


def _change(chance: Random, tables: dict[str, Any], record: type[Any]) -> None:
    """Change, drop, double or make up one answer."""
    every = list(_places(tables, record))
    given = [place for place in every if place[1] in place[0]]
    table, key, spec = chance.choice(given if given and chance.random() < 0.7 else every)
    held, way = table.get(key), chance.random()
    if held is not None and way < 0.25:
        del table[key]
    elif isinstance(held, str) and way < 0.5:
        table[key] = _other_digit(chance, held)
    elif isinstance(held, list) and held and way < 0.6:
        table[key] = held + [deepcopy(chance.choice(held))] * chance.choice((1, 1, 2, 50))
    else:
        table[key] = _answer(chance, spec)


def _places(
    tables: dict[str, Any], record: type[Any]
) -> Iterator[tuple[dict[str, Any], str, Spec]]:
    """Where an answer stands or might."""
    for key, spec in specs(record).items():
        held = tables.get(key)
        if key != "other":
            yield tables, key, spec
        for row in held if isinstance(held, list) else [held]:
            if spec.table is not None and isinstance(row, dict):
                yield from _places(row, spec.table)


def _other_digit(chance: Random, text: str) -> str:
    at = [i for i, sign in enumerate(text) if sign in "0123456789"]
    if not at:
        return text
    place = chance.choice(at)
    return f"{text[:place]}{chance.randrange(10)}{text[place + 1 :]}"


def _table(chance: Random, record: type[Any], share: float) -> dict[str, Any]:
    return {
        key: _answer(chance, spec, 0.02)
        for key, spec in specs(record).items()
        if key != "other" and chance.random() < share
    }


def _answer(chance: Random, spec: Spec, odd: float = 0.5) -> Any:
    """Anything of the right form: likely, or, in such a share of cases, at a limit or beyond."""
    match spec.form:
        case "quantity":
            return _quantity(chance, spec, odd)
        case "quantities":
            return [_quantity(chance, spec, odd) for _ in range(chance.randrange(5))]
        case "text":
            return chance.choice((*WORDS, *TEXTS.values()))
        case "texts":
            return [chance.choice(WORDS) for _ in range(chance.randrange(4))]
        case "choice":
            return chance.choice(spec.choices)
        case "whole":
            least, most = counts(spec)
            return chance.choice((least, most, least + 1, 2, 3, chance.randint(least, most)))
        case "moment":
            near = timedelta(minutes=chance.randrange(100_000))
            return chance.choice((*MOMENTS, MOMENTS[-1] + near, MOMENTS[-2] + near))
        case "day":
            return chance.choice(DAYS)
        case "units":
            kinds = chance.sample(("length", "mass", "volume", "density", "temperature"), 2)
            return {kind: chance.choice(units.labels(kind)) for kind in kinds}  # type: ignore[arg-type]
        case "raw":
            return {chance.choice(WORDS): chance.choice((1, "x", 2.5, True, [1, 2], {"a": 1}))}
    assert spec.table is not None
    if spec.form == "table":
        return _table(chance, spec.table, 0.4)
    return [_table(chance, spec.table, 0.5) for _ in range(chance.choice((0, 1, 1, 2, 3)))]


def _quantity(chance: Random, spec: Spec, odd: float) -> str:
    label = chance.choice(units.labels(spec.kind) or ("",))
    if chance.random() >= odd:
        value = chance.uniform(*(spec.plausible or (0.0, 1.0)))
        number = f"{units.from_core(value, label) if label else value:.5f}"
    elif chance.random() < 0.4:
        number = f"{10 ** chance.uniform(-6, 4):.{chance.randrange(9)}f}"
    else:
        number = chance.choice(NUMBERS)
    return f"{number} {label}".strip()
