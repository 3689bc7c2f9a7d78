"""What is wrong with holes as they are laid out: pieces that don't fit, thin walls, screws."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Ballast, Build
from wizard.plug.rule import Rule, rule_of
from wizard.quantity.showing import plain

if TYPE_CHECKING:
    from wizard.physics.clearance import Wall
    from wizard.physics.holes import Hole
    from wizard.physics.shape import Body

HAIR = 0.1e-3
"""How far a wall may fall short before it is said [m]: what the measuring is good to."""


def least_wall(ballast: Ballast | None) -> float:
    """The least wall of wood around a hole [m]: as typed, else the usual."""
    from wizard.physics.drill_order import LEAST_WALL

    return ballast.wall.value if ballast is not None and ballast.wall else LEAST_WALL


def measured(length: float, rule: Rule) -> str:
    """A length that is not drawn but measured: to a tenth, in the maker's unit."""
    if rule == "in":
        return f"{plain(round(length / 0.0254, 3), 3)} in"
    return f"{plain(round(length * 1e3, 1), 4)} mm"


def wall_of(hole: Hole, body: Body) -> Wall | None:
    """The thinnest wall of a hole; None for one off the body."""
    from wizard.physics.clearance import thinnest_wall

    try:
        return thinnest_wall(hole, body)
    except ValueError:
        return None


def drill_findings(build: Build) -> tuple[Finding, ...]:
    """All that is wrong with the holes, and hooks that can meet."""
    return (*_hooks(build), *_pieces(build), *_walls(build), *_not_kept_clear(build))


def _not_kept_clear(build: Build) -> Iterator[Finding]:
    """Screws whose height nobody gave, so that a hole may meet them unseen."""
    if build.ballast is None or not build.ballast.hole:
        return
    from wizard.plug.ballast.obstacles import unplaced

    for row in unplaced(build):
        yield _warn(
            ("hardware", row, "z"),
            "The ballast holes are not kept clear of its shank: its height is not given.",
            "Type the height of its eye above the baseline; at or below mid-height it sits in "
            "the belly.",
        )


def contradiction(build: Build, net: float, answered: float | None) -> tuple[Finding, ...]:
    """What to say of ballast laid out that makes the plug do the opposite of its aim.

    Args:
        build: the record.
        net: N, weight left in the water [kg].
        answered: the full answer for the ballast [kg], if there is one.
    """
    ballast, asked = build.ballast, build.aim.behaviour
    if ballast is None or not ballast.piece or asked not in ("floats", "sinks"):
        return ()
    if (net > 0) == (asked == "sinks"):
        return ()
    from wizard.plug.ballast.parts import pieces_mass

    does = "sinks" if net > 0 else "floats"
    wrong = f"It is to {asked[:-1]}, and with the ballast laid out it {does}: "
    wrong += f"{plain(round(abs(net) * 1e3, 2), 3)} g {'too heavy' if net > 0 else 'too light'}."
    there = pieces_mass(ballast)
    if answered is None or there is None:
        return (_warn(("ballast", "piece"), wrong, "Change the ballast or the aim."),)
    wanted, laid = (f"{plain(round(m * 1e3, 2), 4)} g" for m in (max(answered, 0.0), there))
    remedy = f"The aim asks for {wanted} of ballast, and {laid} is laid out."
    return (_warn(("ballast", "piece"), wrong, remedy),)


def _warn(path: Path, wrong: str, remedy: str) -> Finding:
    return Finding("warning", path, wrong, remedy)


def _hooks(build: Build) -> Iterator[Finding]:
    if not any(item.reach for item in build.hardware or ()):
        return
    from wizard.plug.ballast.obstacles import hook_fouls

    rule = rule_of(build)
    for foul in hook_fouls(build):
        yield _warn(
            ("hardware",),
            f"The {foul.first} can catch the {foul.second}: they are "
            f"{measured(foul.distance, rule)} apart and reach {measured(foul.needed, rule)}.",
            f"Move them {measured(foul.short, rule)} further apart, or take smaller hooks.",
        )


def _pieces(build: Build) -> Iterator[Finding]:
    ballast = build.ballast
    if ballast is None or not any(p.hole and p.form for p in ballast.piece):
        return
    from wizard.physics.stacking import size
    from wizard.plug.ballast.parts import ballast_density, contents, solid_of

    rule, metal = rule_of(build), ballast_density(ballast)
    for i, piece in enumerate(ballast.piece):
        if not (piece.hole and piece.form and piece.mass) or metal is None:
            continue
        known = size(solid_of(piece, metal))
        width = ballast.hole[piece.hole - 1].diameter
        if known is not None and width is not None and known[0] > width.value + 1e-6:
            yield _warn(
                ("ballast", "piece", i),
                f"It is {measured(known[0], rule)} wide and its hole {width.text}.",
                "Drill wider, or take another piece.",
            )
    for found in contents(build, None):
        if found is not None and 0.0 < found.held.volume < found.hole.volume:
            over = -found.held.free_depth
            if over > HAIR:
                yield _warn(
                    ("ballast", "hole", found.number - 1, "depth"),
                    f"The ballast stands {measured(over, rule)} out of this hole.",
                    "Drill deeper or wider, or move a piece to another hole.",
                )


def _walls(build: Build) -> Iterator[Finding]:
    ballast = build.ballast
    if ballast is None or not ballast.hole:
        return
    from wizard.physics.clearance import hole_gap, least_gap
    from wizard.plug.ballast.obstacles import obstacles
    from wizard.plug.ballast.parts import drilled_hole
    from wizard.plug.body.drawing import drawn_body

    body, rule, least = drawn_body(build), rule_of(build), least_wall(ballast)
    if body is None:
        return
    drilled = {i: hole for i, row in enumerate(ballast.hole) if (hole := drilled_hole(build, row))}
    in_the_wood = obstacles(build)
    for i, hole in drilled.items():
        path: Path = ("ballast", "hole", i)
        found = wall_of(hole, body)
        if found is not None and found.thickness < least - HAIR:
            yield _thin((*path, "depth"), found.thickness, least, rule)
        for j, other in drilled.items():
            between = hole_gap(hole, other) if j < i else least
            if between < least - HAIR:
                wood = measured(max(between, 0.0), rule)
                yield _warn(
                    (*path, "x"),
                    f"Only {wood} of wood stands between this hole and hole {j + 1}.",
                    f"Move it so that {measured(least, rule)} stay.",
                )
        for thing in in_the_wood:
            between = least_gap(hole, thing.capsules)
            if between < (least - HAIR if thing.measured else 0.0):
                yield _warn(
                    (*path, "x"),
                    f"It meets the {thing.name}."
                    if between < 0
                    else f"Only {measured(between, rule)} of wood stand before the {thing.name}.",
                    "Move the hole, or drill less deep."
                    if thing.measured
                    else "Its shank is taken as a usual one: type its length, or move the hole.",
                )


def _thin(path: Path, thickness: float, least: float, rule: Rule) -> Finding:
    if thickness <= 0.0:
        return _warn(path, "This hole comes out through the skin.", "Drill less deep, or move it.")
    return _warn(
        path,
        f"The wall of this hole is {measured(thickness, rule)} at its thinnest; "
        f"{measured(least, rule)} is the least.",
        "Drill less deep or narrower, move it, or type the wall that you accept.",
    )
