"""Rows that others name by their number: taken out, and the numbers that point past them kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from wizard.plug.paths import get, put, without_row
from wizard.plug.record import Build, PlugWeighing, Trial

T = TypeVar("T")

NAMED: dict[str, tuple[tuple[tuple[str, ...], str], ...]] = {
    "ballast.hole": ((("ballast", "piece"), "hole"), (("mend",), "hole")),
    "hardware": ((("mend",), "hardware"),),
}
"""For each array whose rows are named by number: the arrays that name them, and the key."""

COUNTED = ("trial", "weight")
"""Arrays whose rows say after how many mends they came."""


def without_numbered(build: Build, key: str, row: int) -> Build:
    """The build without a row, with all that names a later one pointing at the same as before.

    What named the row itself names none.

    Args:
        build: the record.
        key: of the array, such as ``ballast.hole``.
        row: counted from zero.
    """
    changed = without_row(build, (*key.split("."), row))
    for array, name in NAMED.get(key, ()):
        rows = tuple(_pointing(one, name, row + 1) for one in get(changed, array) or ())
        changed = put(changed, array, rows) if rows else changed
    if key == "mend":
        for array_name in COUNTED:
            rows = tuple(_counting(one, row) for one in get(changed, (array_name,)))
            changed = put(changed, (array_name,), rows)
    return changed


def _pointing(record: T, key: str, gone: int) -> T:
    number: int | None = getattr(record, key)
    if number is None or number < gone:
        return record
    return _with(record, key, None if number == gone else number - 1)


def _counting(record: Trial | PlugWeighing, gone: int) -> Trial | PlugWeighing:
    count = record.mends or 0
    return replace(record, mends=count - 1 or None) if count > gone else record


def _with(record: T, key: str, value: Any) -> T:
    changed: T = replace(record, **{key: value})  # type: ignore[type-var]
    return changed
