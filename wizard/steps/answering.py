"""From what was typed to a changed build, or a refusal in words."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from wizard.plug.checks import AIMS, impossible
from wizard.plug.fields import Spec, specs
from wizard.plug.limits import MOST_ROWS, counts, counts_in_words, out_of_range
from wizard.plug.paths import Path, get, parse, put
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity, Refusal, read, whole
from wizard.steps.prompts import Group, Question


@dataclass(frozen=True, slots=True)
class Unclear:
    """An answer that can't be taken.

    Attributes:
        wrong: what is wrong.
        remedy: what to type instead.
        choices: readings to choose from, where the text has several.
    """

    wrong: str
    remedy: str
    choices: tuple[str, ...] = ()


SEVERAL = ("quantities", "texts")
"""Forms of an answer that may be several: none of them is an empty one."""


def default_unit(build: Build, question: Question) -> str:
    """The unit that a bare number gets: that of the answer, else the maker's, else the prompt's."""
    held = question.answer
    first = held[0] if isinstance(held, tuple) and held else held
    if isinstance(first, Quantity) and first.unit:
        return first.unit
    return build.build.units.get(question.spec.kind, question.prompt.unit)


def understood(build: Build, question: Question, text: str) -> Any:
    """What a text means at a question: a value of the record, or why it has none.

    Returns:
        None for an empty text at an optional question, an `Unclear` for what
        can't be taken, else the value.
    """
    spec = question.spec
    if not text.strip():
        nothing = () if spec.form in SEVERAL else None
        return nothing if question.prompt.optional else Unclear("Nothing is typed yet.", "")
    if spec.form == "quantity":
        return _quantity(build, question, text)
    if spec.form == "quantities":
        return _quantities(build, question, text)
    if spec.form == "texts":
        return tuple(part.strip() for part in text.split(";") if part.strip())
    if spec.form == "moment":
        return _moment(text)
    if spec.form == "day":
        return _day(text)
    if spec.form == "whole":
        return _whole(spec, text)
    if spec.form == "choice":
        return _choice(spec.choices, text)
    if question.prompt.listed:
        from wizard.steps.picking import name_picks

        return _choice(tuple(pick.text for pick in name_picks(question.path)), text)
    return text.strip()


def _quantity(build: Build, question: Question, text: str) -> Quantity | Unclear:
    spec = question.spec
    unit = default_unit(build, question) or None
    signed = spec.negative or bool(spec.never_below)
    found = read(text, spec.kind, unit, negative=signed)
    if isinstance(found, Refusal):
        return Unclear(found.wrong, found.remedy, found.choices)
    complaint = out_of_range(spec, found)
    return Unclear(*complaint) if complaint else found


def _quantities(build: Build, question: Question, text: str) -> tuple[Quantity, ...] | Unclear:
    """Several readings, told apart by semicolons: a comma may be a decimal sign."""
    out: list[Quantity] = []
    for part in text.split(";"):
        if not part.strip():
            continue
        found = _quantity(build, question, part)
        if isinstance(found, Unclear):
            remedy = f"{found.remedy} Put a semicolon between readings, like 40.1; 40.0."
            return Unclear(found.wrong, remedy.strip(), found.choices)
        out.append(found)
    return tuple(out)


def _day(text: str) -> date | Unclear:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return Unclear(f"“{text.strip()[:20]}” is no date.", "Type one like 2026-04-02.")


def _moment(text: str) -> datetime | Unclear:
    """A date and time; without an offset the computer's own is meant."""
    try:
        return datetime.fromisoformat(text.strip()).astimezone().replace(microsecond=0)
    except (ValueError, OverflowError):
        return Unclear(
            f"“{text.strip()[:30]}” is no date and time.", "Type one like 2026-04-02 18:30."
        )


def _whole(spec: Spec, text: str) -> int | Unclear:
    least, most = counts(spec)
    typed = text.strip()
    if re.fullmatch("[0-9]{1,7}", typed) and least <= int(typed) <= most:
        return int(typed)
    expected = f"Type a whole number {counts_in_words(spec)}."
    return Unclear(f"“{typed[:20]}” is no count.", expected)


def _choice(choices: tuple[str, ...], text: str) -> str | Unclear:
    word = text.strip().casefold()
    if 1 <= whole(word) <= len(choices):
        return choices[whole(word) - 1]
    begins = [c for c in choices if c.startswith(word)]
    if len(begins) == 1:
        return begins[0]
    return Unclear(f"“{text.strip()[:20]}” is not one of them.", f"Type {', '.join(choices)}.")


def answer(build: Build, question: Question, text: str) -> Build | Unclear:
    """The build with a typed answer in it, unless that is unclear or impossible."""
    value = understood(build, question, text)
    if isinstance(value, Unclear):
        return value
    if isinstance(value, tuple) and len(value) > MOST_ROWS:
        return Unclear(f"These are {len(value)}.", f"Type {MOST_ROWS} at most.")
    if value is None:
        value = question.spec.default
    changed = put(build, question.path, value)
    if question.path == ("aim", "behaviour"):
        changed = _fitting_aim(changed)
    return _if_possible(build, changed)


def left_empty(build: Build, question: Question) -> Build | Unclear:
    """The build with a question left open again, as when its text was taken out."""
    value = () if question.spec.form in SEVERAL else question.spec.default
    return _if_possible(build, put(build, question.path, value))


def _if_possible(build: Build, changed: Build) -> Build | Unclear:
    """The changed build, unless it holds something impossible that was not there before."""
    before = {(f.path, f.wrong) for f in impossible(build)}
    for finding in impossible(changed):
        if (finding.path, finding.wrong) not in before:
            return Unclear(finding.wrong, finding.remedy)
    return changed


def _fitting_aim(build: Build) -> Build:
    """The build without aims that its behaviour can't have."""
    fitting = {"floats": {"margin", "freeboard_fraction"}, "sinks": {"margin", "sink_rate"}}
    kept = fitting.get(build.aim.behaviour or "", set())
    for key in AIMS:
        if key not in kept:
            build = put(build, ("aim", key), None)
    return build


def place_of_new(build: Build, group: Group, opened: int | None) -> int:
    """Where a new row goes: last, or in a group with an order behind the row that is open."""
    count = len(get(build, parse(group.key)) or ())
    return count if opened is None or not group.ordered else min(opened + 1, count)


def with_row(build: Build, group: Group, place: int | None = None) -> Build:
    """The build with one more row in a group, at a place or last."""
    path: Path = parse(group.key)
    held = get(build, path) or ()
    place = len(held) if place is None else place
    cls = _row_class(path)
    begun = {key: value(build) if callable(value) else value for key, value in group.start}
    return put(build, path, (*held[:place], replace(cls(), **begun), *held[place:]))


def _row_class(path: Path) -> Any:
    cls: Any = Build
    for part in path:
        cls = specs(cls)[str(part)].table
    return cls


def with_none(build: Build, group: Group) -> Build:
    """The build that says there are none of a group."""
    return put(build, parse(group.key), ())


def less_row(build: Build, group: Group, row: int) -> Build:
    """The build without one row of a group; what names rows by number keeps to the same ones."""
    if group.key == "coat":
        from wizard.plug.coats.proposing import without_coat

        return without_coat(build, row)
    from wizard.plug.renumbering import without_numbered

    return without_numbered(build, group.key, row)
