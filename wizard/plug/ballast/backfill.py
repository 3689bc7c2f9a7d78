"""What closes the holes: resin and hardener to mix, or dowels over hollow holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.physics.mixing import batch, batch_by_volume
from wizard.plug.ballast.parts import (
    DEFAULT_DOWEL,
    DEFAULT_FILLER,
    dowels_mass,
    filler_density,
    holes_volume,
    is_hollow,
    pieces_volume,
)
from wizard.plug.record import Ballast, Build, Resin

WASTE = 0.3
"""Of a small batch stays in the cup, over what is poured [1]: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Backfill:
    """What closes the holes of a build.

    Attributes:
        filler: its name.
        volume: of what is poured, or of the void behind dowels [m3].
        mass: of what stays in the plug: filler, or dowels [kg]; None while unknown.
        hollow: whether the holes are left empty behind dowels.
        waste: mixed beyond what is poured [1].
        resin_volume: to measure out [m3]; None where the tin does not say enough.
        hardener_volume: to measure out [m3]; None likewise.
        resin_mass: to weigh out [kg]; None likewise.
        hardener_mass: to weigh out [kg]; None likewise.
        pot_life: as the tin states it [s]; None if not typed.
        pot_temperature: at which it is stated [degC]; None if not typed.
        missing: what the tin must still say, in words.
        step_share: hardener too much or too little, on one of resin, for one step of the
            scale [1]; None where that is not known.
    """

    filler: str
    volume: float
    mass: float | None
    hollow: bool = False
    waste: float = 0.0
    resin_volume: float | None = None
    hardener_volume: float | None = None
    resin_mass: float | None = None
    hardener_mass: float | None = None
    pot_life: float | None = None
    pot_temperature: float | None = None
    missing: tuple[str, ...] = ()
    step_share: float | None = None


def backfill(build: Build) -> Backfill | None:
    """What closes the holes; None while holes and pieces are not laid out."""
    ballast = build.ballast
    if ballast is None:
        return None
    holes, metal = holes_volume(ballast), pieces_volume(ballast)
    if holes is None or metal is None:
        return None
    room = max(holes - metal, 0.0)
    if is_hollow(ballast):
        wood = ballast.dowel_wood or DEFAULT_DOWEL
        return Backfill(wood, room, dowels_mass(ballast), hollow=True)
    density = filler_density(ballast)
    mass = None if density is None else density * room
    return _mixed(build, ballast, room, mass)


def _mixed(build: Build, ballast: Ballast, room: float, mass: float | None) -> Backfill:
    tin = ballast.resin or Resin()
    waste = tin.waste.value if tin.waste else WASTE
    resin_volume, hardener_volume, resin_mass, hardener_mass = _parts(tin, room, mass, waste)
    step = build.weighing.resolution
    share = None
    if step is not None and resin_mass:
        share = step.value / resin_mass
    return Backfill(
        ballast.filler or DEFAULT_FILLER,
        room,
        mass,
        False,
        waste,
        resin_volume,
        hardener_volume,
        resin_mass,
        hardener_mass,
        tin.pot_life.value if tin.pot_life else None,
        tin.pot_temperature.value if tin.pot_temperature else None,
        tuple(_missing(tin)),
        share,
    )


def _missing(tin: Resin) -> Iterator[str]:
    if tin.resin_parts is None or tin.hardener_parts is None:
        yield "the parts of resin and hardener"
    if tin.parts_by is None:
        yield "whether the parts are by volume or by mass"
    if tin.resin_density is None or tin.hardener_density is None:
        yield "the densities of resin and hardener"


Parts = tuple[float | None, float | None, float | None, float | None]


def _parts(tin: Resin, room: float, mass: float | None, waste: float) -> Parts:
    """Volumes and masses of resin and hardener, as far as the tin tells.

    Without densities a ratio by volume still gives the volumes, and one by mass the
    masses, the mix taken to weigh what the hard filler does.
    """
    if tin.resin_parts is None or tin.hardener_parts is None or tin.parts_by is None:
        return None, None, None, None
    ratio = tin.resin_parts.value / tin.hardener_parts.value
    if tin.resin_density is not None and tin.hardener_density is not None:
        mix = batch_by_volume if tin.parts_by == "volume" else batch
        b = mix(room, ratio, tin.resin_density.value, tin.hardener_density.value, waste)
        return b.resin_volume, b.hardener_volume, b.resin_mass, b.hardener_mass
    share = ratio / (1.0 + ratio)
    if tin.parts_by == "volume":
        whole = room * (1.0 + waste)
        return share * whole, (1.0 - share) * whole, None, None
    if mass is None:
        return None, None, None, None
    whole = mass * (1.0 + waste)
    return None, None, share * whole, (1.0 - share) * whole
