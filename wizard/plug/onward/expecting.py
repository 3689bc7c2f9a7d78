"""What a build will come to if it turns out as drawn: for buying and planning, before a scale.

Only what is not weighed or tested yet is filled in: the body's weight from its volume, the
wood's density from the table. What was measured stays as it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from wizard.plug.body.drawing import drawn_body
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.onward.expected_wood import from_table
from wizard.plug.onward.stock_sizes import FINEST_MASS
from wizard.plug.paths import put
from wizard.plug.record import Build
from wizard.quantity.making import made


@dataclass(frozen=True, slots=True)
class Expectation:
    """A build with what it is expected to measure.

    Attributes:
        build: the record, filled in.
        derived: what follows from it.
        body: the bare body's weight, as weighed or expected [kg].
        assumed: what was filled in, in words.
    """

    build: Build
    derived: Derived
    body: float
    assumed: tuple[str, ...]


def expected(build: Build, volume: float | None = None) -> Expectation | None:
    """What a build will come to; None while neither weight nor shape and wood are known.

    Args:
        build: the record.
        volume: of the bare body [m3]; that of the drawn shape if None.
    """
    assumed: list[str] = []
    derived = derive(build)
    if derived.wood.density is None:
        sample = from_table(build.stock.wood)
        if sample is None:
            return None
        assumed.append("the density of the wood as in the table")
        build = put(build, ("density", "sample"), (sample,))
        derived = derive(build)
    density = derived.wood.density
    assert density is not None
    if build.weighing.mass is None:
        body = drawn_body(build)
        room = volume if volume is not None else body.volume if body is not None else None
        mass = None if room is None else made(density.value * room, "g", FINEST_MASS)
        if mass is None or mass.value == 0:  # a body that no scale would show
            return None
        assumed.append("the body as drawn")
        # What stands beside a weighing that was not made says nothing of this one.
        at = replace(build.weighing, mass=mass, mass_again=(), zero=None)
        build = replace(build, weighing=at)
        derived = derive(build)
    assert build.weighing.mass is not None
    return Expectation(build, derived, build.weighing.mass.value, tuple(assumed))
