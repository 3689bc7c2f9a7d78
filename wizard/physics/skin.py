"""The skin of a body: its area, the outlines of its sections, and a mesh."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from wizard.physics.curve import Numbers, distinct

if TYPE_CHECKING:
    from wizard.physics.section import Half
    from wizard.physics.shape import Body

Indices = NDArray[np.intp]

_ORDER = 5
_ORDER_OF_MANY = 3
_ALONG, _AROUND = 36, 20  # patches: a share of the skin to about 1e-3
_THIN = 1e-9  # of the length: an edge
_MANY = 60  # intervals from which the lower order is plenty


def integrals(body: Body) -> tuple[float, float, float]:
    """Area of the skin and its first moments in x and z [m2, m3, m3].

    The true slanted surface: the norm of the cross product of the tangents along
    and around the body, summed over both; flat end faces are added.
    """
    x, w = body.abscissae(_ORDER if len(body.stations) <= _MANY else _ORDER_OF_MANY)
    cut, slope = body.cuts(x), body.curve.slope(x)
    rise_below = body.section.widest * (slope[:, 0] - slope[:, 1])
    rise_widest = slope[:, 1] + rise_below
    total = np.zeros(3)
    for half, height, growth, side in (
        (body.section.upper_half, cut.above, slope[:, 0] - rise_widest, 1.0),
        (body.section.lower_half, cut.below, rise_below, -1.0),
    ):
        h, y, dh, dy = half.arc
        across = np.outer(cut.half_breadth, dy)
        up = np.outer(height, dh)
        lean = np.outer(slope[:, 2], y) * up - across * (
            side * rise_widest[:, np.newaxis] + np.outer(growth, h)
        )
        patches = 2 * w[:, np.newaxis] * np.sqrt(lean**2 + up**2 + across**2)
        z = cut.widest[:, np.newaxis] + side * np.outer(height, h)
        total += patches.sum(), (patches.sum(axis=1) * x).sum(), (patches * z).sum()
    for end in (body.nose, body.tail):
        area, z_moment = _face(body, end)
        total += area, area * end, z_moment
    return float(total[0]), float(total[1]), float(total[2])


def _face(body: Body, x: float) -> tuple[float, float]:
    cut = body.cuts(x)
    upper, lower = body.section.upper_half, body.section.lower_half
    area = float(body.section_area(x))
    moment = 2 * cut.half_breadth * (cut.above**2 * upper.moment - cut.below**2 * lower.moment)
    return area, float(area * cut.widest + moment)


class Wetted(NamedTuple):
    """The part of the skin that is under water.

    Attributes:
        share: of the whole skin [1].
        x: of its centroid [m].
        z: of its centroid [m].
        growth: how the share grows with the level [1/m].
        first: first moment of that growth along the water, about the point of the
            water nearest the origin [1].
        second: second moment [m].
    """

    share: float
    x: float
    z: float
    growth: float
    first: float
    second: float


@lru_cache(maxsize=64)
def wetted(body: Body, pitch: float, level: float) -> Wetted:
    """The skin under a pitched waterplane.

    Args:
        body: the body.
        pitch: nose down positive [rad].
        level: height of the water along its own normal, x sin p + z cos p [m].
    """
    x, z, area, middle_x, middle_z = body.patches
    s, c = math.sin(pitch), math.cos(pitch)
    heights = x * s + z * c
    low = heights.min(axis=0)
    # A level patch is not wetted at once, or no water level might carry the plug.
    extent = np.maximum(heights.max(axis=0) - low, body.height / 50)
    share = (level - low) / extent
    growth = area / extent * ((share > 0.0) & (share < 1.0))
    wet = np.minimum(np.maximum(share, 0.0), 1.0) * area
    distance = middle_x * c - middle_z * s
    moment = growth * distance
    total = float(wet.sum())
    return Wetted(
        total,
        float(wet @ middle_x) / total if total else 0.0,
        float(wet @ middle_z) / total if total else 0.0,
        float(growth.sum()),
        float(moment.sum()),
        float(moment @ distance),
    )


class Patches(NamedTuple):
    """Triangles of the port half of the skin.

    Attributes:
        x: of the corners, shape (3, patches) [m].
        z: of the corners [m].
        share: of the whole skin, shape (patches,).
        middle_x: of the centroids [m].
        middle_z: of the centroids [m].
    """

    x: Numbers
    z: Numbers
    share: Numbers
    middle_x: Numbers
    middle_z: Numbers


def patches(body: Body) -> Patches:
    """The skin in pieces small enough to see how much of it is wet."""
    vertices, faces, _ = _rings(body, _ALONG, _AROUND)
    y = vertices[:, 1]
    port = faces[y[faces].sum(axis=1) >= 0.0]
    a, b, c = np.take(vertices.T, port.T, axis=1).swapaxes(0, 1)
    (u_x, u_y, u_z), (v_x, v_y, v_z) = b - a, c - a
    across = (u_y * v_z - u_z * v_y, u_z * v_x - u_x * v_z, u_x * v_y - u_y * v_x)
    area = np.sqrt(sum(part * part for part in across))
    x, z = (np.stack([a[row], b[row], c[row]]) for row in (0, 2))
    return Patches(x, z, area / area.sum(), x.mean(axis=0), z.mean(axis=0))


def outlines(body: Body, x: Numbers, n_around: int) -> tuple[Numbers, Numbers]:
    """Closed outlines of sections, from the port side over the back to starboard.

    Args:
        body: the body.
        x: places [m], shape (n,).
        n_around: points in one outline; the halves share their half-breadths, so
            that it grows where their corners differ.

    Returns:
        y and z [m], each of shape (n, points): anticlockwise seen from ahead of
        the nose with z up, the first point not repeated.
    """
    cut = body.cuts(x)
    upper, lower = body.section.upper_half, body.section.lower_half
    y, above = _quarter(upper, lower, max(n_around // 4, 2))
    below = lower.height_at(y)
    # Port up the back to the centre line, down to starboard, under the belly and up again.
    across = np.concatenate([y, -y[-2::-1], -y[1:], y[-2:0:-1]])
    up = np.concatenate([above, above[-2::-1], 0 * y[1:], 0 * y[-2:0:-1]])
    down = np.concatenate([0 * y, 0 * y[-2::-1], below[1:], below[-2:0:-1]])
    z = cut.widest[:, np.newaxis] + np.outer(cut.above, up) - np.outer(cut.below, down)
    return np.outer(cut.half_breadth, across), z


def _quarter(upper: Half, lower: Half, count: int) -> tuple[Numbers, Numbers]:
    """Half-breadths from 1 to 0 at which to draw both halves, and the upper heights."""
    shared = np.concatenate([upper.corners(count), lower.corners(count), [0.0, 1.0]])
    y = distinct(np.round(shared, 12))[::-1]
    return y, upper.height_at(y)


def mesh(body: Body, n_along: int, n_around: int) -> tuple[Numbers, Indices]:
    """Vertices [m] and faces of the skin; see `Body.mesh`."""
    return _merged(*_rings(body, n_along, n_around))


def _rings(body: Body, n_along: int, n_around: int) -> tuple[Numbers, Indices, int]:
    """Vertices, faces, and points of a ring; a point or an edge is a ring without extent."""
    x = body.nose + body.length * (1 - np.cos(np.linspace(0.0, np.pi, n_along + 1))) / 2
    x[-1] = body.tail
    y, z = outlines(body, x, n_around)
    points = y.shape[1]
    flat_nose, flat_tail = (_closed(y[end], z[end], _THIN * body.length) for end in (0, -1))
    vertices = np.stack([np.broadcast_to(x[:, np.newaxis], y.shape), y, z], axis=-1)
    ring = np.arange(points)
    here = ring + points * np.arange(n_along)[:, np.newaxis]
    beside = np.roll(ring, -1) + points * np.arange(n_along)[:, np.newaxis]
    faces = [
        np.stack([here, beside, beside + points], axis=-1).reshape(-1, 3),
        np.stack([here, beside + points, here + points], axis=-1).reshape(-1, 3),
    ]
    if flat_nose:
        faces.append(_cap(points)[:, ::-1])
    if flat_tail:
        faces.append(_cap(points) + points * n_along)
    return vertices.reshape(-1, 3), np.concatenate(faces), points


def _closed(y: Numbers, z: Numbers, thin: float) -> bool:
    """Draw an end that is thin out to an edge or a point, which closes by itself.

    Returns:
        Whether the end is flat instead, and needs a face.
    """
    narrow, low = np.ptp(y) <= thin, np.ptp(z) <= thin
    if narrow:
        y[:] = 0.0
    if low:
        z[:] = z.mean()
    return not (narrow or low)


def _cap(points: int) -> Indices:
    """A flat tail end as strips across; reversed, a flat nose.

    The outline is symmetric: point i to port and point points / 2 - i to
    starboard stand at one height, from the belly (i < 0) to the back.
    """
    quarter = points // 4
    port = np.arange(-quarter, quarter + 1)
    a, b = port[:-1] % points, port[1:] % points
    c, d = (points // 2 - port[1:]) % points, (points // 2 - port[:-1]) % points
    return np.concatenate([np.stack([a, b, c], axis=-1), np.stack([a, c, d], axis=-1)])


def _merged(vertices: Numbers, faces: Indices, points: int) -> tuple[Numbers, Indices]:
    """One vertex a place at the ends, and no face without area, so that an edge closes."""
    names = np.arange(len(vertices))
    for ring in (names[:points], names[-points:]):
        _, first, same = np.unique(
            vertices[ring] + 0.0, axis=0, return_index=True, return_inverse=True
        )
        names[ring] = ring[first][same.reshape(-1)]
    renamed = names[faces]
    a, b, c = renamed.T
    used, compact = np.unique(renamed[(a != b) & (b != c) & (c != a)], return_inverse=True)
    return vertices[used], compact.reshape(-1, 3)
