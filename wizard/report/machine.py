"""The numbers of a build for programs: one JSON object."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.numbers import CATALOGUE
from wizard.plug.record import STEPS, Build

FORMAT = 1


def document(profile: str, build: Build, derived: Derived, odd: Sequence[Finding]) -> str:
    """The JSON of a build at any stage.

    Args:
        profile: the path as it was given.
        build: the record.
        derived: what follows from it.
        odd: what is odd about the file itself.
    """
    return text_of(
        {
            "format": FORMAT,
            "profile": profile,
            "step": build.build.step or STEPS[0],
            "numbers": numbers_of(derived),
            "warnings": warnings_of((*odd, *derived.warnings)),
        }
    )


def numbers_of(derived: Derived) -> dict[str, Any]:
    """The numbers that are known, by name, each with its unit and standard uncertainty."""
    found = {}
    for name, entry in CATALOGUE.items():
        number = derived.numbers.get(name)
        if number is not None:
            value, u = number.published
            found[name] = {"value": value, "unit": entry.unit, "u": u}
    return found


def warnings_of(findings: Sequence[Finding]) -> list[dict[str, str]]:
    """Findings with the step at which each can be mended."""
    return [{"step": finding.step, "text": finding.text} for finding in findings]


def text_of(whole: Mapping[str, Any]) -> str:
    """A JSON object as text."""
    # The one control character that JSON lets stand; it occurs in strings alone.
    return json.dumps(whole, indent=2, allow_nan=False).replace("\x7f", "\\u007f")
