"""What rights a plug that is heeled over, and how fast it rolls."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from wizard.physics import skin
from wizard.physics.curve import Numbers
from wizard.physics.newton import newton_between
from wizard.physics.section import gauss
from wizard.physics.shape import Body
from wizard.physics.water import GRAVITY
from wizard.physics.waterplane import Appendage, hanging, under_water

HEELS = tuple(math.radians(angle) for angle in range(0, 91, 5))
"""Heels of a righting arm curve: 0 to 90 degrees by fives [rad]."""

_PLACES = 64
_AROUND = 64
_CLOSE = 1e-8


def righting_arm(
    body: Body,
    body_volume: float,
    film_volume: float,
    appendages: Sequence[Appendage],
    mass: float,
    cg_x: float,
    cg_z: float,
    water_density: float,
    pitch: float,
    heels: Sequence[float] = HEELS,
) -> Numbers:
    """Righting arm GZ of a floating plug that is heeled over [m].

    The heel is a turn about the level line that lies fore and aft in the centre
    plane. The plug is free to rise and sink; the pitch is held at that of rest,
    which a long hull alters little as it heels. Films count with the immersed
    share of the body. At no heel the curve rises with `Flotation.gm` per radian.

    Args:
        body: the drawn body.
        body_volume: volume of the real body [m3].
        film_volume: volume of all coats [m3].
        appendages: hooks, rings and the like, on the centre plane.
        mass: of the whole plug, a scale reading [kg].
        cg_x: centre of gravity aft of the nose [m].
        cg_z: above the baseline [m].
        water_density: density that balances a scale reading, water less air [kg/m3].
        pitch: of rest, nose down positive [rad].
        heels: angles of heel [rad].

    Returns:
        One arm for each heel, positive where it rights the plug.

    Raises:
        ValueError: if the plug does not float.

    Source: the definition of GZ (any text on ship stability); sections are cut
    by inclined lines as polygons.
    """
    volume = mass / water_density
    if not 0.0 < volume < body_volume + film_volume + sum(a.volume for a in appendages):
        raise ValueError("only a floating plug has a righting arm")
    sections = _Sections(body, (body_volume + film_volume) / body.volume, appendages)
    arms, level = [], None
    for heel in heels:
        arm, level = sections.arm(volume, cg_x, cg_z, pitch, heel, level)
        arms.append(arm)
    return np.array(arms)


class _Sections:
    """Outlines of a body, ready to be cut by inclined lines."""

    def __init__(self, body: Body, likeness: float, appendages: Sequence[Appendage]) -> None:
        nodes, weights = gauss(_PLACES)
        self.x = body.nose + body.length * (1 + nodes) / 2
        y, z = skin.outlines(body, self.x, _AROUND)
        self.y, self.z = (np.concatenate([a, a[:, :1]], axis=1) for a in (y, z))
        whole = _cut(self.y, self.z, np.full(_PLACES, np.inf))[0]
        # A polygon cuts its corners: give each section its true area back.
        true = body.section_area(self.x) / np.maximum(whole, 1e-300)
        exact = body.volume / (float(np.dot(weights, true * whole)) * body.length / 2)
        self.weights = weights * body.length / 2 * true * exact * likeness
        self.body = body
        self.hung = hanging(appendages)

    def arm(
        self,
        volume: float,
        cg_x: float,
        cg_z: float,
        pitch: float,
        heel: float,
        near: float | None,
    ) -> tuple[float, float]:
        """GZ at one heel [m], and the level of the water; `near` is one to begin from [m]."""
        v, at_x, at_z = self.hung
        across, upright = math.sin(heel), math.cos(heel)
        along, up = upright * math.sin(pitch), upright * math.cos(pitch)
        steep = max(math.hypot(across, up), 1e-6)
        normal = across / steep, up / steep
        # In axes along and square to the line that cuts the sections.
        side = self.y * normal[1] - self.z * normal[0]
        rise = self.y * normal[0] + self.z * normal[1]

        def excess(level: float) -> tuple[float, float, tuple[float, float, float]]:
            line = (level - self.x * along) / steep
            area, chord, side_moment, rise_moment = _cut(side, rise, line)
            w = self.weights
            total, growth = float(np.dot(w, area)), float(np.dot(w, chord)) / steep
            y = float(np.dot(w, side_moment * normal[1] + rise_moment * normal[0]))
            z = float(np.dot(w, rise_moment * normal[1] - side_moment * normal[0]))
            fore = float(np.dot(w, area * self.x)) * math.sin(pitch) + z * math.cos(pitch)
            sunk, rate = under_water(level - at_x * along - at_z * up, self.body)
            total, growth = total + float(v @ sunk), growth + float(v @ rate)
            fore += float((v * sunk) @ (at_x * math.sin(pitch) + at_z * math.cos(pitch)))
            return total - volume, growth, (y, fore, level)

        heights = rise * steep + (self.x * along)[:, np.newaxis]
        margin = float(np.ptp(heights)) + float(np.abs(at_x).sum() + np.abs(at_z).sum())
        low, high = float(heights.min()) - margin, float(heights.max()) + margin
        start = float(np.median(heights)) if near is None else near
        _, (y, fore, level) = newton_between(excess, low, high, start, _CLOSE * volume)
        weight_height = cg_x * math.sin(pitch) + cg_z * math.cos(pitch)
        return (fore / volume - weight_height) * across - y / volume * upright, level


def _cut(side: Numbers, rise: Numbers, line: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Polygons below a line each: area, chord on the line, first moments in side and rise.

    Args:
        side: along the line, shape (n, points + 1), anticlockwise with `rise`; the first
            point stands at the end once more.
        rise: square to it.
        line: height of the line in each polygon, shape (n,); infinite for all of it.

    Each edge is shortened to its part below the line; with the origin on the line
    what closes the polygon there has no part in the sums.
    """
    bounded = np.isfinite(line)
    origin = np.where(bounded, line, 0.0)
    h = rise - origin[:, np.newaxis]
    below = (h <= 0.0) | ~bounded[:, np.newaxis]
    l0, l1, h0, h1 = side[:, :-1], side[:, 1:], h[:, :-1], h[:, 1:]
    wet, wet_next = below[:, :-1], below[:, 1:]
    row, edge = np.nonzero(wet != wet_next)
    l0, l1, h0, h1 = (np.where(wet | wet_next, part, 0.0) for part in (l0, l1, h0, h1))
    # Where an edge crosses the line, its dry end moves to the crossing.
    meets = h0[row, edge] / (h0[row, edge] - h1[row, edge])
    crossing = l0[row, edge] + meets * (l1[row, edge] - l0[row, edge])
    sinks = wet_next[row, edge]
    l0[row[sinks], edge[sinks]], h0[row[sinks], edge[sinks]] = crossing[sinks], 0.0
    l1[row[~sinks], edge[~sinks]], h1[row[~sinks], edge[~sinks]] = crossing[~sinks], 0.0
    cross = l0 * h1 - l1 * h0
    area = cross.sum(axis=1) / 2
    side_moment = np.einsum("ij,ij->i", cross, l0 + l1) / 6
    rise_moment = np.einsum("ij,ij->i", cross, h0 + h1) / 6 + area * origin
    return area, (l1 - l0).sum(axis=1), side_moment, rise_moment


def added_roll_inertia(body: Body, water_density: float) -> float:
    """Inertia that the water adds to a submerged body in roll [kg m2].

    The sum along the body of (pi/8) rho (a^2 - b^2)^2, each section taken as the
    ellipse of its half-height a and half-breadth b, turning about its own middle,
    in a fluid without friction and far from the surface.

    Source: Newman, Marine Hydrodynamics (1977), Table 4.3, ellipse (coefficient
    from memory; the same as Lamb, Hydrodynamics, section 72).
    """
    x, w = body.abscissae(7)
    cut = body.cuts(x)
    a, b = (cut.top - cut.bottom) / 2, cut.half_breadth
    return float(np.dot(w, np.pi / 8 * water_density * (a**2 - b**2) ** 2))


def roll_period(
    roll_inertia: float, added_inertia: float, mass: float, righting_distance: float
) -> float | None:
    """Estimated period of a small free roll [s], to compare one build with another.

    T = 2 pi sqrt((I + I_added) / (M g d)). Assumes one degree of freedom about
    the long axis through the centre of gravity, small angles, and no damping: a
    real plug rolls slower and dies out soon, and one under tow is driven by its
    own wake. Afloat, `added_roll_inertia` is too much by what is dry.

    Args:
        roll_inertia: I of the plug about the long axis through its CG [kg m2].
        added_inertia: I_added of the water [kg m2].
        mass: M [kg].
        righting_distance: BG submerged, GM afloat [m].

    Returns:
        The period, or None where nothing rights the plug.
    """
    if righting_distance <= 0.0:
        return None
    stiffness = mass * GRAVITY * righting_distance
    return 2.0 * math.pi * math.sqrt((roll_inertia + added_inertia) / stiffness)
