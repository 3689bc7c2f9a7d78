"""Resin and hardener for a batch, and what a coat takes: films, spreading, mass.

Volumes are taken to add up on mixing; a cured resin shrinks by some per cent, which
a filler or a second pour makes good.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.physics.validity import OutsideValidity, require_positive, require_within


@dataclass(frozen=True, slots=True)
class Batch:
    """What to measure out.

    Attributes:
        resin_mass: [kg].
        hardener_mass: [kg].
        resin_volume: [m3].
        hardener_volume: [m3].
    """

    resin_mass: float
    hardener_mass: float
    resin_volume: float
    hardener_volume: float

    @property
    def mass(self) -> float:
        """Mass of the whole batch [kg]."""
        return self.resin_mass + self.hardener_mass

    @property
    def volume(self) -> float:
        """Volume of the whole batch [m3]."""
        return self.resin_volume + self.hardener_volume

    @property
    def density(self) -> float:
        """Density of the mix, volumes adding [kg/m3]."""
        return self.mass / self.volume


def mix_by_volume_as_mass(
    volume_ratio: float, resin_density: float, hardener_density: float
) -> float:
    """Resin to hardener by mass, from the ratio by volume.

    Args:
        volume_ratio: n of n : 1, resin to hardener by volume [1].
        resin_density: rho_r [kg/m3].
        hardener_density: rho_h [kg/m3].

    Returns:
        n rho_r / rho_h [1].

    Source: mass balance.
    """
    _require_mix(volume_ratio, resin_density, hardener_density)
    return volume_ratio * resin_density / hardener_density


def hardener_share(resin_to_hardener: float) -> float:
    """Parts of hardener by mass on one of resin, from the ratio by mass [1].

    A tin that says 100 : 47 by mass has 0.47.
    """
    require_positive("resin to hardener", resin_to_hardener)
    return 1.0 / resin_to_hardener


def batch(
    volume: float,
    resin_to_hardener: float,
    resin_density: float,
    hardener_density: float,
    waste: float = 0.0,
) -> Batch:
    """Resin and hardener for a volume to fill, the ratio taken by mass.

    Args:
        volume: to be filled [m3].
        resin_to_hardener: r of r : 1 by mass [1].
        resin_density: rho_r [kg/m3].
        hardener_density: rho_h [kg/m3].
        waste: what stays in the cup and on the stick, over the volume to fill [1], >= 0.

    Returns:
        The batch, with V (1 + waste) = m_h (r / rho_r + 1 / rho_h).

    Raises:
        OutsideValidity: if the volume or waste is negative or another number not above zero.

    Source: mass balance, volumes adding.
    """
    _require_mix(resin_to_hardener, resin_density, hardener_density)
    for quantity, value, unit in (("volume to fill", volume, "m3"), ("waste", waste, "")):
        if not 0.0 <= value < math.inf:
            raise OutsideValidity(quantity, value, 0.0, math.inf, unit)
    r, rho_r, rho_h = resin_to_hardener, resin_density, hardener_density
    m_h = volume * (1.0 + waste) / (r / rho_r + 1.0 / rho_h)
    return Batch(r * m_h, m_h, r * m_h / rho_r, m_h / rho_h)


def batch_by_volume(
    volume: float,
    volume_ratio: float,
    resin_density: float,
    hardener_density: float,
    waste: float = 0.0,
) -> Batch:
    """Resin and hardener for a volume to fill, the ratio n : 1 taken by volume.

    Arguments and errors as for `batch`, with `volume_ratio` as for `mix_by_volume_as_mass`.
    """
    r = mix_by_volume_as_mass(volume_ratio, resin_density, hardener_density)
    return batch(volume, r, resin_density, hardener_density, waste)


def batch_of_mass(
    mass: float, resin_to_hardener: float, resin_density: float, hardener_density: float
) -> Batch:
    """Resin and hardener that together weigh a mass [kg], the ratio taken by mass."""
    _require_mix(resin_to_hardener, resin_density, hardener_density)
    m_h = mass / (1.0 + resin_to_hardener)
    m_r = mass - m_h
    return Batch(m_r, m_h, m_r / resin_density, m_h / hardener_density)


def ratio_error(resin_mass: float, reading_error: float) -> float:
    """Hardener too much, on one part of resin, for an error of the scale [1].

    Why a small batch needs a fine scale: 0.1 g on 4 g of resin is 2.5 parts per hundred.

    Args:
        resin_mass: in the batch [kg].
        reading_error: of the hardener's mass [kg].
    """
    require_positive("mass of resin", resin_mass, "kg")
    return reading_error / resin_mass


def working_time(pot_life: float, stated_temperature: float, temperature: float) -> float:
    """Pot life at another temperature [s]: it halves for each 10 degC warmer.

    A larger mass in one cup heats itself and sets sooner still.

    Args:
        pot_life: as the tin states it [s].
        stated_temperature: at which it is stated [degC].
        temperature: of the bench [degC].

    Source: rule of thumb for reaction rates, from memory.
    """
    return float(pot_life * 2.0 ** ((stated_temperature - temperature) / 10.0))


def spreading_rate(volume_solids: float, dry_film: float) -> float:
    """Area that a volume of coating covers, without losses.

    Args:
        volume_solids: solids by volume, VS [1], 0 < VS <= 1.
        dry_film: dry film thickness, DFT [m].

    Returns:
        Covered area per coating volume, VS / DFT [m2/m3].

    Source: the definition; in the trade's units 10 VS% / DFT[um], in m2/L.
    """
    _require_solids(volume_solids)
    require_positive("dry film", dry_film, "m")
    return volume_solids / dry_film


def wet_film(dry_film: float, volume_solids: float, thinner: float = 0.0) -> float:
    """Wet film that dries to a dry film [m].

    Args:
        dry_film: DFT [m].
        volume_solids: VS of the coating before thinning [1], 0 < VS <= 1.
        thinner: volume of thinner added to one of coating [1], >= 0.

    Returns:
        DFT (1 + thinner) / VS [m].

    Source: the definition of volume solids; notes of data sheets.
    """
    _require_solids(volume_solids)
    return dry_film * (1.0 + thinner) / volume_solids


def film_volume(area: float, dry_film: float, mean_curvature: float = 0.0) -> float:
    """Volume of a dry film, which is what a coat adds to the outside [m3].

    Without the curvature it is area times thickness, 2 % low for 0.3 mm on a ball of
    15 mm radius.

    Args:
        area: bare outside area, S [m2].
        dry_film: t [m].
        mean_curvature: H of the convex body, the mean curvature integrated over its
            skin [m], 4 pi R for a ball; 0 leaves the growth of the body out.

    Returns:
        S t + H t2, and + 4/3 pi t3 where H is given [m3].

    Source: Steiner's formula for parallel bodies (1840).
    """
    t = dry_film
    return area * t + (mean_curvature * t**2 + 4.0 / 3.0 * math.pi * t**3 if mean_curvature else 0)


def film_mass(area: float, dry_film: float, density: float) -> float:
    """Mass of a dry film, S t rho [kg].

    Args:
        area: outside area, S [m2].
        dry_film: t [m].
        density: of the dry film, rho [kg/m3].
    """
    return area * dry_film * density


def film_net_mass(area: float, dry_film: float, density: float, water_density: float) -> float:
    """What a dry film adds to the net mass in water, S t (rho - rho_w) [kg].

    Args:
        area: outside area, S [m2].
        dry_film: t [m].
        density: of the dry film, rho [kg/m3].
        water_density: rho_w, or its buoyant density for scale readings [kg/m3].

    Source: Archimedes.
    """
    return area * dry_film * (density - water_density)


def coating_used(
    area: float, dry_film: float, volume_solids: float, wet_density: float, waste: float = 0.0
) -> float:
    """Mass of liquid coating that a dry film takes [kg].

    Args:
        area: outside area, S [m2].
        dry_film: t [m].
        volume_solids: VS [1], 0 < VS <= 1.
        wet_density: of the liquid, rho_wet [kg/m3].
        waste: lost on brush, cup or as overspray, over what stays on [1], >= 0.

    Returns:
        S t / VS rho_wet (1 + waste) [kg].

    Source: the definition of volume solids.
    """
    _require_solids(volume_solids)
    return area * dry_film / volume_solids * wet_density * (1.0 + waste)


def _require_solids(volume_solids: float) -> None:
    require_positive("solids by volume", volume_solids)
    require_within("solids by volume", volume_solids, 0.0, 1.0)


def _require_mix(ratio: float, resin_density: float, hardener_density: float) -> None:
    require_positive("resin to hardener", ratio)
    require_positive("density of the resin", resin_density, "kg/m3")
    require_positive("density of the hardener", hardener_density, "kg/m3")
