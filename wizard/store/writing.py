"""From a record to the text of its file, every quantity as it was typed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from wizard.plug.fields import Spec, specs
from wizard.plug.paths import Path
from wizard.quantity.reading import Quantity
from wizard.store.ending import END
from wizard.store.records import Kind


def _typed(spec: Spec, value: Any) -> Any:
    if isinstance(value, Quantity):
        return _bare(value.text) if spec.kind == "number" else value.text
    if isinstance(value, tuple):
        return [_typed(spec, item) for item in value]
    return value


def _bare(text: str) -> Any:
    """A number without unit as TOML's own where that keeps every digit, else as text."""
    from decimal import Decimal

    if re.fullmatch("-?[0-9]{1,18}", text) and str(int(text)) == text:
        return int(text)
    if re.fullmatch(r"-?[0-9]+\.[0-9]+", text) and str(Decimal(text)) == text:
        return Decimal(text)
    return text


def _as_table(record: Any) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, spec in specs(type(record)).items():
        value = getattr(record, key)
        if value is None or (spec.form == "raw" and key == "other"):
            continue
        if spec.form == "table":
            inner = _as_table(value)
            if inner or spec.optional:
                out[key] = inner
        elif spec.form == "tables":
            if value or spec.optional:
                out[key] = [_as_table(row) for row in value]
        elif spec.form in ("units", "raw", "quantities", "texts") and not value:
            continue
        elif spec.form in ("units", "raw"):
            out[key] = dict(value)
        else:
            out[key] = _typed(spec, value)
    return {**out, **record.other}


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _emit(table: Mapping[str, Any], path: tuple[str, ...], one_line: Path) -> str:
    """A table's own keys, then its tables, each under a header of its own.

    Args:
        table: keys and values.
        path: of the table.
        one_line: path of the table that is read at a glance.
    """
    import tomli_w

    own = {
        key: value
        for key, value in table.items()
        if not _is_rows(value) and (not isinstance(value, dict) or (*path, key) == one_line)
    }
    text = ""
    for key, value in own.items():
        if isinstance(value, dict):
            pairs = ", ".join(tomli_w.dumps({k: v}).strip() for k, v in value.items())
            text += f"{key} = {{ {pairs} }}\n"
        elif isinstance(value, list) and all(isinstance(item, str) for item in value):
            items = ", ".join(tomli_w.dumps({"": item})[5:].strip() for item in value)
            text += tomli_w.dumps({key: 0})[:-2] + f"[{items}]\n"
        else:
            text += tomli_w.dumps({key: value})
    for key, value in table.items():
        if key in own:
            continue
        name = tomli_w.dumps({key: {}}).strip()[1:-1]
        header = ".".join((*path, name))
        for row in value if isinstance(value, list) else [value]:
            brackets = f"[[{header}]]" if isinstance(value, list) else f"[{header}]"
            text += f"\n{brackets}\n{_emit(row, (*path, name), one_line)}"
    return text


def write_record(record: Any, kind: Kind[Any]) -> bytes:
    """The file of a record, as bytes of UTF-8 TOML."""
    body = _emit({"format": kind.format, **_as_table(record)}, (), kind.units)
    return f"{kind.header}{body}\n{END}\n".encode()
