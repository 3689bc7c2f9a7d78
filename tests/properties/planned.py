"""A carved build and a drawer for drill plans, changed one table at a time."""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from typing import Any

import tomli_w

from wizard.plug.ballast.plan import DrillPlan, ballast_plan
from wizard.plug.bench import Bench
from wizard.plug.derive import derive
from wizard.plug.record import Build
from wizard.store import bench, profile

MM = 1e-3

STATIONS = [
    (0, 15, 15, 0),
    (26, 27, 4, 11),
    (60, 33, 0, 14),
    (100, 26, 4, 10),
    (130, 18, 11, 4),
]

CARVED: dict[str, Any] = {
    "build": {"name": "Pier herring 130", "units": {"length": "mm", "mass": "g"}},
    "water": {"temperature": "12 degC", "salinity": "30 g/kg"},
    "aim": {"behaviour": "sinks", "margin": "12 %", "pitch": "5 deg"},
    "shape": {
        "section": {"widest": 0.45, "upper": 2.2, "lower": 2.0},
        "line_tie": {"x": "0 mm", "z": "15 mm"},
        "station": [
            {"x": f"{x} mm", "top": f"{t} mm", "bottom": f"{b} mm", "half_breadth": f"{h} mm"}
            for x, t, b, h in STATIONS
        ],
    },
    "weighing": {"mass": "22.1 g", "resolution": "0.01 g"},
    "density": {
        "sample": [{"method": "known", "density": "0.41 g/mL", "uncertainty": "0.006 g/mL"}]
    },
    "ballast": {
        "metal": "lead",
        "density": "11.34 g/mL",
        "filler": "epoxy",
        "filler_density": "1.15 g/mL",
    },
    "hardware": [
        {"name": "treble hook", "mass": "1.9 g", "density": "7.85 g/mL", "x": "45 mm",
         "z": "-3 mm", "reach": "30 mm"},
        {"name": "screw eye", "mass": "0.6 g", "density": "7.9 g/mL", "outside": 0.45,
         "x": "45 mm", "z": "-1 mm", "shank": "12 mm"},
        {"name": "treble hook", "mass": "1.9 g", "density": "7.85 g/mL", "x": "132 mm",
         "z": "14 mm", "reach": "30 mm"},
    ],
    "coat": [
        {"name": "clear sealer", "thickness": "0.05 mm", "density": "1.10 g/mL"},
        {"name": "epoxy topcoat", "thickness": "0.2 mm", "density": "1.15 g/mL"},
    ],
}  # fmt: skip

DRAWER: list[dict[str, Any]] = [
    {"name": "10 g slug", "mass": "10 g", "count": 4, "form": "cylinder", "metal": "lead",
     "diameter": "9.3 mm"},
    {"name": "5 g ball", "mass": "5.1 g", "count": 3, "form": "ball", "metal": "lead"},
    {"name": "split shot", "mass": "1.2 g", "count": 12, "form": "ball", "metal": "lead"},
    {"name": "lead wire", "mass": "90 g", "form": "wire", "metal": "lead", "diameter": "3.2 mm"},
]  # fmt: skip
DRILLS = {"owned": ["6 mm", "8 mm", "9.5 mm", "10 mm", "12 mm"], "point": "118 deg"}


def build_of(**tables: Any) -> Build:
    """The carved build with tables exchanged or, within a dict, keys; None takes a key out."""
    whole = deepcopy(CARVED)
    for name, table in tables.items():
        if isinstance(table, dict) and isinstance(whole.get(name), dict):
            merged = whole[name] | table
            whole[name] = {k: v for k, v in merged.items() if v is not None}
        elif table is None:
            whole.pop(name, None)
        else:
            whole[name] = table
    data = tomli_w.dumps({"format": 1, **whole}).encode()
    return profile.read(data, "build.toml")[0]


def bench_of(piece: list[dict[str, Any]] | None = None, **tables: Any) -> Bench:
    """A bench with a drawer and drills."""
    whole = {"format": 1, "drills": DRILLS, "piece": DRAWER if piece is None else piece, **tables}
    return bench.read(tomli_w.dumps(whole).encode(), "bench.toml")[0]


def planned(build: Build, of: Bench | None = None) -> DrillPlan:
    """The plan for a build."""
    return ballast_plan(build, derive(build), bench_of() if of is None else of)


CASES: dict[str, dict[str, Any]] = {
    "a sinker": {},
    "a sinker in inches": {"build": {"units": {"length": "in", "mass": "oz"}}},
    "a suspender": {"aim": {"behaviour": "suspends", "margin": None}},
    "a floater": {"aim": {"behaviour": "floats", "pitch": "8 deg"}},
    "no pitch asked": {"aim": {"pitch": None}},
    "hollow holes": {"ballast": {"filler": "hollow", "filler_density": None, "dowel": "4 mm"}},
    "from the back, turned nose down": {"ballast": {"drilled": "down"}},
}


@cache
def case(name: str) -> DrillPlan:
    """The plan of a case, made once."""
    return planned(build_of(**CASES[name]))
