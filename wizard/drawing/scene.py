"""The picture of a plug as plain geometry, tilted as it will lie in the water."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wizard.drawing.bores import bores
from wizard.drawing.views import Spot, View, plan_view, section_view, side_view, spots
from wizard.physics.parts import centre_of_gravity
from wizard.physics.shape import Body
from wizard.physics.waterplane import Hull
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.rule import Rule, rule_of

Lies = Literal["floats", "hangs", "unknown"]


@dataclass(frozen=True, eq=False)
class Scene:
    """What the picture shows.

    Attributes:
        side: from port, nose left, turned by the pitch; up is square to the water.
        plan: from above, in the axes of the body.
        section: across at the station, from the tail, in the axes of the body.
        station: where the section is cut, aft of the nose [m].
        lies: whether it floats, hangs or sinks all under water, or that isn't known.
        pitch: nose down positive; 0 where it isn't known [rad].
        water: height of the water in the side view [m]; None under water or unknown.
        water_in_section: height of the water in the section [m], or None.
        nose: where the body begins in the plan [m].
        tail: where it ends [m].
        rule: what lengths are read on.
    """

    side: View
    plan: View
    section: View
    station: float
    lies: Lies
    pitch: float
    water: float | None
    water_in_section: float | None
    nose: float
    tail: float
    rule: Rule


def scene(build: Build, derived: Derived, station: float | None = None) -> Scene | None:
    """The picture of a build; None while no body is drawn.

    Args:
        build: the record.
        derived: what follows from it.
        station: where to cut the section, aft of the nose [m]; where it is
            largest if None.
    """
    body = drawn_body(build)
    if body is None:
        return None
    at = _largest(body) if station is None else min(max(station, body.nose), body.tail)
    lies, pitch, water = _attitude(derived, body)
    answered = derived.value("ballast_mass")
    drawn = bores(build, None if answered is None else max(answered.value, 0.0))
    known = tuple(bore for bore in drawn if bore is not None)
    marked = (*spots(build), *_centres(derived, body, pitch, water))
    level = None if water is None else (water - at * math.sin(pitch)) / math.cos(pitch)
    return Scene(
        side=side_view(body, known, marked).tilted(pitch),
        plan=plan_view(body, known, marked),
        section=section_view(body, at, known, _near(marked, at, body)),
        station=at,
        lies=lies,
        pitch=pitch,
        water=water,
        water_in_section=level,
        nose=body.nose,
        tail=body.tail,
        rule=rule_of(build),
    )


def _largest(body: Body) -> float:
    x = np.linspace(body.nose, body.tail, 101)
    return float(x[np.argmax(body.section_area(x))])


def _near(marked: tuple[Spot, ...], at: float, body: Body) -> tuple[Spot, ...]:
    """The centres, whose height always matters, and what stands close to a station."""
    close = body.length / 40
    return tuple(s for s in marked if s.sign in ("gravity", "buoyancy") or abs(s.x - at) <= close)


def _attitude(derived: Derived, body: Body) -> tuple[Lies, float, float | None]:
    """How it lies, its pitch [rad] and the height of the water in the turned axes [m]."""
    pitch, draught = derived.value("rest_pitch"), derived.value("draught")
    if pitch is None:
        return "unknown", 0.0, None
    if draught is None:
        return "hangs", pitch.value, None
    lowest = float(side_view(body, (), ()).tilted(pitch.value).outline[:, 1].min())
    return "floats", pitch.value, lowest + draught.value


def _centres(derived: Derived, body: Body, pitch: float, water: float | None) -> tuple[Spot, ...]:
    """B, then G on top of it, as far as they are known."""
    x, z = derived.value("cg_x"), derived.value("cg_z")
    gravity = None
    if x is not None and z is not None:
        point = centre_of_gravity(derived.parts)
        y = 0.0 if point is None else point.y.value
        gravity = Spot("gravity", "centre of gravity", x.value, z.value, y)
    if water is not None and gravity is not None:
        buoyancy = _afloat(body, pitch, water, gravity)
    else:
        x, z = derived.value("cb_x"), derived.value("cb_z")
        known = x is not None and z is not None
        buoyancy = (
            Spot("buoyancy", "centre of buoyancy", x.value, z.value)
            if known and x is not None and z is not None
            else None
        )
    return tuple(s for s in (buoyancy, gravity) if s is not None)


def _afloat(body: Body, pitch: float, water: float, gravity: Spot) -> Spot | None:
    """B of a floating plug.

    At rest it stands on the vertical of G, which fixes it along the water; its
    height is that of the immersed drawn body (hooks and films shift it by less
    than the picture can show).
    """
    cut = Hull.of(body).immersed(pitch, water)
    if cut.volume <= 0.0:
        return None
    s, c = math.sin(pitch), math.cos(pitch)
    along, up = gravity.x * c - gravity.z * s, cut.x * s + cut.z * c
    return Spot("buoyancy", "centre of buoyancy", along * c + up * s, up * c - along * s)
