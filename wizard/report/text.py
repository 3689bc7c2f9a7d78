"""A build as plain lines: every number, what it waits for, what to look at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from wizard.plug.ballast.planned import planned
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.numbers import CATALOGUE
from wizard.plug.record import STEPS, Build
from wizard.quantity.showing import literal
from wizard.report.density import density_lines
from wizard.report.lying import lying_lines
from wizard.report.planning import planning_lines
from wizard.report.showing import amount, number
from wizard.report.weightlog import weight_log_lines
from wizard.report.working import doubts
from wizard.report.working import lines as working_lines

WIDTH = 78

NAMES = max(len(entry.meaning) for entry in CATALOGUE.values())
"""Columns for what a number is."""


def review(build: Build, derived: Derived, odd: Sequence[Finding], *, working: bool = False) -> str:
    """The whole review as text of lines up to `WIDTH` where words allow."""
    return "\n".join(_lines(build, derived, odd, working)) + "\n"


def _lines(build: Build, derived: Derived, odd: Sequence[Finding], working: bool) -> Iterator[str]:
    heading = build.build
    yield literal(heading.name or "a build without a name")
    yield f"step: {heading.step or STEPS[0]}"
    yield from _aim(build)
    yield ""
    yield "Numbers (± is one standard uncertainty, k = 1)"
    yield from number_lines(build, derived)
    yield from _section("Before cutting", _folded(planning_lines(build, planned(build))))
    if derived.value("net_in_water") is not None:
        yield from _section("In the water", _folded(lying_lines(build, derived)))
    yield from _parts(build, derived)
    yield from _bench(build, derived)
    yield from _doubt(build, derived)
    yield from _section("", weight_log_lines(build, derived))
    yield from _section("", _after_ballast(build, derived))
    yield from _section("Density test", density_lines(build, derived))
    if working:
        yield ""
        yield "Working"
        for entry in derived.numbers.values():
            yield from (f"  {line}" for line in working_lines(entry, heading.units))
    yield from _findings(derived, odd)


def _folded(lines: Iterable[str]) -> Iterator[str]:
    """Sentences on lines of up to `WIDTH`, each under its own beginning."""
    for line in lines:
        yield from wrap(literal(line, 400), WIDTH, initial_indent="  ", subsequent_indent="    ")


def _section(title: str, lines: Iterator[str]) -> Iterator[str]:
    """Lines under a title after a blank one; nothing where there are none."""
    found = list(lines)
    if found:
        yield ""
        yield from [title] if title else []
        yield from found


def _after_ballast(build: Build, derived: Derived) -> Iterator[str]:
    """Why the plug weighs other than planned with its ballast in, and what makes up for it."""
    from wizard.plug.ballast.after import after_ballast
    from wizard.plug.rule import rule_of
    from wizard.report.ballast_lines import after_ballast_lines

    if any(row.stage == "ballasted" for row in build.weight):
        found = after_ballast(build, derived)
        if found is not None:
            yield from after_ballast_lines(found, build.build.units, rule_of(build))


def _aim(build: Build) -> Iterator[str]:
    aim = build.aim
    if aim.behaviour is None:
        yield "aim: not answered"
        return
    asked = [
        f"{key.replace('_', ' ')} {literal(value.text)}"
        for key in ("margin", "sink_rate", "freeboard_fraction", "tolerance")
        if (value := getattr(aim, key)) is not None
    ]
    yield f"aim: {aim.behaviour}" + (f", {', '.join(asked)}" if asked else "")


def number_lines(build: Build, derived: Derived) -> Iterator[str]:
    """Each number of the catalogue, or that it is not known yet."""
    for name, entry in CATALOGUE.items():
        found = derived.numbers.get(name)
        if found is None and entry.rare:
            continue
        shown = number(found, build.build.units) if found else "-"
        yield f"  {entry.meaning:<{NAMES}} {shown}"


def _parts(build: Build, derived: Derived) -> Iterator[str]:
    chosen = build.build.units
    yield ""
    yield f"{'Weight account':<32} {'mass':>20} {'outside volume':>22}"
    for part in derived.parts:
        mass = "-" if part.mass is None else amount(part.mass, "g", chosen)
        volume = "-" if part.volume is None else amount(part.volume, "mL", chosen)
        yield f"  {literal(part.name, 29):<30} {mass:>20} {volume:>22}"


def _bench(build: Build, derived: Derived) -> Iterator[str]:
    bench = derived.numbers.get("bench_ballast")
    if not derived.differences or bench is None:
        return
    chosen = build.build.units
    yield ""
    yield "From the bench sum to the full answer"
    yield f"  {'the bench sum (common practice)':<{NAMES}} {number(bench, chosen)}"
    for line in derived.differences:
        sign = "+" if line.mass.value >= 0 else "-"
        size = line.mass if line.mass.value >= 0 else -line.mass
        yield f"  {sign} {line.why:<{NAMES - 2}} {amount(size.value, 'g', chosen)}"
    full = number(derived.numbers["ballast_mass"], chosen)
    yield f"  {'= ballast, the full answer':<{NAMES}} {full}"


def _doubt(build: Build, derived: Derived) -> Iterator[str]:
    net = derived.numbers.get("net_in_water") or derived.numbers.get("ballast_mass")
    if net is None:
        return
    found = doubts(net, build.build.units)
    if found:
        yield ""
        yield f"What makes {CATALOGUE[net.name].meaning} uncertain, largest first"
        yield from _folded(found)


def _findings(derived: Derived, odd: Sequence[Finding]) -> Iterator[str]:
    warnings = (*odd, *derived.warnings)
    notes = tuple(f for f in derived.findings if f.level == "note")
    for title, rows in (("Look at these", warnings), ("Notes", notes)):
        if rows:
            yield ""
            yield title
            yield from _folded(f.text for f in rows)
