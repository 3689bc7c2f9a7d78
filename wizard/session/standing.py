"""What a step shows of the numbers: where they stand, what moved, whether to drill."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.numbers import CATALOGUE
from wizard.plug.paths import Path
from wizard.plug.record import Build, StepId
from wizard.report.showing import number
from wizard.steps.wording import group_at, label, prompt_at

DRILLING_STEPS = ("ballast", "hardware", "coating")
"""The steps at which a maker may be about to drill."""


STILL = "…"
"""Stands for a number that is being worked out."""


LAID_OUT = (("ballast", "hole"), ("ballast", "piece"))
"""What must have nothing against it before a drill goes into the wood."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One number as it stands, as text.

    Attributes:
        name: its key in the catalogue.
        meaning: what it is.
        shown: value, doubt and unit; empty while it is unknown, `STILL` while it is worked out.
        was: the same before the last answer, if that changed it; else empty.
    """

    name: str
    meaning: str
    shown: str
    was: str = ""


def _text(derived: Derived | None, name: str, chosen: Mapping[str, str]) -> str:
    found = derived.numbers.get(name) if derived else None
    return number(found, chosen) if found else ""


def readings(
    names: Iterable[str], derived: Derived, before: Derived | None, chosen: Mapping[str, str]
) -> tuple[Reading, ...]:
    """Numbers by name, each with what it was before the last answer.

    Args:
        names: which ones, in the order to show them.
        derived: what follows from the build.
        before: what followed before the last answer; None if there was none.
        chosen: the maker's units by kind.
    """
    out = []
    for name in names:
        shown = _text(derived, name, chosen)
        was = _text(before, name, chosen)
        if was and not shown and not derived.is_whole:
            shown, was = STILL, ""
        out.append(
            Reading(name, CATALOGUE[name].meaning, shown, was if before and was != shown else "")
        )
    return tuple(out)


def moved(
    derived: Derived, before: Derived | None, chosen: Mapping[str, str]
) -> tuple[Reading, ...]:
    """The numbers that the last answer changed, or made known or unknown."""
    if before is None:
        return ()
    found = readings(CATALOGUE, derived, before, chosen)
    return tuple(r for r in found if r.was or _appeared(r, before))


def _appeared(reading: Reading, before: Derived) -> bool:
    return bool(reading.shown) and reading.name not in before.numbers


def drilling(build: Build, derived: Derived) -> tuple[bool, str] | None:
    """Whether the ballast holes may be drilled, and why not yet; None while none is known.

    Returns:
        True with "Drill now" only when hardware and coats are answered or accepted as
        planned, since they move the amount of ballast, and holes are laid out that hold it;
        None once the plug was weighed or tried with its ballast in.
    """
    ballast = build.ballast
    if ballast is None or "ballast_mass" not in derived.numbers or build.weight or build.trial:
        return None
    if derived.waits_for:
        waits = " and ".join(derived.waits_for)
        return False, f"Provisional: waits for {waits}. Do not drill."
    if not ballast.hole:
        return False, "Lay out the holes, then drill: hardware and coats are counted."
    if any(finding.path[:2] in LAID_OUT for finding in derived.warnings):
        return False, "Do not drill yet: look at the holes and pieces first."
    return True, "Drill now: hardware and coats are counted."


def said(finding: Finding) -> str:
    """A finding as the screen says it: with the labels of answers, not their keys."""
    parts = (f"{label(finding.path)}:" if finding.path else "", finding.wrong, finding.remedy)
    return with_labels(" ".join(part for part in parts if part))


def at_step(findings: Iterable[Finding], step: StepId) -> tuple[Finding, ...]:
    """The findings that can be mended at a step; that the amount waits is said elsewhere."""
    return tuple(f for f in findings if f.step == step and f.path != ("ballast",))


_PATH = re.compile(r"\b[a-z_]+(?:\[\d+\])?(?:\.[a-z_]+(?:\[\d+\])?)+|\b[a-z_]+\[\d+\]")


def with_labels(line: str) -> str:
    """A line in which the keys of answers are exchanged for what they are called."""
    return _PATH.sub(_labelled, line)


def _labelled(found: re.Match[str]) -> str:
    path: Path = ()
    for part in found[0].split("."):
        key, _, row = part.partition("[")
        path = (*path, key, int(row[:-1]) - 1) if row else (*path, key)
    return f"“{label(path)}”" if prompt_at(path) or group_at(path) else found[0]
