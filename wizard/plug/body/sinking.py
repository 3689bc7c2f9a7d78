"""How fast the plug sinks, and what an asked-for speed means for its weight."""

from __future__ import annotations

from wizard.certainty import Cause, Uncertain, apply, exact, measured
from wizard.physics.drag import DRAG_SPREAD, net_mass_for_speed, terminal_speed
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.drawing import drawn_body
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.record import Build
from wizard.plug.waters import Water

SOURCE = (
    "Haider and Levenspiel (1989), Powder Technology 58, general form; "
    "viscosity: Sharqawy and others (2010)"
)


def drag_cause(build: Build) -> Cause:
    """The one cause of every speed's doubt; a factor from few builds has few degrees of freedom."""
    own = build.drag.factor is not None and build.drag.doubt is not None
    few = build.drag.builds if own and build.drag.builds else 0
    return Cause("drag of a plug", "correlation", few - 1 if few > 1 else None)


def drag_factor(build: Build) -> float:
    """This maker's drag over the published one, where it was taken over, else 1 [1]."""
    return build.drag.factor.value if build.drag.factor else 1.0


def drag_doubt(build: Build) -> Uncertain:
    """Relative doubt of a speed from its drag [1]: 0 with the spread of the correlations.

    A factor of the maker's own, with its doubt, replaces that spread.
    """
    own = build.drag.factor is not None and build.drag.doubt is not None
    spread = build.drag.doubt.value if own and build.drag.doubt else DRAG_SPREAD
    return measured(0.0, spread, drag_cause(build))


def predicted_sink_rate(
    build: Build, net: Uncertain, outside: Uncertain, water: Water
) -> Number | None:
    """Terminal speed of sinking [m/s]; None without a drawn shape.

    Raises:
        OutsideValidity: the correlation does not reach so far.
    """
    body = drawn_body(build)
    if body is None or net.value <= 0:
        return None
    factor = drag_factor(build)

    def speed(N: float, V: float) -> float:
        return terminal_speed(N, V, body.area, water.density, water.viscosity, factor)

    value = apply(speed, net, outside) * (1.0 + drag_doubt(build))
    working = Working(
        "N g = 1/2 rho_w v2 CD pi d2 / 4, d of the sphere of equal volume",
        (
            Term("N", "net in water", net, "g"),
            Term("V", "outside volume", outside, "mL"),
            Term("A", "drawn skin", body.area, "cm2"),
        ),
        SOURCE,
    )
    return Number("sink_rate", value, working)


def margin_for_speed(
    build: Build, water: Water, outside: Uncertain, speed: float
) -> Uncertain | None:
    """The margin s that gives a speed of sinking [1]; None without a drawn shape."""
    body = drawn_body(build)
    if body is None:
        return None
    factor = drag_factor(build)

    def margin(V: float) -> float:
        N = net_mass_for_speed(speed, V, body.area, water.density, water.viscosity, factor)
        return N / (water.buoyant * V)

    try:
        return apply(margin, outside) * (exact(1.0) - 2.0 * drag_doubt(build))
    except OutsideValidity:
        return None
