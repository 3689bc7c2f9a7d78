"""How long the rest of a floating plug takes, and against the same body cut as a mesh.

Run by hand: python tests/bench/bench_flotation.py

The mesh is as fine as its draught and pitch need to come as close to the closed
form of a pitched ellipsoid as the sections do with 41 stations; SciPy finds level
and pitch on it, trimesh cuts it. Times are the best of several, in processor time.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import trimesh
from scipy.optimize import brentq

from wizard.physics.flotation import Appendage, float_at_rest, righting_arm
from wizard.physics.forms import FORMS, stations
from wizard.physics.shape import Body, Section, Station

# Pitch towards G in degrees of the ellipsoid 45 x 9 x 11 of relative density 0.85, G 6 ahead of
# and 2.5 under its centre: affine image of the sphere.
PITCH = 28.4868383
SHARE, X_G, Z_G = 0.85, 45.0 - 6.0, -2.5
EQUALLY_GOOD = 1.5  # times the error of the sections


def ellipsoid(count: int) -> Body:
    angle = np.linspace(0.0, math.pi, count)
    radius = np.sin(angle)
    radius[[0, -1]] = 0.0
    return Body.through(
        [
            Station(float(45 - 45 * math.cos(t)), float(11 * r), float(-11 * r), float(9 * r))
            for t, r in zip(angle, radius, strict=True)
        ],
        Section(widest=0.5),
    )


def best(function: Callable[[], Any], times: int) -> float:
    """Least processor time of several runs [ms]."""
    spent = []
    for _ in range(times):
        before = time.process_time()
        function()
        spent.append(time.process_time() - before)
    return 1e3 * min(spent)


def mesh_pitch(mesh: Any) -> float:
    """Pitch [deg] at which G and B stand on one vertical, on a mesh."""

    def cut(up: np.ndarray[Any, Any], level: float) -> tuple[float, np.ndarray[Any, Any]]:
        corners = mesh.slice_plane(up * level, -up).triangles - up * level
        volumes = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
        volume = float(volumes.sum())
        centroid = (volumes[:, np.newaxis] * corners.sum(axis=1) / 4).sum(axis=0)
        return volume, centroid / volume + up * level

    def lever(pitch: float) -> float:
        up = np.array([math.sin(pitch), 0.0, math.cos(pitch)])
        heights = mesh.vertices @ up
        low, high = float(heights.min()) + 1e-6, float(heights.max()) - 1e-6
        level = brentq(
            lambda d: cut(up, d)[0] - SHARE * mesh.volume, low, high, xtol=1e-7, rtol=1e-9
        )
        centre = cut(up, level)[1]
        return float((centre[0] - X_G) * up[2] - (centre[2] - Z_G) * up[0])

    return math.degrees(brentq(lever, -1.0, 1.0, xtol=1e-7))


def against_a_mesh() -> None:
    body = ellipsoid(41)

    def ours() -> float:
        rest = float_at_rest(body, body.volume, 0.0, (), SHARE * body.volume, X_G, Z_G, 1.0)
        assert rest is not None
        return math.degrees(rest.pitch)

    own_error, own_time = abs(ours() - PITCH), best(ours, 20)
    print(f"sections, 41 stations: {own_time:8.2f} ms, pitch off by {own_error:.1e} deg")
    for fineness in (64, 128, 256, 512):
        mesh = trimesh.Trimesh(*body.mesh(fineness, fineness), process=False)
        error = abs(mesh_pitch(mesh) - PITCH)
        spent = best(partial(mesh_pitch, mesh), 1)
        print(
            f"mesh, {len(mesh.faces):7d} facets: {spent:8.0f} ms, pitch off by {error:.1e} deg,"
            f" {spent / own_time:.0f} times as long"
        )
        if error <= EQUALLY_GOOD * own_error:
            break


def finished_plugs() -> None:
    for name, form in FORMS.items():
        body = Body.through(stations(form, 0.095, 0.026, 0.02), form.section)
        hooks = [Appendage(0.24e-6, 0.03, -0.004), Appendage(0.24e-6, 0.095, 0.012)]
        mass, film = 0.85 * 998.0 * body.volume, 0.6e-6

        rest = partial(float_at_rest, body, body.volume, film, hooks, mass, 0.045, 0.008, 998.0)
        curve = partial(
            righting_arm, body, body.volume, film, hooks, mass, 0.045, 0.008, 998.0, 0.0
        )
        print(f"{name:14s} rest {best(rest, 20):6.2f} ms, righting arm {best(curve, 5):6.1f} ms")


def fresh_bodies() -> None:
    """A body and a fullness that were never seen before: what a maker's typing asks for."""
    along = stations("round taper", 0.095, 0.026, 0.02)
    fullness = (2.0 + 0.001 * n for n in range(1000))

    def rest() -> None:
        n = next(fullness)
        body = Body.through(along, Section(0.5, n, n + 0.3))
        float_at_rest(body, body.volume, 0.6e-6, (), 850.0 * body.volume, 0.045, 0.008, 998.0)

    print(f"{'never seen':14s} rest {best(rest, 40):6.2f} ms, drawing included")


if __name__ == "__main__":
    against_a_mesh()
    finished_plugs()
    fresh_bodies()
