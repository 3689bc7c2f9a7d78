"""How the finished plug lies: centres, floating or submerged, and its speed."""

from __future__ import annotations

import math

from wizard.certainty import Uncertain, apply
from wizard.physics.parts import (
    Part,
    Point,
    centre_of_buoyancy,
    centre_of_gravity,
    mass,
    volume,
)
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.afloat import floater
from wizard.plug.body.drawing import drawn_body
from wizard.plug.body.rolling import righting_numbers, roll_period_number
from wizard.plug.body.sinking import predicted_sink_rate
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.record import Build
from wizard.plug.waters import Water

HANGS = 1e-4
"""Within this share of its mass a plug hangs."""

NOTHING = 1e-9
"""Shares of the mass and heights [m] up to here are rounding of the sums."""

ON_ITS_SIDE, BELLY_UP = 45.0, 135.0
"""Heels beyond which a plug is said to lie on its side, and belly up [deg]."""

SECTIONS = "hydrostatics section by section (any textbook of ship stability)"

_AFLOAT = (
    ("rest_pitch", "pitch", "pitch at which CG and CB stand on one vertical"),
    ("draught", "draught", "lowest point of the body under the water"),
    ("freeboard", "freeboard", "highest point of the body above the water"),
    ("gm", "gm", "GM = I / V - BG across, at the pitch of rest"),
    ("gm_along", "gm_along", "GM = I / V - BG along, at the pitch of rest"),
)
"""Numbers of a rest afloat: name, the quality of `Flotation`, formula."""

Result = tuple[tuple[Number, ...], tuple[Finding, ...]]


def at_rest(build: Build, parts: tuple[Part, ...], water: Water | None) -> Result:
    """Centres, attitude and speed of the finished plug, as far as they can be known."""
    M, V = mass(parts), volume(parts)
    gravity, buoyancy = centre_of_gravity(parts), centre_of_buoyancy(parts)
    numbers = [*_centre("cg", gravity, "mass"), *_centre("cb", buoyancy, "outside volume")]
    findings: list[Finding] = []
    if M is None or V is None or water is None:
        return tuple(numbers), ()
    net = M - water.buoyant * V
    if net.value > NOTHING * M.value:
        try:
            speed = predicted_sink_rate(build, net, V, water)
            numbers += [speed] if speed is not None else []
        except OutsideValidity as error:
            findings.append(_speedless(error))
    if gravity is not None and buoyancy is not None and drawn_body(build) is not None:
        floats = net.value < -HANGS * M.value
        lying, said = (
            _floating(build, parts, M, water)
            if floats
            else _hanging(build, parts, M, gravity, buoyancy, water)
        )
        numbers += lying
        findings += said
    return tuple(numbers), tuple(findings)


def _speedless(error: OutsideValidity) -> Finding:
    """Why no speed is given; a skin too small for what it holds is a slip in the drawing."""
    text = f"The speed of sinking is not known: {error}."
    remedy = "Look whether the drawn shape holds what the body weighs."
    return Finding("note", ("shape",), text, remedy if error.quantity == "sphericity" else "")


def _centre(which: str, at: Point | None, weight: str) -> tuple[Number, ...]:
    if at is None:
        return ()
    source = "sum over the list of parts"
    return tuple(
        Number(
            f"{which}_{axis}",
            value,
            Working(f"{axis} = sum of {weight} x {axis} / sum of {weight}", (), source),
        )
        for axis, value in (("x", at.x), ("z", at.z))
    )


DRILLED = ("hole", "ballast", "backfill")
"""Sorts of parts whose place is that of a ballast hole."""


def unplaced(build: Build, parts: tuple[Part, ...]) -> str:
    """What keeps it from being known how the plug lies, as a sentence; empty for nothing."""
    if drawn_body(build) is None:
        return "How it lies is not known: no shape is drawn."
    own = [p for p in parts if p.sort != "weighing"]
    missing = [p for p in own if p.place is None and (p.mass is None or p.mass.value != 0)]
    names = dict.fromkeys("the ballast holes" if p.sort in DRILLED else p.name for p in missing)
    if not names:
        return ""
    return f"How it lies is not known: no place is given for {'; '.join(names)}."


def _hanging(
    build: Build,
    parts: tuple[Part, ...],
    mass: Uncertain,
    gravity: Point,
    buoyancy: Point,
    water: Water,
) -> Result:
    """Submerged: CG and CB on one vertical."""
    rise = buoyancy.z - gravity.z
    if rise.value <= NOTHING:
        because = "Its centre of gravity lies above its centre of buoyancy"
        return (), (_turns_over(because, "it turns over in the water, belly up"),)
    pitch = apply(
        lambda a, b, c, d: math.atan2(c - a, d - b),
        gravity.x,
        gravity.z,
        buoyancy.x,
        buoyancy.z,
    )
    working = Working(
        "pitch = atan2(x_CB - x_CG, z_CB - z_CG), nose down positive",
        (
            Term("x_CB - x_CG", "lever along", buoyancy.x - gravity.x, "mm"),
            Term("z_CB - z_CG", "BG", rise, "mm"),
        ),
        "moment balance of two vertical forces",
    )
    arm = ("BG", "centre of buoyancy over that of gravity", rise)
    roll = roll_period_number(build, parts, mass, gravity, arm, water)
    return (Number("rest_pitch", pitch, working), *([roll] if roll else ())), ()


def _turns_over(because: str, so: str) -> Finding:
    return Finding("warning", ("ballast",), f"{because}: {so}.", "Put the ballast lower.")


def _floating(build: Build, parts: tuple[Part, ...], mass: Uncertain, water: Water) -> Result:
    """Floating: draught and pitch at which weight and buoyancy balance on one vertical."""
    afloat = floater(build, parts)
    assert afloat is not None
    gravity, volume = afloat.gravity, afloat.body_volume

    now = afloat.at(mass.value, water.buoyant)
    if now is None:
        return (), (_turns_over("It finds no rest upright", "it turns over in the water"),)
    terms = (
        Term("M", "finished weight", mass, "g"),
        Term("x_CG", "centre of gravity aft", gravity.x, "mm"),
        Term("z_CG", "centre of gravity up", gravity.z, "mm"),
    )
    numbers = []
    for name, quality, formula in _AFLOAT:
        if now.gm < 0 and name != "gm":
            continue
        middle = float(getattr(now, quality))

        def read(
            m: float, v: float, x: float, z: float, quality: str = quality, middle: float = middle
        ) -> float:
            found = afloat.at(m, water.buoyant, v, (x, z), now)
            return middle if found is None else float(getattr(found, quality))

        value = apply(read, mass, volume, gravity.x, gravity.z)
        numbers.append(Number(name, value, Working(formula, terms, SECTIONS)))
    # One that does not stand may seem to rest steeply; it rolls over long before.
    arms = tuple(righting_numbers(afloat, mass, now.pitch if now.gm >= 0 else 0.0, water))
    if now.gm < 0:
        heel = next((n.value.value for n in arms if n.name == "rest_heel"), 0.0)
        said = _turns_over("Its metacentric height is below zero", lies(math.degrees(heel)))
        return (*numbers, *arms), (said,)
    gm = next(number.value for number in numbers if number.name == "gm")
    arm = ("GM", "metacentric height across", gm)
    roll = roll_period_number(build, parts, mass, gravity, arm, water)
    return (*numbers, *arms, *([roll] if roll else ())), ()


def lies(heel: float) -> str:
    """Where a floater comes to rest that does not stand [deg of heel]."""
    if heel > BELLY_UP:
        return "it turns over in the water and lies belly up"
    if heel > ON_ITS_SIDE:
        return f"it turns over in the water and lies on its side, {heel:.0f} degrees over"
    return f"it heels over and lies {heel:.0f} degrees to one side"
