"""One volume against another: weighed, drawn, dunked."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from wizard.certainty import Uncertain, exact
from wizard.plug.account import Account, body_mass
from wizard.plug.body.drawing import drawn_body
from wizard.plug.density.dunk import dunked_volume
from wizard.plug.density.odd_one import odd_one_findings
from wizard.plug.density.witnesses import DRAWN, witnesses
from wizard.plug.density.wood import WoodTest
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.quantity.showing import plain

MANIFOLD = 4.0
"""From here a slip of the scale counts so much that the volume is better had otherwise."""

NEAR = 0.12
"""How near a ratio of volumes must be to that of a slip to name it [1]: a judgement."""

SLIPS = (
    (10.0, "a decimal point slipped one place"),
    (28.35, "ounces taken for grams"),
    (2.54, "a side in inches taken for centimetres"),
    (2.0, "a full breadth typed for a half-breadth"),
)


@dataclass(frozen=True, slots=True)
class _Volume:
    """One way to the volume of the bare body.

    Attributes:
        what: in words.
        value: [m3].
        slip: what goes wrong with it as a rule.
    """

    what: str
    value: Uncertain
    slip: str


def volume_findings(build: Build, known: Account, wood_test: WoodTest) -> tuple[Finding, ...]:
    """Ways to the volume that disagree, and a wood so light that the scale judges poorly."""
    dunked, said = dunked_volume(build)
    ways = _ways(build, known, dunked)
    found = (_disagreement(build, a, b) for a, b in combinations(ways, 2))
    pairs = [finding for finding in found if finding is not None]
    out = [*said, *_named(pairs, odd_one_findings(build, witnesses(build, wood_test)))]
    wood = known.wood_density
    if wood is not None and body_mass(build) is not None and len(ways) == 1:
        slip = abs(1.0 - 1000.0 / wood.value)
        if slip > MANIFOLD:
            out.append(_better_had_otherwise(slip))
    return tuple(out)


def _named(pairs: list[Finding], alone: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Volumes that disagree, the first with what stands alone and why, said once."""
    if not pairs or not alone:
        return (*pairs, *alone)
    first, odd = pairs[0], alone[0]
    said = Finding(first.level, odd.path, first.wrong, f"{odd.wrong} {odd.remedy}".strip())
    return (said, *pairs[1:])


def _ways(build: Build, known: Account, dunked: Uncertain | None) -> tuple[_Volume, ...]:
    ways = []
    if known.body_volume is not None:
        ways.append(_Volume("weighed body", known.body_volume, "a slip in the density test"))
    if dunked is not None:
        slip = "an air bubble, a soaking body, or tap water taken for salt"
        ways.append(_Volume("dunk", dunked, slip))
    body = drawn_body(build)
    if body is not None:
        slip = "a side misread, or a body carved off its drawing"
        ways.append(_Volume("drawn shape", exact(body.volume), slip))
    return tuple(ways)


def _disagreement(build: Build, a: _Volume, b: _Volume) -> Finding | None:
    gap = a.value - b.value
    more = (DRAWN * way.value.value for way in (a, b) if way.what == "drawn shape")
    if abs(gap.value) <= 2 * math.hypot(gap.u, *more):
        return None
    ml = 1e6
    step = "weighing" if a.what == "weighed body" else "shape"
    ratio = a.value.value / b.value.value
    likely = [words for slip, words in SLIPS if _near(ratio, slip) or _near(1 / ratio, slip)]
    return Finding(
        "warning",
        (step, "mass") if step == "weighing" else (step,),
        f"The {a.what} holds {plain(a.value.value * ml, 3)} mL, the {b.what} "
        f"{plain(b.value.value * ml, 3)} mL: more apart than both allow.",
        f"Likely {likely[0]}." if likely else f"Likely {a.slip}; or {b.slip}.",
    )


def _near(ratio: float, slip: float) -> bool:
    return abs(ratio / slip - 1.0) < NEAR


def _better_had_otherwise(slip: float) -> Finding:
    return Finding(
        "warning",
        ("weighing", "mass"),
        f"In wood this light a slip of the scale counts {slip:.1f} times over.",
        "Dunk the sealed body or draw its shape: either gives a better volume.",
    )
