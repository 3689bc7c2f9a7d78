"""The record of one build: what the maker answered, and nothing else.

Attribute names are the keys of the profile, so a path in the record is the
path in the file. Every record is frozen; `paths.put` makes a new one. A
missing answer is None. An optional array is None until it is answered: an
empty one says "there are none".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal

from wizard.plug.fields import (
    again,
    choice,
    day,
    measure,
    moment,
    other,
    table,
    tables,
    text,
    texts,
    unit_choices,
    water_salinity,
    water_temperature,
    whole,
)
from wizard.quantity.reading import Quantity

Other = Mapping[str, Any]

StepId = Literal[
    "plan",
    "stock",
    "shape",
    "weighing",
    "density",
    "ballast",
    "hardware",
    "coating",
    "proof",
    "review",
]
STEPS: tuple[StepId, ...] = (
    "plan",
    "stock",
    "shape",
    "weighing",
    "density",
    "ballast",
    "hardware",
    "coating",
    "proof",
    "review",
)
STAGES = ("ballasted", "sealed", "coated", "finished")

MM, G, ML = 1e-3, 1e-3, 1e-6
_BODY = (5 * MM, 600 * MM)
_SIDE = (3 * MM, 150 * MM)
_BEAKER = (
    "Expected more than zero: a body held under adds to what the beaker's scale shows. "
    "Zero the scale with the beaker on it first; if the body hung from the scale instead, "
    "type its loss without the sign."
)


def moisture() -> Any:
    """Moisture of wood by a meter or an oven, water per oven-dry wood."""
    return measure("ratio", above=None, at_most=2.0, plausible=(0.04, 0.20))


def humidity() -> Any:
    """Relative humidity of the air in which wood lay for weeks."""
    return measure("ratio", above=None, at_most=1.0, plausible=(0.15, 0.90))


@dataclass(frozen=True)
class Heading:
    """What the build is called and how its maker writes numbers."""

    name: str | None = text()
    created: datetime | None = moment()
    step: str | None = choice(*STEPS)
    units: Mapping[str, str] = unit_choices()
    maker: str | None = text()
    tags: tuple[str, ...] = texts()
    archived: str | None = choice("no", "yes")
    notes: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Origin:
    """The build that this one was scaled or copied from, and what came over from it."""

    name: str | None = text()
    factor: Quantity | None = measure("number", at_most=5.0, plausible=(0.2, 5.0))
    copy: int | None = whole()
    copies: int | None = whole()
    carried: tuple[str, ...] = texts()
    other: Other = other()


@dataclass(frozen=True)
class Water:
    """The water that the plug will be fished in."""

    temperature: Quantity | None = water_temperature()
    salinity: Quantity | None = water_salinity()
    other: Other = other()


@dataclass(frozen=True)
class Aim:
    """What the plug is asked to do."""

    behaviour: str | None = choice("floats", "suspends", "sinks")
    margin: Quantity | None = measure("ratio", negative=True, at_most=5.0, plausible=(-0.6, 1.0))
    sink_rate: Quantity | None = measure("speed", at_most=10.0, plausible=(0.005, 1.5))
    freeboard_fraction: Quantity | None = measure("ratio", at_most=1.0, plausible=(0.01, 0.7))
    tolerance: Quantity | None = measure("ratio", at_most=1.0, plausible=(0.0005, 0.05))
    pitch: Quantity | None = measure("angle", negative=True, at_most=1.5708)
    other: Other = other()


@dataclass(frozen=True)
class Stock:
    """The board, or the squared blank cut from it."""

    wood: str | None = text()
    length: Quantity | None = measure("length", plausible=(10 * MM, 3.0))
    width: Quantity | None = measure("length", plausible=(3 * MM, 0.5))
    thickness: Quantity | None = measure("length", plausible=(3 * MM, 0.2))
    mass: Quantity | None = measure("mass", plausible=(0.5 * G, 20.0))
    mass_again: tuple[Quantity, ...] = again("mass", plausible=(0.5 * G, 20.0))
    moisture: Quantity | None = moisture()
    humidity: Quantity | None = humidity()
    other: Other = other()


@dataclass(frozen=True)
class Station:
    """Caliper readings across the body at one place along it."""

    x: Quantity | None = measure("length", above=None)
    top: Quantity | None = measure("length", negative=True)
    bottom: Quantity | None = measure("length", negative=True)
    half_breadth: Quantity | None = measure("length", above=None)
    other: Other = other()


@dataclass(frozen=True)
class Fullness:
    """How full the sections are."""

    widest: Quantity | None = measure("number", at_most=1.0, plausible=(0.2, 0.8))
    upper: Quantity | None = measure("number", plausible=(1.2, 6.0))
    lower: Quantity | None = measure("number", plausible=(1.2, 6.0))
    flat_back: Quantity | None = measure("number", above=None, at_most=1.0)
    other: Other = other()


@dataclass(frozen=True)
class Place:
    """A marked point on the body."""

    x: Quantity | None = measure("length", negative=True)
    z: Quantity | None = measure("length", negative=True)
    other: Other = other()


@dataclass(frozen=True)
class Shape:
    """The drawn shape: a named form with proportions, or stations."""

    way: str | None = choice("sizes", "proportions", "stations")
    form: str | None = text()
    length: Quantity | None = measure("length", plausible=_BODY)
    height: Quantity | None = measure("length", plausible=_SIDE)
    thickness: Quantity | None = measure("length", plausible=_SIDE)
    widest_at: Quantity | None = measure("ratio", at_most=1.0, plausible=(0.1, 0.9))
    nose: Quantity | None = measure("ratio", above=None, at_most=1.0)
    tail: Quantity | None = measure("ratio", above=None, at_most=1.0)
    face: Quantity | None = measure("ratio", above=None, at_most=1.0, plausible=(0.0, 0.5))
    allowance: Quantity | None = measure("length", above=None, plausible=(0.0, 20 * MM))
    section: Fullness = table(Fullness)
    line_tie: Place | None = table(Place, optional=True)
    station: tuple[Station, ...] = tables(Station)
    other: Other = other()


@dataclass(frozen=True)
class Weighing:
    """The bare body on the scale."""

    mass: Quantity | None = measure("mass", plausible=(0.5 * G, 2.0))
    resolution: Quantity | None = measure("mass", above=None, plausible=(0.0, 5 * G))
    accuracy: Quantity | None = measure("mass", above=None, plausible=(0.0, 10 * G))
    maximum: Quantity | None = measure("mass", plausible=(10 * G, 50.0))
    mass_again: tuple[Quantity, ...] = again("mass", plausible=(0.5 * G, 2.0))
    zero: Quantity | None = measure("mass", negative=True)
    check_mass: Quantity | None = measure("mass", plausible=(0.5 * G, 5.0))
    check_reading: Quantity | None = measure("mass", plausible=(0.5 * G, 5.0))
    gain: Quantity | None = measure("mass", plausible=(1 * G, 3.0), never_below=_BEAKER)
    gain_again: tuple[Quantity, ...] = again("mass", plausible=(1 * G, 3.0))
    temperature: Quantity | None = water_temperature()
    salinity: Quantity | None = water_salinity()
    moisture: Quantity | None = moisture()
    humidity: Quantity | None = humidity()
    mass_later: Quantity | None = measure("mass", plausible=(0.5 * G, 2.0))
    later: Quantity | None = measure("time", plausible=(1800.0, 30 * 86400.0))
    thorough: str | None = choice("no", "yes")
    note: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Sample:
    """One piece of the same wood, measured and weighed."""

    method: str | None = choice("block", "cylinder", "dunk", "known", "body")
    length: Quantity | None = measure("length", plausible=(8 * MM, 1.0))
    width: Quantity | None = measure("length", plausible=(4 * MM, 0.3))
    thickness: Quantity | None = measure("length", plausible=(4 * MM, 0.3))
    diameter: Quantity | None = measure("length", plausible=(4 * MM, 0.2))
    mass: Quantity | None = measure("mass", plausible=(0.2 * G, 3.0))
    gain: Quantity | None = measure("mass", plausible=(0.5 * G, 5.0), never_below=_BEAKER)
    temperature: Quantity | None = water_temperature()
    salinity: Quantity | None = water_salinity()
    density: Quantity | None = measure("density", at_most=1500.0, plausible=(80.0, 1000.0))
    uncertainty: Quantity | None = measure("density", above=None)
    length_again: tuple[Quantity, ...] = again("length", plausible=(8 * MM, 1.0))
    width_again: tuple[Quantity, ...] = again("length", plausible=(4 * MM, 0.3))
    thickness_again: tuple[Quantity, ...] = again("length", plausible=(4 * MM, 0.3))
    diameter_again: tuple[Quantity, ...] = again("length", plausible=(4 * MM, 0.2))
    mass_again: tuple[Quantity, ...] = again("mass", plausible=(0.2 * G, 3.0))
    gain_again: tuple[Quantity, ...] = again("mass", plausible=(0.5 * G, 5.0))
    zero: Quantity | None = measure("mass", negative=True)
    moisture: Quantity | None = moisture()
    humidity: Quantity | None = humidity()
    mass_later: Quantity | None = measure("mass", plausible=(0.2 * G, 3.0))
    later: Quantity | None = measure("time", plausible=(1800.0, 30 * 86400.0))
    tested: date | None = day()
    note: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class DensityTest:
    """The wood's density: instruments and samples."""

    length_resolution: Quantity | None = measure("length", above=None, plausible=(0.0, 1 * MM))
    length_accuracy: Quantity | None = measure("length", above=None, plausible=(0.0, 1 * MM))
    mass_resolution: Quantity | None = measure("mass", above=None, plausible=(0.0, 1 * G))
    mass_accuracy: Quantity | None = measure("mass", above=None, plausible=(0.0, 2 * G))
    mass_maximum: Quantity | None = measure("mass", plausible=(10 * G, 50.0))
    check_mass: Quantity | None = measure("mass", plausible=(0.5 * G, 5.0))
    check_reading: Quantity | None = measure("mass", plausible=(0.5 * G, 5.0))
    moisture_accuracy: Quantity | None = measure(
        "ratio", above=None, at_most=1.0, plausible=(0.0, 0.05)
    )
    board_scatter: Quantity | None = measure(
        "ratio", above=None, at_most=1.0, plausible=(0.0, 0.15)
    )
    sample: tuple[Sample, ...] = tables(Sample)
    other: Other = other()


@dataclass(frozen=True)
class Hole:
    """A drilled hole for ballast."""

    x: Quantity | None = measure("length", above=None)
    y: Quantity | None = measure("length", negative=True)
    z: Quantity | None = measure("length", negative=True)
    axis: str | None = choice("up", "down", "across")
    diameter: Quantity | None = measure("length", plausible=(1 * MM, 40 * MM))
    depth: Quantity | None = measure("length", plausible=(1 * MM, 150 * MM))
    point: Quantity | None = measure("angle", at_most=3.1416, plausible=(1.0, 3.1416))
    other: Other = other()


@dataclass(frozen=True)
class Piece:
    """Pieces of ballast of one size."""

    mass: Quantity | None = measure("mass", plausible=(0.01 * G, 1.0))
    count: int = whole(default=1)
    hole: int | None = whole()
    density: Quantity | None = measure("density", at_most=23000.0, plausible=(2000.0, 20000.0))
    form: str | None = choice("ball", "cone", "egg", "cylinder", "wire", "sheet", "putty")
    diameter: Quantity | None = measure("length", plausible=(0.5 * MM, 40 * MM))
    length: Quantity | None = measure("length", plausible=(0.5 * MM, 300 * MM))
    name: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Resin:
    """What the tin of a two-part resin says."""

    resin_parts: Quantity | None = measure("number", plausible=(0.5, 1000.0))
    hardener_parts: Quantity | None = measure("number", plausible=(0.5, 1000.0))
    parts_by: str | None = choice("volume", "mass")
    resin_density: Quantity | None = measure("density", at_most=5000.0, plausible=(900.0, 1900.0))
    hardener_density: Quantity | None = measure(
        "density", at_most=5000.0, plausible=(800.0, 1400.0)
    )
    waste: Quantity | None = measure("ratio", above=None, at_most=10.0, plausible=(0.0, 1.0))
    pot_life: Quantity | None = measure("time", plausible=(60.0, 43200.0))
    pot_temperature: Quantity | None = measure("temperature", negative=True, at_most=100.0)
    other: Other = other()


@dataclass(frozen=True)
class Ballast:
    """The weight to go in, and what fills the holes around it."""

    metal: str | None = text()
    density: Quantity | None = measure("density", at_most=23000.0, plausible=(2000.0, 20000.0))
    hole_ratio: Quantity | None = measure("number", plausible=(1.0, 5.0))
    hole_factor: Quantity | None = measure("number", at_most=3.0, plausible=(0.8, 1.3))
    filler: str | None = text()
    filler_density: Quantity | None = measure("density", at_most=5000.0, plausible=(200.0, 2000.0))
    resin: Resin | None = table(Resin, optional=True)
    dowel: Quantity | None = measure("length", plausible=(1 * MM, 30 * MM))
    dowel_wood: str | None = text()
    wall: Quantity | None = measure("length", plausible=(1 * MM, 15 * MM))
    height: str | None = choice("low", "high")
    drilled: str | None = choice("up", "down", "across")
    most_holes: int | None = whole(at_most=4)
    hole: tuple[Hole, ...] = tables(Hole)
    piece: tuple[Piece, ...] = tables(Piece)
    other: Other = other()


@dataclass(frozen=True)
class Hardware:
    """Hooks, rings, eyes, wire, lip: so many of one kind in one place."""

    name: str | None = text()
    count: int = whole(default=1)
    mass: Quantity | None = measure("mass", plausible=(0.01 * G, 0.2))
    density: Quantity | None = measure("density", at_most=23000.0, plausible=(500.0, 20000.0))
    outside: Quantity | None = measure("number", above=None, at_most=1.0)
    x: Quantity | None = measure("length", negative=True)
    y: Quantity | None = measure("length", negative=True)
    z: Quantity | None = measure("length", negative=True)
    reach: Quantity | None = measure("length", plausible=(5 * MM, 120 * MM))
    shank: Quantity | None = measure("length", plausible=(3 * MM, 300 * MM))
    stage: str | None = choice(*STAGES)
    other: Other = other()


@dataclass(frozen=True)
class Coat:
    """One coat, predicted by its film or weighed."""

    name: str | None = text()
    thickness: Quantity | None = measure("length", above=None, plausible=(1e-6, 1.5 * MM))
    mass: Quantity | None = measure("mass", above=None, plausible=(0.005 * G, 50 * G))
    density: Quantity | None = measure("density", at_most=5000.0, plausible=(700.0, 2500.0))
    outside: Quantity | None = measure("number", above=None, at_most=1.0)
    stage: str | None = choice(*STAGES)
    other: Other = other()


OPERATIONS = (
    "degrease",
    "seal",
    "fill",
    "sand",
    "glue",
    "base",
    "colour",
    "eyes",
    "clear",
    "cure",
    "hang",
)
"""Kinds of operation of the coating schedule, in the usual order of the bench."""
COATING = frozenset({"seal", "base", "colour", "clear"})
"""Those of them that lay a coat of the part list."""

MINUTE, HOUR, DAY = 60.0, 3600.0, 86400.0
_LONGEST_WAIT = 366 * DAY
"""More than a year on a tin is a slip of the unit."""


def wait(*, plausible: tuple[float, float]) -> Any:
    """A time that a tin states, none among them."""
    return measure("time", above=None, at_most=_LONGEST_WAIT, plausible=plausible)


def shop_temperature() -> Any:
    """Temperature of the shop's air."""
    return measure("temperature", negative=True, at_most=100.0, plausible=(0.0, 40.0))


def shop_humidity() -> Any:
    """Relative humidity of the shop's air."""
    return measure("ratio", above=None, at_most=1.0, plausible=(0.05, 0.95))


@dataclass(frozen=True)
class Schedule:
    """When the bench is open, from when on it is planned, and the air of the shop."""

    start: datetime | None = moment()
    hours: str | None = text()
    zone: str | None = text()
    plugs: int | None = whole(at_most=1000)
    temperature: Quantity | None = shop_temperature()
    humidity: Quantity | None = shop_humidity()
    other: Other = other()


@dataclass(frozen=True)
class Operation:
    """One operation of the coating schedule: what its tin says, and when it was done.

    A time that is not typed is typical for the coat, else for the kind.
    """

    name: str | None = text()
    kind: str | None = choice(*OPERATIONS)
    coat: int | None = whole()
    hands_on: Quantity | None = wait(plausible=(0.0, 4 * HOUR))
    pot_life: Quantity | None = wait(plausible=(MINUTE, 2 * DAY))
    touch_dry: Quantity | None = wait(plausible=(0.0, 7 * DAY))
    recoat_earliest: Quantity | None = wait(plausible=(0.0, 14 * DAY))
    recoat_latest: Quantity | None = wait(plausible=(5 * MINUTE, 60 * DAY))
    full_cure: Quantity | None = wait(plausible=(0.0, 60 * DAY))
    covers: str | None = choice("no", "yes")
    applied: str | None = choice("brush", "spray", "dip")
    loss: Quantity | None = measure("ratio", above=None, at_most=10.0, plausible=(0.0, 4.0))
    volume_solids: Quantity | None = measure("ratio", at_most=1.0, plausible=(0.05, 1.0))
    liquid_density: Quantity | None = measure("density", at_most=5000.0, plausible=(700.0, 2000.0))
    resin_parts: Quantity | None = measure("number", plausible=(0.5, 1000.0))
    hardener_parts: Quantity | None = measure("number", plausible=(0.5, 1000.0))
    parts_by: str | None = choice("volume", "mass")
    resin_density: Quantity | None = measure("density", at_most=5000.0, plausible=(900.0, 1900.0))
    hardener_density: Quantity | None = measure(
        "density", at_most=5000.0, plausible=(800.0, 1400.0)
    )
    temperature_low: Quantity | None = shop_temperature()
    temperature_high: Quantity | None = shop_temperature()
    humidity_low: Quantity | None = shop_humidity()
    humidity_high: Quantity | None = shop_humidity()
    before: tuple[str, ...] = texts()
    note: str | None = text()
    started: datetime | None = moment()
    finished: datetime | None = moment()
    other: Other = other()


TRIALS = (
    "look",
    "sink",
    "float",
    "weigh",
    "rise",
    "freeboard",
    "attitude",
    "heel",
    "soak",
    "taped",
)
"""Kinds of trial: what each asks and says stands in `steps.trials` and `plug.proof`."""


@dataclass(frozen=True)
class Trial:
    """A proof in the tank."""

    kind: str | None = choice(*TRIALS)
    depth: Quantity | None = measure("length", plausible=(0.1, 5.0))
    time: Quantity | None = measure("time", plausible=(0.2, 120.0))
    time_again: tuple[Quantity, ...] = again("time", plausible=(0.2, 120.0))
    time_accuracy: Quantity | None = measure("time", above=None)
    weight: Quantity | None = measure("mass", above=None, plausible=(0.0, 0.1))
    weight_step: Quantity | None = measure("mass", above=None, plausible=(0.0, 5 * G))
    density: Quantity | None = measure("density", at_most=23000.0, plausible=(1000.0, 20000.0))
    moved: Quantity | None = measure("length", plausible=(2 * MM, 0.1))
    angle: Quantity | None = measure("angle", negative=True, at_most=1.5708)
    angle_accuracy: Quantity | None = measure("angle", above=None, at_most=1.5708)
    height: Quantity | None = measure("length", plausible=(0.5 * MM, 60 * MM))
    height_accuracy: Quantity | None = measure("length", above=None, plausible=(0.0, 5 * MM))
    share: Quantity | None = measure("ratio", at_most=1.0)
    x: Quantity | None = measure("length", above=None)
    z: Quantity | None = measure("length", negative=True)
    before: Quantity | None = measure("mass", plausible=(0.5 * G, 3.0))
    after: Quantity | None = measure("mass", plausible=(0.5 * G, 3.0))
    soaked: Quantity | None = measure("time", plausible=(600.0, 7 * 86400.0))
    ballast: Quantity | None = measure("mass", plausible=(0.1 * G, 0.5))
    tape: Quantity | None = measure("mass", above=None, plausible=(0.0, 5 * G))
    tape_density: Quantity | None = measure("density", at_most=5000.0, plausible=(700.0, 1600.0))
    result: str | None = choice("sinks", "floats")
    spare: Quantity | None = measure("mass", above=None, plausible=(0.0, 0.1))
    temperature: Quantity | None = water_temperature()
    salinity: Quantity | None = water_salinity()
    salt: Quantity | None = measure("salinity", above=None, at_most=350.0, plausible=(0.0, 150.0))
    mends: int | None = whole(at_least=0)
    as_asked: str | None = choice("yes", "no")
    notes: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Tank:
    """The water at home in which the plug is proved, for all trials that name no other."""

    volume: Quantity | None = measure("volume", plausible=(1e-3, 1.0))
    width: Quantity | None = measure("length", plausible=(0.05, 3.0))
    temperature: Quantity | None = water_temperature()
    salinity: Quantity | None = water_salinity()
    salt: Quantity | None = measure("salinity", above=None, at_most=350.0, plausible=(0.0, 150.0))
    use: str | None = choice("table salt", "sea salt")
    density: Quantity | None = measure("density", at_most=2000.0, plausible=(990.0, 1080.0))
    bottle_empty: Quantity | None = measure("mass", plausible=(1 * G, 3.0))
    bottle_tap: Quantity | None = measure("mass", plausible=(10 * G, 6.0))
    bottle_full: Quantity | None = measure("mass", plausible=(10 * G, 6.0))
    float_mass: Quantity | None = measure("mass", plausible=(1 * G, 1.0))
    float_volume: Quantity | None = measure("volume", plausible=(1e-6, 1e-3))
    other: Other = other()


@dataclass(frozen=True)
class MendDone:
    """One mend of the finished plug, as it was done."""

    kind: str | None = choice("add", "inside", "remove", "swap")
    mass: Quantity | None = measure("mass", plausible=(0.01 * G, 0.1))
    off: Quantity | None = measure("mass", plausible=(0.01 * G, 0.1))
    density: Quantity | None = measure("density", at_most=23000.0, plausible=(100.0, 20000.0))
    x: Quantity | None = measure("length", negative=True)
    y: Quantity | None = measure("length", negative=True)
    z: Quantity | None = measure("length", negative=True)
    hole: int | None = whole()
    hardware: int | None = whole()
    diameter: Quantity | None = measure("length", plausible=(0.5 * MM, 40 * MM))
    depth: Quantity | None = measure("length", plausible=(0.2 * MM, 60 * MM))
    filler_density: Quantity | None = measure("density", at_most=5000.0, plausible=(100.0, 2000.0))
    done: datetime | None = moment()
    notes: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Swim:
    """How the plug swam: one retrieve, one line and speed."""

    water: str | None = text()
    line: str | None = text()
    speed: Quantity | None = measure("speed", plausible=(0.05, 5.0))
    depth: Quantity | None = measure("length", above=None, plausible=(0.0, 15.0))
    action: str | None = text()
    tuning: str | None = text()
    on: date | None = day()
    other: Other = other()


@dataclass(frozen=True)
class Drag:
    """The maker's own drag over the published one, taken over from earlier builds."""

    factor: Quantity | None = measure("number", at_most=10.0, plausible=(0.4, 2.5))
    doubt: Quantity | None = measure("ratio", above=None, at_most=1.0, plausible=(0.01, 0.25))
    builds: int | None = whole()
    other: Other = other()


@dataclass(frozen=True)
class PlugWeighing:
    """The whole plug on the scale at some stage."""

    stage: str | None = choice(*STAGES)
    mass: Quantity | None = measure("mass", plausible=(0.5 * G, 3.0))
    resolution: Quantity | None = measure("mass", above=None)
    accuracy: Quantity | None = measure("mass", above=None)
    mass_again: tuple[Quantity, ...] = again("mass", plausible=(0.5 * G, 3.0))
    zero: Quantity | None = measure("mass", negative=True)
    at: datetime | None = moment()
    coats: int | None = whole()
    mends: int | None = whole(at_least=0)
    note: str | None = text()
    other: Other = other()


@dataclass(frozen=True)
class Shown:
    """The numbers as the maker was shown them when the build was finished."""

    version: str | None = text()
    at: datetime | None = moment()
    numbers: Other = other()
    other: Other = other()


@dataclass(frozen=True)
class Build:
    """One plug, as far as its maker has answered."""

    build: Heading = table(Heading)
    origin: Origin | None = table(Origin, optional=True)
    water: Water = table(Water)
    aim: Aim = table(Aim)
    stock: Stock = table(Stock)
    shape: Shape = table(Shape)
    weighing: Weighing = table(Weighing)
    density: DensityTest = table(DensityTest)
    ballast: Ballast | None = table(Ballast, optional=True)
    hardware: tuple[Hardware, ...] | None = tables(Hardware, optional=True)
    coat: tuple[Coat, ...] | None = tables(Coat, optional=True)
    schedule: Schedule = table(Schedule)
    operation: tuple[Operation, ...] = tables(Operation)
    weight: tuple[PlugWeighing, ...] = tables(PlugWeighing)
    tank: Tank = table(Tank)
    drag: Drag = table(Drag)
    trial: tuple[Trial, ...] = tables(Trial)
    mend: tuple[MendDone, ...] = tables(MendDone)
    swim: tuple[Swim, ...] = tables(Swim)
    shown: Shown | None = table(Shown, optional=True)
    other: Other = other()
