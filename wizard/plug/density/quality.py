"""How good a density test is: what dominates its doubt, what that costs, what to do about it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain
from wizard.certainty.expanded import Expanded, expanded, expanded_share
from wizard.plug.chances import chance_of_aim
from wizard.plug.derived import Derived
from wizard.plug.record import Build

WANTED = 0.01
"""Relative expanded uncertainty of the body's volume at which a density can be trusted [1]."""

BOARD = "scatter of the board"
BODY = "weighing of the body"
MOISTURE = "moisture"
CARRIED = "value carried over"

_OWN_ERRORS = {
    "length_accuracy": "caliper's own error",
    "mass_accuracy": "scale's own error",
    "moisture_accuracy": MOISTURE,
}


def part_of(cause: Cause) -> str:
    """The part of a density test that a cause of doubt belongs to, in words."""
    key = cause.where.rsplit(".", 1)[-1]
    if cause.what == "scatter" and cause.where in ("density.sample", "density.board_scatter"):
        return BOARD
    if cause.what == "moisture":
        return MOISTURE
    if cause.what == "curvature":
        return "smallness of the piece"
    if key in _OWN_ERRORS:
        return _OWN_ERRORS[key]
    if cause.where.startswith("weighing.") and not key.startswith("gain"):
        return BODY
    if cause.what == "stated" and key == "uncertainty":
        return CARRIED
    return {"zero": "mass"}.get(key, key)


@dataclass(frozen=True, slots=True)
class Share:
    """What one part of the test brings to the doubt.

    Attributes:
        part: length, width, thickness, diameter, mass, gain, or what `part_of` calls it.
        u: relative standard uncertainty that it brings [1].
        share: of the variance [1].
    """

    part: str
    u: float
    share: float


def shares(value: Uncertain) -> tuple[Share, ...]:
    """What dominates the doubt of a value, largest part first."""
    squares: dict[str, float] = {}
    for cause, u in value.sources().items():
        part = part_of(cause)
        squares[part] = squares.get(part, 0.0) + u * u
    whole = math.fsum(squares.values())
    ordered = sorted(squares.items(), key=lambda pair: -pair[1])
    return tuple(
        Share(part, math.sqrt(square) / abs(value.value), square / whole)
        for part, square in ordered
        if square > 0
    )


@dataclass(frozen=True, slots=True)
class Trust:
    """How far a density can be trusted.

    Attributes:
        density: [kg/m3].
        expanded: its expanded uncertainty [kg/m3], for 95 of 100 cases.
        shares: what dominates it, largest first.
        volume: relative expanded uncertainty of the body's volume [1]; None without the body.
        scatter_known: whether the scatter of the board is in these numbers.
        ballast: what the wood's density alone does to the ballast, expanded [kg]; None
            while the ballast is not known.
        chance: that the plug does as asked [1], if known.
        chance_if_known: the same if the density had no doubt at all [1].
    """

    density: Uncertain
    expanded: Expanded
    shares: tuple[Share, ...]
    volume: float | None
    scatter_known: bool
    ballast: float | None
    chance: float | None
    chance_if_known: float | None

    @property
    def relative(self) -> float:
        """Relative expanded uncertainty of the density [1]."""
        return self.expanded.half_width / self.density.value

    @property
    def good(self) -> bool:
        """Whether the body's volume, or else the density, is known well enough to build on."""
        known = self.relative if self.volume is None else self.volume
        return self.scatter_known and 0.0 < known <= WANTED


def trust(build: Build, derived: Derived) -> Trust | None:
    """How far the density of a build can be trusted; None while there is none."""
    density = derived.wood.density
    if density is None:
        return None
    body = derived.value("body_volume")
    volume = None if body is None else expanded(body).half_width / body.value
    now, known = _chances(build, derived, density)
    return Trust(
        density,
        expanded(density),
        shares(density if body is None else body),
        volume,
        scatter_known(build, derived),
        _on_ballast(derived, density),
        now,
        known,
    )


def scatter_known(build: Build, derived: Derived) -> bool:
    """Whether the board's own scatter is in the doubt of the density."""
    wood = derived.wood
    if build.density.board_scatter is not None or len(wood.samples) > 1:
        return True
    if wood.basis == "blank" or not wood.samples:
        return False
    row = int(wood.samples[0].path[2])
    return build.density.sample[row].method in ("known", "body")


def _of_density(value: Uncertain, density: Uncertain) -> Mapping[Cause, float]:
    """What the causes of the density's doubt do to a value."""
    own = density.sources()
    return {cause: u for cause, u in value.sources().items() if cause in own}


def _on_ballast(derived: Derived, density: Uncertain) -> float | None:
    ballast = derived.value("ballast_mass") or derived.value("bench_ballast")
    if ballast is None:
        return None
    return expanded_share(_of_density(ballast, density)).half_width


def _chances(
    build: Build, derived: Derived, density: Uncertain
) -> tuple[float | None, float | None]:
    """The chance of the aim as it is, and if the density were known exactly [1]."""
    net, mass = derived.value("net_in_water"), derived.value("finished_mass")
    if net is None or mass is None:
        return None, None
    sure = net.without(density.sources())
    return chance_of_aim(build, net, mass.value), chance_of_aim(build, sure, mass.value)
