"""A drill plan as plain lines: pieces, the list for the drill press, what follows, limits."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

from wizard.plug.ballast.backfill import backfill
from wizard.plug.ballast.obstacles import unplaced
from wizard.plug.ballast.other_metals import metal_costs
from wizard.plug.ballast.parts import DEFAULT_FILLER, DEFAULT_METAL
from wizard.plug.ballast.plan import DrillPlan, PlannedHole
from wizard.plug.bench import Bench
from wizard.plug.numbers import CATALOGUE
from wizard.plug.record import Piece
from wizard.plug.rule import shown
from wizard.quantity.showing import literal, plain
from wizard.report.ballast_lines import backfill_lines, metal_lines
from wizard.report.plan_words import Speaker, limit_words, remedy_words
from wizard.report.showing import number

_FOLLOWS = (
    "finished_mass",
    "net_in_water",
    "chance_aim",
    "rest_pitch",
    "draught",
    "freeboard",
    "gm",
    "sink_rate",
)
_DRILLING = ("drill-press", "no-gloves", "eye-protection")
NAMED = 6
"""Pieces that are named at most where a drawer holds many that can't be taken."""

_WAYS = {"up": "straight up from the belly", "down": "straight down from the back"}


def plan_lines(plan: DrillPlan, bench: Bench) -> Iterator[str]:
    """All of a plan: verdict, pieces, drill press, numbers, resin, other metals, cautions."""
    say = Speaker.of(plan, bench.drills.owned)
    yield f"Ballast plan: {literal(plan.before.build.name or 'a build without a name', 60)}"
    if plan.waits:
        yield f"It waits for {', '.join(plan.waits)}."
        return
    yield from verdict_lines(plan, say)
    yield from _section(pieces_lines(plan, say))
    yield from _section(drill_press_lines(plan, say))
    yield from _section(number_lines(plan))
    closing = backfill(plan.build) if plan.holes else None
    if closing is not None:
        yield from _section(backfill_lines(closing, say.chosen))
    widest = max((one.hole.diameter for one in plan.holes), default=None)
    costs = metal_costs(plan.before, plan.derived)
    yield from _section(metal_lines(costs, widest, (say.chosen, say.rule)))
    if plan.holes:
        yield from _section(caution_lines(plan))


def _section(lines: Iterator[str]) -> Iterator[str]:
    found = list(lines)
    if found:
        yield ""
        yield from found


def verdict_lines(plan: DrillPlan, say: Speaker) -> Iterator[str]:
    """Whether the plan meets what was asked, which limit binds, and what would do."""
    bench_sum, full = plan.derived.value("bench_ballast"), plan.wanted
    if full is not None and plan.goal is not None:
        beside = "" if bench_sum is None else f"; the bench sum says {say.mass(bench_sum.value)}"
        yield (
            f"Wanted with these holes: {say.mass(full)} "
            f"({say.mass(plan.goal.tolerance)} either way counts as met){beside}."
            if plan.holes
            else f"Wanted: {say.mass(full)}{beside}."
        )
    if plan.meets_all:
        asked = plan.goal is not None and plan.goal.asks_for_trim
        yield "The plan meets mass, walls and trim." if asked else "The plan meets mass and walls."
    elif plan.holes:
        yield "! The plan fits, but not all that was asked is met:"
    else:
        yield "! There is no plan:"
    yield from (f"  ! {limit_words(plan, limit, say)}" for limit in plan.limits)
    words = [w for one in plan.remedies if (w := remedy_words(plan, one, say)) is not None]
    if words:
        yield "  What would do, each by itself:"
        yield from (f"    {one}" for one in words)
    if plan.goal is not None and plan.goal.trim is None:
        yield "  The trim is not counted: the place of a part is not known."
    elif plan.holes and plan.goal is not None and not plan.goal.asks_for_trim:
        yield from _level_sought(plan)
    if plan.drawer_is_empty and plan.holes:
        yield "  The drawer is empty: metal that takes the form of its holes stands for the pieces."
    yield from _not_kept_clear(plan)
    yield from _not_taken(plan)


def _not_kept_clear(plan: DrillPlan) -> Iterator[str]:
    """Screws that a hole of the plan may meet, as nobody gave their height."""
    items = plan.before.hardware or ()
    for row in unplaced(plan.before):
        name = literal(items[row].name or f"hardware {row + 1}", 40)
        yield f"  ! Not kept clear of {name}: its height above the baseline is not given."


STEEP = math.radians(15.0)
"""rad: a rest further from level is pointed out (common practice, no source)."""


def _level_sought(plan: DrillPlan) -> Iterator[str]:
    """How near to level it comes where the maker asked for no angle."""
    pitch = plan.derived.value("rest_pitch")
    if pitch is None:
        yield "  No angle at rest is asked for: what is near to level was sought."
        return
    way = "down" if pitch.value >= 0.0 else "up"
    found = f"it lies nose {way} {abs(math.degrees(pitch.value)):.0f} deg"
    yield f"  No angle at rest is asked for: level was sought, {found}."
    if abs(pitch.value) > STEEP:
        yield "  ! That is far from level. Ask for the angle at Plan: then it is said what keeps"
        yield "    it from that, and what would do."


def _not_taken(plan: DrillPlan) -> Iterator[str]:
    """Rows of the drawer that can't be taken, those alike together."""
    reasons: dict[str, list[str]] = {}
    for name, why in plan.unusable:
        reasons.setdefault(why, []).append(literal(name, 40))
    for why, names in reasons.items():
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        yield f"  Not taken: {', '.join(names[:NAMED])}{more}: {why}."


def pieces_lines(plan: DrillPlan, say: Speaker) -> Iterator[str]:
    """What to take from the drawer."""
    ballast = plan.build.ballast
    if not plan.holes or ballast is None:
        return
    yield f"{'Ballast' if plan.drawer_is_empty else 'From the drawer'}: {say.mass(plan.mass)}"
    rows = sorted(ballast.piece, key=lambda p: (p.name or "", p.mass.value if p.mass else 0.0))
    for key, alike in groupby(rows, key=lambda p: (p.name, p.mass, p.length, p.form)):
        group = list(alike)
        name, mass, length, form = key
        cut = f", cut {length.text} long" if length is not None and form == "wire" else ""
        what = literal(name or "metal in the form of its hole", 40)
        count = sum(one.count for one in group)
        yield f"  {count} x {what} of {mass.text if mass else '-'}{cut}"


def drill_press_lines(plan: DrillPlan, say: Speaker) -> Iterator[str]:
    """The holes for the drill press: distances from the nose and from the centre line."""
    if not plan.holes or plan.goal is None:
        return
    yield f"Drill press       {'from nose':>12}{'off centre':>14}{'depth':>12}   drill"
    for count, one in enumerate(plan.holes, start=1):
        yield from _hole(count, one, plan, say)
    angle = plan.holes[0].hole.point_angle
    if angle is not None:
        yield (
            f"Depths are of the full width; the drill's point of {plain(math.degrees(angle))} deg "
            "goes deeper and is counted."
        )
    if plan.wall is not None:
        near = "" if math.isinf(plan.gap) else f", {say.length(plan.gap)} to the next hole or screw"
        yield f"Wood left: {say.length(plan.wall)} to the skin at its thinnest{near}."


def _hole(count: int, one: PlannedHole, plan: DrillPlan, say: Speaker) -> Iterator[str]:
    hole, rule = one.hole, say.rule
    nose = plan.goal.body.nose if plan.goal else 0.0
    pieces = plan.build.ballast.piece if plan.build.ballast else ()
    off, way = "on it", _WAYS.get(hole.axis, "")
    if hole.axis == "across":
        side = "port" if hole.y >= 0.0 else "starboard"
        off, way = "-", f"across from {side}, {shown(hole.z, rule)} above the baseline"
    elif hole.y:
        off = f"{shown(abs(hole.y), rule)} {'port' if hole.y > 0 else 'stbd'}"
    along = shown(hole.x - nose, rule)
    yield (
        f"  hole {count:<11}{along:>12}{off:>14}{shown(hole.depth, rule):>12}   "
        f"{say.drill(hole.diameter)}"
    )
    rows = [p for p in pieces if p.hole == count]
    yield f"    {way}; first to the blind end: {', then '.join(map(piece_words, rows))}"
    yield f"    the ballast ends {say.length(max(one.free_depth, 0.0))} under the mouth"


def piece_words(row: Piece) -> str:
    """Pieces of one size in a few words."""
    many = f"{row.count} x " if row.count > 1 else ""
    mass = row.mass.text if row.mass else ""
    if row.name is None:
        form = "metal" if row.form in (None, "putty") else row.form
        return f"{many}{mass} {form}"
    cut = f" of {mass}, {row.length.text} long" if row.form == "wire" and row.length else ""
    return f"{many}{literal(row.name, 40)}{cut}"


def number_lines(plan: DrillPlan) -> Iterator[str]:
    """What follows from the plan: the numbers of the build with it."""
    if not plan.holes:
        return
    yield "With this plan"
    for name in _FOLLOWS:
        found = plan.derived.numbers.get(name)
        if found is not None:
            yield f"  {CATALOGUE[name].meaning:<42}{number(found, plan.build.build.units)}"


def caution_lines(plan: DrillPlan) -> Iterator[str]:
    """What comes with drilling, with this metal and with this filler."""
    from wizard.tables import DEFERS, cautions, find_filler, find_metal

    ballast = plan.before.ballast
    metal = find_metal((ballast.metal if ballast else None) or DEFAULT_METAL)
    filler = find_filler((ballast.filler if ballast else None) or DEFAULT_FILLER)
    ids = (*(metal.cautions if metal else ()), *(filler.cautions if filler else ()))
    yield "Cautions"
    for one in dict.fromkeys((*_DRILLING, *ids)):
        row = cautions()[one]
        yield f"  ! {row.name}: {row.precaution}"
    yield f"  {DEFERS}"
