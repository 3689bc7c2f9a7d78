"""How a plug lies at rest: afloat, or hanging in the water.

Afloat, two things must hold at once: the water that is pushed aside weighs as
much as the plug, and the centres of gravity G and buoyancy B stand on one
vertical. Of all pitches from -90 to 90 degrees that hold them, the plug rests
where its potential energy is least. The plug stays upright in this search; `gm`
tells whether it would.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wizard.physics.curve import highest
from wizard.physics.equilibrium import Afloat, Buoyancy, balanced_at, rest, rest_near
from wizard.physics.righting import added_roll_inertia, righting_arm, roll_period
from wizard.physics.shape import Body
from wizard.physics.waterplane import Appendage, Hull, hanging

__all__ = [
    "Appendage",
    "Carried",
    "Flotation",
    "added_roll_inertia",
    "carried_at_pitch",
    "float_at_rest",
    "righting_arm",
    "roll_period",
    "submerged_pitch",
]


@dataclass(frozen=True, slots=True)
class Flotation:
    """A plug at rest on the water.

    Attributes:
        pitch: nose down positive [rad].
        draught: the lowest point of the body under the water, square to it [m].
        freeboard: its highest point above the water [m].
        gm: metacentric height across (in roll) at this pitch; negative if the
            plug turns over [m].
        gm_along: metacentric height along (in pitch) [m].
        level: height of the water along its own normal, x sin p + z cos p [m].
        cb_x: centre of buoyancy of all that is under water, aft of the nose [m].
        cb_z: above the baseline [m].
        immersed_volume: of all that is under water, mass / water density [m3].
        immersed_share: of the drawn body's volume [1].
        wetted_area: of the drawn body's skin [m2].
    """

    pitch: float
    draught: float
    freeboard: float
    gm: float
    gm_along: float
    level: float
    cb_x: float
    cb_z: float
    immersed_volume: float
    immersed_share: float
    wetted_area: float

    @property
    def stable(self) -> bool:
        """Whether it stays so when it is disturbed a little."""
        return self.gm > 0.0 and self.gm_along > 0.0

    def waterline(self, x: float) -> float:
        """Height of the water over the baseline at x, in the axes of the body [m]."""
        return (self.level - x * math.sin(self.pitch)) / math.cos(self.pitch)


def submerged_pitch(cg_x: float, cg_z: float, cb_x: float, cb_z: float) -> float | None:
    """Nose-down pitch of a plug that is all under water [rad].

    Args:
        cg_x: centre of gravity aft of the nose [m].
        cg_z: above the baseline [m].
        cb_x: centre of buoyancy of the whole outside volume, aft of the nose [m].
        cb_z: above the baseline [m].

    Returns:
        atan2(x_CB - x_CG, z_CB - z_CG), or None with the centre of gravity at or
        above that of buoyancy: then it turns over.

    Source: moment balance of two vertical forces.
    """
    rise = cb_z - cg_z
    return math.atan2(cb_x - cg_x, rise) if rise > 0.0 else None


def float_at_rest(
    body: Body,
    body_volume: float,
    film_volume: float,
    appendages: Sequence[Appendage],
    mass: float,
    cg_x: float,
    cg_z: float,
    water_density: float,
    near: Flotation | None = None,
) -> Flotation | None:
    """Where a floating plug comes to rest.

    Args:
        body: the drawn body.
        body_volume: volume of the real body, V_b; what counts of it is the
            immersed share of the drawn one [m3].
        film_volume: volume of all coats; counts with the wetted share of the skin [m3].
        appendages: hooks, rings and the like; each counts where it hangs.
        mass: of the whole plug, a scale reading [kg].
        cg_x: centre of gravity aft of the nose [m].
        cg_z: above the baseline [m].
        water_density: density that balances a scale reading, water less air [kg/m3].
        near: how a plug that differs but little from this one rests; the rest close to
            it is then taken, and found with less work.

    Returns:
        The rest of least potential energy with the pitch within 90 degrees, or
        None if the plug doesn't float. A pitch of 90 degrees (`UPRIGHT`) means
        that it would go past the vertical. The caller judges `gm`.

    Source: Archimedes; initial stability GM = I / V + z_B - z_G along the
    vertical (any text on ship stability).
    """
    volume = mass / water_density
    hung = hanging(appendages)
    if not 0.0 < volume < body_volume + film_volume + hung[0].sum():
        return None
    afloat = Afloat(Hull.of(body), body_volume, film_volume, hung, volume, cg_x, cg_z)
    found = None if near is None else rest_near(afloat, near.pitch, near.level)
    return _flotation(afloat, *(found or rest(afloat)))


@dataclass(frozen=True, slots=True)
class Carried:
    """What carries a plug that is held at a pitch on the water.

    Attributes:
        cb_x: centre of buoyancy of all that is under water, aft of the nose [m].
        cb_z: above the baseline [m].
        metacentric_radius: of the waterplane along, I / V: how far the metacentre lies
            above the centre of buoyancy [m].
    """

    cb_x: float
    cb_z: float
    metacentric_radius: float


def carried_at_pitch(
    body: Body,
    body_volume: float,
    film_volume: float,
    appendages: Sequence[Appendage],
    mass: float,
    pitch: float,
    water_density: float,
) -> Carried | None:
    """Where the water carries a floating plug at a pitch: it rests there with G on that vertical.

    Args:
        body: the drawn body.
        body_volume: as for `float_at_rest` [m3].
        film_volume: as for `float_at_rest` [m3].
        appendages: as for `float_at_rest`.
        mass: of the whole plug, a scale reading [kg].
        pitch: nose down positive, short of `UPRIGHT` [rad].
        water_density: water less air [kg/m3].

    Returns:
        Centre of buoyancy and metacentric radius, or None if the plug doesn't float.

    Source: Archimedes; BM = I / V (any text on ship stability).
    """
    volume = mass / water_density
    hung = hanging(appendages)
    if not 0.0 < volume < body_volume + film_volume + hung[0].sum():
        return None
    afloat = Afloat(Hull.of(body), body_volume, film_volume, hung, volume, 0.0, 0.0)
    state = balanced_at(afloat, pitch)
    return Carried(state.x, state.z, afloat.metacentre(state.cut.along))


def _flotation(afloat: Afloat, pitch: float, level: float, state: Buoyancy) -> Flotation:
    body = afloat.hull.body
    rise = afloat.rise(pitch, state.x, state.z)
    lowest, topmost = _heights(afloat.hull, pitch)
    return Flotation(
        pitch=pitch,
        draught=level - lowest,
        freeboard=topmost - level,
        gm=afloat.metacentre(state.cut.across) + rise,
        gm_along=afloat.metacentre(state.cut.along) + rise,
        level=level,
        cb_x=state.x,
        cb_z=state.z,
        immersed_volume=state.volume,
        immersed_share=state.cut.volume / body.volume,
        wetted_area=state.wetted_share * body.area,
    )


def _heights(hull: Hull, pitch: float) -> tuple[float, float]:
    """Lowest and highest point of the body, square to the water [m]."""
    s, c = math.sin(pitch), math.cos(pitch)
    knots = hull.body.curve.knots
    lines = hull.levels * c
    lines[2] += s
    lines[3] += (knots[:-1] * s)[:, np.newaxis]
    widths = np.diff(knots)
    return -highest(-lines[..., 0], widths), highest(lines[..., 2], widths)
