"""Whether a plug rights itself, in words, and the numbers behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from wizard.certainty import Uncertain
from wizard.plug.body.drawing import drawn_body
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.report.showing import amount

MANNERS: tuple[tuple[float, str], ...] = (
    (0.02, "hardly: a knock may roll it over"),
    (0.06, "gently: a wide, lazy roll"),
    (0.15, "firmly: a short, quick roll"),
    (math.inf, "stiffly: it hardly rolls at all"),
)
"""How it rights itself by what does so, BG or GM, over its breadth: a judgement, no source."""


def manner(righting: float, breadth: float) -> str:
    """How a plug rights itself.

    Args:
        righting: BG under water, GM afloat [m].
        breadth: of the body at its widest [m].
    """
    return next(words for limit, words in MANNERS if righting < limit * breadth)


def righting_lines(build: Build, derived: Derived) -> Iterator[str]:
    """What rights it and how; nothing while that is not known, or when nothing does."""
    body, chosen = drawn_body(build), build.build.units
    if body is None or derived.value("rest_pitch") is None:
        return
    gm = derived.value("gm")
    if gm is not None:
        yield f"It will right itself {manner(gm.value, body.breadth)}."
        yield from _afloat(derived, gm, chosen)
    else:
        up, down = derived.value("cb_z"), derived.value("cg_z")
        if up is None or down is None:
            return
        yield f"It will right itself {manner(up.value - down.value, body.breadth)}."
        yield (
            f"Its centre of buoyancy stands {amount(up - down, 'mm', chosen)} above its centre "
            "of gravity."
        )
    period = derived.value("roll_period")
    if period is not None:
        yield (
            f"A free roll would take {amount(period, 's', chosen)}: a figure to compare builds by, "
            "with no damping and no pull on the line."
        )


def _afloat(derived: Derived, gm: Uncertain, chosen: Mapping[str, str]) -> Iterator[str]:
    along = derived.value("gm_along")
    beside = f" across and {amount(along, 'mm', chosen)} along" if along is not None else ""
    yield f"Metacentric height: {amount(gm, 'mm', chosen)}{beside}."
    largest, over = derived.value("righting_arm"), derived.value("vanishing_heel")
    if largest is None:
        return
    until = "it comes back from any heel"
    if over is not None:
        until = f"heeled beyond {amount(over, 'deg', chosen)} it goes over"
    yield f"Its righting arm grows to {amount(largest, 'mm', chosen)}; {until}."
