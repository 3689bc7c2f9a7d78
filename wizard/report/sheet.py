"""The sheet of a build: the one page that its maker would pin above the bench."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from wizard.plug.ballast.parts import DEFAULT_METAL
from wizard.plug.derived import Derived
from wizard.plug.numbers import CATALOGUE
from wizard.plug.onward.carried import marked
from wizard.plug.onward.compare import typed
from wizard.plug.onward.expecting import expected
from wizard.plug.onward.needs import needs
from wizard.plug.paths import get, words
from wizard.plug.record import Build
from wizard.quantity.showing import plain
from wizard.report.answers import CARRIED, Answers
from wizard.report.finishing import numbers_shown
from wizard.report.lying import lying_lines
from wizard.report.needs import needs_section
from wizard.report.page import Page, Row, Section, columns
from wizard.report.sheet_bench import (
    ballast_sections,
    coats_section,
    density_section,
    hardware_section,
)
from wizard.report.sheet_proof import (
    account_section,
    mends_section,
    proof_section,
    swim_section,
    weighings_section,
)

NAMELESS = "a build without a name"


def sheet(build: Build, derived: Derived, on: date, version: str) -> Page:
    """The sheet of a build at any stage.

    Args:
        build: the record.
        derived: what follows from it.
        on: the day of printing.
        version: of the program.
    """
    begun = build.shown is None
    to_come = expected(build) if begun else None
    sections = (
        Section("In the water", tuple(lying_lines(build, derived, to_come))),
        *((needs_section(build, needs(build, derived, to_come)),) if begun else ()),
        account_section(build, derived),
        weighings_section(build, derived),
        density_section(build, derived),
        *ballast_sections(build),
        hardware_section(build),
        coats_section(build, derived),
        proof_section(build, derived),
        mends_section(build),
        swim_section(build),
        numbers_section(build, derived),
        carried_section(build),
        Section("Look at these", tuple(f.text for f in derived.warnings)),
        cautions_section(build),
        Section("Notes", tuple((build.build.notes or "").splitlines())),
    )
    return Page(
        build.build.name or NAMELESS,
        tuple(_lead(build)),
        tuple(s.without_empty_columns for s in sections if not s.is_empty),
        f"Plugwright {version}, {on.isoformat()}. ± is one standard uncertainty (k = 1).",
    )


def _lead(build: Build) -> Iterator[str]:
    at, heading = Answers(build), build.build
    aim = at.text("aim", "behaviour", otherwise="no aim yet")
    asked = [
        f"{key.replace('_', ' ')} {at.text('aim', key)}"
        for key in ("margin", "sink_rate", "freeboard_fraction", "tolerance", "pitch")
        if getattr(build.aim, key) is not None
    ]
    yield f"Asked for: {', '.join((aim, *asked))}"
    size = [at.text("shape", key) for key in ("length", "height", "thickness")]
    if any(size):
        form = at.text("shape", "form", otherwise="by stations")
        yield f"Body: {form}, {' x '.join(s for s in size if s)}"
    made_by = [f"by {heading.maker}"] if heading.maker else []
    made_by += [f"begun {heading.created:%Y-%m-%d}"] if heading.created else []
    if build.shown is not None and build.shown.at is not None:
        made_by.append(f"finished {build.shown.at:%Y-%m-%d}")
    if build.origin is not None and build.origin.copy and build.origin.copies:
        made_by.append(f"plug {build.origin.copy} of {build.origin.copies} of one plan")
    if heading.tags:
        made_by.append(f"tags: {', '.join(heading.tags)}")
    if made_by:
        yield ", ".join(made_by)


def numbers_section(build: Build, derived: Derived) -> Section:
    """All numbers; of a finished build those shown then beside today's, differences marked."""
    now = numbers_shown(derived, build.build.units)
    shown = build.shown
    if shown is None:
        rows = tuple((CATALOGUE[name].meaning, text) for name, text in now.items())
        return Section("Numbers", (), columns("number", "today", right=1), rows)
    then = {name: str(text) for name, text in shown.numbers.items()}
    day = f" on {shown.at:%Y-%m-%d}" if shown.at else ""
    names = [name for name in CATALOGUE if name in now or name in then]
    loud = frozenset(n for n, name in enumerate(names) if now.get(name) != then.get(name))
    by = f"Finished{day} with version {shown.version or 'unknown'}."
    if not loud:
        rows = tuple((CATALOGUE[name].meaning, now[name]) for name in names)
        same = (f"{by} Worked out again today, every number is the same.",)
        return Section("Numbers", same, columns("number", "as shown", right=1), rows)
    lines = (f"{by} Worked out again today, {len(loud)} of {len(names)} differ: marked ≠.",)
    both: tuple[Row, ...] = tuple(
        (CATALOGUE[name].meaning, then.get(name, "-"), now.get(name, "-")) for name in names
    )
    return Section("Numbers", lines, columns("number", "as shown", "today", right=2), both, loud)


def carried_section(build: Build) -> Section:
    """The answers that came over from another build and were not changed since."""
    paths = marked(build)
    if build.origin is None or not paths:
        return Section("")
    factor = build.origin.factor
    times = f", {plain(factor.value)} times its length" if factor and factor.value != 1.0 else ""
    whence = f"From “{build.origin.name or NAMELESS}”{times}; marked {CARRIED} on this sheet: "
    told = "; ".join(f"{words(path)} {_answer(build, path)}" for path in paths)
    return Section(f"Carried over {CARRIED}", (f"{whence}{told}.",))


def _answer(build: Build, path: tuple[str | int, ...]) -> str:
    value = get(build, path)
    if isinstance(value, tuple) and value and hasattr(value[0], "other"):
        return f"{len(value)} of them"
    return typed(value)


def cautions_section(build: Build) -> Section:
    """What stays with a plug that holds lead."""
    if not holds_lead(build):
        return Section("")
    from wizard.tables import DEFERS, cautions

    staying = [c for c in cautions().values() if c.topic == "lead" and "review" in c.steps]
    lines = (*(f"{c.name}. {c.hazard} {c.precaution}" for c in staying), DEFERS)
    return Section("Cautions that stay with it", lines)


def holds_lead(build: Build) -> bool:
    """Whether the ballast is lead: named so, or no other metal named."""
    from wizard.tables import find_metal

    if build.ballast is None:
        return False
    row = find_metal(build.ballast.metal or DEFAULT_METAL)
    return row is not None and any(c.startswith("lead") for c in row.cautions)
