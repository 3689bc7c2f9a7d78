"""How fast a plug sinks or rises once drag carries its net weight.

Signs: a net mass above zero sinks, and its speed counts downwards; below zero
both are negative and the plug rises. A net mass is a scale reading, M - rho V
(see `water.buoyant_density`), and its weight in water is exactly g times it.

Source: Haider and Levenspiel (1989), Drag coefficient and terminal velocity of
spherical and nonspherical particles, Powder Technology 58, 63-70, general form,
with the coefficients as printed in theory guides of flow solvers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.physics.roots import root_between
from wizard.physics.validity import require_positive, require_within
from wizard.physics.water import GRAVITY

SPHERICITIES = (0.026, 1.0)
"""Range of sphericity of the drag correlation (from memory)."""

FITTED_REYNOLDS = 25_000.0
"""Reynolds number up to which bodies were measured (from memory); CD is flat from there."""

REYNOLDS_LIMIT = 2e5
"""Reynolds number at which the layer round a sphere turns turbulent and its drag collapses."""

DRAG_SPREAD = math.log(1.35) / math.sqrt(3.0)
"""Relative standard uncertainty of a predicted terminal speed: 0.17.

For bodies of a plug's shape published correlations (Haider and Levenspiel,
general and explicit; Ganser 1993; Hoelzer and Sommerfeld 2008) give speeds up to
a factor of 1.35 apart, and the one used here is the slowest. The limits are that
factor up and, since a plug also tilts, glides and trails its hooks, down; nothing
in between is favoured (rectangular, JCGM 100:2008, 4.3.7), so ln 1.35 / sqrt 3.
A net mass inferred from a speed is uncertain by twice as much.
"""


@dataclass(frozen=True, slots=True)
class Resistance:
    """Drag of one body in one water.

    Attributes:
        coefficients: b1 to b4 of the correlation at the body's sphericity.
        speed_per_reynolds: mu / (rho_w d) [m/s].
        mass_per_drag_number: net mass carried per unit of CD Re^2 [kg].
    """

    coefficients: tuple[float, float, float, float]
    speed_per_reynolds: float
    mass_per_drag_number: float

    @property
    def fastest(self) -> float:
        """Speed up to which the correlation serves [m/s]."""
        return REYNOLDS_LIMIT * self.speed_per_reynolds

    def net_mass(self, speed: float) -> float:
        """Net mass [kg] that gives a steady speed [m/s], both of one sign."""
        reynolds = abs(speed) / self.speed_per_reynolds
        require_within("Reynolds number", reynolds, 0.0, REYNOLDS_LIMIT)
        number = _drag_number(self.coefficients, reynolds)
        return math.copysign(self.mass_per_drag_number * number, speed)

    def speed(self, net_mass: float) -> float:
        """Steady speed [m/s] that a net mass [kg] gives, both of one sign."""
        if net_mass == 0.0:
            return 0.0
        wanted = abs(net_mass) / self.mass_per_drag_number

        def excess(log_reynolds: float) -> float:
            return math.log(_drag_number(self.coefficients, math.exp(log_reynolds)) / wanted)

        # CD Re^2 grows at least as fast as Re and at first, as Stokes has it, is 24 Re.
        stokes = math.log(wanted / 24.0)
        reynolds = math.exp(root_between(excess, stokes - excess(stokes) - 1.0, stokes + 1.0))
        require_within("Reynolds number", reynolds, 0.0, REYNOLDS_LIMIT)
        return math.copysign(reynolds * self.speed_per_reynolds, net_mass)


def equivalent_diameter(volume: float) -> float:
    """Diameter of the sphere of equal volume, d = (6 V / pi)^(1/3) [m].

    Args:
        volume: V [m3].

    Source: the definition.
    """
    return math.cbrt(6.0 * volume / math.pi)


def sphericity(volume: float, area: float) -> float:
    """Area of the sphere of equal volume over the area of the body, p [1].

    Args:
        volume: V [m3].
        area: outside area [m2].

    Raises:
        OutsideValidity: a volume or area not above zero, or an area smaller than
            that of the sphere.

    Source: Wadell (1935), the definition.

    >>> round(sphericity(50e-6, 100e-4), 4)
    0.6563
    """
    require_positive("volume", volume, "m3")
    require_positive("area", area, "m2")
    p = math.pi * equivalent_diameter(volume) ** 2 / area
    require_within("sphericity", p, *SPHERICITIES)
    return p


def drag_coefficient(reynolds: float, sphericity: float) -> float:
    """Drag coefficient on the frontal area of the sphere of equal volume.

    Args:
        reynolds: Re = rho_w v d / mu [1], above zero, with that sphere's d.
        sphericity: p [1], 0.026 to 1.

    Returns:
        CD = 24 / Re (1 + b1 Re^b2) + b3 Re / (b4 + Re) [1].

    Raises:
        OutsideValidity: outside sphericity, or Re not in 0 to 2e5.

    Source: Haider and Levenspiel (1989), general form. At p = 1 it lies 4 to 7 %
    above their own equation for spheres.

    >>> round(drag_coefficient(1000.0, 0.75), 4)
    1.5839
    """
    require_positive("Reynolds number", reynolds)
    require_within("Reynolds number", reynolds, 0.0, REYNOLDS_LIMIT)
    require_within("sphericity", sphericity, *SPHERICITIES)
    return _drag_number(_coefficients(sphericity), reynolds) / reynolds**2


def resistance(
    volume: float,
    area: float,
    water_density: float,
    viscosity: float,
    drag_factor: float = 1.0,
) -> Resistance:
    """Drag of a body in a water, for more than one question about it.

    Args:
        volume: outside volume V [m3].
        area: outside area [m2].
        water_density: rho_w [kg/m3].
        viscosity: mu [Pa s].
        drag_factor: f, the maker's own drag over the correlation's [1].

    Raises:
        OutsideValidity: a shape that the correlation doesn't cover, or a
            property that isn't above zero.

    Source: N g = 1/2 rho_w v^2 CD f pi d^2 / 4, so CD Re^2 = 8 N g rho_w / (pi mu^2 f).
    """
    require_positive("water density", water_density, "kg/m3")
    require_positive("viscosity", viscosity, "Pa s")
    require_positive("drag factor", drag_factor)
    return Resistance(
        _coefficients(sphericity(volume, area)),
        viscosity / (water_density * equivalent_diameter(volume)),
        math.pi * viscosity**2 * drag_factor / (8.0 * water_density * GRAVITY),
    )


def terminal_speed(
    net_mass: float,
    volume: float,
    area: float,
    water_density: float,
    viscosity: float,
    drag_factor: float = 1.0,
) -> float:
    """Steady speed at which drag carries the net weight; negative for a rise.

    Args:
        net_mass: N = M - rho V [kg, scale reading]; zero hangs.
        volume: outside volume V [m3].
        area: outside area [m2].
        water_density: rho_w [kg/m3].
        viscosity: mu [Pa s].
        drag_factor: the maker's own drag over the correlation's [1].

    Returns:
        v [m/s] of N g = 1/2 rho_w v^2 CD f pi d^2 / 4.

    Raises:
        OutsideValidity: a shape, or a speed, that the correlation doesn't cover.

    Source: force balance with `drag_coefficient`.

    >>> round(terminal_speed(3.0104e-3, 25.133e-6, 55.488e-4, 998.207, 1.0016e-3), 3)
    0.182
    """
    return resistance(volume, area, water_density, viscosity, drag_factor).speed(net_mass)


def net_mass_for_speed(
    speed: float,
    volume: float,
    area: float,
    water_density: float,
    viscosity: float,
    drag_factor: float = 1.0,
) -> float:
    """Net mass that gives a steady speed: the inverse of `terminal_speed`.

    Args:
        speed: v [m/s]; negative for a rise.
        volume: outside volume V [m3].
        area: outside area [m2].
        water_density: rho_w [kg/m3].
        viscosity: mu [Pa s].
        drag_factor: the maker's own drag over the correlation's [1].

    Returns:
        N [kg, scale reading].

    Raises:
        OutsideValidity: as `terminal_speed`.

    Source: force balance with `drag_coefficient`.
    """
    return resistance(volume, area, water_density, viscosity, drag_factor).net_mass(speed)


def _coefficients(p: float) -> tuple[float, float, float, float]:
    """b1 to b4 of the general form at a sphericity."""
    return (
        math.exp(2.3288 - 6.4581 * p + 2.4486 * p**2),
        0.0964 + 0.5565 * p,
        math.exp(4.905 - 13.8944 * p + 18.4222 * p**2 - 10.2599 * p**3),
        math.exp(1.4681 + 12.2584 * p - 20.7322 * p**2 + 15.8855 * p**3),
    )


def _drag_number(coefficients: tuple[float, float, float, float], reynolds: float) -> float:
    """CD Re^2: free of the speed on the side of the weight, and rising with Re."""
    b1, b2, b3, b4 = coefficients
    Re = reynolds
    return 24.0 * Re * (1.0 + b1 * math.pow(Re, b2)) + b3 * Re**3 / (b4 + Re)
