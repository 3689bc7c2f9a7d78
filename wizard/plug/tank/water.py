"""The density of the tank's water as checked: by a bottle, a hydrometer, an object that hangs."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from wizard.physics.proving import density_by_bottle, density_by_hanging
from wizard.physics.validity import OutsideValidity
from wizard.physics.water import seawater_density
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build

APART = 1.0
"""Checks that differ by more are named [kg/m3]: a hydrometer's step, from memory."""


@dataclass(frozen=True, slots=True)
class Check:
    """One way to the tank's density.

    Attributes:
        how: in words.
        path: where its reading stands.
        density: [kg/m3].
    """

    how: str
    path: Path
    density: float


def tank_temperature(build: Build) -> float | None:
    """Temperature of the tank: as typed, else that of the fishing water [degC]."""
    at = build.tank.temperature or build.water.temperature
    return None if at is None else at.value


def tank_checks(build: Build) -> tuple[tuple[Check, ...], tuple[Finding, ...]]:
    """Every check that is complete, the most certain first, and what is wrong with the others."""
    checks: list[Check] = []
    findings: list[Finding] = []
    for way in (_by_bottle, _by_hydrometer, _by_object):
        try:
            found = way(build)
        except OutsideValidity as error:
            path: Path = ("tank", "bottle_full")
            findings.append(Finding("warning", path, f"The check can't be used: {error}.", ""))
            continue
        if found is not None:
            checks.append(found)
    findings += [_apart(a, b) for a, b in pairwise(checks) if abs(a.density - b.density) > APART]
    return tuple(checks), tuple(findings)


def _by_bottle(build: Build) -> Check | None:
    at, temperature = build.tank, tank_temperature(build)
    if at.bottle_empty is None or at.bottle_tap is None or at.bottle_full is None:
        return None
    if temperature is None:
        return None
    tap = seawater_density(temperature, 0.0)
    density = density_by_bottle(
        at.bottle_empty.value, at.bottle_full.value, at.bottle_tap.value, tap
    )
    return Check("the weighed bottle", ("tank", "bottle_full"), density)


def _by_hydrometer(build: Build) -> Check | None:
    at = build.tank.density
    return None if at is None else Check("the hydrometer", ("tank", "density"), at.value)


def _by_object(build: Build) -> Check | None:
    at = build.tank
    if at.float_mass is None or at.float_volume is None:
        return None
    density = density_by_hanging(at.float_mass.value, at.float_volume.value)
    return Check("the object that hangs in it", ("tank", "float_mass"), density)


def _apart(first: Check, other: Check) -> Finding:
    return Finding(
        "warning",
        other.path,
        f"{_capital(other.how)} says {other.density / 1000:.4f} g/mL, {first.how} "
        f"{first.density / 1000:.4f} g/mL; {first.how} counts.",
        "Stir, let the bubbles out, and check again.",
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
