"""The water: its density, viscosity and surface tension at the bench and at sea.

Not 1.000 and 1.025: between a warm pond and a cold sea lie three parts in a
hundred, and a suspender is balanced to a few parts in ten thousand.

Sources:
    Millero and Poisson (1981), International one-atmosphere equation of state
    of seawater, Deep-Sea Research 28A, 625-629, as in Unesco Technical Papers
    in Marine Science 44 (1983), eq. 13-14 (EOS-80).
    Sharqawy, Lienhard and Zubair (2010), Thermophysical properties of
    seawater, Desalination and Water Treatment 16, 354-380, eq. 22-23.
    IAPWS R1-76 (2014), Revised release on surface tension of ordinary water.
"""

from __future__ import annotations

import math

from wizard.physics.validity import OutsideValidity, require_within

__all__ = [
    "ABSOLUTE_PER_PRACTICAL",
    "AIR_DENSITY",
    "GRAVITY",
    "SALINITIES",
    "TEMPERATURES",
    "OutsideValidity",
    "buoyant_density",
    "seawater_density",
    "surface_tension",
    "viscosity",
]

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s2] (3rd CGPM, 1901)."""

AIR_DENSITY = 1.2
"""Density of the air round the scale [kg/m3]: the reference value of OIML D 28."""

TEMPERATURES = (0.0, 40.0)
"""Range of the density equation in temperature [degC]."""

SALINITIES = (0.0, 42.0)
"""Range of the density equation in practical salinity (Unesco 44)."""

ABSOLUTE_PER_PRACTICAL = 35.16504 / 35.0
"""Salt in sea water [g/kg] per unit of practical salinity (TEOS-10 manual, 2010)."""

# Ascending powers of temperature on IPTS-68; kg/m3.
_PURE = (999.842594, 6.793952e-2, -9.09529e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
_SALT = (0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
_SALT_3_2 = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
_SALT_2 = 4.8314e-4
_T68_PER_T90 = 1.00024


def seawater_density(temperature: float, salinity: float) -> float:
    """Density of fresh, brackish or sea water at one atmosphere, rho_w.

    Args:
        temperature: t [degC, ITS-90], 0 to 40; the equation's own scale is
            IPTS-68, t68 = 1.00024 t.
        salinity: S [practical salinity], 0 to 42; of sea salt, not of table salt.

    Returns:
        Density A(t) + B(t) S + C(t) S^1.5 + D S^2 [kg/m3], with a standard
        error of the fit of 0.0036 kg/m3 (from memory).

    Raises:
        OutsideValidity: outside the equation of state.

    Source: Millero and Poisson (1981).

    >>> round(seawater_density(20.0, 0.0), 3), round(seawater_density(20.0, 35.0), 3)
    (998.205, 1024.762)
    """
    _require_bench_water(temperature, salinity)
    t = _T68_PER_T90 * temperature
    S = salinity
    # A derivative taken at S = 0 reaches a hair below it, where no root exists.
    S_3_2 = math.pow(max(S, 0.0), 1.5)
    return (
        _polynomial(_PURE, t)
        + _polynomial(_SALT, t) * S
        + _polynomial(_SALT_3_2, t) * S_3_2
        + _SALT_2 * S * S
    )


def buoyant_density(water_density: float) -> float:
    """The water's own share of the push, rho = rho_w - rho_a, for masses in scale grams.

    Every mass here is a scale reading in air, where the air has already carried
    rho_a V of the body. Under water the rest is missing: a body of volume V
    hangs when its reading is (rho_w - rho_a) V, not rho_w V. This difference
    therefore stands in every balance of a reading against a volume. It is
    0.06 g on a 50 mL plug.

    Args:
        water_density: rho_w [kg/m3].

    Returns:
        rho_w - rho_a [kg/m3].

    Source: Archimedes, in air and in water; conventional weighing as OIML D 28.

    >>> buoyant_density(1000.0)
    998.8
    """
    return water_density - AIR_DENSITY


def viscosity(temperature: float, salinity: float) -> float:
    """Dynamic viscosity of fresh, brackish or sea water, mu.

    Known to about 1 %: another fit (Landolt-Boernstein V/3a, 1986) is lower by
    up to 1.2 %. A sink rate moves by far less.

    Args:
        temperature: t [degC, ITS-90], 0 to 40 (the fit reaches to 180).
        salinity: practical salinity, 0 to 42 (the fit reaches to 150 g/kg).

    Returns:
        mu_w (1 + A S + B S^2) [Pa s], S in kg of salt per kg of sea water.

    Raises:
        OutsideValidity: outside the range that the density has too.

    Source: Sharqawy and others (2010), eq. 22-23.

    >>> f"{viscosity(20.0, 0.0):.3e}"
    '1.002e-03'
    """
    _require_bench_water(temperature, salinity)
    t = temperature
    S = ABSOLUTE_PER_PRACTICAL * salinity / 1000.0
    mu_w = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993) ** 2 - 91.296)
    A = 1.541 + 1.998e-2 * t - 9.52e-5 * t * t
    B = 7.974 - 7.561e-2 * t + 4.724e-4 * t * t
    return mu_w * (1.0 + A * S + B * S * S)


def surface_tension(temperature: float) -> float:
    """Surface tension of clean fresh water against air, sigma.

    It is what a meniscus round a needle pulls with, up to pi d sigma. A trace of
    soap or grease lowers it much, so it bounds an error and corrects none.

    Args:
        temperature: t [degC], 0 to 40 (the release reaches to the critical point).

    Returns:
        B tau^mu (1 + b tau) [N/m], tau = 1 - T/Tc.

    Raises:
        OutsideValidity: outside the temperatures of a bench.

    Source: IAPWS R1-76 (2014).

    >>> round(surface_tension(20.0), 5)
    0.07274
    """
    require_within("water temperature", temperature, *TEMPERATURES, "degC")
    tau = 1.0 - (temperature + 273.15) / 647.096
    return 0.2358 * math.pow(tau, 1.256) * (1.0 - 0.625 * tau)


def _require_bench_water(temperature: float, salinity: float) -> None:
    require_within("water temperature", temperature, *TEMPERATURES, "degC")
    require_within("salinity", salinity, *SALINITIES, "g/kg")


def _polynomial(coefficients: tuple[float, ...], x: float) -> float:
    """Value of a polynomial with ascending coefficients, by Horner's rule."""
    value = 0.0
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value
