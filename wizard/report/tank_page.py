"""The whole page of the proof: everything the tank asks and says, as text and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from wizard.certainty import Uncertain
from wizard.physics.brine import Salt
from wizard.plug.derived import Derived
from wizard.plug.numbers import CATALOGUE, SCALE
from wizard.plug.record import Build
from wizard.plug.tank.explain import explain
from wizard.plug.tank.home_tank import tank_mix
from wizard.plug.tank.mend import Mend, mends
from wizard.plug.tank.mend_goal import goal
from wizard.quantity.showing import literal
from wizard.report.machine import FORMAT
from wizard.report.mending import mend_lines, suspect_lines, verdict_lines, what_to_do
from wizard.report.showing import number
from wizard.report.tank import (
    folded,
    hanging_lines,
    meaning_lines,
    mix_lines,
    run_lines,
    soak_lines,
    taped_lines,
)

SPEED_AND_DEPTH = (
    "How deep it runs at a speed is not predicted: line, lip and retrieve decide it. Write down "
    "what you see when it swims."
)

PROOFS = ("proof_net", "best_net", "proof_pitch", "proof_gm", "proof_ballast", "sink_rate")
"""Numbers of the proof, in the order to show them."""

Section = tuple[str, list[str]]


def sections(
    build: Build, derived: Derived, volume: float | None = None, salt: Salt | None = None
) -> Iterator[Section]:
    """Headings with their lines, those that have something to say.

    Args:
        build: the record.
        derived: what follows from it.
        volume: of the tank [m3]; None for the build's own, else 40 L.
        salt: which; None for the build's own, else table salt.
    """
    before: tuple[Section, ...] = (
        (
            "The water in the tank",
            [*mix_lines(build, volume, salt), *meaning_lines(build, derived)],
        ),
        ("Before drilling", taped_lines(build, derived)),
        ("What to expect", [*_expected(build, derived), *run_lines(build, derived)]),
    )
    after: tuple[Section, ...] = (
        ("What the tank said", _told(build, derived)),
        ("Sum and tank", verdict_lines(build, derived)),
        ("What may be wrong", suspect_lines(build, derived)),
        ("The mend", mend_lines(build, derived)),
        ("The finish", soak_lines(build, derived)),
        ("Where it hangs", hanging_lines(build, derived)),
        ("When it swims", _swims(build)),
    )
    whole = (*after, *before) if _has_spoken(build) else (*before, *after)
    yield from ((heading, lines) for heading, lines in whole if lines)


def _has_spoken(build: Build) -> bool:
    """Whether a finished plug was tried: what it said then comes first."""
    return any(trial.kind != "taped" for trial in build.trial)


def page(
    build: Build, derived: Derived, volume: float | None = None, salt: Salt | None = None
) -> str:
    """The whole page as text."""
    out = [literal(build.build.name or "a build without a name")]
    for heading, lines in sections(build, derived, volume, salt):
        out += ["", heading, *(f"  {line}" for line in lines)]
    out += _remarks(derived)
    return "\n".join(out) + "\n"


def _remarks(derived: Derived) -> list[str]:
    said = [f for f in derived.warnings if f.step == "proof"]
    lines = folded(f"  {literal(f.text, 400)}" for f in said)
    return ["", "Look at these", *lines] if said else []


def _expected(build: Build, derived: Derived) -> list[str]:
    names = ("net_in_water", "chance_aim", "sink_rate", "rest_pitch", "freeboard", "gm")
    return _named(build, derived, tuple(n for n in names if n not in _timed(build)))


def _timed(build: Build) -> tuple[str, ...]:
    """Numbers that a trial has put itself in the place of."""
    return ("sink_rate",) if any(t.kind in ("sink", "rise") for t in build.trial) else ()


def _told(build: Build, derived: Derived) -> list[str]:
    known = tuple(n for n in PROOFS if n != "sink_rate" or n in _timed(build))
    return _named(build, derived, known)


def _named(build: Build, derived: Derived, names: tuple[str, ...]) -> list[str]:
    found = [(CATALOGUE[n].meaning, derived.numbers[n]) for n in names if n in derived.numbers]
    return [f"{meaning:<48} {number(entry, build.build.units)}" for meaning, entry in found]


def _swims(build: Build) -> list[str]:
    lines = []
    for swim in build.swim:
        parts = [
            swim.on.isoformat() if swim.on else "",
            swim.water or "",
            f"line {swim.line}" if swim.line else "",
            f"at {swim.speed.text}" if swim.speed else "",
            f"{swim.depth.text} deep" if swim.depth else "",
            swim.action or "",
            f"tuned: {swim.tuning}" if swim.tuning else "",
        ]
        lines.append(literal(", ".join(part for part in parts if part), 400))
    return list(folded([*lines, SPEED_AND_DEPTH])) if lines else []


# For programs -----------------------------------------------------------------


def document(
    profile: str,
    build: Build,
    derived: Derived,
    volume: float | None = None,
    salt: Salt | None = None,
) -> str:
    """The same as one JSON object: masses in g, lengths in mm, `u` at k = 1."""
    whole = {
        "format": FORMAT,
        "profile": profile,
        "mix": _mix(build, volume, salt),
        "numbers": {
            n: _published(derived, n)
            for n in ("net_in_water", *PROOFS)
            if n in derived.numbers and (n != "sink_rate" or n in _timed(build))
        },
        "verdict": _verdict(build, derived),
        "suspects": _suspects(build, derived),
        "mends": [_mend(build, mend) for mend in mends(build, derived)],
        "text": dict(sections(build, derived, volume, salt)),
        "warnings": [f.text for f in derived.warnings if f.step == "proof"],
    }
    return json.dumps(whole, indent=2, allow_nan=False).replace("\x7f", "\\u007f")


def _published(derived: Derived, name: str) -> dict[str, Any]:
    value, u = derived.numbers[name].published
    return {"value": value, "unit": CATALOGUE[name].unit, "u": u}


def _grams(value: Uncertain) -> dict[str, Any]:
    return {"value": value.value / 1e-3, "unit": "g", "u": value.u / 1e-3}


def _mix(build: Build, volume: float | None, salt: Salt | None) -> dict[str, Any] | None:
    mix = tank_mix(build, volume, salt)
    if mix is None:
        return None
    sheet = mix.sheet
    return {
        "litres": mix.volume * 1e3,
        "temperature_degC": mix.temperature,
        "salt": mix.salt,
        "wanted_density_g_per_mL": mix.density / 1e3,
        "add_g": None if sheet is None else sheet.salt * 1e3,
        "content_g_per_kg_of_water": None if sheet is None else sheet.content,
        "why_not": mix.why_not,
    }


def _verdict(build: Build, derived: Derived) -> dict[str, Any] | None:
    found, asked = explain(build, derived), goal(build, derived)
    out: dict[str, Any] = {}
    if found is not None:
        out |= {"agree": found.agree, "gap": _grams(found.gap), "best": _grams(found.best)}
    if asked is not None:
        out |= {"lacking": _grams(asked.lacking), "is_met": asked.is_met}
    return out or None


def _suspects(build: Build, derived: Derived) -> list[dict[str, Any]]:
    found = explain(build, derived)
    return [
        {
            "what": one.suspect.what,
            "unit": one.suspect.unit,
            "value": one.suspect.value / SCALE[one.suspect.unit],
            "doubt": one.suspect.doubt / SCALE[one.suspect.unit],
            "assumed": one.suspect.assumed > 0,
            "needed": one.needed / SCALE[one.suspect.unit],
            "likely": one.likely / SCALE[one.suspect.unit],
        }
        for one in (found.accused if found else ())
    ]


def _mend(build: Build, mend: Mend) -> dict[str, Any]:
    return {
        "kind": mend.way.kind,
        "what": what_to_do(build, mend),
        "gained": _grams(mend.gained),
        "net_after": _grams(mend.net),
        "miss_after": _grams(mend.miss),
        "meets_aim": mend.meets,
        "breaks_coat": mend.way.breaks_coat,
    }
