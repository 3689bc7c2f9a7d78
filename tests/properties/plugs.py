"""A build by hand to change one table at a time, and what the program says of it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

import tomli_w

from wizard.plug.derive import derive
from wizard.report.machine import document
from wizard.store import profile


def reviewed(tables: Mapping[str, Any]) -> dict[str, Any]:
    """The JSON that the program gives for the tables of a profile."""
    build, odd = profile.read(tomli_w.dumps({"format": 1, **tables}).encode(), "a.toml")
    found: dict[str, Any] = json.loads(document("a.toml", build, derive(build), odd))
    return found


def numbers(tables: Mapping[str, Any]) -> dict[str, Any]:
    """The numbers alone."""
    found: dict[str, Any] = reviewed(tables)["numbers"]
    return found


BLOCKS = [
    {"method": "block", "length": "40.02 mm", "width": "25.10 mm", "thickness": "20.15 mm",
     "mass": "8.31 g"},
    {"method": "block", "length": "50.1 mm", "width": "1 in", "thickness": "19.9 mm",
     "mass": "10.23 g"},
    {"method": "cylinder", "diameter": "19.05 mm", "length": "60.2 mm", "mass": "7.01 g"},
]  # fmt: skip
WOOD: dict[str, Any] = {
    "length_resolution": "0.01 mm",
    "length_accuracy": "0.02 mm",
    "mass_resolution": "0.01 g",
    "mass_accuracy": "0.02 g",
    "sample": BLOCKS[:1],
    "board_scatter": "2 %",
}


def round_body(length_mm: float, radius_mm: float, nose_mm: float = 0.0) -> dict[str, Any]:
    """A circular cylinder with flat ends, resting on the baseline."""
    ends = (nose_mm, nose_mm + length_mm / 3, nose_mm + length_mm)
    return {
        "section": {"widest": 0.5, "upper": 2.0, "lower": 2.0},
        "station": [
            {
                "x": f"{x:.6f} mm",
                "top": f"{2 * radius_mm:.6f} mm",
                "bottom": "0 mm",
                "half_breadth": f"{radius_mm:.6f} mm",
            }
            for x in ends
        ],
    }


PLUG: dict[str, Any] = {
    "water": {"temperature": "18 degC", "salinity": "0 g/kg"},
    "aim": {"behaviour": "sinks", "margin": "12 %"},
    "shape": round_body(90.0, 10.9),
    "weighing": {"mass": "13.62 g", "resolution": "0.01 g", "accuracy": "0.02 g"},
    "density": WOOD,
    "ballast": {
        "metal": "lead",
        "density": "11.34 g/mL",
        "filler": "epoxy",
        "filler_density": "1.15 g/mL",
        "hole": [
            {"x": "30 mm", "diameter": "3.5 mm", "depth": "12 mm"},
            {"x": "55 mm", "diameter": "12.5 mm", "depth": "15.5 mm"},
        ],
        "piece": [
            {"mass": "0.9 g", "hole": 1},
            {"mass": "5.6 g", "count": 3, "hole": 2},
            {"mass": "1.1 g", "density": "7.3 g/mL"},
        ],
    },
    "hardware": [
        {"name": "treble hook", "count": 2, "mass": "1.9 g", "density": "7.85 g/mL",
         "outside": 1.0, "x": "45 mm", "z": "-4 mm"},
        {"name": "through-wire", "mass": "2.2 g", "density": "8.0 g/mL", "outside": 0.25,
         "x": "45 mm", "z": "8 mm", "stage": "ballasted"},
    ],
    "coat": [
        {"name": "clear sealer", "thickness": "0.02 mm", "density": "1.10 g/mL", "outside": 0.5},
        {"name": "paint", "mass": "0.31 g", "density": "1.3 g/mL"},
        {"name": "epoxy", "thickness": "0.12 mm", "density": "1.12 g/mL"},
    ],
}  # fmt: skip


def build_with(**changes: Any) -> dict[str, Any]:
    """The build by hand with whole tables replaced, or left out for None."""
    tables = deepcopy(PLUG) | changes
    return {key: value for key, value in tables.items() if value is not None}


def ballast_with(**changes: Any) -> dict[str, Any]:
    """The ballast of the build by hand with keys replaced, or left out for None."""
    keys = PLUG["ballast"] | changes
    return {key: value for key, value in keys.items() if value is not None}


LOOSE = ballast_with(hole=None, piece=None, hole_ratio=1.3)
