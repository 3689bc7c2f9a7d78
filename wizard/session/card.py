"""A card: a few texts to be read from across the bench.

Pure: knows no widget. The texts stand in order; the screen gives each as large letters as
there is room for.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Big:
    """A text to letter large.

    Attributes:
        text: what is to be read from afar.
        over: what it is, in a small line over it.
        under: more about it, in a small line under it.
        rank: 0 for what grows first, 3 for what grows last.
    """

    text: str
    over: str = ""
    under: str = ""
    rank: int = 1


@dataclass(frozen=True, slots=True)
class Card:
    """What stands large on a screen.

    Attributes:
        bigs: from top to bottom.
        alert: what must not be overlooked, over all else.
        notes: small lines at the end, while there is room.
    """

    bigs: tuple[Big, ...]
    alert: str = ""
    notes: tuple[str, ...] = ()
