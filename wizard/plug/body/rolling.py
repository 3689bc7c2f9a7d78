"""How a plug rolls and how far it may heel: the numbers behind “will it right itself”."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from wizard.certainty import Uncertain, apply
from wizard.physics.parts import Part, Point
from wizard.plug.body.drawing import drawn_body
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.record import Build
from wizard.plug.waters import Water

if TYPE_CHECKING:
    from wizard.physics.flotation import Appendage
    from wizard.physics.heeling import RightingCurve
    from wizard.physics.shape import Body
    from wizard.plug.body.afloat import Floater

ROLLING = (
    "T = 2 pi sqrt((I + I_added) / (M g d)), taken as a small free roll about the long axis "
    "through CG, without damping, hooks as points at their hangers: a figure to compare one "
    "build with another, so the doubt of what it leaves out is not in it"
)
ADDED = "I_added of ellipses turning deep under water: Newman, Marine Hydrodynamics (1977)"


def roll_inertia(build: Build, parts: tuple[Part, ...], gravity: Point) -> float | None:
    """Inertia of the plug about the long axis through its CG [kg m2]; None if not drawn.

    The wood counts as it is drawn, all else as points; an even film has twice the
    body's inertia for its mass, as a thin ring has that of a disc.
    """
    body = drawn_body(build)
    if body is None:
        return None
    spread = body.second_moments.roll / body.volume
    own = {"body": spread, "coat": 2.0 * spread}
    total = 0.0
    for part in parts:
        if part.mass is None or part.place is None:
            continue
        off = (part.place.y - gravity.y.value) ** 2 + (part.place.z - gravity.z.value) ** 2
        total += part.mass.value * (off + own.get(part.sort, 0.0))
    return total


def roll_period_number(
    build: Build,
    parts: tuple[Part, ...],
    mass: Uncertain,
    gravity: Point,
    arm: tuple[str, str, Uncertain],
    water: Water,
) -> Number | None:
    """Period of a small free roll [s]; None where nothing rights the plug.

    Args:
        build: the record.
        parts: of the finished plug.
        mass: M [kg].
        gravity: CG.
        arm: symbol, meaning and value of what rights it [m]: BG submerged, GM afloat.
        water: that it lies in.
    """
    from wizard.physics.righting import added_roll_inertia, roll_period

    body, own = drawn_body(build), roll_inertia(build, parts, gravity)
    symbol, meaning, distance = arm
    if body is None or own is None or distance.value <= 0.0:
        return None
    added = added_roll_inertia(body, water.density)
    if own + added <= 0.0:  # more was taken off, far out, than ever hung there
        return None

    def period(M: float, d: float) -> float:
        found = roll_period(own, added, M, d)
        if found is None:
            raise ValueError("nothing rights it")
        return found

    terms = (
        Term("M", "finished weight", mass, "g"),
        Term(symbol, meaning, distance, "mm"),
        Term("I", "inertia in roll, of the plug", own, "g cm2"),
        Term("I_added", "inertia of the water that turns with it", added, "g cm2"),
    )
    return Number("roll_period", apply(period, mass, distance), Working(ROLLING, terms, ADDED))


def righting_numbers(
    afloat: Floater, mass: Uncertain, pitch: float, water: Water
) -> Iterator[Number]:
    """What its righting curve says of a floating plug.

    The doubt of the curve is that of the immersed share, taken as linear, and of CG.
    A plug that stands has a largest arm, and a heel from which it goes over unless it
    comes back from any; one that does not stand has the heel at which it lies.

    Args:
        afloat: the plug.
        mass: M [kg].
        pitch: at which it is held [rad].
        water: that it lies in.
    """
    density, share = water.buoyant, mass / (water.buoyant * afloat.body_volume)
    drawn, now = afloat.body_volume.value, share.value
    hull = (afloat.body, drawn, afloat.films, afloat.hung)
    form = _form_curve(*hull, now * density * drawn, density, pitch)

    def curve(loaded: float, x: float, z: float) -> RightingCurve:
        lever = x * math.sin(pitch) + z * math.cos(pitch)
        return form.loaded((loaded - now) * drawn).raised(lever)

    yield from _published(curve, (share, afloat.gravity.x, afloat.gravity.z), mass, pitch)


@lru_cache(maxsize=32)
def _form_curve(
    body: Body,
    body_volume: float,
    films: float,
    hung: tuple[Appendage, ...],
    weight: float,
    density: float,
    pitch: float,
) -> RightingCurve:
    """The curve for a CG in the origin; kept, since a build is summed again at every answer."""
    from wizard.physics.heeling import righting_curve

    return righting_curve(body, body_volume, films, hung, weight, 0.0, 0.0, density, pitch)


def _published(
    curve: Callable[[float, float, float], RightingCurve],
    at: tuple[Uncertain, Uncertain, Uncertain],
    mass: Uncertain,
    pitch: float,
) -> Iterator[Number]:
    terms = (
        Term("M", "finished weight", mass, "g"),
        Term("x_CG", "centre of gravity aft", at[1], "mm"),
        Term("z_CG", "centre of gravity up", at[2], "mm"),
    )
    held = math.degrees(pitch)
    formula = f"GZ of the immersed sections at heels to 180 deg, {{}}; pitch held at {held:.0f} deg"
    source = "the definition of GZ (any text on ship stability)"

    def number(name: str, where: str, read: Callable[[RightingCurve], float | None]) -> Number:
        def value(*place: float) -> float:
            found = read(curve(*place))
            if found is None:
                raise ValueError(where)
            return found

        return Number(name, apply(value, *at), Working(formula.format(where), terms, source))

    now = curve(*(value.value for value in at))
    if now.lies_at > 0.0:
        yield number("rest_heel", "where it rises through zero", lambda c: c.lies_at or None)
        return
    yield number("righting_arm", "its largest", lambda c: c.largest[0])
    if now.vanishing is not None:
        yield number("vanishing_heel", "where it falls through zero", lambda c: c.vanishing)
