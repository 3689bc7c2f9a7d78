"""Builds side by side, as a page and for programs."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence

from wizard.plug.derived import Derived
from wizard.plug.numbers import CATALOGUE
from wizard.plug.onward.compare import COVERAGE, Comparison, NumberRow, outcome
from wizard.plug.paths import Path, words
from wizard.plug.record import Build
from wizard.report.page import LOUD, Page, Row, Section, columns
from wizard.report.sheet import NAMELESS
from wizard.report.showing import number

FORMAT = 1


def comparison_page(
    builds: Sequence[Build],
    derived: Sequence[Derived],
    found: Comparison,
    label: Callable[[Path], str] = words,
    *,
    everything: bool = False,
) -> Page:
    """Builds side by side.

    Args:
        builds: two or more.
        derived: what follows from each.
        found: their comparison.
        label: what an answer is called.
        everything: whether answers that all have alike are listed too.
    """
    names = tuple(_heads(found))
    return Page(
        " against ".join(dict.fromkeys(build.build.name or NAMELESS for build in builds)),
        tuple(_lead(found)),
        tuple(
            s
            for s in (
                _outcomes(builds, names),
                _numbers(builds, derived, found, names),
                _answers(found, names, label, everything),
            )
            if not s.is_empty
        ),
    )


def _heads(found: Comparison) -> Iterator[str]:
    """A head a build; names that come twice are numbered."""
    for n, name in enumerate(found.names, start=1):
        yield f"{n}: {name}" if found.names.count(name) > 1 else name


def _lead(found: Comparison) -> Iterator[str]:
    if found.one_build:
        yield "All of these are one and the same build: nothing differs."
        return
    yield (
        f"{LOUD} marks a number that differs from the first build's by more than both doubts "
        f"allow (k = {COVERAGE:g}, taken as independent)."
    )
    for name, same in zip(found.names[1:], found.same[1:], strict=True):
        if same:
            yield f"“{name}” answers everything as “{found.names[0]}” does."


def _outcomes(builds: Sequence[Build], names: tuple[str, ...]) -> Section:
    """How each turned out."""
    told = tuple(outcome(build) or "-" for build in builds)
    swum = tuple(
        "; ".join(swim.action for swim in build.swim if swim.action) or "-" for build in builds
    )
    rows = (("turned out", *told), ("in the water", *swum))
    kept = tuple(row for row in rows if any(cell != "-" for cell in row[1:]))
    return Section("Outcome", (), columns("", *names), kept)


def _numbers(
    builds: Sequence[Build],
    derived: Sequence[Derived],
    found: Comparison,
    names: tuple[str, ...],
) -> Section:
    chosen = builds[0].build.units
    rows: list[Row] = []
    for row in found.numbers:
        told = [one.numbers.get(row.name) for one in derived]
        texts = ["-" if entry is None else number(entry, chosen) for entry in told]
        # Without a doubt any difference counts, even one that no digit shows.
        cells = [
            f"{LOUD} {text}" if differs and text != texts[0] else text
            for text, differs in zip(texts, row.differs, strict=True)
        ]
        rows.append((CATALOGUE[row.name].meaning, *cells))
    return Section("Numbers", (), columns("number", *names, right=len(names)), tuple(rows))


def _answers(
    found: Comparison, names: tuple[str, ...], label: Callable[[Path], str], everything: bool
) -> Section:
    rows = [
        (label(row.path), *("-" if answer is None else answer for answer in row.answers))
        for row in found.answers
        if everything or row.differs
    ]
    alike = sum(not row.differs for row in found.answers)
    told = () if everything else (f"{alike} answers are alike in all and left out here.",)
    return Section("Answers", told, columns("answer", *names), tuple(rows))


def comparison_document(profiles: Sequence[str], found: Comparison) -> str:
    """The JSON of a comparison.

    Args:
        profiles: the paths as they were given.
        found: the comparison.
    """
    whole = {
        "format": FORMAT,
        "profiles": list(profiles),
        "names": list(found.names),
        "same_as_first": list(found.same),
        "numbers": {row.name: _number(row) for row in found.numbers},
        "answers": {
            words(row.path): {"answers": list(row.answers), "differ": row.differs}
            for row in found.answers
        },
    }
    return json.dumps(whole, indent=2, allow_nan=False).replace("\x7f", "\\u007f")


def _number(row: NumberRow) -> dict[str, object]:
    return {
        "unit": CATALOGUE[row.name].unit,
        "values": [
            None if value is None else {"value": value[0], "u": value[1]} for value in row.values
        ],
        "differs_from_first": list(row.differs),
    }
