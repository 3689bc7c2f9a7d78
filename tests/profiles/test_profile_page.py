"""The page on the profile format names every key, with what it takes and its limits."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from wizard.plug.derive import derive
from wizard.plug.fields import LARGEST, Spec, specs
from wizard.plug.record import Build
from wizard.quantity.showing import plain
from wizard.quantity.units import from_core, labels
from wizard.store import profile

PAGE = Path(__file__).parents[2] / "docs" / "profile.md"
SHOWN_IN = {
    "length": "mm", "mass": "g", "volume": "mL", "density": "g/mL", "temperature": "degC",
    "salinity": "g/kg", "time": "s", "speed": "m/s", "ratio": "%", "angle": "deg", "number": "",
}  # fmt: skip
WORDS = {
    "text": "text", "texts": "list of texts", "moment": "date and time", "day": "date",
    "units": "table of units by kind", "raw": "table",
}  # fmt: skip

Row = tuple[str, str, str]


def amount(limit: float, kind: Any) -> str:
    unit = SHOWN_IN[kind]
    return plain(from_core(limit, unit) if unit else limit)


def takes(spec: Spec) -> str:
    """What a key takes, in words."""
    if spec.form == "quantity":
        return str(spec.kind)
    if spec.form == "quantities":
        return f"list, {spec.kind}"
    if spec.form == "choice":
        return " ".join(f"`{word}`" for word in spec.choices)
    if spec.form == "whole":
        return "whole number"
    return WORDS[spec.form]


def limits(spec: Spec) -> str:
    """What is impossible and what is unusual, in words."""
    if spec.form == "whole":
        least = int(spec.above or 0) + 1
        return f"{least} to {int(spec.at_most)}" if spec.at_most else f"{least} or more"
    if spec.form not in ("quantity", "quantities"):
        return ""
    unit = f" {SHOWN_IN[spec.kind]}".rstrip()
    said = "" if spec.kind == "temperature" else "any sign"
    if not spec.negative:
        said = "0 or more" if spec.above is None else "over 0"
    if spec.at_most is not None:
        said += f"{', ' if said else ''}at most {amount(spec.at_most, spec.kind)}{unit}"
    if spec.plausible:
        low, high = (amount(limit, spec.kind) for limit in spec.plausible)
        said += f"; usual {low} to {high}{unit}"
    return said


def header(path: str, form: str) -> str:
    return f"[[{path}]]" if form == "tables" else f"[{path}]"


def expected(cls: type[Any] = Build, path: str = "", title: str = "") -> Iterator[tuple[str, Row]]:
    """Every key of the record: the table that it stands in, and what is to be said of it."""
    for key, spec in specs(cls).items():
        if key == "other":
            continue
        here = f"{path}.{key}" if path else key
        if spec.table is not None:
            yield from expected(spec.table, here, header(here, spec.form))
        else:
            yield title, (key, takes(spec), limits(spec))


def written() -> dict[str, list[list[str]]]:
    """The rows of the page, cell by cell, under the table that they belong to."""
    found: dict[str, list[list[str]]] = {}
    title = ""
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        heading = re.match(r"### `(\[.*\])`", line)
        if line.startswith("#"):
            title = heading[1] if heading else ""
        elif title and line.startswith("| `"):
            found.setdefault(title, []).append([cell.strip() for cell in line.split("|")[1:-1]])
    return found


def test_every_key_stands_on_the_page_as_the_record_has_it() -> None:
    wanted: dict[str, list[Row]] = {}
    for title, row in expected():
        wanted.setdefault(title, []).append(row)
    page = written()
    for title, rows in wanted.items():
        there = {cells[0].strip("`"): cells for cells in page.get(title, [])}
        for key, what, limit in rows:
            template = f"| `{key}` | {what} | {limit} | ... |"
            assert key in there, f"docs/profile.md, {title}: add the row\n{template}"
            _, told_what, told_limit, meaning = there[key]
            assert (told_what, told_limit) == (what, limit), f"{title}: expected\n{template}"
            assert meaning.strip(". ")
        assert set(there) == {key for key, _, _ in rows}, title
    assert set(page) == set(wanted)


def test_bounds_of_every_kind_stand_on_the_page() -> None:
    text = PAGE.read_text(encoding="utf-8")
    for kind, most in LARGEST.items():
        assert f"{kind} {amount(most, kind)} {SHOWN_IN[kind]}".strip() in text


def test_every_unit_stands_on_the_page() -> None:
    text = PAGE.read_text(encoding="utf-8")
    for kind in SHOWN_IN:
        for label in labels(kind):  # type: ignore[arg-type]
            assert f"`{label}`" in text, label


def examples() -> list[str]:
    return re.findall(r"```toml\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.parametrize("text", examples())
def test_the_examples_are_read_and_complete(text: str) -> None:
    build, odd = profile.read(text.encode(), "example.toml")
    assert odd == ()
    assert {"finished_mass", "displaced_volume", "net_in_water"} <= set(derive(build).numbers)
