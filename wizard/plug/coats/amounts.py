"""What to mix for a coat: from the skin of the plug over film and solids to grams in the cup."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.physics.mixing import (
    Batch,
    batch,
    batch_by_volume,
    batch_of_mass,
    coating_used,
    film_mass,
    film_volume,
    spreading_rate,
    wet_film,
    working_time,
)
from wizard.plug.account import coat_density
from wizard.plug.body.drawing import drawn_body
from wizard.plug.coats.schedule import plugs
from wizard.plug.coats.tins import coat_kind, coat_of, kind_of
from wizard.plug.record import Build, Operation
from wizard.tables import CoatKind, applications

ESTIMATE_HOLDS = 0.15
"""How far off an estimated skin may well be [1]: a judgement."""

SOLID = 0.95
"""Solids by volume from which the liquid is taken to be as dense as its film [1]: a judgement."""


@dataclass(frozen=True, slots=True)
class Skin:
    """The area that a coat has to cover on one plug.

    Attributes:
        area: [m2].
        basis: what it was taken from, in words.
        estimated: whether it is a guess and no drawn shape: for mixing only.
    """

    area: float
    basis: str
    estimated: bool


@dataclass(frozen=True, slots=True)
class Amount:
    """What one coat takes.

    Attributes:
        skin: what is covered on one plug.
        plugs: how many.
        dry_film: [m].
        wet_film: [m].
        spread: area that a volume covers, without losses [m2/m3].
        loss: beside the plug, over what stays on [1].
        film_mass: of the dry film on one plug [kg]; None while its density is unknown.
        film_volume: of the dry film on one plug [m3].
        liquid_volume: for all plugs, with the loss [m3].
        liquid_mass: the same [kg]; None where no density of the liquid is known.
        parts: volumes of resin and hardener [m3]; None for a coat in one part.
        batch: what to weigh out of each; None where that is not known.
        pot_life: how long the mix can be worked in this shop [s]; None where it is not known.
        typical: what nobody typed, in words.
    """

    skin: Skin
    plugs: int
    dry_film: float
    wet_film: float
    spread: float
    loss: float
    film_mass: float | None
    film_volume: float
    liquid_volume: float
    liquid_mass: float | None
    parts: tuple[float, float] | None
    batch: Batch | None
    pot_life: float | None
    typical: tuple[str, ...]


def skin(build: Build) -> Skin | None:
    """The skin to coat: of the drawn shape, else an estimate; None where nothing tells."""
    body = drawn_body(build)
    if body is not None:
        return Skin(body.area, "the drawn shape", False)
    from wizard.physics.estimates import ellipsoid_area, spindle_area

    shape, stock = build.shape, build.stock
    if shape.length and shape.height and shape.thickness:
        sides = (shape.length.value, shape.height.value, shape.thickness.value)
        return Skin(ellipsoid_area(*sides), "length, height and thickness of the body", True)
    length = shape.length or stock.length
    volume = _rough_volume(build)
    if length and volume is not None:
        return Skin(spindle_area(length.value, volume), "length and volume of the body", True)
    if stock.length and stock.width and stock.thickness and stock.length.value < 0.6:
        sides = (stock.length.value, stock.width.value, stock.thickness.value)
        return Skin(ellipsoid_area(*sides), "the sides of the blank", True)
    return None


def _rough_volume(build: Build) -> float | None:
    """Volume of the body by its mass and the density of the wood [m3]."""
    from wizard.plug.density.wood import wood_test

    density = wood_test(build).density
    if build.weighing.mass is None or density is None or density.value <= 0:
        return None
    return build.weighing.mass.value / density.value


def amount(build: Build, row: Operation) -> Amount | None:
    """What a coat takes; None for an operation that lays none, or while no skin is known."""
    covered, found = skin(build), coat_kind(build, row)
    if covered is None or found is None:
        return None
    typical: list[str] = []
    dry = _dry_film(build, row, covered.area, found[0], typical)
    solids, loss = _solids(row, found[0], typical), _loss(build, row, typical)
    coat = coat_of(build, row)
    density = coat_density(coat) if coat is not None else None
    if density is None:
        density = found[0].density.typical
        typical.append("density of the film")
    count = plugs(build)
    volume = count * covered.area * wet_film(dry, solids) * (1.0 + loss)
    liquid = _liquid_density(row, density, solids, typical)
    parts, weighed = _mixed(row, volume, liquid)
    total = weighed.mass if weighed is not None else None
    if total is None and liquid is not None:
        total = count * coating_used(covered.area, dry, solids, liquid, loss)
    return Amount(
        covered,
        count,
        dry,
        wet_film(dry, solids),
        spreading_rate(solids, dry),
        loss,
        film_mass(covered.area, dry, density),
        film_volume(covered.area, dry),
        volume,
        total,
        parts,
        weighed,
        _pot_life(build, row),
        tuple(typical),
    )


def _dry_film(
    build: Build, row: Operation, area: float, kind: CoatKind, typical: list[str]
) -> float:
    coat = coat_of(build, row)
    if coat is not None and coat.thickness is not None and coat.thickness.value > 0:
        return coat.thickness.value
    density = coat_density(coat) if coat is not None else None
    if coat is not None and coat.mass is not None and coat.mass.value > 0 and density:
        return coat.mass.value / (density * area)
    typical.append("dry film")
    return kind.film.typical


def _solids(row: Operation, kind: CoatKind, typical: list[str]) -> float:
    if row.volume_solids is not None:
        return row.volume_solids.value
    typical.append("solids")
    return kind.volume_solids.typical


def _loss(build: Build, row: Operation, typical: list[str]) -> float:
    if row.loss is not None:
        return row.loss.value
    kind = kind_of(build, row)
    applied = row.applied or (kind.applied if kind is not None else None) or "brush"
    typical.append(f"loss ({applications()[applied].name})")
    return applications()[applied].loss.typical


def _liquid_density(row: Operation, film: float, solids: float, typical: list[str]) -> float | None:
    """Density of the coat as it is in the cup [kg/m3]; None where nothing tells."""
    if row.liquid_density is not None:
        return row.liquid_density.value
    if solids < SOLID:
        return None
    if row.resin_density is None or row.hardener_density is None:
        typical.append("the liquid as dense as the film")
    return film


def _mixed(
    row: Operation, volume: float, liquid: float | None
) -> tuple[tuple[float, float] | None, Batch | None]:
    """Volumes of resin and hardener, and the batch by weight as far as it is known."""
    if row.resin_parts is None or row.hardener_parts is None or row.parts_by is None:
        return None, None
    ratio = row.resin_parts.value / row.hardener_parts.value
    if row.resin_density is not None and row.hardener_density is not None:
        by = batch if row.parts_by == "mass" else batch_by_volume
        made = by(volume, ratio, row.resin_density.value, row.hardener_density.value)
        return (made.resin_volume, made.hardener_volume), made
    if row.parts_by == "mass":
        if liquid is None:
            return None, None
        made = batch_of_mass(volume * liquid, ratio, liquid, liquid)
        return None, made
    return (volume * ratio / (1.0 + ratio), volume / (1.0 + ratio)), None


def _pot_life(build: Build, row: Operation) -> float | None:
    """Pot life at the temperature of the shop, that of the tin taken as at 23 degC [s]."""
    if row.pot_life is None:
        return None
    shop = build.schedule.temperature
    if shop is None:
        return row.pot_life.value
    return working_time(row.pot_life.value, STATED_AT, shop.value)


STATED_AT = 23.0
"""Temperature for which tins usually state their times [degC]: common practice, from memory."""
