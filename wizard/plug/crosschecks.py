"""One volume against another: weighed, drawn, dunked."""

from __future__ import annotations

import math

from wizard.certainty import Uncertain
from wizard.physics.density import dunk_volume
from wizard.plug.account import Account, body_mass
from wizard.plug.doubts import bench_scale
from wizard.plug.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.plug.waters import water_under_scale

GIRTH = (0.9, 1.1)
"""Girth factors outside this range want a look: common practice, no source."""

SIX_FOLD = 4.0
"""From here a slip of the scale counts so much that the volume is better had otherwise."""


def girth_factor(build: Build, body_volume: Uncertain | None) -> float | None:
    """The factor on heights and breadths that makes the drawn volume the weighed one [1]."""
    body = drawn_body(build)
    if body is None or body_volume is None:
        return None
    return math.sqrt(body_volume.value / body.volume)


def dunked_volume(build: Build) -> tuple[Uncertain | None, tuple[Finding, ...]]:
    """Volume of the sealed body by a dunk [m3]; None while it was not dunked."""
    gain = build.weighing.gain
    if gain is None:
        return None, ()
    water, findings = water_under_scale(build, build.weighing, ("weighing", "gain"))
    if water is None:
        return None, findings
    reading = bench_scale(build).reading(gain, ("weighing", "gain"))
    return dunk_volume(reading, water.buoyant), findings


def volume_findings(build: Build, known: Account) -> tuple[Finding, ...]:
    """Volumes that disagree, and a wood so light that the scale is a poor judge."""
    volume, wood = known.body_volume, known.wood_density
    if volume is None or wood is None:
        return ()
    out: list[Finding] = []
    dunked, said = dunked_volume(build)
    out.extend(said)
    if dunked is not None:
        gap = dunked - volume
        if abs(gap.value) > 2 * gap.u and abs(gap.value) > 1e-3 * volume.value:
            out.append(_disagree("dunk", dunked.value, volume.value))
    girth = girth_factor(build, volume)
    if girth is not None and not GIRTH[0] <= girth <= GIRTH[1]:
        body = drawn_body(build)
        assert body is not None
        out.append(_disagree("drawn shape", body.volume, volume.value, girth))
    slip = abs(1.0 - 1000.0 / wood.value)
    if slip > SIX_FOLD and dunked is None and girth is None and body_mass(build) is not None:
        out.append(
            Finding(
                "warning",
                ("weighing", "mass"),
                f"In wood this light a slip of the scale counts {slip:.1f} times over.",
                "Dunk the sealed body or draw its shape: either gives a better volume.",
            )
        )
    return tuple(out)


def _disagree(what: str, other: float, weighed: float, girth: float | None = None) -> Finding:
    ml = 1e6
    tail = f" (girth factor {girth:.2f})" if girth else ""
    causes = (
        "an air bubble, a soaking body, or tap water taken for salt"
        if what == "dunk"
        else "a side misread, inches taken for centimetres, or a body carved off its drawing"
    )
    return Finding(
        "warning",
        ("weighing", "mass"),
        f"The weighed body holds {weighed * ml:.3g} mL, the {what} {other * ml:.3g} mL{tail}.",
        f"They disagree. Likely: {causes}, or a slip in the density sample.",
    )
