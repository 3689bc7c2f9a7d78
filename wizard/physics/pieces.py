"""The maker's drawer: pieces of ballast, and what was taken or cut from it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Form = Literal["ball", "bullet", "egg", "cylinder", "wire", "sheet", "putty"]
CUT_FORMS: frozenset[Form] = frozenset({"wire", "sheet", "putty"})
MOULDED: frozenset[Form] = frozenset({"sheet", "putty"})
"""Forms that take that of the hole."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One kind of ballast in the drawer.

    Attributes:
        id: the maker's name for it.
        mass: of one piece, or of one length of wire, sheet or lump of putty at hand [kg].
        count: how many lie in the drawer.
        metal_density: [kg/m3].
        form: its form; a bullet is a cone, a slug a cylinder.
        diameter: greatest across its axis [m]; None if unknown.
        length: along its axis [m]; None if unknown.
    """

    id: str
    mass: float
    count: int
    metal_density: float
    form: Form
    diameter: float | None = None
    length: float | None = None

    @property
    def volume(self) -> float:
        """Volume of the metal [m3]."""
        return self.mass / self.metal_density


def cut_length(piece: Piece, mass: float) -> float | None:
    """Length of wire or rod that weighs a mass [m]; None if its diameter is unknown.

    Source: geometry, l = m / (rho pi d2 / 4).
    """
    if piece.form != "wire" or not piece.diameter:
        return None
    return mass / (piece.metal_density * math.pi * piece.diameter**2 / 4.0)


@dataclass(frozen=True, slots=True)
class Taken:
    """Some like pieces out of the drawer.

    Attributes:
        piece: one of them as it goes into the hole: its mass and length are those of
            the cut when it was cut, its count the number taken.
        cut: True if it was cut or portioned from longer stock.
    """

    piece: Piece
    cut: bool = False


@dataclass(frozen=True, slots=True)
class PieceSet:
    """One set of pieces that makes the wanted mass.

    Attributes:
        taken: the pieces, heaviest first.
        mass: true sum of their masses, not the rounded steps [kg].
    """

    taken: tuple[Taken, ...]
    mass: float

    @property
    def pieces(self) -> int:
        """How many pieces, cuts included."""
        return sum(taken.piece.count for taken in self.taken)
