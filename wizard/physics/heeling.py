"""What a righting arm curve says: how far a plug may heel, and how it lies if it does not stand.

The curve goes all the way round to belly up, with the pitch held at that of rest.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from wizard.physics.curve import Curve, Numbers, shape_preserving
from wizard.physics.righting import righting_arm
from wizard.physics.shape import Body
from wizard.physics.waterplane import Appendage

ALL_ROUND = tuple(math.radians(angle) for angle in (0, 5, 10, *range(15, 181, 15)))
"""Heels from upright to belly up [rad], closer where it begins."""

_FINE = np.radians(np.arange(0.0, 180.25, 0.25))
_UPRIGHT = math.radians(1.0)  # a plug that heels less than this stands


@dataclass(frozen=True, eq=False)
class RightingCurve:
    """Righting arms over the heel, from upright to belly up.

    Attributes:
        heels: [rad], rising from 0 to pi.
        arms: GZ at each, positive where it turns the plug back towards upright [m].
        growths: of each arm with the volume that is pushed aside [1/m2].
    """

    heels: Numbers
    arms: Numbers
    growths: Numbers

    def loaded(self, volume: float) -> RightingCurve:
        """The curve with a little more volume pushed aside [m3], taken as linear."""
        return replace(self, arms=self.arms + volume * self.growths)

    def raised(self, rise: float) -> RightingCurve:
        """The curve with the centre of gravity so much higher, square to the water [m].

        Source: GZ = KN - KG sin(heel) (any text on ship stability).
        """
        return replace(self, arms=self.arms - rise * np.sin(self.heels))

    @cached_property
    def _curve(self) -> Curve:
        return shape_preserving(self.heels, self.arms[:, np.newaxis])

    @cached_property
    def _fine(self) -> Numbers:
        return np.asarray(self._curve(_FINE)[:, 0])

    def arm(self, heel: float) -> float:
        """GZ at a heel [m]."""
        return float(self._curve(np.array([heel]))[0, 0])

    @property
    def largest(self) -> tuple[float, float]:
        """The largest arm on the side on which it stands [m], and its heel [rad].

        Sought from upright to where the plug rights itself no more.
        """
        end = self.vanishing
        within = self._fine if end is None else self._fine[end >= _FINE]
        place = int(np.argmax(within))
        return float(within[place]), float(_FINE[place])

    @property
    def vanishing(self) -> float | None:
        """Heel from which it goes over [rad]; None if it comes back from any heel."""
        heel = self._crossing(-self._fine)
        return None if heel is None or heel > math.pi - _UPRIGHT else heel

    @property
    def lies_at(self) -> float:
        """Heel at which it comes to rest from upright [rad]: 0 if it stands, pi belly up."""
        if self.arm(_UPRIGHT) >= 0.0:
            return 0.0
        heel = self._crossing(self._fine)
        return math.pi if heel is None else heel

    @staticmethod
    def _crossing(arms: Numbers) -> float | None:
        """The first heel after upright at which arms rise through zero; None if they do not."""
        (places,) = np.nonzero((arms[1:-1] < 0.0) & (arms[2:] >= 0.0))
        if not places.size:
            return None
        place = int(places[0]) + 1
        below, above = arms[place], arms[place + 1]
        return float(_FINE[place] + (_FINE[1] - _FINE[0]) * below / (below - above))


def righting_curve(
    body: Body,
    body_volume: float,
    film_volume: float,
    appendages: Sequence[Appendage],
    mass: float,
    cg_x: float,
    cg_z: float,
    water_density: float,
    pitch: float,
) -> RightingCurve:
    """The whole curve of a floating plug; arguments as for `righting.righting_arm`.

    Raises:
        ValueError: if the plug does not float.
    """
    righted = righting_arm(
        body,
        body_volume,
        film_volume,
        appendages,
        mass,
        cg_x,
        cg_z,
        water_density,
        pitch,
        ALL_ROUND,
    )
    return RightingCurve(np.array(ALL_ROUND), *righted)
