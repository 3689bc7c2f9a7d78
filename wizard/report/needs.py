"""What a build needs before it is begun, as a section of a page and as plain rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.plug.onward.needs import Need, Needs
from wizard.plug.record import Build
from wizard.plug.rule import rule_of, shown
from wizard.report.page import Section, columns
from wizard.report.showing import amount

SHELVES: Mapping[str, str] = {
    "board": "Board",
    "ballast": "Ballast",
    "backfill": "Backfill",
    "drill": "Drill",
    "hardware": "Hardware",
    "coat": "Coat",
    "paper": "Abrasive paper",
}
"""What each kind of need is called."""


def needs_section(build: Build, found: Needs) -> Section:
    """All needs as a table, with what is assumed and what can't be told."""
    plugs = "one plug" if found.copies == 1 else f"{found.copies} plugs of one plan"
    lines = [f"For {plugs}."] if found.copies > 1 else []
    if found.assumed:
        lines.append(f"Taken, as it is not measured yet: {' and '.join(found.assumed)}.")
    lines += [f"Not known yet: {text}." for text in found.unknown]
    return Section(
        "What it takes",
        tuple(lines),
        columns("for", "what", "how much", "mind"),
        tuple(_row(build, item) for item in found.items),
    )


def _row(build: Build, item: Need) -> tuple[str, ...]:
    how_much, what = _amount(build, item), item.what
    if item.kind == "drill" and item.size is not None:
        what = item.size.text
    return SHELVES[item.kind], what, how_much, item.note


def _amount(build: Build, item: Need) -> str:
    chosen = build.build.units
    if item.sides is not None:
        return _board(build, item)
    if item.parts is not None:
        resin, hardener = (_about(mass, "g", chosen) for mass in item.parts)
        return f"{resin} resin + {hardener} hardener"
    if item.kind in ("hardware", "ballast") and item.mass is not None:
        each = amount(item.mass, "g", chosen)
        return f"{item.count} x {each}" if item.count > 1 or item.kind == "hardware" else each
    if item.kind == "hardware":
        return f"{item.count} x"
    parts = [
        _about(value, unit, chosen)
        for value, unit in ((item.mass, "g"), (item.volume, "mL"))
        if value is not None
    ]
    return " = ".join(parts)


def _board(build: Build, item: Need) -> str:
    assert item.sides is not None
    box, length = item.sides
    rule = rule_of(build)
    block = " x ".join(shown(side, rule) for side in (box.length, box.height, box.thickness))
    return block if item.count == 1 else f"{item.count} of {block}: {shown(length, rule)} of board"


def _about(value: float, unit: str, chosen: Mapping[str, str]) -> str:
    """A rough amount: two digits."""
    return amount(float(f"{value:.2g}"), unit, chosen)


def need_rows(build: Build, found: Needs) -> Iterator[dict[str, object]]:
    """Each need for programs: SI-free names, amounts in g, mL and mm."""
    for item in found.items:
        row: dict[str, object] = {"for": item.kind, "what": item.what, "count": item.count}
        if item.sides is not None:
            box, length = item.sides
            row["block_mm"] = [round(s * 1e3, 3) for s in (box.length, box.height, box.thickness)]
            row["board_length_mm"] = round(length * 1e3, 3)
        if item.mass is not None:
            row["mass_g"] = round(item.mass * 1e3, 6)
        if item.volume is not None:
            row["volume_mL"] = round(item.volume * 1e6, 6)
        if item.size is not None:
            row["diameter_mm"] = round(item.size.value * 1e3, 4)
        if item.parts is not None:
            row["resin_g"], row["hardener_g"] = (round(m * 1e3, 6) for m in item.parts)
        yield {**row, "note": item.note}
