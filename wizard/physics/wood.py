"""Wood and its moisture: what a board of known density weighs at another moisture.

A blank tested in a heated room and carved in a damp shed is another wood: four
points of moisture move its density by some 2 %. The swelling takes back about
half of the water that goes in.

Moisture is the mass of water per mass of oven-dry wood, as a fraction. Specific
gravity G is oven-dry mass per volume at a stated moisture, over 1000 kg/m3.

Source: Forest Products Laboratory (2010), Wood Handbook, FPL-GTR-190, chapter 4,
eq. 4-5 (equilibrium moisture) and eq. 4-9 to 4-12 (density).
"""

from __future__ import annotations

from wizard.physics.validity import require_positive, require_within

FIBRE_SATURATION = 0.30
"""Moisture above which wood swells no more [1]; varies by several points (Handbook, page 4-1)."""

HUMIDITIES = (0.0, 0.95)
"""Relative humidities of the Handbook's table of equilibrium moisture, and dry air below."""

TEMPERATURES = (-1.0, 60.0)
"""Temperatures of a workshop [degC]; the Handbook's table starts at -1 and goes on to a kiln's."""

_SHRINKAGE = 0.265
"""Shrinkage in volume, green to oven-dry, per basic specific gravity (eq. 4-10, Stamm 1964)."""


def moisture_for_humidity(relative_humidity: float, temperature: float) -> float:
    """Moisture that wood comes to in air of steady humidity (EMC).

    A thin board needs weeks for it, and wood that dries stays above wood that
    takes up water; a meter or an oven beats this number.

    Args:
        relative_humidity: h [1], 0 to 0.95.
        temperature: T [degC], -1 to 60.

    Returns:
        18/W [K h / (1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2) / (1 + K1 K h + K1 K2 K^2 h^2)]
        as a fraction [1].

    Raises:
        OutsideValidity: outside humidity or temperature.

    Source: Wood Handbook (2010), eq. 4-5.

    >>> round(moisture_for_humidity(0.65, 21.1), 3)
    0.12
    """
    require_within("relative humidity", relative_humidity, *HUMIDITIES)
    require_within("air temperature", temperature, *TEMPERATURES, "degC")
    T = temperature
    W = 349.0 + 1.29 * T + 0.0135 * T * T
    K = 0.805 + 0.000736 * T - 0.00000273 * T * T
    K1 = 6.27 - 0.00938 * T - 0.000303 * T * T
    K2 = 1.91 + 0.0407 * T - 0.000293 * T * T
    Kh = K * relative_humidity
    bound = K1 * Kh * (1.0 + 2.0 * K2 * Kh) / (1.0 + K1 * Kh * (1.0 + K2 * Kh))
    return 18.0 / W * (Kh / (1.0 - Kh) + bound)


def specific_gravity(basic: float, moisture: float) -> float:
    """Specific gravity on the volume at a moisture, from the basic one.

    An estimate for wood whose own shrinkage isn't known. Against species whose
    two figures are both printed it is good to some 3 %, at worst 10 % (basswood).

    Args:
        basic: Gb [1], oven-dry mass over green volume.
        moisture: x [1], 0 to fibre saturation, 0.30.

    Returns:
        Gx = Gb / (1 - 0.265 Gb (1 - x / 0.30)) [1].

    Raises:
        OutsideValidity: green wood, or a Gb that no wood has.

    Source: Wood Handbook (2010), eq. 4-11.

    >>> round(specific_gravity(0.55, 0.12), 3)
    0.603
    """
    require_within("basic specific gravity", basic, 0.0, 1.5)
    return basic / (1.0 - _shrinkage_left(moisture) * basic)


def basic_specific_gravity(density: float, moisture: float) -> float:
    """Basic specific gravity of a board from its density as it lies.

    Args:
        density: rho_x [kg/m3], mass and volume both at this moisture.
        moisture: x [1], 0 to 0.30.

    Returns:
        Gb = Gx / (1 + 0.265 (1 - x / 0.30) Gx) [1], Gx = rho_x / (1000 (1 + x)).

    Raises:
        OutsideValidity: green wood, or no density.

    Source: Wood Handbook (2010), eq. 4-11 and 4-12 solved for Gb.
    """
    require_positive("wood density", density, "kg/m3")
    G_x = density / (1000.0 * (1.0 + moisture))
    return G_x / (1.0 + _shrinkage_left(moisture) * G_x)


def density_at_moisture(density: float, measured_moisture: float, wanted_moisture: float) -> float:
    """Density of the same board after it has come to another moisture.

    The ratio of the two is far better known than either: it needs only the
    estimate of the shrinkage.

    Args:
        density: rho_x as measured [kg/m3].
        measured_moisture: x at which it was measured [1], 0 to 0.30.
        wanted_moisture: y [1], 0 to 0.30.

    Returns:
        rho_y = 1000 Gy (1 + y) [kg/m3].

    Raises:
        OutsideValidity: green wood, or no density.

    Source: Wood Handbook (2010), eq. 4-11 and 4-12.

    >>> round(density_at_moisture(405.6, 0.08, 0.12), 1)
    415.1
    """
    basic = basic_specific_gravity(density, measured_moisture)
    return 1000.0 * specific_gravity(basic, wanted_moisture) * (1.0 + wanted_moisture)


def _shrinkage_left(moisture: float) -> float:
    """Share of the shrinkage that has happened, per specific gravity, from green to x."""
    require_within("moisture", moisture, 0.0, FIBRE_SATURATION)
    return _SHRINKAGE * (1.0 - moisture / FIBRE_SATURATION)
