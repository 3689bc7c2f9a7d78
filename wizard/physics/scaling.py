"""Scaling: what becomes of lengths, areas, volumes and speeds of a body at another size.

The laws are those of similar bodies: each length grows by the same factor k.
"""

from __future__ import annotations

import math

from wizard.physics.validity import require_positive, require_within

SMALLEST, LARGEST = 0.2, 5.0
"""Factors of length within which one plug is the sibling of another: judgement.

Beyond them wood, wire and water no longer behave alike: walls, films and hooks do not
shrink with the body.
"""


def length_factor(length: float, wanted: float) -> float:
    """The factor that takes one length to another, k [1].

    Args:
        length: of the body as it is [m], > 0.
        wanted: of the body as it is to be [m].

    Raises:
        OutsideValidity: a length that is none, or a factor outside `SMALLEST` to `LARGEST`.
    """
    require_positive("length", length, "m")
    return checked(wanted / length)


def checked(factor: float) -> float:
    """The factor itself.

    Raises:
        OutsideValidity: it is outside `SMALLEST` to `LARGEST`, or no number.
    """
    require_within("factor of length", factor, SMALLEST, LARGEST)
    return factor


def area_factor(factor: float) -> float:
    """How areas of similar bodies grow, k2 [1]: skin, and so a coat of the same film.

    Source: geometry (Euclid, Elements, VI 19 and XII 2).
    """
    return factor**2


def volume_factor(factor: float) -> float:
    """How volumes of similar bodies grow, k3 [1], and masses of the same density.

    Source: geometry (Euclid, Elements, XII 18).
    """
    return factor**3


def speed_factor(factor: float) -> float:
    """How the speed of sinking grows at the same margin, sqrt(k) [1].

    Net weight goes with k3 and frontal area with k2, so v2 goes with k as long as the
    drag coefficient is the same; at a plug's Reynolds numbers it nearly is.

    Source: v = sqrt(2 N g / (rho A C_d)), any mechanics text.
    """
    return math.sqrt(factor)
