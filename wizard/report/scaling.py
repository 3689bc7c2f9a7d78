"""A new build from another one: what came over, what is offered, what is asked again."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

from wizard.plug.numbers import CATALOGUE
from wizard.plug.onward.carried import marked
from wizard.plug.onward.scaled import Sibling
from wizard.quantity.showing import literal, plain
from wizard.report.as_text import WIDTH, section_lines
from wizard.report.machine import FORMAT
from wizard.report.page import Section, columns
from wizard.report.showing import amount, number

SHOWN = ("ballast_mass", "finished_mass", "sink_rate", "rest_pitch", "draught", "freeboard")
"""What a maker wants to know of the sibling before the board is bought."""


def sibling_sections(sibling: Sibling) -> Iterator[Section]:
    """All that there is to say about a new build."""
    yield Section("Carried over", tuple(_carried(sibling)))
    yield offers_section(sibling)
    if sibling.again:
        yield Section("To be measured or chosen again", sibling.again)
    if sibling.open:
        yield Section("Not carried over", sibling.open)
    yield expected_section(sibling)


def _carried(sibling: Sibling) -> Iterator[str]:
    origin = sibling.build.origin
    if origin is None:
        return
    count, factor = len(marked(sibling.build)), sibling.factor
    size = f"{plain(factor)} times as long" if factor != 1.0 else "of the same size"
    yield f"{count} answers from “{origin.name or 'a build without a name'}”, {size}; each marked."
    if factor != 1.0:
        grown = (("lengths", 1), ("skin and coats", 2), ("volumes and weights", 3))
        yield "; ".join(f"{what} x {plain(factor**power)}" for what, power in grown) + "."
    for sample in sibling.build.density.sample:
        if sample.note:
            yield f"Density: {sample.note}."


def offers_section(sibling: Sibling) -> Section:
    """What comes in stock sizes."""
    rows = tuple(
        (
            offer.what,
            offer.was,
            offer.wanted or "-",
            offer.taken or "-",
            ", ".join(c for c in offer.choices if c != offer.taken) or offer.note,
        )
        for offer in sibling.offers
    )
    heads = columns("stock size of", "was", "scaled", "taken", "or")
    return Section("Chosen again in stock sizes", (), heads, rows)


def expected_section(sibling: Sibling) -> Section:
    """What the new plug will come to, as far as that can be said before a scale."""
    found = sibling.expected
    if found is None:
        return Section("")
    chosen = sibling.build.build.units
    rows = [("weight of the bare body", _about(found.body, chosen))]
    rows += [
        (CATALOGUE[name].meaning, number(found.derived.numbers[name], chosen))
        for name in SHOWN
        if name in found.derived.numbers
    ]
    told = f"With {' and '.join(found.assumed)}." if found.assumed else ""
    heads = columns("expected", "", right=1)
    return Section("To be expected", (told,) if told else (), heads, tuple(rows))


def _about(mass: float, chosen: Mapping[str, str]) -> str:
    return amount(float(f"{mass:.3g}"), "g", chosen)


def sibling_lines(sibling: Sibling, width: int = WIDTH) -> Iterator[str]:
    """The same as plain lines of a width."""
    yield literal(sibling.build.build.name or "a build without a name")
    for section in sibling_sections(sibling):
        if not section.is_empty:
            yield ""
            yield from section_lines(section, width)


def siblings_document(profiles: Sequence[str], siblings: Sequence[Sibling]) -> str:
    """The JSON of new builds.

    Args:
        profiles: where each was written, or would be.
        siblings: the builds.
    """
    whole = {
        "format": FORMAT,
        "builds": [
            _document(profile, sibling) for profile, sibling in zip(profiles, siblings, strict=True)
        ],
    }
    return json.dumps(whole, indent=2, allow_nan=False).replace("\x7f", "\\u007f")


def _document(profile: str, sibling: Sibling) -> dict[str, object]:
    origin, found = sibling.build.origin, sibling.expected
    expected: dict[str, object] = {}
    if found is not None:
        expected["body_mass"] = {"value": found.body * 1e3, "unit": "g"}
        for name in SHOWN:
            entry = found.derived.numbers.get(name)
            if entry is not None:
                value, u = entry.published
                expected[name] = {"value": value, "unit": CATALOGUE[name].unit, "u": u}
    return {
        "profile": profile,
        "name": sibling.build.build.name,
        "factor": sibling.factor,
        "carried": list(origin.carried) if origin else [],
        "offers": [
            {"what": o.what, "was": o.was, "scaled": o.wanted, "taken": o.taken,
             "choices": list(o.choices), "note": o.note}
            for o in sibling.offers
        ],
        "again": list(sibling.again),
        "open": list(sibling.open),
        "expected": expected,
    }  # fmt: skip
