"""What the coats still to come do to the aim, and the last moment to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wizard.certainty import Uncertain, exact
from wizard.physics.parts import Part, mass, volume
from wizard.plug.account import account
from wizard.plug.coats.proposing import coats_to_come
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build
from wizard.quantity.showing import plain

COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
CALLED = {"floats": "floater", "suspends": "suspender", "sinks": "sinker"}
ENOUGH = 0.95
"""Chance of the aim from which nothing needs to be mended [1]: a judgement."""
WORTH_A_MEND = 0.01
"""How far the margin may lie beside what was asked before a mend is worth it [1]: a judgement."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What some coats do to the margin from neutral.

    Attributes:
        coats: how many.
        before: s without them [1].
        after: s with them [1].
        behaviour: what the build asks for.
    """

    coats: int
    before: Uncertain
    after: Uncertain
    behaviour: str | None


def margin_with(
    derived: Derived, added: Iterable[Part] = (), taken: Iterable[Part] = ()
) -> Uncertain | None:
    """The margin s of the plug with some parts more and some less [1]; None while unknown.

    Args:
        derived: what follows from the build.
        added: parts that it does not count.
        taken: parts that it counts.

    Source: s = M / (rho V) - 1, of the definition of the margin.
    """
    M, V = derived.value("finished_mass"), derived.value("displaced_volume")
    more, less = tuple(added), tuple(taken)
    sums = (mass(more), volume(more), mass(less), volume(less))
    if M is None or V is None or derived.water is None or any(s is None for s in sums):
        return None
    m_more, v_more, m_less, v_less = (s if s is not None else exact(0.0) for s in sums)
    M, V = M + m_more - m_less, V + v_more - v_less
    return M / (derived.water.buoyant * V) - 1.0 if V.value > 0 else None


def _coats(build: Build, derived: Derived) -> tuple[Part, ...]:
    """The coats as parts, in the order of the profile."""
    return account(build, derived.wood.density).of("coat")


def effect_of_coats_to_come(build: Build, derived: Derived) -> Effect | None:
    """What the coats that are not on yet, by the marks, do; None where that is not known."""
    parts, left = _coats(build, derived), coats_to_come(build)
    if not left:
        return None
    before = margin_with(derived, taken=[parts[n - 1] for n in left])
    after = margin_with(derived)
    if before is None or after is None:
        return None
    return Effect(len(left), before, after, build.aim.behaviour)


def effect_of_more(build: Build, derived: Derived, count: int) -> Effect | None:
    """What so many coats more, each like the last one, would do; None where not known."""
    parts = _coats(build, derived)
    if not parts or count < 1:
        return None
    before = margin_with(derived)
    after = margin_with(derived, added=[parts[-1]] * count)
    if before is None or after is None:
        return None
    return Effect(count, before, after, build.aim.behaviour)


def in_words(effect: Effect, more: bool = False) -> str:
    """An effect as a sentence.

    Args:
        effect: what the coats do.
        more: whether they are none of the build's.
    """
    count = COUNTS[effect.coats] if effect.coats < len(COUNTS) else str(effect.coats)
    one = effect.coats == 1
    which = f"{count} more coat{'' if one else 's'}"
    which += " like the last one" * more
    verb = ("would take" if more else "takes" if one else "take").strip()
    plug = CALLED.get(effect.behaviour or "", "plug")
    before, after = _share(effect.before.value), _share(effect.after.value)
    sides = [_side(effect.before.value), _side(effect.after.value)]
    if sides[0] == sides[1]:
        path = f"from {before} to {after} {sides[1]}"
    else:
        path = f"from {before} {sides[0]} to {after} {sides[1]}"
    return f"{which[0].upper()}{which[1:]} {verb} this {plug} {path}."


def _share(margin: float) -> str:
    return f"{plain(round(100.0 * abs(margin), 2 if abs(margin) < 0.01 else 1))} %"


def _side(margin: float) -> str:
    return "under neutral" if margin < 0 else "over neutral"


def last_coat(build: Build, derived: Derived) -> Finding | None:
    """What to say before the last coat, while there is still a mend; None at other times.

    A warning where the plug is likely to miss its aim, else a note.
    """
    left = coats_to_come(build)
    if len(left) != 1:
        return None
    index = next(i for i, row in enumerate(build.operation) if row.coat == left[0])
    if build.operation[index].started is not None:
        return None
    path: Path = ("operation", index)
    margin = margin_with(derived)
    if margin is None:
        return Finding(
            "note",
            path,
            "This is the last coat, and where the plug will end is not known yet.",
            "Prove it taped in the tank before it goes on: a mend is still under the coat.",
        )
    ends = f"{_share(margin.value)} {_side(margin.value)}"
    wrong = _misses(derived, margin)
    if not wrong:
        return Finding(
            "note",
            path,
            f"This is the last coat: with it the plug ends {ends}, as asked.",
            "Weigh it before and after.",
        )
    return Finding(
        "warning",
        path,
        f"This is the last coat, and the plug would end {ends}{wrong}.",
        "Mend it before: metal into or out of the backfill still goes under the coat.",
    )


def _misses(derived: Derived, margin: Uncertain) -> str:
    """In which way a plug is likely to miss its aim; empty where it isn't."""
    chance, asked = derived.value("chance_aim"), derived.margin
    if chance is not None and chance.value < ENOUGH:
        return f", with a chance of {100 * chance.value:.0f} % to do what was asked"
    if asked is None or abs(asked.value) < WORTH_A_MEND:  # a suspender goes by its chance
        return ""
    off = margin - asked
    if abs(off.value) > max(2.0 * off.u, WORTH_A_MEND):
        return f" where {_share(asked.value)} {_side(asked.value)} was asked"
    return ""
