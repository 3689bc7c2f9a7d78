"""What rights a plug that is heeled over, and how fast it rolls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from wizard.physics import skin
from wizard.physics.curve import Numbers
from wizard.physics.newton import newton_between_all
from wizard.physics.section import gauss
from wizard.physics.shape import Body
from wizard.physics.water import GRAVITY
from wizard.physics.waterplane import Appendage, hanging, under_water

HEELS = tuple(math.radians(angle) for angle in range(0, 91, 5))
"""Heels of a righting arm curve: 0 to 90 degrees by fives [rad]."""

_PLACES = 64
_AROUND = 64
_CLOSE = 1e-8


class Arms(NamedTuple):
    """Righting arms, one for each heel.

    Attributes:
        arm: positive where it rights the plug [m].
        growth: of the arm with the volume that is pushed aside [1/m2].
    """

    arm: Numbers
    growth: Numbers


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
) -> Arms:
    """Righting arm GZ of a floating plug that is heeled over.

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
        One arm for each heel, and how it grows. A little more volume comes as a slice at
        the water, so that its moments are those of the cut.

    Raises:
        ValueError: if the plug does not float.

    Source: the definition of GZ (any text on ship stability); sections are cut
    by inclined lines as polygons, whose sums are those of Green's theorem.
    """
    volume = mass / water_density
    if not 0.0 < volume < body_volume + film_volume + sum(a.volume for a in appendages):
        raise ValueError("only a floating plug has a righting arm")
    likeness = (body_volume + film_volume) / body.volume
    heeled = _Heeled(body, likeness, appendages, pitch, np.array(heels))

    def excess(level: Numbers) -> tuple[Numbers, Numbers, tuple[Numbers, Numbers, Numbers]]:
        carried, growth, acts, grows = heeled.carried(level)
        return carried - volume, growth, (acts, growth, grows)

    _, (acts, growth, grows) = newton_between_all(excess, *heeled.reach(), _CLOSE * volume)
    arms = acts / volume
    weight_height = cg_x * math.sin(pitch) + cg_z * math.cos(pitch)
    growths = (np.divide(grows, growth, out=arms.copy(), where=growth > 0.0) - arms) / volume
    return Arms(arms - weight_height * heeled.across, growths)


class _Heeled:
    """Outlines of a body turned to several heels, ready to be cut by level lines.

    A section is a polygon, anticlockwise, its first point standing at the end once more.
    Its sums from edge to edge are added up beforehand, so that a cut costs no more than
    finding where the outline crosses the line.
    """

    def __init__(
        self,
        body: Body,
        likeness: float,
        appendages: Sequence[Appendage],
        pitch: float,
        heels: Numbers,
    ) -> None:
        nodes, weights = gauss(_PLACES)
        x = body.nose + body.length * (1 + nodes) / 2
        y, z = (np.concatenate([a, a[:, :1]], axis=1) for a in skin.outlines(body, x, _AROUND))
        self.body, self.x, self.y, self.z, self.sums = body, x, y, z, _edge_sums(y, z)
        # A polygon cuts its corners: give each section its true area back.
        whole = self.sums[0, :, -1] / 2
        true = body.section_area(x) / np.maximum(whole, 1e-300)
        exact = body.volume / (float(np.dot(weights, true * whole)) * body.length / 2)
        self.weights = weights * body.length / 2 * true * exact * likeness
        self.hung = hanging(appendages)
        self.sin, self.cos = math.sin(pitch), math.cos(pitch)
        self.across, self.upright = np.sin(heels), np.cos(heels)
        up = self.upright * self.cos
        self.steep = np.maximum(np.hypot(self.across, up), 1e-6)
        # Square to the lines that cut the sections.
        self.normal = self.across / self.steep, up / self.steep
        n_y, n_z = (part[:, np.newaxis, np.newaxis] for part in self.normal)
        self.rise = n_y * y + n_z * z

    def reach(self) -> tuple[Numbers, Numbers, Numbers]:
        """Of each heel a level that leaves all dry, one that covers all, and one between [m]."""
        _, at_x, at_z = self.hung
        lines = np.outer(self.upright * self.sin, self.x)
        low = (self.rise.min(axis=2) * self.steep[:, np.newaxis] + lines).min(axis=1)
        high = (self.rise.max(axis=2) * self.steep[:, np.newaxis] + lines).max(axis=1)
        margin = high - low + float(np.abs(at_x).sum() + np.abs(at_z).sum())
        return low - margin, high + margin, (low + high) / 2

    def carried(self, level: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """At a level for each heel, what is pushed aside and how far that acts out to the side.

        Returns:
            Volume [m3], its growth with the level [m2], its moment about the line through
            the origin that is upright in the water [m4], and the growth of that [m3].
        """
        w, steep, (v, at_x, at_z) = self.weights, self.steep[:, np.newaxis], self.hung
        along = (self.upright * self.sin)[:, np.newaxis]
        wet, cut = self._cut((level[:, np.newaxis] - self.x * along) / steep)
        cut /= steep
        depth = level[:, np.newaxis] - at_x * along - at_z * self.cos * self.upright[:, np.newaxis]
        sunk, rate = under_water(depth, self.body)
        hung = v * (at_x * self.sin + at_z * self.cos)

        def acting(part: Numbers, share: Numbers) -> Numbers:
            amount, y, z = part
            fore = (amount * self.x) @ w * self.sin + z @ w * self.cos + share @ hung
            return np.asarray(fore * self.across - y @ w * self.upright)

        return (
            wet[0] @ w + sunk @ v,
            cut[0] @ w + rate @ v,
            acting(wet, sunk),
            acting(cut, rate),
        )

    def _cut(self, line: Numbers) -> tuple[Numbers, Numbers]:
        """What of each section lies under a line, and the chord on it, at each heel.

        Args:
            line: height of the line square to itself, shape (heels, sections) [m].

        Returns:
            Areas with first moments in y and z, and chords with theirs, shape
            (3, heels, sections) each.

        The outline leaves the water at some crossings and enters it at others. Between
        them stand sums that are known; what closes the wet part along the line is
        a difference, too, of one term from each crossing.
        """
        below = self.rise <= line[..., np.newaxis]
        heel, row, edge = np.nonzero(below[..., :-1] != below[..., 1:])
        leaves = below[heel, row, edge]
        r, n_y, n_z = line[heel, row], self.normal[0][heel], self.normal[1][heel]
        near, far = self.rise[heel, row, edge] - r, self.rise[heel, row, edge + 1] - r
        share = near / (near - far)
        y0, z0 = self.y[row, edge], self.z[row, edge]
        y = y0 + share * (self.y[row, edge + 1] - y0)
        z = z0 + share * (self.z[row, edge + 1] - z0)
        last = np.where(leaves, edge, edge + 1)  # the wet end of the edge
        y_last, z_last = self.y[row, last], self.z[row, last]
        cross, side = y_last * z - y * z_last, y * n_z - z * n_y
        chord_y = side * (side / 2 * n_z + r * n_y)
        chord_z = side * (r * n_z - side / 2 * n_y)
        walked = self.sums[:, row, last]
        terms = (
            (walked[0] + cross + r * side) / 2,
            (walked[1] + cross * (y_last + y) + 2 * r * chord_y) / 6,
            (walked[2] + cross * (z_last + z) + 2 * r * chord_z) / 6,
            side,
            chord_y,
            chord_z,
        )
        sign, place = np.where(leaves, 1.0, -1.0), heel * len(self.x) + row
        summed = np.array([np.bincount(place, sign * t, line.size) for t in terms])
        wet, chord = summed.reshape(2, 3, *line.shape)
        # A walk that begins under water ends there, all the way round.
        whole = self.sums[:, :, -1] / np.array([[2.0], [6.0], [6.0]])
        return wet + whole[:, np.newaxis] * below[..., 0], chord


def _edge_sums(y: Numbers, z: Numbers) -> Numbers:
    """From the first point to each: twice the area, six times its moments in y and z."""
    cross = y[:, :-1] * z[:, 1:] - y[:, 1:] * z[:, :-1]
    sums = np.zeros((3, *y.shape))
    edges = np.stack([cross, cross * (y[:, :-1] + y[:, 1:]), cross * (z[:, :-1] + z[:, 1:])])
    np.cumsum(edges, axis=2, out=sums[..., 1:])
    return sums


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
