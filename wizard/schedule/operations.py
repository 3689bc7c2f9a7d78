"""What is done to a plug between bare wood and the water, one operation after another."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

Kind = Literal[
    "degrease", "seal", "fill", "sand", "glue", "base", "colour", "eyes", "clear", "cure", "hang"
]

COATS: frozenset[Kind] = frozenset({"seal", "base", "colour", "clear"})
_BONDS: frozenset[Kind] = COATS | {"fill"}
NOTHING = timedelta(0)


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and the most that is allowed; None is no limit."""

    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation, with the waits that its tin asks for and the marks of its doing.

    A window belongs to the film that was laid, and binds what is laid on it. It stays
    open over operations that lay no film of their own (eyes glued in between) and ends
    with the next coat, or with sanding.

    Attributes:
        id: names the operation, unlike any other of the build.
        name: what the maker calls it.
        kind: what sort of work it is.
        hands_on: time at the bench for one plug; none for a wait that needs nobody.
        touch_dry: from finishing until it may be handled.
        recoat_earliest: from finishing until the next coat may go on.
        recoat_latest: from finishing until the next coat needs a scuff; None is never.
        full_cure: from finishing until the water may have it. A "cure" lasts at least
            this long and ends when everything before it has cured.
        pot_life: how long what was mixed can be worked; None for nothing mixed.
        before: what must have been rounded, wiped or masked.
        cautions: ids of the cautions to show.
        note: the maker's own: template, mesh, which side.
        needs_window: whether it bonds to the film beneath, and so must keep that film's
            window; None as is usual for its kind (coats and filler do).
        covers: whether its film hides all that is beneath, which ends the windows there;
            None as is usual for its kind (coats do). False suits a pass on one side.
        temperature: of the shop, while it is done [degC].
        humidity: relative, of the shop, while it is done [1].
        started: when it was begun, if it was.
        finished: when it was done with the last plug, if it was.
    """

    id: str
    name: str
    kind: Kind
    hands_on: timedelta = NOTHING
    touch_dry: timedelta = NOTHING
    recoat_earliest: timedelta = NOTHING
    recoat_latest: timedelta | None = None
    full_cure: timedelta = NOTHING
    pot_life: timedelta | None = None
    before: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    note: str = ""
    needs_window: bool | None = None
    covers: bool | None = None
    temperature: Limits = Limits()
    humidity: Limits = Limits()
    started: datetime | None = None
    finished: datetime | None = None

    @property
    def bonds(self) -> bool:
        """Whether it must keep the window of the film beneath."""
        return self.kind in _BONDS if self.needs_window is None else self.needs_window

    @property
    def hides(self) -> bool:
        """Whether its film ends the windows of all films beneath."""
        return self.kind in COATS if self.covers is None else self.covers

    @property
    def settling(self) -> timedelta:
        """From finishing until nothing has to wait for it any more."""
        if self.kind == "cure":
            return NOTHING if self.finished else self.full_cure
        return max(self.touch_dry, self.recoat_earliest, self.full_cure)


def wait(earlier: Operation, later: Operation) -> timedelta:
    """How long `earlier` must stand before `later` may begin.

    A coat goes on as soon as the film takes one, be it still tacky; anything else also
    waits until it can be handled.
    """
    if later.kind in COATS:
        return earlier.recoat_earliest
    return max(earlier.touch_dry, earlier.recoat_earliest)


def beneath(operations: tuple[Operation, ...], index: int) -> tuple[int, ...]:
    """Those earlier operations whose work still lies open when one begins, latest first."""
    found: list[int] = []
    for earlier in range(index - 1, -1, -1):
        found.append(earlier)
        if operations[earlier].hides or operations[earlier].kind == "sand":
            break
    return tuple(found)


def windows(operations: tuple[Operation, ...], index: int) -> tuple[int, ...]:
    """Those earlier operations whose latest-recoat limit binds one, latest first.

    A cure has none of its own: it ends when the films have cured.
    """
    if not operations[index].bonds:
        return ()
    return tuple(
        earlier
        for earlier in beneath(operations, index)
        if operations[earlier].recoat_latest is not None and operations[earlier].kind != "cure"
    )


# Several plugs are worked on in one order, each after the other, so the first one has
# waited longest and the last one least. Both limits hold for each plug: plug q of n ends
# the earlier operation at q h and begins the later one (q - 1) h' after its start.


def shortest_gap(earlier: Operation, later: Operation, plugs: int) -> timedelta:
    """From the start of one operation to the soonest start of a later one, for all plugs."""
    behind = (plugs - 1) * max(NOTHING, earlier.hands_on - later.hands_on)
    by_film = earlier.hands_on + wait(earlier, later) + behind
    return max(by_film, plugs * earlier.hands_on)


def longest_gap(earlier: Operation, later: Operation, plugs: int) -> timedelta | None:
    """From the start of one operation to the latest start of what bonds to it, for all plugs.

    None when the film of the earlier one has no latest limit.
    """
    if earlier.recoat_latest is None:
        return None
    behind = (plugs - 1) * max(NOTHING, later.hands_on - earlier.hands_on)
    return earlier.hands_on + earlier.recoat_latest - behind
