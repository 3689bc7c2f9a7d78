"""Tank water mixed to stand for the sea: how much salt, table salt or sea salt.

The tank answers for the sea only where its density does. Table salt isn't sea
salt: a brine of 35 g of table salt per kg is 1.7 kg/m3 lighter than sea water of
S = 35, so one mixes for density and checks it with a weighed bottle. Salt is
counted in g per kg of the *water* it goes into, as it is weighed at the tank.

Viscosity of a brine: that of sea water of the same density is 2 % too high (the
model of Laliberte 2007), which moves a sink rate by less than 0.1 %.

Sources:
    Laliberte and Cooper (2004), Model for calculating the density of aqueous
    electrolyte solutions, J. Chem. Eng. Data 49, 1141-1151, with the NaCl
    coefficients as updated by Laliberte (2009), J. Chem. Eng. Data 54,
    1725-1760; below 15 degC after the table of Rogers and Pitzer (1982),
    J. Phys. Chem. Ref. Data 11, 15-81, from which the model drifts in the cold.
    The equation of state of sea water: see the module `water`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from wizard.physics.roots import root_between
from wizard.physics.validity import HAIR, OutsideValidity, require_positive, require_within
from wizard.physics.water import ABSOLUTE_PER_PRACTICAL, SALINITIES, seawater_density

Salt = Literal["table salt", "sea salt"]

TABLE_SALT_LIMIT = 117.0
"""Most table salt [g per kg of water] that the formula was checked for here.

That is 2 mol/kg, 1070 kg/m3: the end of the tables beside which it was laid.
"""

_APPARENT = (
    -0.00324112223655149,
    0.0636354335906616,
    1.01371399467365,
    0.0145951015210159,
    3317.34854426537,
)

_COLD = 15.0
"""Below this [degC] the model falls short of the tables, by up to 0.9 kg/m3 at freezing."""

_SHORT = (0.0371, 0.0013, -0.0127)
"""Fit of that shortfall, in mol per kg of water and degC below `_COLD`; it meets the table of
Rogers and Pitzer within 0.05 kg/m3 of how far the model is off at 15 degC."""

_MOLAR_MASS = 58.443
"""Of NaCl [g/mol] (IUPAC atomic weights)."""


@dataclass(frozen=True, slots=True)
class MixSheet:
    """What to put into the tank.

    Attributes:
        water: mass of the water itself in the tank [kg].
        content: salt in the wanted brine [g per kg of water].
        salt: dry salt to add [kg]; negative where the tank holds too much already.
        brine_volume: what the tank then holds [m3].
    """

    water: float
    content: float
    salt: float
    brine_volume: float

    @property
    def share_to_change(self) -> float:
        """How much of a brine that is too strong to pour out and replace by fresh water [1].

        Source: balance of the salt, (1 - f) (content + excess) = content.
        """
        excess = -1000.0 * self.salt / self.water
        return excess / (self.content + excess) if excess > 0 else 0.0


def salt_brine_density(temperature: float, salt: float) -> float:
    """Density of table salt (NaCl) in fresh water.

    It agrees with the tables of the CRC Handbook and of Rogers and Pitzer (1982)
    within 0.3 kg/m3, that is 0.4 g of salt per kg of water. The water's own
    density is that of the equation of state used everywhere else, within
    0.002 kg/m3 of the one in the paper.

    Args:
        temperature: t [degC], 0 to 40 (the fit reaches to 140).
        salt: NaCl [g per kg of water], 0 to 117; the mass fraction is
            w = salt / (1000 + salt).

    Returns:
        1 / ((1 - w) / rho_w + w / rho_app) [kg/m3], with the apparent density
        rho_app = (c0 w + c1) exp(1e-6 (t + c4)^2) / (w + c2 + c3 t); in the cold
        with what the model lacks beside the table of Rogers and Pitzer.

    Raises:
        OutsideValidity: beyond the tables it was checked with.

    Source: Laliberte and Cooper (2004), coefficients of Laliberte (2009); Rogers and
        Pitzer (1982).

    >>> round(salt_brine_density(20.0, 38.9), 1)
    1024.8
    """
    require_within("table salt", salt, 0.0, TABLE_SALT_LIMIT, "g per kg of water")
    rho_w = seawater_density(temperature, 0.0)
    c0, c1, c2, c3, c4 = _APPARENT
    w = salt / (1000.0 + salt)
    rho_app = (c0 * w + c1) * math.exp(1e-6 * (temperature + c4) ** 2)
    rho_app /= w + c2 + c3 * temperature
    return 1.0 / ((1.0 - w) / rho_w + w / rho_app) + _lacking(temperature, salt)


def _lacking(temperature: float, salt: float) -> float:
    """What the model lacks in the cold [kg/m3]; nothing from 15 degC on."""
    below, b = max(_COLD - temperature, 0.0), salt / _MOLAR_MASS
    once, twice, crowded = _SHORT
    return b * below * (once + twice * below + crowded * b)


def salt_for_density(density: float, temperature: float) -> float:
    """Table salt that gives fresh water a wanted density.

    Args:
        density: wanted [kg/m3].
        temperature: of the tank [degC].

    Returns:
        NaCl [g per kg of water].

    Raises:
        OutsideValidity: lighter than fresh water, or beyond the formula.

    Source: inverse of `salt_brine_density`.
    """
    return _amount_for_density(
        lambda salt: salt_brine_density(temperature, salt), density, TABLE_SALT_LIMIT
    )


def salinity_for_density(density: float, temperature: float) -> float:
    """Practical salinity of sea water that has a given density.

    Args:
        density: [kg/m3], for example from a hydrometer or a weighed bottle.
        temperature: at which it was read [degC].

    Returns:
        Practical salinity.

    Raises:
        OutsideValidity: lighter than fresh water, or beyond S = 42.

    Source: inverse of `seawater_density`.
    """
    return _amount_for_density(
        lambda salinity: seawater_density(temperature, salinity), density, SALINITIES[1]
    )


def sea_salt_for_density(density: float, temperature: float) -> float:
    """Dry sea salt that gives fresh water a wanted density.

    A bought mix holds some water of its own and does not have quite the sea's
    composition (from memory): weigh a bottle of the brine before trusting it.

    Args:
        density: wanted [kg/m3].
        temperature: of the tank [degC].

    Returns:
        Sea salt [g per kg of water].

    Raises:
        OutsideValidity: lighter than fresh water, or beyond S = 42.

    Source: inverse of `seawater_density`, with 1.00472 g of salt per kg of sea
    water for a unit of practical salinity (TEOS-10 manual, 2010).
    """
    return sea_salt_content(salinity_for_density(density, temperature))


def mix_sheet(
    volume: float, temperature: float, density: float, salt: Salt, present: float = 0.0
) -> MixSheet:
    """Salt to add to a tank so that its water gets a wanted density.

    Args:
        volume: what the tank holds now [m3].
        temperature: of the tank [degC].
        density: wanted [kg/m3].
        salt: which salt.
        present: salt of that sort already in it [g per kg of water].

    Returns:
        The amounts; mixed to the density of the sea, the tank stands 1 % fuller.

    Raises:
        OutsideValidity: where that salt can't give the wanted density.

    Source: balance of water and salt; the two densities above.

    >>> sheet = mix_sheet(0.040, 20.0, 1024.762, "table salt")
    >>> round(sheet.water, 2), round(sheet.salt, 2)
    (39.93, 1.55)
    """
    require_positive("tank volume", volume, "m3")
    if salt == "table salt":
        now = salt_brine_density(temperature, present)
        content = salt_for_density(density, temperature)
    else:
        now = seawater_density(temperature, _salinity(present))
        content = sea_salt_for_density(density, temperature)
    water = volume * now / (1.0 + present / 1000.0)
    brine = water * (1.0 + content / 1000.0)
    return MixSheet(water, content, water * (content - present) / 1000.0, brine / density)


def sea_salt_content(salinity: float) -> float:
    """Sea salt [g per kg of water] in sea water of a practical salinity.

    Source: 1.00472 g of salt per kg of sea water for a unit of it (TEOS-10 manual, 2010).
    """
    S_A = ABSOLUTE_PER_PRACTICAL * salinity
    return 1000.0 * S_A / (1000.0 - S_A)


def _salinity(content: float) -> float:
    """Practical salinity of water with so much sea salt [g per kg of water]."""
    return 1000.0 * content / (1000.0 + content) / ABSOLUTE_PER_PRACTICAL


def _amount_for_density(
    density_of: Callable[[float], float], density: float, limit: float
) -> float:
    """The amount of salt, 0 to limit and half a hair more, at which a density is reached."""
    least, most = -0.5 * HAIR * limit, (1.0 + 0.5 * HAIR) * limit
    lightest, heaviest = density_of(least), density_of(most)
    if not lightest <= density <= heaviest:
        raise OutsideValidity("density", density, lightest, heaviest, "kg/m3")
    return root_between(lambda amount: density_of(amount) - density, least, most)
