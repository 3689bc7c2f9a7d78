"""Arithmetic of the proof in the tank: heel test, the tank's own density, a lift of water.

Masses are scale readings in air throughout (see `water.buoyant_density`).
"""

from __future__ import annotations

import math

from wizard.physics.validity import require_positive, require_within
from wizard.physics.water import AIR_DENSITY

LARGEST_HEEL = math.radians(10.0)
"""Heel up to which the metacentre stays put: a few degrees in any text on ship stability."""


def metacentric_height_by_heel(weight: float, distance: float, mass: float, heel: float) -> float:
    """Metacentric height across, from a weight shifted across and the heel that it makes.

    What the weight displaces counts for nothing: it is on board before and after.

    Args:
        weight: m, shifted [kg].
        distance: d, straight across [m].
        mass: M of all that floats, the weight included [kg].
        heel: phi, the change of heel that the shift made [rad], more than 0 and less than
            a right angle.

    Returns:
        GM = m d / (M tan phi) [m].

    Raises:
        OutsideValidity: nothing moved or nothing heeled.

    Source: the inclining experiment (any text on ship stability).

    >>> round(metacentric_height_by_heel(100.0, 30.0, 9000.0, math.radians(8.0)), 2)
    2.37
    """
    require_positive("shifted weight", weight, "kg")
    require_positive("distance of the shift", distance, "m")
    require_positive("mass of all that floats", mass, "kg")
    require_positive("heel", heel, "rad")
    require_within("heel", heel, 0.0, math.radians(89.0), "rad")
    return weight * distance / (mass * math.tan(heel))


def density_by_bottle(empty: float, filled: float, known: float, known_density: float) -> float:
    """Density of a water from one bottle weighed empty, full of it, and full of tap water.

    Args:
        empty: reading of the dry bottle with its cap [kg].
        filled: the same bottle, brim full of the water in question [kg].
        known: brim full of water of known density [kg].
        known_density: of that water [kg/m3].

    Returns:
        (filled - empty) / (known - empty) (rho_known - rho_a) + rho_a [kg/m3].

    Raises:
        OutsideValidity: the bottle held nothing.

    Source: the pycnometer; Archimedes for the air that a full bottle displaces.
    """
    require_positive("water in the bottle", filled - empty, "kg")
    require_positive("tap water in the bottle", known - empty, "kg")
    return (filled - empty) / (known - empty) * (known_density - AIR_DENSITY) + AIR_DENSITY


def bottle_reading(empty: float, known: float, known_density: float, density: float) -> float:
    """What the full bottle should weigh when the water is right: inverse of the above [kg].

    Args:
        empty: reading of the dry bottle [kg].
        known: full of water of known density [kg].
        known_density: of that water [kg/m3].
        density: wanted [kg/m3].

    Raises:
        OutsideValidity: the bottle held nothing.
    """
    require_positive("tap water in the bottle", known - empty, "kg")
    return empty + (known - empty) * (density - AIR_DENSITY) / (known_density - AIR_DENSITY)


def density_by_hanging(mass: float, volume: float) -> float:
    """Density of a water in which an object of known mass and volume just hangs [kg/m3].

    Args:
        mass: scale reading [kg].
        volume: outside volume [m3].

    Source: Archimedes, the mass being a reading in air: (rho_w - rho_a) V = m.
    """
    require_positive("mass of the object", mass, "kg")
    require_positive("volume of the object", volume, "m3")
    return mass / volume + AIR_DENSITY
