"""The tank at home: what to mix into it, how to check it, what it means for the fishing water."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.certainty import Uncertain
from wizard.physics.brine import MixSheet, Salt, mix_sheet, sea_salt_content
from wizard.physics.proving import bottle_reading
from wizard.physics.validity import OutsideValidity
from wizard.physics.water import AIR_DENSITY, seawater_density
from wizard.plug.record import Build, Trial
from wizard.plug.tank.water import tank_temperature
from wizard.plug.waters import Water, fishing_water, tank_water

LITRES = 40e-3
"""A tank where no size is given [m3]: common practice, no source."""

BOTTLE = 0.5e-3
"""A bottle where none is weighed yet [m3]."""

SALTS: tuple[Salt, ...] = ("table salt", "sea salt")


@dataclass(frozen=True, slots=True)
class TankMix:
    """What to put into the tank so that it carries a plug as the fishing water does.

    Attributes:
        volume: of the tank [m3].
        temperature: of the tank [degC].
        salt: which salt.
        density: wanted, that of the fishing water [kg/m3].
        fresh: that of tap water in the tank [kg/m3].
        sheet: the amounts; None where tap water will do, or no salt can do it.
        why_not: why no salt can do it; empty if it can.
        assumed: whether nobody said how much the tank holds.
    """

    volume: float
    temperature: float
    salt: Salt
    density: float
    fresh: float
    sheet: MixSheet | None
    why_not: str
    assumed: bool

    @property
    def bottle_gain(self) -> float:
        """What a bottle of half a litre weighs more full of it than full of tap water [kg]."""
        return bottle_reading(
            0.0, BOTTLE * (self.fresh - AIR_DENSITY), self.fresh, self.density
        ) - (BOTTLE * (self.fresh - AIR_DENSITY))

    @property
    def gravity(self) -> float:
        """Specific gravity as a hydrometer shows it, against water of 20 degC [1]."""
        return self.density / seawater_density(20.0, 0.0)


ENOUGH = 0.1
"""Density within which tap water stands for the fishing water [kg/m3]: a gram in ten litres."""


def tank_mix(build: Build, volume: float | None = None, salt: Salt | None = None) -> TankMix | None:
    """How to bring the tank to the density of the fishing water.

    Args:
        build: the record.
        volume: of the tank [m3]; None takes the build's own, else a usual one.
        salt: which; None takes the build's own, else table salt.

    Returns:
        The mix; None while the fishing water is not known.
    """
    water, _ = fishing_water(build)
    temperature = tank_temperature(build)
    if water is None or temperature is None:
        return None
    own = build.tank
    told = volume or (own.volume.value if own.volume else None)
    held = told or LITRES
    kind = salt if salt is not None else next((s for s in SALTS if s == own.use), SALTS[0])
    present = _present(build, kind)
    try:
        fresh = seawater_density(temperature, 0.0)
    except OutsideValidity:
        return None
    sheet, why_not = None, ""
    if water.density > fresh + ENOUGH or present > 0:
        try:
            sheet = mix_sheet(held, temperature, water.density, kind, present)
        except OutsideValidity as error:
            why_not = str(error)
    return TankMix(held, temperature, kind, water.density, fresh, sheet, why_not, not told)


def _present(build: Build, kind: Salt) -> float:
    """What the tank holds of that salt already [g per kg of water]."""
    own = build.tank
    if kind == "table salt":
        return own.salt.value if own.salt else 0.0
    return sea_salt_content(own.salinity.value) if own.salinity else 0.0


def wanted_reading(build: Build, mix: TankMix) -> float | None:
    """What the maker's own bottle should weigh full of the right water [kg]."""
    at = build.tank
    if at.bottle_empty is None or at.bottle_tap is None:
        return None
    return bottle_reading(at.bottle_empty.value, at.bottle_tap.value, mix.fresh, mix.density)


def wanted_object(build: Build, mix: TankMix) -> float | None:
    """What the maker's test object must weigh to hang in the right water [kg]."""
    volume = build.tank.float_volume
    return None if volume is None else (mix.density - AIR_DENSITY) * volume.value


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a result in the tank means in the fishing water.

    Attributes:
        tank: the water of the tank.
        water: the fishing water.
        shift: what N gains from the tank to the fishing water [kg].
    """

    tank: Water
    water: Water
    shift: Uncertain


def meaning(build: Build, volume: Uncertain | None) -> Meaning | None:
    """How many grams lie between the tank and the fishing water; None while unknown.

    Args:
        build: the record.
        volume: V of the finished plug [m3].
    """
    water, _ = fishing_water(build)
    tank, _ = tank_water(build, Trial(), ("tank",))
    if water is None or tank is None or volume is None:
        return None
    return Meaning(tank, water, volume * (tank.density - water.density))
