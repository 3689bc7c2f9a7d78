"""The weight account: the list of parts of a build, as far as it goes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from wizard.certainty import Uncertain, exact
from wizard.physics.parts import ORDER, Part, Place, Stage, weighed
from wizard.plug.doubts import bench_scale, instrument, without_drift
from wizard.plug.drawing import drawn_body
from wizard.plug.paths import Path
from wizard.plug.record import Ballast, Build, Coat, Hardware, Hole, Piece

DEFAULT_METAL = "lead"
DEFAULT_FILLER = "epoxy"


def body_mass(build: Build) -> Uncertain | None:
    """The bare body as weighed [kg]; None while it is not."""
    at = build.weighing
    if at.mass is None:
        return None
    reading = bench_scale(build).reading(at.mass, ("weighing", "mass"), at.mass_again)
    return without_drift(reading, at.zero, ("weighing", "zero"))


def ballast_density(ballast: Ballast) -> float | None:
    """Density of the ballast metal: as typed, else from the table, else None [kg/m3]."""
    if ballast.density:
        return ballast.density.value
    from wizard.tables import find_metal

    row = find_metal(ballast.metal or DEFAULT_METAL)
    return row.density.typical if row else None


def filler_density(ballast: Ballast) -> float | None:
    """Density of the backfill: as typed, else from the table, else None [kg/m3]."""
    if ballast.filler_density:
        return ballast.filler_density.value
    from wizard.tables import find_filler

    row = find_filler(ballast.filler or DEFAULT_FILLER)
    return row.density.typical if row else None


def hole_volume(hole: Hole) -> float | None:
    """Volume of a drilled hole [m3]; None while its size is not answered."""
    if hole.diameter is None or hole.depth is None:
        return None
    if hole.point is None:
        return math.pi / 4.0 * hole.diameter.value**2 * hole.depth.value
    from wizard.physics import holes

    point = min(hole.point.value, math.pi)
    return holes.Hole(0, 0, 0, "up", hole.diameter.value, hole.depth.value, point).volume


def hole_volumes(ballast: Ballast) -> list[float | None]:
    """Volume of each ballast hole as it really gets [m3]: by plan, times the maker's factor."""
    factor = ballast.hole_factor.value if ballast.hole_factor else 1.0
    planned = [hole_volume(hole) for hole in ballast.hole]
    return [None if volume is None else factor * volume for volume in planned]


def holes_volume(ballast: Ballast) -> float | None:
    """Volume of all ballast holes [m3]; None while none is laid out or one is incomplete."""
    volumes = hole_volumes(ballast)
    if not volumes or any(v is None for v in volumes):
        return None
    return sum(v for v in volumes if v is not None)


def pieces_mass(ballast: Ballast) -> float | None:
    """Mass of the pieces laid out [kg]; None while there are none or one is incomplete."""
    if not ballast.piece or any(p.mass is None for p in ballast.piece):
        return None
    return sum(p.count * p.mass.value for p in ballast.piece if p.mass)


def pieces_volume(ballast: Ballast) -> float | None:
    """Volume of the pieces laid out [m3]; None while it can't be known."""
    metal = ballast_density(ballast)
    if pieces_mass(ballast) is None or metal is None:
        return None
    return sum(_mass(p) / _density(p, metal) for p in ballast.piece)


def hole_ratio(ballast: Ballast) -> float:
    """Hole volume per ballast volume, q [1]: as typed, else 1, ballast that fills its hole."""
    return ballast.hole_ratio.value if ballast.hole_ratio else 1.0


@dataclass(frozen=True, slots=True)
class Fill:
    """What goes into one hole: mass [kg] and volume [m3] of its ballast."""

    mass: float
    volume: float


def _fills(ballast: Ballast, volumes: list[float], mass: float, density: float) -> list[Fill]:
    """Ballast hole by hole: named pieces in theirs, the rest shared by volume."""
    own: list[list[Piece]] = [[] for _ in volumes]
    loose_mass, loose_volume = mass, mass / density
    for piece in ballast.piece if pieces_mass(ballast) is not None else ():
        if piece.hole is not None and piece.mass is not None:
            own[piece.hole - 1].append(piece)
    if pieces_mass(ballast) is not None:
        loose = [p for p in ballast.piece if p.hole is None]
        loose_mass = sum(_mass(p) for p in loose)
        loose_volume = sum(_mass(p) / _density(p, density) for p in loose)
    whole = sum(volumes)
    return [
        Fill(
            sum(_mass(p) for p in pieces) + loose_mass * v / whole,
            sum(_mass(p) / _density(p, density) for p in pieces) + loose_volume * v / whole,
        )
        for pieces, v in zip(own, volumes, strict=True)
    ]


def _mass(piece: Piece) -> float:
    return piece.count * piece.mass.value if piece.mass else 0.0


def _density(piece: Piece, default: float) -> float:
    return piece.density.value if piece.density else default


def fills_of_holes(ballast: Ballast, answered: float | None) -> list[Fill] | None:
    """What goes into each hole, the pieces laid out or else the answer [kg]; None if unknown."""
    metal, laid_out = ballast_density(ballast), pieces_mass(ballast)
    mass = laid_out if laid_out is not None else None if ballast.piece else answered
    volumes = [v for v in hole_volumes(ballast) if v is not None]
    if mass is None or metal is None or not volumes or len(volumes) != len(ballast.hole):
        return None
    return _fills(ballast, volumes, mass, metal)


def place_in_hole(build: Build, hole: Hole, height: float) -> Place | None:
    """The point on a hole's axis at a height from its mouth [m]; None while that is unknown.

    A hole runs straight up from the bottom line at its x on the centre line
    unless said otherwise; of one across, every point counts as on the centre line.
    """
    body = drawn_body(build)
    if body is None or hole.x is None:
        return None
    x = hole.x.value
    y = hole.y.value if hole.y else 0.0
    if not body.nose <= x <= body.tail:
        return None
    if hole.axis == "across":
        z = hole.z.value if hole.z else (float(body.top(x)) + float(body.bottom(x))) / 2
        return Place(x, z, y)
    mouth = float(body.top(x)) if hole.axis == "down" else float(body.bottom(x))
    return Place(x, mouth + (-height if hole.axis == "down" else height), y)


def _hole_places(build: Build, hole: Hole, fill_share: float) -> tuple[Place, Place, Place] | None:
    """Where a hole's wood, ballast and backfill are; None while that is unknown.

    Ballast lies at the blind end, filler at the mouth.
    """
    if hole.depth is None:
        return None
    depth, share = hole.depth.value, min(max(fill_share, 0.0), 1.0)
    heights = (depth / 2, depth * (1 - share / 2), depth * (1 - share) / 2)
    wood, lead, fill = (place_in_hole(build, hole, h) for h in heights)
    return None if wood is None or lead is None or fill is None else (wood, lead, fill)


def _ballast_parts(
    build: Build, ballast: Ballast, wood: Uncertain | None, answered: float | None
) -> Iterator[Part]:
    """Holes, ballast and backfill, with the pieces laid out or else the answer."""
    metal = ballast_density(ballast)
    laid_out = pieces_mass(ballast)
    incomplete = bool(ballast.piece) and laid_out is None
    mass = laid_out if laid_out is not None else None if incomplete else answered
    volumes = hole_volumes(ballast)
    if mass is None or metal is None or wood is None or any(v is None for v in volumes):
        yield Part("ballast", "ballast", None, exact(0.0), None, "ballasted")
        return
    filler = filler_density(ballast)
    if volumes:
        known = [v for v in volumes if v is not None]
        fills = _fills(ballast, known, mass, metal)
        for i, (hole, v, fill) in enumerate(zip(ballast.hole, known, fills, strict=True), start=1):
            yield from _filled_hole(f"hole {i}", build, hole, v, fill, wood, filler)
        return
    loose = pieces_volume(ballast)
    lead_volume = mass / metal if loose is None else loose
    yield from _parts_of_hole(
        "holes", hole_ratio(ballast) * lead_volume, Fill(mass, lead_volume), wood, filler, None
    )


def _filled_hole(
    name: str,
    build: Build,
    hole: Hole,
    volume: float,
    fill: Fill,
    wood: Uncertain,
    filler: float | None,
) -> Iterator[Part]:
    places = _hole_places(build, hole, fill.volume / volume)
    yield from _parts_of_hole(name, volume, fill, wood, filler, places)


def _parts_of_hole(
    name: str,
    volume: float,
    fill: Fill,
    wood: Uncertain,
    filler: float | None,
    places: tuple[Place, Place, Place] | None,
) -> Iterator[Part]:
    wood_at, lead_at, fill_at = places or (None, None, None)
    room = volume - fill.volume
    zero = exact(0.0)
    yield Part(f"wood out of {name}", "hole", -1.0 * wood * volume, zero, wood_at, "ballasted")
    # What does not fit is warned of; the maker drills more, so nothing of it sticks out.
    yield Part(f"ballast in {name}", "ballast", exact(fill.mass), zero, lead_at, "ballasted")
    if room > 1e-6 * volume:
        mass = None if filler is None else exact(filler * room)
        yield Part(f"backfill in {name}", "backfill", mass, zero, fill_at, "ballasted")


def _stage(text: str | None, default: Stage) -> Stage:
    return next((s for s in ORDER if s == text), default)


def hardware_mass(build: Build) -> Uncertain | None:
    """All hardware [kg]; None while it is not answered or one mass is missing."""
    if build.hardware is None or any(item.mass is None for item in build.hardware):
        return None
    return exact(sum(item.count * item.mass.value for item in build.hardware if item.mass))


def hardware_density(item: Hardware) -> float | None:
    """Density of a piece of hardware: as typed, else from the table, else None [kg/m3]."""
    if item.density:
        return item.density.value
    if not item.name:
        return None
    from wizard.tables import find_hardware

    row = find_hardware(item.name)
    return row.density.typical if row else None


def hardware_part(item: Hardware, index: int, wood: Uncertain | None) -> Part:
    """One kind of hardware; what of it stands in the wood has taken the wood's place."""
    name = item.name or f"hardware {index + 1}"
    place = None
    if item.x and item.z:
        place = Place(item.x.value, item.z.value, item.y.value if item.y else 0.0)
    stage = _stage(item.stage, "finished")
    density = hardware_density(item)
    if item.mass is None:
        return Part(name, "hardware", None, None, place, stage)
    own = item.count * item.mass.value
    outside = item.outside.value if item.outside else 1.0
    if density is None:
        inside_known = outside == 0.0
        return Part(
            name, "hardware", exact(own) if outside == 1.0 else None,
            exact(0.0) if inside_known else None, place, stage,
        )  # fmt: skip
    volume = own / density
    mass: Uncertain | None = exact(own)
    if outside < 1.0:
        mass = None if wood is None else own - (1.0 - outside) * volume * wood
    return Part(name, "hardware", mass, exact(outside * volume), place, stage)


def coat_density(coat: Coat) -> float | None:
    """Density of a dry film: as typed, else from the table, else None [kg/m3]."""
    if coat.density:
        return coat.density.value
    if not coat.name:
        return None
    from wizard.tables import find_coat

    row = find_coat(coat.name)
    return row.density.typical if row else None


def coat_stage(coat: Coat) -> Stage:
    """When a coat goes on: as typed, else with the sealer by its name, else with the coats."""
    seals = coat.name is not None and "seal" in coat.name.casefold()
    return _stage(coat.stage, "sealed" if seals else "coated")


def _coat_part(build: Build, coat: Coat, index: int) -> Part:
    name = coat.name or f"coat {index + 1}"
    body = drawn_body(build)
    density = coat_density(coat)
    place = None
    if body is not None:
        centre = body.skin_centroid
        place = Place(centre.x, centre.z)
    outside = coat.outside.value if coat.outside else 1.0
    mass: float | None = None
    if coat.mass is not None:
        mass = coat.mass.value
    elif coat.thickness is not None and body is not None and density is not None:
        mass = density * body.area * coat.thickness.value
    volume = None
    if coat.mass is None and coat.thickness is not None and body is not None:
        volume = outside * body.area * coat.thickness.value
    elif mass is not None and density is not None:
        volume = outside * mass / density
    return Part(
        name, "coat", None if mass is None else exact(mass),
        None if volume is None else exact(volume), place, coat_stage(coat),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Account:
    """The parts of a plug.

    Attributes:
        others: all but holes, ballast and backfill.
        body_volume: V_b [m3].
        wood_density: rho_wood [kg/m3].
    """

    others: tuple[Part, ...]
    body_volume: Uncertain | None
    wood_density: Uncertain | None

    def of(self, sort: str) -> tuple[Part, ...]:
        """The parts of one sort."""
        return tuple(p for p in self.others if p.sort == sort)


def account(build: Build, wood: Uncertain | None) -> Account:
    """All parts but the ballast's.

    Args:
        build: the record.
        wood: density of its wood [kg/m3], if known.
    """
    mass = body_mass(build)
    volume = mass / wood if mass is not None and wood is not None else None
    body = drawn_body(build)
    place = None if body is None else Place(body.centroid.x, body.centroid.z)
    parts = [Part("bare body", "body", mass, volume, place, "bare")]
    parts += [hardware_part(h, i, wood) for i, h in enumerate(build.hardware or ())]
    parts += [_coat_part(build, c, i) for i, c in enumerate(build.coat or ())]
    return Account(tuple(parts), volume, wood)


def whole_plug(build: Build, known: Account, answered: float | None) -> tuple[Part, ...]:
    """Every part of the finished plug, the ballast as laid out or else as answered.

    A weighing of the whole plug replaces what was on it then.

    Args:
        build: the record; its ballast must be begun.
        known: its other parts.
        answered: the full answer for the ballast [kg], if there is one.
    """
    parts = predicted_plug(build, known, answered)
    readings = plug_readings(build)
    return as_weighed(parts, readings[-1]) if readings else parts


def predicted_plug(build: Build, known: Account, answered: float | None) -> tuple[Part, ...]:
    """The same, as if the whole plug had never been weighed."""
    assert build.ballast is not None
    from wizard.plug.mended import mend_parts

    ballast = tuple(_ballast_parts(build, build.ballast, known.wood_density, answered))
    mends = mend_parts(build, known.wood_density, answered)
    return (*known.others, *ballast, *mends)


@dataclass(frozen=True, slots=True)
class PlugReading:
    """One weighing of the whole plug.

    Attributes:
        row: which one, as it stands in the profile.
        stage: of the work.
        mass: [kg].
        coats: how many coats were on it; None for all of the stage.
        mends: how many mends had been done.
    """

    row: int
    stage: Stage
    mass: Uncertain
    coats: int | None
    mends: int


def plug_readings(build: Build) -> tuple[PlugReading, ...]:
    """All weighings of the whole plug that are complete, in the order of the work."""
    found = []
    for i, row in enumerate(build.weight):
        if row.mass is None or row.stage is None:
            continue
        path: Path = ("weight", i)
        scale = bench_scale(build)
        if row.resolution or row.accuracy:
            scale = instrument(row.resolution, row.accuracy, (*path, "accuracy"))
        read = scale.reading(row.mass, (*path, "mass"), row.mass_again)
        mass = without_drift(read, row.zero, (*path, "zero"))
        found.append(PlugReading(i, _stage(row.stage, "bare"), mass, row.coats, row.mends or 0))
    return tuple(sorted(found, key=lambda r: (ORDER.index(r.stage), r.row)))


def as_weighed(parts: tuple[Part, ...], reading: PlugReading) -> tuple[Part, ...]:
    """The parts, corrected by one weighing; coats and mends that came later add to it."""
    return weighed(restaged(parts, reading), reading.stage, reading.mass)


def restaged(parts: tuple[Part, ...], reading: PlugReading) -> tuple[Part, ...]:
    """The parts, each coat and mend in the stage that it has as seen from a weighing.

    Coats that came after it go into a later stage, mends that came before it into its own.
    """
    coats = [p for p in parts if p.sort == "coat"]
    between = reading.coats is not None and reading.stage != "finished"
    later = coats[reading.coats :] if between else []
    done = [p for p in parts if p.sort == "mend"][: reading.mends]

    def stage(part: Part) -> Stage:
        if any(part is p for p in done):
            return reading.stage
        return "finished" if any(part is p for p in later) else part.stage

    return tuple(replace(p, stage=stage(p)) for p in parts)
