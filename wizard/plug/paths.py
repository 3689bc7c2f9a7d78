"""Reaching one answer of a build by its path, and changing it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from wizard.plug.fields import Spec, specs
from wizard.plug.record import STEPS, Build, StepId

Path = tuple[str | int, ...]
R = TypeVar("R")


def parse(dotted: str) -> Path:
    """A path from its short form, such as ``density.sample.0.mass``."""
    return tuple(int(p) if p.isdigit() else p for p in dotted.split("."))


def words(path: Path) -> str:
    """A path for the eye: array rows are counted from one, ``density.sample[1].mass``."""
    out = ""
    for part in path:
        out += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if out else part
    return out


def get(record: Any, path: Path) -> Any:
    """The answer at a path; None where anything on the way is missing."""
    at: Any = record
    for part in path:
        if at is None:
            return None
        if isinstance(part, str):
            at = getattr(at, part)
        else:
            at = at[part] if part < len(at) else None
    return at


def spec_at(path: Path, record: type[Any] = Build) -> Spec:
    """What the answer at a path may be.

    Args:
        path: where it stands.
        record: class of the record in which it stands.

    Raises:
        KeyError: no such key.
    """
    cls = record
    spec: Spec | None = None
    for part in path:
        if isinstance(part, int):
            continue
        spec = specs(cls)[part]
        if spec.table is not None:
            cls = spec.table
    if spec is None:
        raise KeyError("the build itself has no spec")
    return spec


def _put(record: Any, cls: type[Any], path: Path, value: Any) -> Any:
    key = path[0]
    assert isinstance(key, str)
    if record is None:
        record = cls()
    if len(path) == 1:
        return replace(record, **{key: value})
    inner = specs(cls)[key].table
    assert inner is not None
    held = getattr(record, key)
    row = path[1]
    if not isinstance(row, int):
        return replace(record, **{key: _put(held, inner, path[1:], value)})
    rows = list(held or ())
    rows.extend(inner() for _ in range(row + 1 - len(rows)))
    rows[row] = value if len(path) == 2 else _put(rows[row], inner, path[2:], value)
    return replace(record, **{key: tuple(rows)})


def put(record: R, path: Path, value: Any) -> R:
    """The same record with another answer at a path; missing tables are begun."""
    changed: R = _put(record, type(record), path, value)
    return changed


def without_row(record: R, path: Path) -> R:
    """The same record without one row of an array of tables."""
    *array, row = path
    rows = get(record, tuple(array)) or ()
    return put(record, tuple(array), tuple(r for i, r in enumerate(rows) if i != row))


_STEP_OF = {
    "build": "plan",
    "origin": "plan",
    "water": "plan",
    "aim": "plan",
    "stock": "stock",
    "shape": "shape",
    "weighing": "weighing",
    "density": "density",
    "ballast": "ballast",
    "hardware": "hardware",
    "coat": "coating",
    "schedule": "coating",
    "operation": "coating",
    "weight": "review",
    "tank": "proof",
    "drag": "proof",
    "trial": "proof",
    "mend": "proof",
    "swim": "proof",
    "shown": "review",
}


def step_of(path: Path) -> StepId:
    """The step at which an answer is given."""
    step = _STEP_OF.get(str(path[0]), "review") if path else "review"
    return next(s for s in STEPS if s == step)
