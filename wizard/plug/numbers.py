"""The numbers of a build: their names, units, meanings, and how each came about."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from wizard.certainty import Uncertain
from wizard.plug.record import StepId

SCALE: Mapping[str, float] = {
    "g/mL": 1000.0,
    "mL": 1e-6,
    "cm2": 1e-4,
    "g": 1e-3,
    "1": 1.0,
    "m/s": 1.0,
    "mm": 1e-3,
    "deg": math.pi / 180.0,
    "s": 1.0,
    "g cm2": 1e-7,
}
"""Core value of one of the unit that a number is published in."""


@dataclass(frozen=True, slots=True)
class Name:
    """What a number is.

    Attributes:
        unit: the unit it is published in.
        meaning: in the trade's words.
        step: the step at which it appears.
        rare: whether it is only spoken of where it is known.
    """

    unit: str
    meaning: str
    step: StepId
    rare: bool = False


CATALOGUE: Mapping[str, Name] = {
    "water_density": Name("g/mL", "density of the fishing water", "plan"),
    "wood_density": Name("g/mL", "density of the wood, as tested", "density"),
    "body_volume": Name("mL", "volume of the bare body", "density"),
    "shape_volume": Name("mL", "volume of the drawn shape", "shape"),
    "shape_area": Name("cm2", "skin of the drawn shape", "shape"),
    "girth": Name("1", "girth factor, drawn to weighed volume", "density", True),
    "neutral_mass": Name("g", "weight at which the finished plug hangs", "ballast"),
    "target_mass": Name("g", "weight that the aim asks for", "ballast"),
    "hardware_mass": Name("g", "all hardware", "hardware"),
    "bench_ballast": Name("g", "ballast by the bench sum", "ballast"),
    "ballast_mass": Name("g", "ballast, the full answer", "ballast"),
    "finished_mass": Name("g", "weight of the finished plug", "review"),
    "displaced_volume": Name("mL", "water that the whole plug pushes aside", "review"),
    "net_in_water": Name("g", "weight left in the water", "review"),
    "chance_sinks": Name("1", "chance that it sinks", "review"),
    "chance_aim": Name("1", "chance that it does what was asked", "review"),
    "proof_net": Name("g", "weight left in the water, by the tank", "proof"),
    "best_net": Name("g", "weight left in the water, by sum and tank together", "proof", True),
    "proof_ballast": Name("g", "ballast, put right by the taped proof", "proof", True),
    "proof_pitch": Name("deg", "nose-down pitch at rest, by the tank", "proof", True),
    "proof_gm": Name("mm", "metacentric height across, by the heel test", "proof", True),
    "sink_rate": Name("m/s", "speed of sinking", "review"),
    "cg_x": Name("mm", "centre of gravity, aft of the nose", "review"),
    "cg_z": Name("mm", "centre of gravity, above the baseline", "review"),
    "cb_x": Name("mm", "centre of buoyancy, aft of the nose", "review"),
    "cb_z": Name("mm", "centre of buoyancy, above the baseline", "review"),
    "rest_pitch": Name("deg", "nose-down pitch at rest", "review"),
    "draught": Name("mm", "draught, floating", "review"),
    "freeboard": Name("mm", "freeboard, floating", "review"),
    "gm": Name("mm", "metacentric height across, floating", "review"),
    "gm_along": Name("mm", "metacentric height along, floating", "review", True),
    "righting_arm": Name("mm", "largest righting arm, floating", "review", True),
    "vanishing_heel": Name("deg", "heel from which it goes over, floating", "review", True),
    "rest_heel": Name("deg", "heel at which it lies, floating", "review", True),
    "roll_period": Name("s", "period of a free roll, to compare builds", "review", True),
}


Provenance = Literal["measured", "as typed", "counted", "from the table", "assumed", "worked out"]
"""Where a value put into a formula comes from: a reading of an instrument, another answer
of the maker, a count (exact), a table of the program, nobody (a usual value taken instead),
or the numbers before it."""


@dataclass(frozen=True, slots=True)
class Term:
    """One value that went into a number.

    Attributes:
        symbol: as it stands in the formula.
        meaning: in words.
        value: in the core's SI unit.
        unit: the unit to show it in, a key of `SCALE`.
        origin: where it comes from.
    """

    symbol: str
    meaning: str
    value: Uncertain | float
    unit: str
    origin: Provenance = "worked out"


@dataclass(frozen=True, slots=True)
class Working:
    """How a number came about: formula, values put in, source."""

    formula: str
    terms: tuple[Term, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a build, in the core's SI unit, with its working."""

    name: str
    value: Uncertain
    working: Working

    @property
    def published(self) -> tuple[float, float]:
        """Value and standard uncertainty in the unit of the catalogue."""
        scale = SCALE[CATALOGUE[self.name].unit]
        return self.value.value / scale, self.value.u / scale
