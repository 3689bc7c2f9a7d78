"""The weight account: the list of parts of a build, as far as it goes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wizard.certainty import Uncertain, exact
from wizard.physics.parts import ORDER, Part, Place, Stage, weighed
from wizard.plug.ballast.parts import ballast_parts
from wizard.plug.body.drawing import drawn_body
from wizard.plug.doubts import bench_scale, instrument, without_drift
from wizard.plug.paths import Path
from wizard.plug.record import Build, Coat, Hardware


def body_mass(build: Build) -> Uncertain | None:
    """The bare body as weighed [kg]; None while it is not."""
    at = build.weighing
    if at.mass is None:
        return None
    reading = bench_scale(build).reading(at.mass, ("weighing", "mass"), at.mass_again)
    return without_drift(reading, at.zero, ("weighing", "zero"))


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
    from wizard.tables import find_hardware_material

    row = find_hardware_material(item.name)
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
    from wizard.plug.tank.mended import mend_parts

    ballast = tuple(ballast_parts(build, build.ballast, known.wood_density, answered))
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
