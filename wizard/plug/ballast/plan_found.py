"""What one round of the search for a drill plan came to, and what keeps it from what was asked."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.physics.choice import ChoiceLimit
from wizard.physics.drill_order import Group, Order
from wizard.physics.layout import Proposal
from wizard.plug.ballast.plan_setting import Setting

_CLOSE = 0.05e-3  # m: trims closer than this are equal


@dataclass(frozen=True, slots=True)
class PlanLimit:
    """What keeps a plan from what was asked.

    Attributes:
        kind: which limit binds; those of `physics.choice` and `physics.layout`, and
            "mass" when pieces and holes don't agree, "wall" when the rule and the drill
            stop are too coarse, "pitch", and "turns over".
        by: by how much, in the unit.
        unit: kg, m or rad.
        below: the nearest ballast below what is wanted that can be made [kg], or None.
        above: the nearest above it [kg], or None.
    """

    kind: str
    by: float
    unit: str
    below: float | None = None
    above: float | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """What one round of the search came to.

    Attributes:
        wanted: ballast wanted with these holes [kg].
        mass: what the pieces are worth [kg].
        limits: from the drawer, or from laying out.
        order: what was asked of the layout; None if the drawer did not get that far.
        proposal: what the layout said.
        set: the holes as drawn; None where nothing fits.
        groups: what goes into each hole.
    """

    wanted: float
    mass: float
    limits: tuple[PlanLimit, ...]
    order: Order | None = None
    proposal: Proposal | None = None
    set: Setting | None = None
    groups: tuple[Group, ...] = ()

    @property
    def off(self) -> float:
        """How far the pieces are off what is wanted [kg]."""
        return abs(self.mass - self.wanted)

    @property
    def pieces(self) -> int:
        """How many pieces, cuts included."""
        return sum(one.count for group in self.groups for one in group)

    @property
    def trim(self) -> int:
        """How far the ballast acts from its aim, in steps that can be told apart."""
        return 0 if self.set is None else math.floor(abs(self.set.away) / _CLOSE)

    @classmethod
    def of_choice(cls, wanted: float, limit: ChoiceLimit) -> Found:
        """What a limit of the drawer comes to."""
        said = PlanLimit(limit.kind, limit.by, "kg", limit.below, limit.above)
        return cls(wanted, 0.0, (said,))
