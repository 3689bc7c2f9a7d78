"""The sink rate and what a run in the tank says about it: the start, a timed run, a trial weight.

A watch started at release reads a plug slow: the start costs 3 to 12 cm of way,
and a tank is 40 cm deep. So the start is part of the sum.

Signs are those of the module `drag`, whose functions can be had from here too.

Sources:
    One-dimensional motion from rest under quadratic drag, in any text of mechanics.
    Archimedes for a trial weight.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.physics.drag import (
    DRAG_SPREAD,
    FITTED_REYNOLDS,
    Resistance,
    drag_coefficient,
    equivalent_diameter,
    net_mass_for_speed,
    resistance,
    sphericity,
    terminal_speed,
)
from wizard.physics.roots import root_between
from wizard.physics.validity import OutsideValidity, require_positive, require_within
from wizard.physics.water import GRAVITY

__all__ = [
    "ADDED_MASS",
    "ADDED_MASS_UNCERTAINTY",
    "DRAG_SPREAD",
    "FITTED_REYNOLDS",
    "TimedRun",
    "distance_to_terminal",
    "drag_coefficient",
    "equivalent_diameter",
    "net_from_trial_weight",
    "net_mass_for_speed",
    "sphericity",
    "start_length",
    "terminal_from_timed_rise",
    "terminal_from_timed_sink",
    "terminal_speed",
    "time_to_sink",
    "wall_factor",
]

ADDED_MASS = 0.7
"""Water that a plug takes along as it speeds up, per displaced water [1]."""

ADDED_MASS_UNCERTAINTY = (1.0 - 0.5) / 2.0 / math.sqrt(3.0)
"""Standard uncertainty of `ADDED_MASS`: 0.14.

The limits are a sphere, 0.5, and a long cylinder across its way, 1 (Lamb,
Hydrodynamics, 1932); nothing in between is favoured.
"""


@dataclass(frozen=True, slots=True)
class TimedRun:
    """What a timed run from rest says.

    Attributes:
        terminal_speed: steady speed in that water [m/s]; negative for a rise.
        net_mass: net mass in that water [kg, scale reading]; negative for a floater.
        lost_distance: way that the start cost [m].
    """

    terminal_speed: float
    net_mass: float
    lost_distance: float


def start_length(terminal: float, net_fraction: float, added_mass: float = ADDED_MASS) -> float:
    """Length that measures the start from rest, L; the start costs L ln 2 of way.

    Args:
        terminal: steady speed v [m/s]; negative for a rise.
        net_fraction: s = N / (rho_w V) [1], of the same sign.
        added_mass: Ca, water taken along per displaced water [1].

    Returns:
        L = (1 + s + Ca) v^2 / (|s| g) [m].

    Raises:
        OutsideValidity: nothing moves, the signs differ, or nothing is there to
            be moved.

    Source: (1 + s + Ca) dv/dt = s g (1 - v^2 / v_t^2), with constant CD.
    """
    require_positive("net fraction in the sense of the speed", net_fraction * terminal)
    inertia = 1.0 + net_fraction + added_mass
    require_positive("mass and added mass per displaced water", inertia)
    return inertia * terminal**2 / (abs(net_fraction) * GRAVITY)


def time_to_sink(
    depth: float, terminal: float, net_fraction: float, added_mass: float = ADDED_MASS
) -> float:
    """Time that a plug released at rest takes for a depth, or for a rise.

    Args:
        depth: way of the plug x [m], up or down, above zero.
        terminal: steady speed v [m/s]; negative for a rise.
        net_fraction: s = N / (rho_w V) [1], of the same sign.
        added_mass: Ca, water taken along per displaced water [1].

    Returns:
        L / v arccosh(exp(x / L)) [s], L being the `start_length`.

    Raises:
        OutsideValidity: as `start_length`; a depth not above zero.

    Source: x = L ln cosh(v t / L), the motion from rest with constant CD.

    >>> round(time_to_sink(0.40, 0.31, 0.12), 2)
    1.62
    """
    require_positive("depth", depth, "m")
    return _time_from_rest(depth, abs(terminal), start_length(terminal, net_fraction, added_mass))


def distance_to_terminal(
    terminal: float,
    net_fraction: float,
    added_mass: float = ADDED_MASS,
    share: float = 0.95,
) -> float:
    """Way from rest after which a plug has a share of its steady speed.

    Args:
        terminal: steady speed v [m/s]; negative for a rise.
        net_fraction: s = N / (rho_w V) [1], of the same sign.
        added_mass: Ca, water taken along per displaced water [1].
        share: of the steady speed [1], 0 to less than 1.

    Returns:
        - L / 2 ln(1 - share^2) [m].

    Raises:
        OutsideValidity: as `start_length`; a share of 1 is never reached.

    Source: v^2 = v_t^2 (1 - exp(-2 x / L)).

    >>> round(distance_to_terminal(0.31, 0.12), 3)
    0.173
    """
    require_within("share of the steady speed", share, 0.0, 0.9999)
    return -0.5 * start_length(terminal, net_fraction, added_mass) * math.log1p(-(share**2))


def terminal_from_timed_sink(
    depth: float,
    time: float,
    volume: float,
    area: float,
    water_density: float,
    viscosity: float,
    drag_factor: float = 1.0,
    added_mass: float = ADDED_MASS,
) -> TimedRun:
    """Steady speed and net mass of a plug from the time it took to sink from rest.

    Both follow at once: the net mass decides how quickly it starts, the drag
    correlation ties it to the speed. The speed hardly depends on the correlation;
    the net mass does, by twice `DRAG_SPREAD`, until a factor of the maker's own
    is known.

    Args:
        depth: way of the plug x [m]: depth of water less its own height.
        time: t from release [s].
        volume: outside volume V [m3].
        area: outside area [m2].
        water_density: rho_w of the tank [kg/m3].
        viscosity: mu of the tank [Pa s].
        drag_factor: the maker's own drag over the correlation's [1].
        added_mass: Ca, water taken along per displaced water [1].

    Raises:
        OutsideValidity: no depth, no time, or quicker than anything sinks.

    Source: `time_to_sink` and `net_mass_for_speed`, solved together;
    L = (1 + s + Ca) 2 V / (CD A) with A of the sphere of equal volume.
    """
    body = resistance(volume, area, water_density, viscosity, drag_factor)
    return _timed_run(1.0, depth, time, body, water_density * volume, added_mass)


def terminal_from_timed_rise(
    depth: float,
    time: float,
    volume: float,
    area: float,
    water_density: float,
    viscosity: float,
    drag_factor: float = 1.0,
    added_mass: float = ADDED_MASS,
) -> TimedRun:
    """Steady speed and net mass, both negative, of a floater timed on its way up.

    Args:
        depth: way of the plug [m], from where it was let go to where it breaks
            the surface.
        time: t from release [s].
        volume: [m3], and on as in `terminal_from_timed_sink`.
        area: [m2].
        water_density: [kg/m3].
        viscosity: [Pa s].
        drag_factor: [1].
        added_mass: [1].

    Raises:
        OutsideValidity: no depth, no time, or quicker than a body without mass.

    Source: as `terminal_from_timed_sink`, with the signs turned.
    """
    body = resistance(volume, area, water_density, viscosity, drag_factor)
    return _timed_run(-1.0, depth, time, body, water_density * volume, added_mass)


def net_from_trial_weight(weight: float, weight_density: float, rho: float) -> float:
    """Net mass of a floater that a hung-on weight just takes under.

    Args:
        weight: m_t [kg, scale reading]: all that is hung on, thread included.
        weight_density: rho_t [kg/m3].
        rho: buoyant density of the water, rho_w - rho_a [kg/m3].

    Returns:
        N = - m_t (1 - rho / rho_t) [kg]; the plug alone floats by so much.

    Raises:
        OutsideValidity: a weight that would float itself.

    Source: Archimedes, on plug and weight together.

    >>> round(1000.0 * net_from_trial_weight(2.0e-3, 11340.0, 998.21), 4)
    -1.8239
    """
    require_positive("density of the trial weight above the water's", weight_density - rho, "kg/m3")
    return -weight * (1.0 - rho / weight_density)


def wall_factor(volume: float, tank_width: float) -> float:
    """Steady speed in a tank over that in open water.

    A tube's relation for spheres, from memory and unconfirmed, so no more than a
    measure of how narrow a tank is: a reason for a warning, not a correction to
    make unseen. Where it is applied, `drag_factor` / `wall_factor`^2 stands for
    the drag in the tank.

    Args:
        volume: outside volume of the plug [m3].
        tank_width: the narrower width of the tank, D [m].

    Returns:
        1 - (d / D)^1.5 [1], d of the sphere of equal volume.

    Raises:
        OutsideValidity: d / D above 0.8.

    Source: Munroe (1888), for Re above 1000, from memory.
    """
    require_positive("tank width", tank_width, "m")
    ratio = equivalent_diameter(volume) / tank_width
    require_within("width of plug over width of tank", ratio, 0.0, 0.8)
    return 1.0 - math.pow(ratio, 1.5)


def _time_from_rest(depth: float, speed: float, length: float) -> float:
    """L / v arccosh(exp(x / L)) [s], written so that neither a long nor a short way overflows."""
    a = depth / length
    return length / speed * (a + math.log1p(math.sqrt(-math.expm1(-2.0 * a))))


def _timed_run(
    direction: float,
    depth: float,
    time: float,
    body: Resistance,
    displaced: float,
    added_mass: float,
) -> TimedRun:
    """The speed, downwards for direction 1, upwards for -1, at which a way takes a time."""
    require_positive("depth", depth, "m")
    require_positive("time", time, "s")
    require_positive("added mass", added_mass)

    def length_at(speed: float) -> float:
        net_fraction = body.net_mass(direction * speed) / displaced
        return start_length(direction * speed, net_fraction, added_mass)

    def time_at(speed: float) -> float:
        return _time_from_rest(depth, speed, length_at(speed))

    fastest = body.fastest
    if direction < 0.0 and body.net_mass(-fastest) < -displaced:
        # Nothing rises with more than all of its displacement.
        fastest = -body.speed(-displaced)
    # From rest it takes longer than at the steady speed all the way, which bounds it below.
    slowest = depth / time * (1.0 - 1e-9)
    if slowest >= fastest or time_at(fastest) > time:
        raise OutsideValidity("time", time, time_at(fastest), math.inf, "s")
    speed = math.exp(
        root_between(
            lambda log_speed: math.log(time_at(math.exp(log_speed)) / time),
            math.log(slowest),
            math.log(fastest),
        )
    )
    return TimedRun(
        direction * speed, body.net_mass(direction * speed), math.log(2.0) * length_at(speed)
    )
