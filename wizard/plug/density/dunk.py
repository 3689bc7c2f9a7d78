"""The sealed body held under water on the scale: its volume straight."""

from __future__ import annotations

from wizard.certainty import Cause, Uncertain, exact, measured
from wizard.physics.density import dunk_volume
from wizard.physics.parts import volume
from wizard.plug.account import account
from wizard.plug.doubts import bench_scale
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.plug.waters import water_under_scale
from wizard.quantity.reading import Quantity

MENISCUS = 1e-3
"""Relative standard uncertainty that needle and meniscus add to a dunk [1]: a judgement."""


def sealer_volume(build: Build) -> Uncertain:
    """Outside volume of the films that seal the body [m3]; zero where they are not known."""
    films = volume(p for p in account(build, None).of("coat") if p.stage == "sealed")
    return films if films is not None else exact(0.0)


def dunked_volume(build: Build) -> tuple[Uncertain | None, tuple[Finding, ...]]:
    """Volume of the body under its sealer by a dunk [m3]; None while it was not dunked.

    Nor is there one where the film alone would fill it.

    Source: Archimedes; the sealer's film, where it is known, is taken off.
    """
    at = build.weighing
    if at.gain is None:
        return None, ()
    water, findings = water_under_scale(build, at, ("weighing", "gain"))
    if water is None:
        return None, findings
    reading = bench_scale(build).reading(at.gain, ("weighing", "gain"), at.gain_again)
    held = dunk_volume(reading, water.buoyant)
    film = sealer_volume(build)
    if film.value >= held.value:
        return None, (*findings, _all_film(at.gain))
    needle = measured(0.0, MENISCUS * held.value, Cause("needle and meniscus", "stated"))
    return held - film + needle, findings


def _all_film(gain: Quantity) -> Finding:
    return Finding(
        "warning",
        ("weighing", "gain"),
        f"The coats that seal the body would fill more than it pushed aside ({gain.text}), so "
        "the dunk does not count.",
        "Look at the gain, and at the mass and thickness of these coats.",
    )
