"""Every way to the wood's density, side by side on one scale.

The table speaks for the kind of wood, samples and the blank for the board, the
drawn shape and the dunk for the body itself: its mass over their volume.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from wizard.certainty import Uncertain
from wizard.certainty.agreement import Claim
from wizard.certainty.expanded import expanded
from wizard.plug.account import body_mass
from wizard.plug.body.drawing import drawn_body
from wizard.plug.density.dunk import dunked_volume
from wizard.plug.density.wood import SampleDensity, WoodTest, tested_blank
from wizard.plug.paths import Path
from wizard.plug.record import Build

Sort = Literal["table", "sample", "blank", "shape", "dunk"]

DRAWN = 0.04
"""Relative standard uncertainty of a drawn volume [1]: a judgement, no source.

Stations are read to half a millimetre on breadths of two centimetres.
"""

BOARD = 0.03
"""Relative deviation between pieces of one board, where none is stated [1]: from memory."""


@dataclass(frozen=True, slots=True)
class Witness:
    """What one way says of the density.

    Attributes:
        name: what it is, short.
        sort: table, sample, blank, shape or dunk.
        path: where its answers stand.
        density: best estimate [kg/m3].
        low: 95 of 100 cases lie above [kg/m3].
        high: 95 of 100 cases lie below [kg/m3].
        claim: the density with its doubt as a witness of the body, for comparing.
    """

    name: str
    sort: Sort
    path: Path
    density: float
    low: float
    high: float
    claim: Claim


def witnesses(build: Build, wood: WoodTest) -> tuple[Witness, ...]:
    """All that speaks for the density of a build, in the order of the bench.

    Args:
        build: the record.
        wood: its density test.
    """
    return (*_table(build), *_pieces(build, wood), *_bodies(build))


def _table(build: Build) -> Iterator[Witness]:
    from wizard.tables import find_wood

    row = find_wood(build.stock.wood) if build.stock.wood else None
    if row is None:
        return
    span = row.density
    claim = Claim(span.typical, row.standard_uncertainty / span.typical)
    path: Path = ("stock", "wood")
    yield Witness(f"table, {row.name}", "table", path, span.typical, span.low, span.high, claim)


def _pieces(build: Build, wood: WoodTest) -> Iterator[Witness]:
    stated = build.density.board_scatter
    scatter = stated.value if stated else BOARD
    if wood.basis == "samples":
        for sample in wood.samples:
            row = int(sample.path[2])
            method = build.density.sample[row].method or "block"
            kind: Sort = "dunk" if method == "body" else "sample"
            more = 0.0 if method == "body" else scatter
            yield _piece(f"sample {row + 1}, {method}", kind, sample, more)
    blank = tested_blank(build)
    if blank is not None:
        yield _piece("squared blank", "blank", blank, scatter)


def _piece(name: str, sort: Sort, sample: SampleDensity, scatter: float) -> Witness:
    return _witness(name, sort, sample.path, sample.density, scatter, 0.0)


def _witness(
    name: str, sort: Sort, path: Path, density: Uncertain, between: float, own: float
) -> Witness:
    """A measured density.

    Args:
        name: what it is.
        sort: of witness.
        path: where it stands.
        density: [kg/m3].
        between: relative doubt that it says the same of the body [1].
        own: relative doubt that it has beside what its readings carry [1].
    """
    half = math.hypot(expanded(density).half_width, 2.0 * own * density.value)
    u = math.hypot(density.u / density.value, between, own, 1e-4)
    low, high = density.value - half, density.value + half
    return Witness(name, sort, path, density.value, low, high, Claim(density.value, u))


def _bodies(build: Build) -> Iterator[Witness]:
    mass = body_mass(build)
    if mass is None:
        return
    body = drawn_body(build)
    if body is not None:
        yield _witness("drawn shape", "shape", ("shape",), mass / body.volume, 0.0, DRAWN)
    dunked, _ = dunked_volume(build)
    if dunked is not None and not any(s.method == "body" for s in build.density.sample):
        yield _witness("dunk of the body", "dunk", ("weighing", "gain"), mass / dunked, 0.0, 0.0)
