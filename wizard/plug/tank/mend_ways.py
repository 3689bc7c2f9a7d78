"""All ways to make a finished plug heavier or lighter in water."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.plug.tank.mend_goal import Goal
from wizard.plug.tank.mend_inside import behind_the_backfill, drilled_out, nailed
from wizard.plug.tank.mend_outside import putty, swaps, taken_off, wound
from wizard.plug.tank.mend_rows import Way


def ways(goal: Goal) -> Iterator[Way]:
    """All that may be done towards the aim, each as far as it goes."""
    yield from swaps(goal)
    if goal.lacking.value > 0:
        yield from wound(goal)
        yield from putty(goal)
        yield from nailed(goal)
        yield from behind_the_backfill(goal)
    else:
        yield from taken_off(goal)
        yield from drilled_out(goal)
