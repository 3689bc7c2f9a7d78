"""A skin guessed from three sides, or from a length and a volume: for mixing paint, no more."""

from __future__ import annotations

import math

from wizard.physics.validity import require_positive

POWER = 1.6075


def ellipsoid_area(length: float, height: float, thickness: float) -> float:
    """Area of the ellipsoid with these diameters [m2], to about 1 %.

    Args:
        length: 2a [m].
        height: 2b [m].
        thickness: 2c [m].

    Returns:
        S = 4 pi [((ab)^p + (ac)^p + (bc)^p) / 3]^(1/p), p = 1.6075.

    Source: K. Thomsen's approximation (2004), worst error 1.061 %, from memory.
    """
    for name, value in (("length", length), ("height", height), ("thickness", thickness)):
        require_positive(name, value, "m")
    a, b, c = length / 2.0, height / 2.0, thickness / 2.0
    p = POWER
    mean = ((a * b) ** p + (a * c) ** p + (b * c) ** p) / 3.0
    return float(4.0 * math.pi * mean ** (1.0 / p))


def spindle_area(length: float, volume: float) -> float:
    """Area of the round ellipsoid of a length and a volume [m2].

    Args:
        length: 2a [m].
        volume: V = 4/3 pi a b2 [m3].

    Source: `ellipsoid_area`, with b = c from the volume.
    """
    require_positive("length", length, "m")
    require_positive("volume", volume, "m3")
    b = math.sqrt(volume / (4.0 / 3.0 * math.pi * length / 2.0))
    return ellipsoid_area(length, 2.0 * b, 2.0 * b)
