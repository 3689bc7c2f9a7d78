"""A drill plan for programs: one JSON object, its numbers those of the build with the plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from wizard.plug.ballast.backfill import Backfill, backfill
from wizard.plug.ballast.plan import DrillPlan, PlannedHole
from wizard.plug.ballast.plan_found import PlanLimit
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.report.machine import FORMAT, numbers_of, text_of, warnings_of
from wizard.report.plan_words import Speaker, limit_words

_UNITS = {"kg": ("g", 1e-3), "m": ("mm", 1e-3), "rad": ("deg", math.pi / 180.0)}


def plan_document(
    profile: str, plan: DrillPlan, odd: Sequence[Finding], owned: tuple[str, ...]
) -> str:
    """The JSON of a plan.

    Args:
        profile: the path as it was given.
        plan: the plan.
        odd: what is odd about the file itself.
        owned: names of the drills at hand.
    """
    say = Speaker.of(plan, owned)
    closing = backfill(plan.build) if plan.holes else None
    return text_of(
        {
            "format": FORMAT,
            "profile": profile,
            "plan": {
                "meets_all": plan.meets_all,
                "waits": list(plan.waits),
                "wanted": _measure(plan.wanted, "kg"),
                "tolerance": _measure(plan.goal.tolerance if plan.goal else None, "kg"),
                "pieces_mass": _measure(plan.mass if plan.holes else None, "kg"),
                "drawer_is_empty": plan.drawer_is_empty,
                "holes": [_hole(plan, number, say) for number in range(len(plan.holes))],
                "wall": _measure(plan.wall, "m"),
                "gap": _measure(None if math.isinf(plan.gap) else plan.gap, "m"),
                "limits": [_limit(plan, limit, say) for limit in plan.limits],
                "backfill": None if closing is None else _backfill(closing),
            },
            "numbers": numbers_of(plan.derived),
            "warnings": warnings_of((*odd, *plan.derived.warnings)),
        }
    )


def _measure(value: float | None, unit: str) -> dict[str, Any] | None:
    if value is None:
        return None
    label, scale = _UNITS[unit]
    return {"value": value / scale, "unit": label}


def _limit(plan: DrillPlan, limit: PlanLimit, say: Speaker) -> dict[str, Any]:
    return {
        "kind": limit.kind,
        "by": _measure(limit.by, limit.unit),
        "text": limit_words(plan, limit, say),
    }


def _hole(plan: DrillPlan, number: int, say: Speaker) -> dict[str, Any]:
    one: PlannedHole = plan.holes[number]
    hole, nose = one.hole, plan.goal.body.nose if plan.goal else 0.0
    return {
        "from_nose": _measure(hole.x - nose, "m"),
        "off_centre": _measure(0.0 if hole.axis == "across" else hole.y, "m"),
        "above_baseline": _measure(hole.z, "m"),
        "axis": hole.axis,
        "drill": say.drill(hole.diameter),
        "diameter": _measure(hole.diameter, "m"),
        "depth": _measure(hole.depth, "m"),
        "point": _measure(hole.point_angle, "rad"),
        "volume": {"value": hole.volume * 1e6, "unit": "mL"},
        "ballast_ends_under_mouth": _measure(one.free_depth, "m"),
        "pieces": _pieces(plan.build, number + 1),
    }


def _pieces(build: Build, number: int) -> list[dict[str, Any]]:
    rows = build.ballast.piece if build.ballast else ()
    return [
        {
            "name": row.name,
            "mass": _measure(row.mass.value if row.mass else None, "kg"),
            "count": row.count,
            "form": row.form,
            "length": _measure(row.length.value if row.length else None, "m"),
        }
        for row in rows
        if row.hole == number
    ]


def _backfill(found: Backfill) -> dict[str, Any]:
    """What to mix: volumes in mL, masses in g, times in s."""
    raw = asdict(found)
    for key in ("volume", "resin_volume", "hardener_volume"):
        raw[key] = None if raw[key] is None else {"value": raw[key] * 1e6, "unit": "mL"}
    for key in ("mass", "resin_mass", "hardener_mass"):
        raw[key] = _measure(raw[key], "kg")
    raw["pot_life"] = None if found.pot_life is None else {"value": found.pot_life, "unit": "s"}
    return raw
