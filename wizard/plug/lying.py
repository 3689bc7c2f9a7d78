"""How the finished plug lies: centres, floating or submerged, and its speed."""

from __future__ import annotations

import math
from functools import lru_cache

from wizard.certainty import Uncertain, apply, total
from wizard.physics.parts import (
    Part,
    Point,
    centre_of_buoyancy,
    centre_of_gravity,
    mass,
    volume,
)
from wizard.plug.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.record import Build
from wizard.plug.sinking import predicted_sink_rate
from wizard.plug.waters import Water

HANGS = 1e-4
"""Within this share of its mass a plug hangs."""

NOTHING = 1e-9
"""Shares of the mass and heights [m] up to here are rounding of the sums."""

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
    sinks = net.value > NOTHING * M.value
    speed = predicted_sink_rate(build, net, V, water) if sinks else None
    if speed is not None:
        numbers.append(speed)
    if gravity is not None and buoyancy is not None and drawn_body(build) is not None:
        floats = net.value < -HANGS * M.value
        lying, said = (
            _floating(build, parts, M, gravity, water) if floats else _hanging(gravity, buoyancy)
        )
        numbers += lying
        findings += said
    else:
        findings += _placeless(build, parts)
    return tuple(numbers), tuple(findings)


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


def _placeless(build: Build, parts: tuple[Part, ...]) -> tuple[Finding, ...]:
    missing = [p.name for p in parts if p.place is None and (p.mass is None or p.mass.value != 0)]
    if drawn_body(build) is None:
        text = "Without a drawn shape it is not known how the plug lies."
        return (Finding("note", ("shape",), text, "Draw it by a form or by stations."),)
    if not missing:
        return ()
    text = f"It is not known how the plug lies: no place is given for {', '.join(missing)}."
    return (Finding("note", ("ballast",), text, "Give the place of each: x and z."),)


def _hanging(gravity: Point, buoyancy: Point) -> Result:
    """Submerged: CG and CB on one vertical."""
    if buoyancy.z.value - gravity.z.value <= NOTHING:
        return (), (_turns_over("Its centre of gravity lies above its centre of buoyancy"),)
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
            Term("z_CB - z_CG", "BG", buoyancy.z - gravity.z, "mm"),
        ),
        "moment balance of two vertical forces",
    )
    return (Number("rest_pitch", pitch, working),), ()


def _turns_over(because: str) -> Finding:
    return Finding(
        "warning",
        ("ballast",),
        f"{because}: it turns over in the water.",
        "Put the ballast lower.",
    )


def _floating(
    build: Build, parts: tuple[Part, ...], M: Uncertain, gravity: Point, water: Water
) -> Result:
    """Floating: draught and pitch at which weight and buoyancy balance on one vertical."""
    from wizard.physics.flotation import Appendage, Flotation, float_at_rest

    body = drawn_body(build)
    assert body is not None
    body_volume = total(p.volume for p in parts if p.sort == "body" and p.volume is not None)
    films = sum(p.volume.value for p in parts if p.sort == "coat" and p.volume is not None)
    hung = tuple(
        Appendage(p.volume.value, p.place.x, p.place.z)
        for p in parts
        if p.sort in ("hardware", "ballast") and p.volume and p.place and p.volume.value > 0
    )

    @lru_cache(maxsize=32)
    def rest(m: float, v: float, x: float, z: float) -> Flotation | None:
        return float_at_rest(body, v, films, hung, m, x, z, water.buoyant)

    now = rest(M.value, body_volume.value, gravity.x.value, gravity.z.value)
    if now is None:
        return (), (_turns_over("It finds no rest upright"),)
    numbers = []
    for name, quality, formula in (
        ("rest_pitch", "pitch", "pitch at which CG and CB stand on one vertical"),
        ("draught", "draught", "lowest point of the body under the water"),
        ("freeboard", "freeboard", "highest point of the body above the water"),
        ("gm", "gm", "GM = I / V - BG across, at the pitch of rest"),
    ):
        if now.gm < 0 and name != "gm":
            continue
        middle = float(getattr(now, quality))

        def read(*at: float, quality: str = quality, middle: float = middle) -> float:
            found = rest(*at)
            return middle if found is None else float(getattr(found, quality))

        value = apply(read, M, body_volume, gravity.x, gravity.z)
        working = Working(
            formula,
            (
                Term("M", "finished weight", M, "g"),
                Term("x_CG", "centre of gravity aft", gravity.x, "mm"),
                Term("z_CG", "centre of gravity up", gravity.z, "mm"),
            ),
            "hydrostatics section by section (any textbook of ship stability)",
        )
        numbers.append(Number(name, value, working))
    if now.gm < 0:
        return tuple(numbers), (_turns_over("Its metacentric height is below zero"),)
    return tuple(numbers), ()
