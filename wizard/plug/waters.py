"""The waters of a build: where it is fished, under the scale, in the tank."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.physics.water import (
    OutsideValidity,
    buoyant_density,
    seawater_density,
    viscosity,
)
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build, Sample, Trial, Weighing
from wizard.quantity.showing import plain


@dataclass(frozen=True, slots=True)
class Water:
    """Some water at one atmosphere.

    Attributes:
        temperature: [degC].
        salinity: practical; of a brine, that of the sea water of its density, infinite
            where no sea is so dense.
        density: rho_w [kg/m3].
    """

    temperature: float
    salinity: float
    density: float

    @property
    def buoyant(self) -> float:
        """What stands in every balance of scale readings: rho_w - rho_a [kg/m3]."""
        return buoyant_density(self.density)

    @property
    def viscosity(self) -> float:
        """Of this water; a brine's is that of sea water of its density [Pa s].

        Raises:
            OutsideValidity: a brine denser than any sea.
        """
        return viscosity(self.temperature, self.salinity)


def _water(
    temperature: float, salinity: float, path: Path
) -> tuple[Water | None, tuple[Finding, ...]]:
    try:
        return Water(temperature, salinity, seawater_density(temperature, salinity)), ()
    except OutsideValidity as error:
        finding = Finding(
            "warning",
            path,
            f"The equation of state of water does not reach here: {error}.",
            "Its density, and all that needs it, is left out.",
        )
        return None, (finding,)


def fishing_water(build: Build) -> tuple[Water | None, tuple[Finding, ...]]:
    """The fishing water; None while it is not answered or out of range."""
    at = build.water
    if at.temperature is None or at.salinity is None:
        return None, ()
    return _water(at.temperature.value, at.salinity.value, ("water",))


def water_under_scale(
    build: Build, at: Sample | Weighing, path: Path
) -> tuple[Water | None, tuple[Finding, ...]]:
    """The water of a dunk: the fishing water unless said otherwise.

    A temperature or salinity of its own makes it another water, fresh unless
    its salinity is given.
    """
    fishing = build.water
    if at.temperature is None and at.salinity is None:
        water, findings = fishing_water(build)
        if water is not None and water.salinity > 0:
            said = Finding(
                "warning",
                path,
                f"The dunk is taken as made in the fishing water (S = {plain(water.salinity)}).",
                "If it was tap water, give its temperature.",
            )
            return water, (*findings, said)
        return water, findings
    if at.temperature is not None:
        temperature = at.temperature.value
    elif fishing.temperature is not None:
        temperature = fishing.temperature.value
    else:
        return None, ()
    return _water(temperature, at.salinity.value if at.salinity else 0.0, path)


def tank_water(build: Build, trial: Trial, path: Path) -> tuple[Water | None, tuple[Finding, ...]]:
    """The water of a trial; what it does not say is as in the tank, else as in the fishing water.

    A checked density of the tank stands for every trial that names no water of its own.
    """
    own = trial.temperature or trial.salinity or trial.salt
    t = trial.temperature or build.tank.temperature or build.water.temperature
    if t is None:
        return None, ()
    if own is None:
        from wizard.plug.tank.water import tank_checks

        checks, _ = tank_checks(build)
        if checks:
            return Water(t.value, _likeness(checks[0].density, t.value), checks[0].density), ()
    salted = trial if trial.salinity or trial.salt else build.tank
    if salted.salt is not None and salted.salt.value > 0:
        return _brine(t.value, salted.salt.value, path)
    if salted.salt is not None:
        return _water(t.value, 0.0, path)
    s = salted.salinity or build.water.salinity
    if s is None:
        return None, ()
    water, findings = _water(t.value, s.value, path)
    other = trial.temperature or build.tank.temperature
    if other and salted.salinity is None and s.value > 0:
        said = Finding(
            "warning",
            path,
            f"The tank is taken as salt as the fishing water (S = {plain(s.value)}).",
            "If it was not, give its salinity or salt.",
        )
        return water, (*findings, said)
    return water, findings


def _brine(temperature: float, salt: float, path: Path) -> tuple[Water | None, tuple[Finding, ...]]:
    from wizard.physics.brine import salt_brine_density

    try:
        density = salt_brine_density(temperature, salt)
    except OutsideValidity as error:
        return None, (Finding("warning", path, f"No density is known: {error}.", ""),)
    return Water(temperature, _likeness(density, temperature), density), ()


def _likeness(density: float, temperature: float) -> float:
    """Salinity of the sea water of a density; 0 for a lighter water, infinite where no sea is."""
    from wizard.physics.brine import salinity_for_density

    try:
        return salinity_for_density(density, temperature)
    except OutsideValidity as error:
        return 0.0 if error.value < error.low else math.inf
