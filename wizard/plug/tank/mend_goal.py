"""Where a mend must lead: the plug as sum and tank know it, and what its aim asks for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from wizard.certainty import Uncertain, exact
from wizard.physics.parts import (
    Part,
    Place,
    centre_of_buoyancy,
    centre_of_gravity,
    mass,
    volume,
)
from wizard.plug.body.afloat import floater
from wizard.plug.body.lying import HANGS
from wizard.plug.chances import hanging_band
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.tank.explain import Standing, standing
from wizard.plug.waters import Water


@dataclass(frozen=True, slots=True)
class Goal:
    """What a mend must bring about.

    Attributes:
        build: the record.
        now: where the plug stands by sum and tank together.
        margin: s of the aim [1].
        water: the fishing water.
        wood: density of the wood as the sum has it [kg/m3].
        answered: the full answer for the ballast [kg], where no pieces are laid out.
        parts: of the plug, put right by the tank, without doubt.
        band: how far from the aim still counts as met [kg].
    """

    build: Build
    now: Standing
    margin: Uncertain
    water: Water
    wood: Uncertain | None
    answered: float | None
    parts: tuple[Part, ...]
    band: float

    @property
    def target(self) -> Uncertain:
        """N that the aim asks of the plug as it is, s rho V [kg]."""
        return self.margin * self.water.buoyant * self.now.volume

    @property
    def lacking(self) -> Uncertain:
        """How much heavier in water it must become, below zero lighter [kg]."""
        return self.target - self.now.net

    @property
    def is_met(self) -> bool:
        """Whether nothing need be done: within the band, or not to be told from the aim."""
        return abs(self.lacking.value) <= max(self.band, 2.0 * self.lacking.u)

    def missed(self, gained: Uncertain, pushed: Uncertain) -> Uncertain:
        """N less the aim after a mend [kg].

        Args:
            gained: mass that the mend adds [kg].
            pushed: outside volume that it adds [m3].
        """
        rho = self.water.buoyant
        after = self.now.net + gained - rho * pushed
        return after - self.margin * rho * (self.now.volume + pushed)

    def outside(self, density: float) -> float:
        """Mass that is lacking, hung on outside, of a density [kg]."""
        return self.lacking.value / (1.0 - (1.0 + self.margin.value) * self.water.buoyant / density)


def goal(build: Build, derived: Derived) -> Goal | None:
    """What a mend must bring about; None while plug, water or aim are not known."""
    water, margin = derived.water, derived.margin
    if water is None or margin is None or build.aim.behaviour is None:
        return None
    now = standing(build, derived.numbers, derived.wood, water, margin)
    if now is None or now.margin is None:
        return None
    answer = derived.value("ballast_mass")
    answered = None if answer is None else max(answer.value, 0.0)
    parts = _put_right(derived.parts, now, water)
    band = hanging_band(build, now.mass.value)
    return Goal(build, now, now.margin, water, derived.wood.density, answered, parts, band)


def _put_right(parts: tuple[Part, ...], now: Standing, water: Water) -> tuple[Part, ...]:
    """The parts as the tank knows them, without doubt; what is left over at the centre."""

    def known(value: Uncertain | None) -> Uncertain | None:
        return None if value is None else now.knowing(value).given()

    right = tuple(replace(p, mass=known(p.mass), volume=known(p.volume)) for p in parts)
    M, V = mass(right), volume(right)
    if M is None or V is None:
        return right
    left = now.net.value - (M.value - water.buoyant * V.value)
    centre = centre_of_gravity(right)
    place = None if centre is None else Place(centre.x.value, centre.z.value)
    return (*right, Part("by the tank", "weighing", exact(left), exact(0.0), place, "finished"))


def pitch_at_rest(build: Build, parts: tuple[Part, ...], water: Water) -> float | None:
    """Nose-down pitch at rest of parts without doubt [rad]; None if it turns over or is unknown."""
    M, V = mass(parts), volume(parts)
    gravity, buoyancy = centre_of_gravity(parts), centre_of_buoyancy(parts)
    if M is None or V is None or gravity is None or buoyancy is None:
        return None
    if M.value - water.buoyant * V.value < -HANGS * M.value:
        afloat = floater(build, parts)
        rest = None if afloat is None else afloat.at(M.value, water.buoyant)
        return None if rest is None or rest.gm < 0 else rest.pitch
    from wizard.physics.flotation import submerged_pitch

    at = (gravity.x, gravity.z, buoyancy.x, buoyancy.z)
    return submerged_pitch(*(value.value for value in at))


def station_for(
    goal: Goal, part_at: Callable[[float], Part | None], low: float, high: float
) -> float | None:
    """Where along the body an addition leaves the pitch as asked, else as it is [m].

    Args:
        goal: the plug.
        part_at: the addition at a place aft of the nose [m].
        low: foremost place allowed [m].
        high: aftmost place allowed [m].

    Returns:
        The place, or the end that comes closest; None where the pitch is not known.
    """
    asked = goal.build.aim.pitch
    wanted = asked.value if asked else pitch_at_rest(goal.build, goal.parts, goal.water)
    if wanted is None:
        return None
    kept: dict[float, float] = {}

    def off(x: float) -> float:
        if x not in kept:
            part = part_at(x)
            parts = goal.parts if part is None else (*goal.parts, part)
            pitch = pitch_at_rest(goal.build, parts, goal.water)
            if pitch is None:
                raise ValueError("it turns over")
            kept[x] = pitch - wanted
        return kept[x]

    try:
        if off(low) * off(high) > 0:
            return min((low, high), key=lambda x: abs(kept[x]))
        return _halved(off, low, high)
    except ValueError:
        return None


def _halved(function: Callable[[float], float], low: float, high: float) -> float:
    """A root to half a millimetre: a pencil marks it no finer."""
    rising = function(low) < 0.0
    while high - low > 0.5e-3:
        middle = (low + high) / 2.0
        if (function(middle) < 0.0) == rising:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0
