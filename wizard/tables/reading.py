"""TOML rows as frozen objects: a source demanded of each, units converted once.

A table file holds an array of tables. An entry is one row, or, when it names
`columns`, a group whose `rows` share everything else; "{size}" in the group's
texts stands for the row's size. A number's unit is the end of its key
(`density_g_per_mL`) and is gone from the field (`density`, in kg/m3). A table
with `low` and `high` is a `Span`.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Generic, TypeVar

from wizard.tables.kinds import Row, Span

SI: Mapping[str, tuple[float, float]] = {
    "kg_per_m3": (1, 1),
    "g_per_mL": (1000, 1),
    "g_per_cm2": (10, 1),
    "g_per_m": (1, 1000),
    "g": (1, 1000),
    "in": (254, 10_000),
    "mm": (1, 1000),
    "um": (1, 1_000_000),
    "h": (3600, 1),
    "min": (60, 1),
    "percent": (1, 100),
    "degC": (1, 1),
}
"""The unit at the end of a key in SI, as multiplier and divisor; degrees Celsius stay.

Two whole numbers, because 0.375 times 254 / 10000 is 0.009525 and times 0.0254 isn't.
"""

_KEY = re.compile(rf"(.+?)_({'|'.join(SI)})")

R = TypeVar("R", bound=Row)


class TableError(ValueError):
    """A table file holds a row that can't be used; the text names file, row and reason."""


def plain(text: str) -> str:
    """The text without case, spaces, hyphens and underscores, for comparing names."""
    return re.sub(r"[\s_-]+", "", text.casefold())


class Table(Mapping[str, R], Generic[R]):
    """The rows of one file by id, in the file's order, found under their other names too."""

    def __init__(self, file: str, rows: Iterable[R]) -> None:
        self._by_id: dict[str, R] = {}
        self._by_name: dict[str, R] = {}
        for row in rows:
            if row.id in self._by_id:
                raise TableError(f"{file}, {row.id}: the id is taken by another row")
            self._by_id[row.id] = row
            for name in row.known_as:
                if self._by_name.setdefault(plain(name), row) is not row:
                    raise TableError(f"{file}, {row.id}: {name!r} is a name of another row")

    def __getitem__(self, row_id: str) -> R:
        return self._by_id[row_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_id)

    def __len__(self) -> int:
        return len(self._by_id)

    def find(self, text: str) -> R | None:
        """The row with exactly this name, whatever its case, spaces and hyphens; else None."""
        return self._by_name.get(plain(text))

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that `find` knows, as written in the file."""
        return tuple(name for row in self.values() for name in row.known_as)


def read(file: str, key: str, kind: type[R]) -> Table[R]:
    """The rows of the array `key` in a table file that lies beside this module."""
    import tomllib
    from pkgutil import get_data  # importlib.resources loads zipfile and more besides

    data = get_data(__package__, file)
    assert data is not None
    return table(file, tomllib.loads(data.decode())[key], kind)


def table(file: str, entries: Iterable[Mapping[str, Any]], kind: type[R]) -> Table[R]:
    """The rows of these entries.

    Args:
        file: the file's name, for messages.
        entries: the array of tables as parsed.
        kind: the dataclass of a row.

    Raises:
        TableError: when a row lacks its source or how it was obtained, holds
            what its kind doesn't, or repeats the id or a name of another row.
    """
    rows = (_row(file, fields, kind) for entry in entries for fields in _rows_of(entry))
    return Table(file, rows)


def _rows_of(entry: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    if "columns" not in entry:
        yield entry
        return
    shared = {key: value for key, value in entry.items() if key not in ("columns", "rows")}
    for cells in entry["rows"]:
        own = dict(zip(entry["columns"], cells, strict=True))
        filled = {key: _with_size(value, str(own["size"])) for key, value in shared.items()}
        yield {**filled, **own}


def _with_size(value: Any, size: str) -> Any:
    if isinstance(value, str):
        return value.replace("{size}", size)
    if isinstance(value, list):
        return [_with_size(item, size) for item in value]
    return value


def _row(file: str, fields: Mapping[str, Any], kind: type[R]) -> R:
    where = f"{file}, {fields.get('id', 'a row without an id')}"
    for key in ("source", "how"):
        if not str(fields.get(key, "")).strip():
            raise TableError(f"{where}: expected {key} = text that says where the row is from")
    try:
        return kind(**dict(_field(key, value) for key, value in fields.items()))
    except (TypeError, ValueError) as error:
        raise TableError(f"{where}: {error}") from error


def _field(key: str, value: Any) -> tuple[str, Any]:
    match = _KEY.fullmatch(key)
    name, (times, over) = (match[1], SI[match[2]]) if match else (key, (1, 1))
    if isinstance(value, dict):
        return name, Span.between(**{end: number * times / over for end, number in value.items()})
    if isinstance(value, list):
        return name, tuple(value)
    return name, value * times / over if match else value
