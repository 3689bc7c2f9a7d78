"""What is asked once, before the first build: units, and what scale and caliper can tell.

Nothing of it is required. What is answered, or that it was skipped, stands in the bench
file, so that it is not asked again.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from wizard.plug.bench import Bench
from wizard.session.bench import Held
from wizard.session.layout import Chosen, Line, Row
from wizard.session.option import Option
from wizard.steps import bench as asked
from wizard.steps.answering import Unclear
from wizard.steps.wording import typed

LATER = "later"
"""The answer that leaves a question open."""

UNITS = {
    "length": (("mm", "millimetres"), ("in", "inches, with fractions")),
    "mass": (("g", "grams"), ("oz", "ounces")),
}
LABELS = {"length": "Lengths in", "mass": "Weights in"}

STEPS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "g": (("0.001 g", "three decimals"), ("0.01 g", "two"), ("0.1 g", "one"), ("1 g", "none")),
    "oz": (("0.001 oz", "three decimals"), ("0.01 oz", "two"), ("0.1 oz", "one")),
    "mm": (
        ("0.01 mm", "a caliper with a display"),
        ("0.05 mm", "a caliper with a vernier"),
        ("0.5 mm", "a rule"),
    ),
    "in": (
        ("0.001 in", "a caliper with a display or a dial"),
        ("1/64 in", "a fine rule"),
        ("1/32 in", "a rule"),
    ),
}
"""Smallest steps that are common, by the unit that they are read in."""

INSTRUMENTS = {
    "scale": ("mass", "Smallest step of the scale"),
    "caliper": ("length", "Smallest step of the caliper"),
}


def answers_of(bench: Bench) -> dict[str, str]:
    """What a bench says already, by the key of the row."""
    units = bench.bench.units
    found = {kind: units.get(kind, UNITS[kind][0][0]) for kind in UNITS}
    for key in INSTRUMENTS:
        found[key] = typed(getattr(bench, key).resolution) or LATER
    return found


def rows(answers: Mapping[str, str]) -> tuple[Row, ...]:
    """The page: four choices and the ways on."""
    return (
        *(_units(kind, answers[kind]) for kind in UNITS),
        *(_steps(key, answers) for key in INSTRUMENTS),
        Line("keep", "Keep this and go on", "", "keep"),
        Line("skip", "Skip it: nothing is kept, and nothing asked again", "Esc", "skip"),
    )


def _units(kind: str, at: str) -> Chosen:
    options = tuple(Option(unit, unit, words) for unit, words in UNITS[kind])
    return Chosen(kind, LABELS[kind], options, at, at)


def _steps(key: str, answers: Mapping[str, str]) -> Chosen:
    kind, label = INSTRUMENTS[key]
    at = answers[key]
    common = dict(STEPS.get(answers[kind], ()))
    if at not in (LATER, *common):
        common = {at: "as your bench has it", **common}
    options = [Option(step, step, words) for step, words in common.items()]
    options.append(Option(LATER, "not now", "it is asked where it is needed"))
    return Chosen(key, label, tuple(options), at, "not now" if at == LATER else at)


def chosen(answers: Mapping[str, str], key: str, value: str) -> dict[str, str]:
    """The answers with another one; an instrument is asked anew in another unit."""
    changed = {**answers, key: value}
    for instrument, (kind, _) in INSTRUMENTS.items():
        if kind == key and value != answers[key]:
            changed[instrument] = LATER
    return changed


def described(bench: Bench, answers: Mapping[str, str]) -> Bench:
    """The bench with the answers in it."""
    for kind in UNITS:
        bench = asked.in_units(bench, kind, answers[kind])
    for question in asked.questions(bench):
        key, *rest = question.path
        if rest == ["resolution"] and answers[str(key)] != LATER:
            taken = asked.answered(bench, question, answers[str(key)])
            bench = bench if isinstance(taken, Unclear) else taken
    return bench


def keep(folder: Path, answers: Mapping[str, str] | None) -> str:
    """Keep the answers in the bench file, or that there are none; what keeps it from that."""
    held = Held()
    trouble = held.read(folder)
    if trouble:
        return trouble
    return held.keep(held.bench if answers is None else described(held.bench, answers))
