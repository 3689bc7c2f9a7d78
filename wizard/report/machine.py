"""The numbers of a build for programs: one JSON object."""

from __future__ import annotations

import json
from collections.abc import Sequence

from wizard.plug.derive import Derived
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
    numbers = {}
    for name, entry in CATALOGUE.items():
        number = derived.numbers.get(name)
        if number is not None:
            value, u = number.published
            numbers[name] = {"value": value, "unit": entry.unit, "u": u}
    warnings = [{"step": f.step, "text": f.text} for f in (*odd, *derived.warnings)]
    whole = {
        "format": FORMAT,
        "profile": profile,
        "step": build.build.step or STEPS[0],
        "numbers": numbers,
        "warnings": warnings,
    }
    # The one control character that JSON lets stand; it occurs in strings alone.
    return json.dumps(whole, indent=2, allow_nan=False).replace("\x7f", "\\u007f")
