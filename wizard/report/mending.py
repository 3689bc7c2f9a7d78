"""Sum against tank as plain lines: verdict, suspects, and what to do."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wizard.plug.derived import Derived
from wizard.plug.numbers import SCALE
from wizard.plug.record import Build
from wizard.plug.rule import rule_of, shown
from wizard.plug.tank.explain import Accused, explain
from wizard.plug.tank.mend import Mend, mends
from wizard.plug.tank.mend_goal import Goal, goal
from wizard.plug.tank.mend_inside import NAIL_METAL
from wizard.plug.tank.mend_outside import WIRE_METAL
from wizard.plug.tank.mend_rows import Way
from wizard.plug.tank.proof import later_mends
from wizard.quantity.showing import literal, plain
from wizard.report.showing import KIND_OF, amount
from wizard.report.tank import Units, folded, grams

NAMED = 5
"""Suspects that are worth naming."""

TELLING = 1.1
"""How much larger a doubt must be before the larger one is told too [1]."""

OFFERED = 6
"""Mends that are worth reading."""

COAT = {True: "the coat is opened: seal and touch up", False: "the coat stays whole"}


def verdict_lines(build: Build, derived: Derived) -> list[str]:
    """Measured against predicted, whether they agree, both together, and the aim."""
    return list(folded(_verdict(build, derived)))


def _verdict(build: Build, derived: Derived) -> Iterator[str]:
    chosen, found = build.build.units, explain(build, derived)
    if found is not None:
        yield f"by the tank        {amount(found.measured, 'g', chosen)} left in the fishing water"
        yield f"by the sum         {amount(found.predicted, 'g', chosen)}"
        if found.presumed.u > TELLING * found.predicted.u:
            whole = amount(found.presumed, "g", chosen)
            yield f"                   {whole} with films, holes and hooks in doubt too"
        gap = found.gap
        apart = f"{grams(gap.value, chosen)} apart, {plain(2 * gap.u * 1e3, 2)} g allowed (k = 2)"
        yield f"{'they agree' if found.agree else 'they do not agree':<18} {apart}"
        yield f"both together      {amount(found.best, 'g', chosen)}, each weighted by certainty"
    asked = goal(build, derived)
    if asked is None:
        return
    yield f"the aim            {amount(asked.target.value, 'g', chosen)} ({build.aim.behaviour})"
    lacking = asked.lacking
    seen = _seen_otherwise(build, derived)
    if asked.is_met and seen is not None:
        yield "so                 by the numbers nothing to mend, but it was seen to do otherwise"
        yield f"                   (trial {seen}): weigh it under water to learn by how much"
    elif asked.is_met:
        yield "so                 nothing to mend: within its band, or not to be told from the aim"
    else:
        way = "heavier" if lacking.value > 0 else "lighter"
        needed = grams(lacking.value if lacking.value > 0 else -lacking.value, chosen)
        yield f"so                 it must become {needed} {way} in water"
    if found is not None and not found.agree:
        yield "                   repeat the trial before mending: one of the two is wrong"


def _seen_otherwise(build: Build, derived: Derived) -> int | None:
    """The last trial by eye since the last mend, from 1, if it did not do as asked."""
    looks = [
        (number, trial.as_asked)
        for number, trial in enumerate(build.trial, start=1)
        if trial.kind == "look" and not later_mends(trial, derived.parts)
    ]
    return looks[-1][0] if looks and looks[-1][1] == "no" else None


def suspect_lines(build: Build, derived: Derived) -> list[str]:
    """Which part most likely explains a miss, and by how much each would have to be wrong.

    Empty where nothing was missed: sum and tank agree, and the plug does what was asked.
    """
    found, asked = explain(build, derived), goal(build, derived)
    if found is None or not found.accused:
        return []
    if found.agree and (asked is None or asked.is_met):
        return []
    return list(folded(_suspects(build, found.accused, found.gap.value)))


def _suspects(build: Build, accused: tuple[Accused, ...], gap: float) -> Iterator[str]:
    chosen = build.build.units
    yield f"What would explain {grams(gap, chosen, signed=True)}, the likeliest first; each alone:"
    for one in accused[:NAMED]:
        suspect = one.suspect
        off = _in_unit(one.needed, suspect.unit, chosen, signed=True)
        at = _in_unit(suspect.value, suspect.unit, chosen)
        line = f"  {suspect.what} ({at}) off by {off}: {plain(abs(one.doubts), 2)} x its doubt"
        if suspect.because and suspect.assumed > 0:
            line += f", assumed because {suspect.because}"
        yield line
    if gap < 0:
        yield f"  or a bubble of {plain(-gap * 1e3, 2)} mL clinging to it"
    elif gap > 0:
        yield f"  or {grams(gap, chosen)} of water in it"


def _in_unit(value: float, unit: str, chosen: Units, *, signed: bool = False) -> str:
    """A core value in its unit to three digits, the sign always shown if asked for."""
    sign = "-" if value < 0 else "+" if signed else ""
    size = abs(value)
    if unit in KIND_OF or unit not in SCALE:
        digits = 3 - math.ceil(math.log10(size / SCALE[unit])) if size > 0 else 0
        return sign + amount(round(size / SCALE[unit], max(digits, 0)) * SCALE[unit], unit, chosen)
    tail = "" if unit == "1" else f" {unit}"
    return f"{sign}{plain(size / SCALE[unit], 3)}{tail}"


def mend_lines(build: Build, derived: Derived) -> list[str]:
    """What may be done, the best first: what exactly, what it leads to, what it costs."""
    asked = goal(build, derived)
    if asked is None or asked.is_met:
        return []
    return list(folded(_mends(build, asked, mends(build, derived))))


def _mends(build: Build, asked: Goal, found: tuple[Mend, ...]) -> Iterator[str]:
    chosen = build.build.units
    if not found:
        yield "No mend is known for this: change hardware, or begin the body anew."
        return
    yield "What to do, one of these:"
    for place, mend in enumerate(found[:OFFERED], start=1):
        yield f"  {place}  {what_to_do(build, mend)}"
        yield f"     {_effect(mend, asked, chosen)}; {COAT[mend.way.breaks_coat]}"
        if mend.turns_over:
            yield "     but then it turns over in the water"
    kept = [m for m in found if not m.way.breaks_coat]
    if not any(m.meets for m in kept):
        yield _without_breaking(build, kept, chosen)
    yield "Weigh what you put on or take out, and write down what it really was."


def _without_breaking(build: Build, kept: list[Mend], chosen: Units) -> str:
    if not kept:
        return "Without breaking the coat nothing helps."
    nearest = min(kept, key=lambda m: abs(m.miss.value))
    return (
        f"Without breaking the coat the nearest stays {grams(nearest.miss.value, chosen)} off: "
        f"{what_to_do(build, nearest)}"
    )


def _effect(mend: Mend, asked: Goal, chosen: Units) -> str:
    if mend.meets:
        ends = f"then {amount(mend.net, 'g', chosen)} in water, as asked"
    else:
        off = grams(mend.miss.value, chosen)
        ends = f"then {amount(mend.net, 'g', chosen)} in water, still {off} off"
    before, after = mend.pitch
    if before is None or after is None:
        return ends
    turn = math.degrees(after - before)
    if abs(turn) < 0.25:
        return f"{ends}; the trim stays"
    return f"{ends}; {plain(abs(turn), 2)} deg more {'nose down' if turn > 0 else 'nose up'}"


def what_to_do(build: Build, mend: Mend) -> str:
    """One mend as an instruction for the hands."""
    return _WORDS[mend.way.kind](build, mend.way)


def _swap(build: Build, way: Way) -> str:
    row = way.row
    assert row.hardware is not None
    assert row.mass is not None
    assert row.off is not None
    item = (build.hardware or ())[row.hardware - 1]
    name = literal(item.name or "hardware", 40)
    more = row.mass.value - row.off.value
    change = f"{grams(abs(more), build.build.units)} {'heavier' if more > 0 else 'lighter'}"
    at = f" at {item.x.text}" if item.x else ""
    old = f"each of {item.count} x {name}" if item.count > 1 else f"the {name}"
    return (
        f"In place of {old}{at} hang one {change}: {row.mass.text} for "
        f"{row.off.text} as typed, {' or '.join(way.sizes[:2])}. Weigh the old and the new."
    )


def _wire(build: Build, way: Way) -> str:
    row, length = way.row, shown(way.length, rule_of(build))
    assert row.mass is not None
    at = f" of the hook at {row.x.text}" if row.x else " of a hook"
    return f"Wind {row.mass.text} of {WIRE_METAL} wire (1 mm: {length}) round the shank{at}."


def _putty(build: Build, way: Way) -> str:
    row = way.row
    assert row.mass is not None
    at = f", {row.x.text} aft of the nose" if row.x else ""
    return f"Press {row.mass.text} of tungsten putty to the belly{at}: to try it, soon undone."


def _nail(build: Build, way: Way) -> str:
    row, length = way.row, shown(way.length, rule_of(build))
    assert row.mass is not None
    assert row.diameter is not None
    at = f" {row.x.text} aft of the nose" if row.x else ""
    return (
        f"Drill the belly{at} with {row.diameter.text}, glue in {row.mass.text} of {NAIL_METAL} "
        f"wire ({length}), seal its end."
    )


def _hole_in(build: Build, way: Way) -> str:
    row = way.row
    assert row.mass is not None
    deep = shown(way.through, rule_of(build))
    return (
        f"Open the backfill of hole {row.hole} ({deep} thick), put {row.mass.text} more ballast "
        "on the old, fill flush."
    )


def _take_off(build: Build, way: Way) -> str:
    assert way.row.mass is not None
    return f"Take {way.row.mass.text} off what an earlier mend put on."


def _drill_out(build: Build, way: Way) -> str:
    row, deep = way.row, shown(way.through, rule_of(build))
    assert row.mass is not None
    assert row.depth is not None
    assert row.diameter is not None
    return (
        f"Clear the backfill of hole {row.hole} ({deep} thick), then drill {row.depth.text} into "
        f"the ballast with {row.diameter.text}, until the chips weigh {row.mass.text}; fill "
        "flush. Gather every chip and hand it in as metal scrap, lead as lead."
    )


_WORDS = {
    "swap": _swap,
    "wire": _wire,
    "putty": _putty,
    "nail": _nail,
    "hole in": _hole_in,
    "take off": _take_off,
    "drill out": _drill_out,
}
