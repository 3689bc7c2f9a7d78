"""Plugs that exist: what is true of them, what a maker types, and what the tank shows.

Nothing here calls the program's own sums: the truth of a plug is worked out from the
formulas in plain floats, and the maker reads it through instruments with doubts of their own.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from typing import Any

RHO_W, AIR = 998.2053, 1.2  # kg/m3: fresh water of 20 degC (EOS-80), air of the scale
RHO = RHO_W - AIR
LEAD, STEEL, FILL, FILM = 11340.0, 7850.0, 1150.0, 1120.0
STEP, LIMIT = 0.01e-3, 0.02e-3  # of the scale [kg]
LENGTH, RADIUS = 0.090, 0.0109  # of the body, a circular cylinder with flat ends [m]
AREA = 2 * math.pi * RADIUS * LENGTH + 2 * math.pi * RADIUS**2
THICKNESS = 0.15e-3


@dataclass
class Plug:
    """One plug as it really is [SI], and the bias of the scale that weighs it."""

    wood: float
    body: float
    hole: float
    lead: float
    hooks: float
    film: float
    bias: float
    mass_put_on: float = 0.0
    volume_put_on: float = 0.0
    notes: list[str] = field(default_factory=list)

    @property
    def volume(self) -> float:
        """All that it pushes aside [m3]."""
        return self.body / self.wood + self.hooks / STEEL + self.film / FILM + self.volume_put_on

    @property
    def mass(self) -> float:
        """What it weighs [kg]."""
        backfill = FILL * (self.hole - self.lead / LEAD)
        bare = self.body - self.wood * self.hole
        return bare + self.lead + backfill + self.hooks + self.film + self.mass_put_on

    @property
    def net(self) -> float:
        """What is left of it in the water [kg]."""
        return self.mass - RHO * self.volume

    def missed(self, margin: float) -> float:
        """How far it is from its aim [kg]."""
        return self.net - margin * RHO * self.volume


def shown(mass: float, bias: float) -> float:
    """What the scale shows for a mass [kg]."""
    return round((mass + bias) / STEP) * STEP


def grams(mass: float) -> str:
    return f"{mass * 1e3:.2f} g"


def plug_and_profile(dice: random.Random, margin: float) -> tuple[Plug, dict[str, Any]]:
    """A plug near an aim, and the profile that its maker typed.

    Films are off by a third, holes by 5 %, hooks by 3 %, ballast by 1 %, the wood by 2 %:
    one standard deviation each, as the program assumes or the profile states.
    """
    bias = dice.uniform(-LIMIT, LIMIT)
    tested = dice.uniform(330.0, 480.0)
    wood = tested * (1.0 + dice.gauss(0.0, 0.02))
    volume = math.pi * RADIUS**2 * LENGTH
    typed_body = tested * volume
    body = shown(typed_body, 0.0) - bias
    planned_hole = 3.0e-6
    film, hooks = FILM * AREA * THICKNESS, 4.0e-3
    outside = typed_body / tested + hooks / STEEL + film / FILM
    wanted = (1.0 + margin) * RHO * outside
    lead = (wanted - (typed_body - tested * planned_hole + hooks + film + FILL * planned_hole)) / (
        1.0 - FILL / LEAD
    )
    # The maker's ballast comes in pieces, so the plan itself is off by a little.
    lead = max(round((lead + dice.uniform(-0.5e-3, 0.5e-3)) / 0.1e-3) * 0.1e-3, 2e-3)
    plug = Plug(
        wood,
        body,
        planned_hole * (1.0 + dice.gauss(0.0, 0.05)),
        lead * (1.0 + dice.gauss(0.0, 0.01)),
        hooks * (1.0 + dice.gauss(0.0, 0.03)),
        film * (1.0 + dice.gauss(0.0, 0.30)),
        bias,
    )
    behaviour = "sinks" if margin > 0 else "floats" if margin < 0 else "suspends"
    aim = {"behaviour": behaviour} | ({"margin": f"{abs(margin) * 100:g} %"} if margin else {})
    depth = planned_hole / (math.pi / 4 * 0.015**2)
    profile = {
        "format": 1,
        "water": {"temperature": "20 degC", "salinity": "0 g/kg"},
        "aim": aim,
        "shape": {
            "section": {"widest": 0.5, "upper": 2.0, "lower": 2.0},
            "station": [
                {
                    "x": f"{x * 1e3:.6f} mm",
                    "top": f"{2e3 * RADIUS:.6f} mm",
                    "bottom": "0 mm",
                    "half_breadth": f"{1e3 * RADIUS:.6f} mm",
                }
                for x in (0.0, LENGTH / 2, LENGTH)
            ],
        },
        "weighing": {"mass": grams(typed_body), "resolution": "0.01 g", "accuracy": "0.02 g"},
        "density": {
            "sample": [
                {
                    "method": "known",
                    "density": f"{tested:.6f} kg/m3",
                    "uncertainty": f"{0.02 * tested:.6f} kg/m3",
                }
            ]
        },
        "ballast": {
            "metal": "lead",
            "density": "11.34 g/mL",
            "filler": "epoxy",
            "filler_density": "1.15 g/mL",
            "hole": [{"x": "45 mm", "diameter": "15 mm", "depth": f"{depth * 1e3:.4f} mm"}],
            "piece": [{"mass": grams(lead), "hole": 1}],
        },
        "hardware": [
            {
                "name": "treble hook",
                "count": 2,
                "mass": grams(hooks / 2),
                "density": "7.85 g/mL",
                "x": "45 mm",
                "z": "-4 mm",
            }
        ],
        "coat": [
            {"name": "epoxy topcoat", "thickness": "0.15 mm", "density": "1.12 g/mL"},
        ],
    }
    return plug, profile


def tried(dice: random.Random, plug: Plug, mends: int = 0) -> dict[str, Any]:
    """A trial of a plug as its maker types it: weighed under water, or trial weights hung on."""
    own = {"mends": mends} if mends else {}
    if plug.net >= 0:
        return {"kind": "weigh", "weight": grams(max(shown(plug.net, plug.bias), 0.0)), **own}
    step = 0.1e-3
    needed = -plug.net / (1.0 - RHO / LEAD)
    hung = math.ceil(needed / step) * step
    return {
        "kind": "float",
        "weight": grams(shown(hung, plug.bias)),
        "weight_step": grams(step),
        "density": "11.34 g/mL",
        **own,
    }


def done(dice: random.Random, plug: Plug, kind: str, row: Any) -> None:
    """A mend carried out on the plug, as well as hands and scale do it."""
    metal = row.density.value if row.density else LEAD
    mass = row.mass.value - plug.bias + dice.uniform(-STEP / 2, STEP / 2)
    if kind == "swap":
        # The new ones are chosen by how much more they weigh than those that come off.
        plug.hooks += 2 * (row.mass.value - row.off.value + dice.uniform(-STEP, STEP))
    elif kind in ("wire", "putty"):
        # Putty has whatever density it has, the table knows it from 6 to 11 g/mL.
        real = dice.uniform(6000.0, 11000.0) if kind == "putty" else metal
        plug.mass_put_on += mass
        plug.volume_put_on += mass / real
    elif kind == "take off":
        plug.mass_put_on -= mass
        plug.volume_put_on -= mass / metal
    elif kind == "nail":
        plug.mass_put_on += mass - plug.wood * mass / metal
    elif kind == "hole in":
        plug.lead += mass
    elif kind == "drill out":
        # Of the chips up to a twentieth is not found again.
        plug.lead -= mass / (1.0 - dice.uniform(0.0, 0.05))
    else:
        raise AssertionError(kind)
