"""What an edit moves: mass, chance, pitch and speed before and after."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.certainty import Uncertain
from wizard.plug.derived import Derived

WATCHED = (
    "ballast_mass",
    "finished_mass",
    "net_in_water",
    "chance_aim",
    "chance_sinks",
    "rest_pitch",
    "draught",
    "freeboard",
    "gm",
    "sink_rate",
)
"""Names of the numbers that tell what the plug will do, in the order to show them."""

SAME = 1e-9
"""Relative change up to which a number has not moved: the rounding of sums."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One number before and after an edit.

    Attributes:
        name: in the catalogue.
        before: in the core's SI unit; None where it was not known.
        after: None where it is not known any more.
    """

    name: str
    before: Uncertain | None
    after: Uncertain | None

    @property
    def change(self) -> float | None:
        """After less before, in the core's SI unit; None where one of them is unknown."""
        if self.before is None or self.after is None:
            return None
        return self.after.value - self.before.value


def what_moves(before: Derived, after: Derived) -> tuple[Moved, ...]:
    """The watched numbers that an edit moves, makes known or makes unknown.

    Args:
        before: what followed from the build before the edit.
        after: what follows from it now.
    """
    every = (Moved(name, before.value(name), after.value(name)) for name in WATCHED)
    return tuple(one for one in every if _differs(one.before, one.after))


def _differs(one: Uncertain | None, other: Uncertain | None) -> bool:
    if one is None or other is None:
        return one is not other
    return abs(one.value - other.value) > SAME * max(abs(one.value), abs(other.value))
