"""What a bench is asked, as data, and from what was typed to a changed bench.

The same prompts, grammar and refusals as in a build; nothing here is ever required.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wizard.plug.bench import Bench, impossible
from wizard.plug.fields import specs
from wizard.plug.paths import Path, get, parse, put, spec_at, without_row
from wizard.plug.record import Build, Heading
from wizard.quantity.units import Kind
from wizard.steps.answering import Unclear, understood
from wizard.steps.picking import Pick
from wizard.steps.prompts import Group, Prompt, Question
from wizard.steps.wording import typed


def _asked(key: str, ask: str, why: str, how: str = "", unit: str = "", **more: Any) -> Prompt:
    return Prompt(key, ask, why, how, unit, optional=True, **more)


PIECES = Group(
    "piece",
    one="kind of piece",
    none="",
    prompts=(
        _asked("name", "What you call it", "To find it again in a plan.", "10 g slug, split shot"),
        _asked(
            "mass",
            "Mass of one",
            "Weigh it: nominal sizes are often 5 % off.",
            "Of wire, rod, sheet and putty all that is at hand: it is cut from it.",
            unit="g",
        ),
        _asked("count", "How many", "As many as lie in the drawer.", "1 if left empty."),
        _asked(
            "form",
            "Form",
            "Says how it lies in a hole. Empty for metal that fills its hole.",
            words=(
                ("ball", "split shot, round shot"),
                ("cone", "bullet or cone, point first"),
                ("egg", "egg or olive"),
                ("cylinder", "slug or rod of fixed length"),
                ("wire", "wire or rod cut to length"),
                ("sheet", "sheet folded into the hole"),
                ("putty", "putty pressed into the hole"),
            ),
        ),
        _asked(
            "metal",
            "Metal",
            "Says how much room it takes; the ballast metal of the build if left empty.",
            "lead, tungsten, tin, bismuth, brass, steel",
        ),
        _asked(
            "density",
            "Its density, if you know better",
            "Cast pieces with voids are lighter than the table.",
            unit="g/mL",
        ),
        _asked(
            "diameter",
            "Its diameter",
            "Says which hole it goes into. A ball's follows from its mass.",
            unit="mm",
        ),
        _asked("length", "Its length", "It follows from mass and diameter.", unit="mm"),
    ),
)

BOARDS = Group(
    "board",
    one="board",
    none="",
    prompts=(
        _asked("name", "What you call it", "To tell boards of one wood apart."),
        _asked("wood", "Wood", "Builds of this wood are offered this board."),
        _asked("length", "Length", "Of the board.", unit="mm"),
        _asked("width", "Width", "Offered for the blank.", unit="mm"),
        _asked("thickness", "Thickness", "Offered for the blank.", unit="mm"),
        _asked(
            "density",
            "Density, as tested",
            "A sample by the method “known” takes it over.",
            unit="g/mL",
        ),
        _asked("uncertainty", "Its standard uncertainty", "With k = 1.", unit="g/mL"),
        _asked("moisture", "Moisture when tested", "Water per dry wood.", unit="%"),
        _asked("tested", "When it was tested", "Wood moves with the seasons.", "2026-04-02"),
    ),
)

COATS = Group(
    "coat",
    one="coat",
    none="",
    prompts=(
        _asked("name", "What it is", "Coats of this name in a build are offered the rest."),
        _asked("thickness", "Dry film of one coat", "As you brush or spray it.", unit="mm"),
        _asked("density", "Density of the dry film", "From the tin or its sheet.", unit="g/mL"),
        _asked("outside", "Fraction left on the surface", "Less than 1 for a sealer."),
    ),
)

RESINS = Group(
    "resin",
    one="resin",
    none="",
    prompts=(
        _asked("name", "Which filler it is", "As builds name it, such as epoxy."),
        _asked("resin_parts", "Parts of resin", "The tin's ratio: 100 of 100 to 47."),
        _asked("hardener_parts", "Parts of hardener", "47 of 100 to 47."),
        _asked(
            "parts_by",
            "Parts are counted by",
            "The two differ: hardener is lighter than resin.",
            words=(("volume", "measured in cups or syringes"), ("mass", "weighed")),
        ),
        _asked("resin_density", "Density of the resin", "From its sheet.", unit="g/mL"),
        _asked("hardener_density", "Density of the hardener", "From its sheet.", unit="g/mL"),
        _asked("waste", "Mixed beyond what is poured", "What stays in the cup.", unit="%"),
        _asked("pot_life", "Pot life", "So long it can be poured.", unit="min"),
        _asked("pot_temperature", "at a temperature of", "As the tin states it.", unit="degC"),
        _asked("density", "Density once it is hard", "Cast a cylinder, weigh it.", unit="g/mL"),
    ),
)

ITEMS: tuple[Prompt | Group, ...] = (
    _asked("bench.name", "Name of the bench", "For the sheets."),
    _asked("scale.resolution", "Scale: smallest step", "Offered wherever you weigh.", unit="g"),
    _asked("scale.accuracy", "Scale: accuracy stated", "Its maker's limit.", unit="g"),
    _asked("scale.maximum", "Scale: the most it weighs", "Beyond it nothing is read.", unit="g"),
    _asked("caliper.resolution", "Caliper: smallest step", "Offered for samples.", unit="mm"),
    _asked("caliper.accuracy", "Caliper: accuracy stated", "Its maker's limit.", unit="mm"),
    _asked(
        "drills.owned",
        "Drills at hand",
        "A plan drills with no others. Empty for a usual set.",
        "With semicolons: 6 mm; 8 mm; 3/8 in; #7; letter F.",
    ),
    _asked("drills.point", "Point of your drills", "118 deg if left empty.", unit="deg"),
    _asked("drills.wall", "Least wall of wood", "Around a hole; 3 mm if left empty.", unit="mm"),
    PIECES,
    BOARDS,
    COATS,
    RESINS,
    _asked(
        "bench.paper",
        "Paper in the printer",
        "For templates.",
        words=(("a4", "210 x 297 mm"), ("letter", "8 1/2 x 11 in")),
    ),
    _asked(
        "bench.theme",
        "Colours of the app",
        "Taken when it opens: dark, light, contrast or terminal.",
    ),
    _asked(
        "bench.hours",
        "Hours at the bench",
        "Timetables plan within them.",
        "Such as Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00.",
    ),
)
"""All that a bench is asked, in the order of the page."""

UNITS: tuple[Kind, ...] = ("length", "mass", "density", "temperature", "speed")
"""Kinds of quantity whose unit new builds begin with."""


def questions(bench: Bench) -> Iterator[Question]:
    """The questions that stand by themselves."""
    return (_question(bench, parse(i.key), i) for i in ITEMS if isinstance(i, Prompt))


def groups() -> tuple[Group, ...]:
    """The lists of like things."""
    return tuple(item for item in ITEMS if isinstance(item, Group))


def row_questions(bench: Bench, group: Group, row: int) -> tuple[Question, ...]:
    """What is asked of one row of a list."""
    path = (group.key, row)
    return tuple(_question(bench, (*path, *parse(p.key)), p) for p in group.prompts)


def rows(bench: Bench, group: Group) -> int:
    """How many rows a list has."""
    return len(get(bench, (group.key,)) or ())


def row_line(bench: Bench, group: Group, row: int) -> str:
    """A row in one line: what was typed, the name first."""
    asked = row_questions(bench, group, row)
    parts = [
        f"{typed(q.answer)} x" if q.path[-1] == "count" else typed(q.answer)
        for q in asked
        if q.answer not in (None, ())
    ]
    return ", ".join(parts) or "nothing yet"


def _question(bench: Bench, path: Path, prompt: Prompt) -> Question:
    return Question(path, prompt, spec_at(path, Bench), get(bench, path))


def answered(bench: Bench, question: Question, text: str) -> Bench | Unclear:
    """The bench with a typed answer in it, unless that is unclear or impossible."""
    writing = Build(Heading(units=bench.bench.units))
    value = understood(writing, question, text)
    if isinstance(value, Unclear):
        return value
    if value is None:
        value = question.spec.default
    changed = put(bench, question.path, value)
    before = {(f.path, f.wrong) for f in impossible(bench)}
    for finding in impossible(changed):
        if (finding.path, finding.wrong) not in before:
            return Unclear(finding.wrong, finding.remedy)
    return changed


def with_row(bench: Bench, group: Group) -> Bench:
    """The bench with one more row in a list."""
    cls = specs(Bench)[group.key].table
    assert cls is not None
    return put(bench, (group.key,), (*(get(bench, (group.key,)) or ()), cls()))


def less_row(bench: Bench, group: Group, row: int) -> Bench:
    """The bench without one row of a list."""
    return without_row(bench, (group.key, row))


def in_units(bench: Bench, kind: str, unit: str) -> Bench:
    """The bench with a unit chosen for a kind of quantity; an empty unit takes it back."""
    chosen = {k: v for k, v in bench.bench.units.items() if k != kind}
    return put(bench, ("bench", "units"), chosen | ({kind: unit} if unit else {}))


def picks(question: Question) -> tuple[Pick, ...]:
    """What may be picked instead of typed: the words of a choice, names of the tables."""
    if question.spec.form == "choice":
        return tuple(Pick(word, meaning) for word, meaning in question.prompt.words)
    from wizard.steps.picking import name_picks

    keys = ".".join(str(part) for part in question.path if not isinstance(part, int))
    like = _LIKE.get(keys)
    return name_picks(like) if like else ()


_LIKE: dict[str, Path] = {
    "piece.metal": ("ballast", "metal"),
    "board.wood": ("stock", "wood"),
    "coat.name": ("coat", 0, "name"),
    "resin.name": ("ballast", "filler"),
}
"""Questions of a bench whose names are those of a question of a build."""
