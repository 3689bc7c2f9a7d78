"""What a drill plan has to meet: how heavy the ballast, and where it must act."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from wizard.physics.parts import Part, Place, centre_of_buoyancy, centre_of_gravity, mass
from wizard.plug.account import account
from wizard.plug.ballast.parts import (
    ballast_density,
    dowel_density,
    filler_density,
    hole_ratio,
    is_hollow,
)
from wizard.plug.body.drawing import drawn_body
from wizard.plug.chances import hanging_band
from wizard.plug.derived import Derived
from wizard.plug.record import Ballast, Build

if TYPE_CHECKING:
    from wizard.physics.drill_order import Aim
    from wizard.physics.shape import Body

PITCH_TOLERANCE = math.radians(2.0)
"""How far a plan may be off the pitch asked for [rad]: common practice, no source."""

LEVEL_TOLERANCE = math.radians(10.0)
"""How far from level counts as level where no pitch is asked [rad]: common practice, no source."""

OF_IT = 0.8
"""Share of the tolerance that the layout may use; the rest is for the lines of the rule [1]."""

_NEAREST = 0.1e-3  # m: what a drill can be set to


@dataclass(frozen=True, slots=True)
class Trim:
    """Where the whole plug must weigh.

    Attributes:
        pitch: nose down positive [rad].
        asked: whether the maker asked for it; else level is sought and nothing is promised.
        buoyancy: where the water carries the plug at that pitch.
        others: CG of all that is not in the holes.
        stiffness: height of the metacentre over the CB, along; 0 under water [m].
    """

    pitch: float
    asked: bool
    buoyancy: Place
    others: Place
    stiffness: float


@dataclass(frozen=True, slots=True)
class Goal:
    """What a plan has to meet.

    Attributes:
        body: as drawn.
        target: what the finished plug should weigh [kg].
        neutral: what it would weigh hanging [kg].
        others: mass of all that is not in the holes, the wood undrilled [kg].
        wood: density of the wood [kg/m3].
        metal: density of the ballast metal in whose terms amounts are given [kg/m3].
        filler: density of the backfill; 0 for hollow holes [kg/m3].
        dowel: density of the dowels of hollow holes; 0 without [kg/m3].
        hole_factor: real volume of a hole over that of the plan [1].
        hole_ratio: hole volume per ballast volume until holes are laid out [1].
        band: how far the finished plug may be off its target [kg].
        trim: where it must weigh; None where that can't be known.
    """

    body: Body
    target: float
    neutral: float
    others: float
    wood: float
    metal: float
    filler: float
    dowel: float
    hole_factor: float
    hole_ratio: float
    band: float
    trim: Trim | None

    @property
    def asks_for_trim(self) -> bool:
        """Whether the maker asked for a pitch that can be known."""
        return self.trim is not None and self.trim.asked

    @property
    def share(self) -> float:
        """What a gram of the ballast metal adds to the plug in place of filler [1]."""
        return 1.0 - self.filler / self.metal

    @property
    def tolerance(self) -> float:
        """How far the ballast may be off [kg]."""
        return self.band / self.share

    def wanted(self, holes: float, dowels: float = 0.0) -> float:
        """Ballast for the target with holes laid out [kg].

        Args:
            holes: volume of all holes as planned [m3].
            dowels: volume of the dowels in their mouths [m3].

        Source: balance of masses; see `physics.ballast.ballast_mass_in_holes`.
        """
        room = self.hole_factor * holes
        others = self.others + self.dowel * dowels
        return (self.target - others + (self.wood - self.filler) * room) / self.share

    def holes_for(self, ballast: float) -> tuple[float, float]:
        """Least and most volume of holes with which a ballast is what is wanted [m3].

        Args:
            ballast: [kg].

        Source: `wanted` the other way round, within the tolerance.
        """
        for_each = (self.filler - self.wood) * self.hole_factor / self.share
        if abs(for_each) < 1.0:
            return 0.0, math.inf
        over = [self.wanted(0.0) - ballast + off for off in (-self.tolerance, self.tolerance)]
        low, high = sorted(one / for_each for one in over)
        return max(low, 0.0), max(high, 0.0)

    def first_guess(self) -> float:
        """Ballast while no holes are laid out yet [kg]; as little as nothing where they cancel."""
        q, rho = self.hole_ratio, self.metal
        share = 1.0 - q * self.wood / rho + (q - 1.0) * self.filler / rho
        return (self.target - self.others) / max(share, 0.05)

    def aim(self, ballast: float, height: float | None = None) -> tuple[Aim, float]:
        """Where the ballast should act, and how far it may act from there [m].

        Without a known trim it may act anywhere, best amidships.

        Args:
            ballast: its mass [kg].
            height: of its CG above the baseline [m]; guessed at a quarter of the body's
                if None.
        """
        from wizard.physics.drill_order import at_pitch, at_x

        trim = self.trim
        if trim is None:
            return at_x(self.body.centroid.x), self.body.length
        aim = at_pitch(trim.pitch, trim.buoyancy, self.others, trim.others)
        if height is None:
            at = min(max(trim.buoyancy.x, self.body.nose), self.body.tail)
            height = float(self.body.bottom(at)) + self.body.height / 4.0
        return aim, self._lever_tolerance(trim, ballast, height)

    def _lever_tolerance(self, trim: Trim, ballast: float, height: float) -> float:
        """How far the ballast may act from its aim within the tolerance of the pitch [m].

        The whole plug's weight then acts M (BM + BG) (tan p - tan(p - dp)) off, p without
        its sign: on the other side it may act farther off. Not all of the tolerance is given
        away, since filler and dowels move the CG a little too.
        """
        gravity = (self.others * trim.others.z + ballast * height) / (self.others + ballast)
        arm = max(trim.buoyancy.z - gravity + trim.stiffness, 1e-3)
        allowed = OF_IT * (PITCH_TOLERANCE if trim.asked else LEVEL_TOLERANCE)
        off = math.tan(abs(trim.pitch)) - math.tan(abs(trim.pitch) - allowed)
        return min(max(self.target * arm * off / ballast, _NEAREST), self.body.length)


def waits_for(build: Build, derived: Derived) -> tuple[str, ...]:
    """What a plan still waits for, in words; empty when it can be made."""
    ballast = build.ballast or Ballast()
    known = account(build, derived.wood.density)
    unknown = [part.name for part in known.others if part.mass is None]
    waits = {
        "the shape": drawn_body(build) is not None,
        "the water": derived.water is not None,
        "the aim": derived.margin is not None,
        "the density of the wood": known.wood_density is not None,
        "the mass of the bare body": build.weighing.mass is not None,
        "the density of the ballast metal": ballast_density(ballast) is not None,
        "the density of the filler": is_hollow(ballast) or filler_density(ballast) is not None,
        f"the mass of {', '.join(unknown)}": not unknown or build.weighing.mass is None,
    }
    missing = tuple(what for what, there in waits.items() if not there)
    return missing or (() if "target_mass" in derived.numbers else ("the films of the coats",))


def goal(build: Build, derived: Derived) -> Goal | None:
    """What a plan has to meet; None while `waits_for` names something.

    Args:
        build: the record; holes and pieces that are laid out do not matter.
        derived: what follows from it.
    """
    body, target, water = drawn_body(build), derived.value("target_mass"), derived.water
    neutral = derived.value("neutral_mass")
    ballast = build.ballast or Ballast()
    known = account(build, derived.wood.density)
    others, wood = mass(known.others), known.wood_density
    metal, filler = ballast_density(ballast), filler_density(ballast)
    if body is None or target is None or water is None or neutral is None:
        return None
    if others is None or wood is None or metal is None or filler is None or filler >= metal:
        return None
    return Goal(
        body,
        target.value,
        neutral.value,
        others.value,
        wood.value,
        metal,
        filler,
        (dowel_density(ballast) or 0.0) if is_hollow(ballast) else 0.0,
        ballast.hole_factor.value if ballast.hole_factor else 1.0,
        hole_ratio(ballast),
        hanging_band(build, target.value),
        _trim(build, known.others, target.value, water.buoyant),
    )


def _trim(build: Build, others: tuple[Part, ...], target: float, buoyant: float) -> Trim | None:
    """Where the plug must weigh; None where a part's place is not known."""
    gravity, whole = centre_of_gravity(others), centre_of_buoyancy(others)
    if gravity is None or whole is None:
        return None
    at = Place(gravity.x.value, gravity.z.value, gravity.y.value)
    asked = build.aim.pitch is not None
    pitch = build.aim.pitch.value if build.aim.pitch else 0.0
    under = Trim(pitch, asked, Place(whole.x.value, whole.z.value), at, 0.0)
    if build.aim.behaviour != "floats":
        return under
    from wizard.physics.flotation import carried_at_pitch
    from wizard.physics.waterplane import UPRIGHT
    from wizard.plug.body.afloat import floater

    found = floater(build, others)
    if found is None or abs(pitch) >= UPRIGHT:
        return None
    carried = carried_at_pitch(
        found.body, found.body_volume.value, found.films, found.hung, target, pitch, buoyant
    )
    if carried is None:
        return under
    return replace(
        under,
        buoyancy=Place(carried.cb_x, carried.cb_z),
        stiffness=carried.metacentric_radius,
    )
