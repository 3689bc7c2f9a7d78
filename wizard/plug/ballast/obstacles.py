"""What a drill must keep clear of in the wood, and hooks that can meet.

The shanks of screws and a through-wire, as far as the rows of the hardware and the line
tie say where they are. What nobody measured is taken as a usual screw eye.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from wizard.physics.clearance import Capsule, Point, wire
from wizard.physics.hangers import Foul, Hanger, fouls
from wizard.physics.parts import Place
from wizard.physics.shape import Body
from wizard.plug.account import hardware_density
from wizard.plug.ballast.let_in import goes_through, has_shank
from wizard.plug.body.drawing import drawn_body
from wizard.plug.record import Build, Hardware

SHANK = 20e-3
"""Length of a screw eye's shank in the wood [m]: from memory, screw eyes follow no standard."""

WIRE = 0.75e-3
"""Radius of its wire [m], from memory."""

_AT_AN_END = 2e-3  # m: an eye so near to nose or tail is screwed in along the body
_LINE_TIE = "line tie"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something in the wood.

    Attributes:
        name: for the eye.
        capsules: the room that it takes.
        measured: whether its shank was typed; else it is a usual one.
    """

    name: str
    capsules: tuple[Capsule, ...]
    measured: bool


def obstacles(build: Build) -> tuple[Obstacle, ...]:
    """All that a drill must keep clear of; empty while no body is drawn."""
    body = drawn_body(build)
    return () if body is None else tuple(_obstacles(build, body))


def _obstacles(build: Build, body: Body) -> Iterator[Obstacle]:
    through = False
    for number, item in enumerate(build.hardware or (), start=1):
        name = item.name or f"hardware {number}"
        if goes_through(item):
            through = True
            yield Obstacle(name, _through(build, body, item), measured=False)
        elif has_shank(item) and item.x and item.z:
            place = (item.x.value, item.y.value if item.y else 0.0, item.z.value)
            length = item.shank.value if item.shank else SHANK
            shank = _shank(body, place, length, _radius(item, length))
            yield Obstacle(name, (shank,), measured=item.shank is not None)
    tie = build.shape.line_tie
    if tie is not None and tie.x and tie.z and not through:
        place = (tie.x.value, 0.0, tie.z.value)
        yield Obstacle(_LINE_TIE, (_shank(body, place, SHANK, WIRE),), measured=False)


def unplaced(build: Build) -> tuple[int, ...]:
    """Rows of hardware, from 0, that holes can't be kept clear of: a shank at an unknown height."""
    if drawn_body(build) is None:
        return ()
    return tuple(
        row
        for row, item in enumerate(build.hardware or ())
        if not goes_through(item) and has_shank(item) and item.x and not item.z
    )


def _radius(item: Hardware, length: float) -> float:
    """Radius of a shank from the volume of it that is in the wood, else a usual one [m].

    Source: geometry, V = pi r2 l.
    """
    density = hardware_density(item)
    if item.mass is None or density is None or item.outside is None or item.outside.value == 1.0:
        return WIRE
    inside = (1.0 - item.outside.value) * item.mass.value / density
    return math.sqrt(inside / (math.pi * length))


def _shank(body: Body, place: Point, length: float, radius: float) -> Capsule:
    """A shank from the skin at an eye's place straight into the wood."""
    x, y, z = place
    if x <= body.nose + _AT_AN_END:
        return Capsule((body.nose, y, z), (body.nose + length, y, z), radius)
    if x >= body.tail - _AT_AN_END:
        return Capsule((body.tail, y, z), (body.tail - length, y, z), radius)
    bottom, top = float(body.bottom(x)), float(body.top(x))
    if z <= (bottom + top) / 2.0:
        return Capsule((x, y, bottom), (x, y, bottom + length), radius)
    return Capsule((x, y, top), (x, y, top - length), radius)


def _through(build: Build, body: Body, item: Hardware) -> tuple[Capsule, ...]:
    """A through-wire from the line tie, by its own place if it has one, to the tail."""
    tie = build.shape.line_tie
    at_nose = float(body.top(body.nose) + body.bottom(body.nose)) / 2.0
    at_tail = float(body.top(body.tail) + body.bottom(body.tail)) / 2.0
    points: list[Point] = [(body.nose, 0.0, tie.z.value if tie and tie.z else at_nose)]
    if item.x and item.z and body.nose < item.x.value < body.tail:
        points.append((item.x.value, item.y.value if item.y else 0.0, item.z.value))
    points.append((body.tail, 0.0, at_tail))
    density = hardware_density(item)
    if item.mass is None or density is None:
        return wire(points, WIRE)
    return wire(points, math.sqrt(item.mass.value / density / (math.pi * body.length)))


def hook_fouls(build: Build) -> tuple[Foul, ...]:
    """Hooks of typed reach that can meet each other or reach the line tie."""
    hangers = [
        Hanger(
            item.name or f"hardware {number}",
            Place(item.x.value, item.z.value, item.y.value if item.y else 0.0),
            item.reach.value,
        )
        for number, item in enumerate(build.hardware or (), start=1)
        if item.reach and item.x and item.z
    ]
    tie = build.shape.line_tie
    place = Place(tie.x.value, tie.z.value) if tie is not None and tie.x and tie.z else None
    return fouls(_numbered(hangers), place, _LINE_TIE)


def _numbered(hangers: list[Hanger]) -> list[Hanger]:
    """Hangers whose names are told apart by their order where they are alike."""
    names = [one.name for one in hangers]
    return [
        Hanger(f"{one.name} {names[: i + 1].count(one.name)}", one.place, one.reach)
        if names.count(one.name) > 1
        else one
        for i, one in enumerate(hangers)
    ]
