"""The drawer of a bench as the formulas have it, and what was taken from it as it is typed.

Pieces of several metals may go into one plug. What counts of each is what it adds in
place of the filler, so every piece is put to the choice with the mass of the ballast
metal that would add as much; volume and length stay its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wizard.physics.choice import STEP
from wizard.physics.pieces import CUT_FORMS, PieceSet, cut_length
from wizard.physics.pieces import Piece as Solid
from wizard.plug.ballast.drilling import typed_length
from wizard.plug.ballast.parts import FORMS, density_of_metal
from wizard.plug.ballast.plan_goal import Goal
from wizard.plug.bench import Bench, DrawerPiece
from wizard.plug.record import Piece
from wizard.plug.rule import FINEST, Rule
from wizard.quantity.making import made
from wizard.quantity.reading import Quantity

PORTIONS = 12
"""Into so many parts metal is split where the drawer is empty: even for 1, 2, 3 and 4 holes."""


@dataclass(frozen=True, slots=True)
class Drawer:
    """What may be taken.

    Attributes:
        solids: the pieces, each by the number of its row as id.
        rows: as they stand in the bench.
        metal: density of the ballast metal of the build [kg/m3].
        filler: density of what they displace in the hole [kg/m3].
        unusable: names of rows that can't be taken, with the reason.
    """

    solids: tuple[Solid, ...]
    rows: tuple[DrawerPiece, ...]
    metal: float
    filler: float
    unusable: tuple[tuple[str, str], ...]

    def factor(self, density: float) -> float:
        """What a gram of a metal adds, in grams of the ballast metal [1]."""
        return (1.0 - self.filler / density) / (1.0 - self.filler / self.metal)

    @property
    def equivalents(self) -> tuple[Solid, ...]:
        """The pieces with the mass of the ballast metal that would add as much."""
        return tuple(self._scaled(one, self.factor(one.metal_density)) for one in self.solids)

    def taken(self, chosen: PieceSet) -> tuple[Solid, ...]:
        """The pieces of a set of equivalents, with their own masses again."""
        by_id = {one.id: self.factor(one.metal_density) for one in self.solids}
        return tuple(self._scaled(t.piece, 1.0 / by_id[t.piece.id]) for t in chosen.taken)

    def name(self, one: Solid) -> str:
        """What the maker calls a piece."""
        return self.rows[int(one.id)].name or f"piece {int(one.id) + 1}"

    def worth(self, pieces: Sequence[Piece]) -> float:
        """Ballast metal that would add as much as some pieces as typed [kg]."""
        return sum(
            piece.count
            * piece.mass.value
            * self.factor(piece.density.value if piece.density else self.metal)
            for piece in pieces
            if piece.mass is not None
        )

    def equivalent_mass(self, solids: tuple[Solid, ...]) -> float:
        """Ballast metal that would add as much as some pieces [kg]."""
        return sum(s.count * s.mass * self.factor(s.metal_density) for s in solids)

    def recut(self, one: Solid, lacking: float) -> Solid | None:
        """A piece that is cut or portioned anyway, cut for a little more or less.

        Args:
            one: a piece that was taken.
            lacking: of the ballast metal, to add or below zero to leave out [kg].

        Returns:
            The piece so cut; None for one that is taken whole, or where it can't be had.
        """
        if one.form not in CUT_FORMS or one.count != 1:
            return None
        mass = one.mass + lacking / self.factor(one.metal_density)
        mass = STEP * round(mass / STEP) if one.id else mass
        whole = self.rows[int(one.id)].mass if one.id else None
        if mass < STEP or (whole is not None and mass > whole.value):
            return None
        return replace(one, mass=mass, length=cut_length(one, mass))

    @staticmethod
    def _scaled(one: Solid, factor: float) -> Solid:
        return replace(one, mass=one.mass * factor, metal_density=one.metal_density * factor)


def drawer(bench: Bench, goal: Goal) -> Drawer:
    """The pieces of a bench that can be taken for a plan."""
    solids, unusable = [], []
    for number, row in enumerate(bench.piece):
        found = _solid(number, row, goal)
        if isinstance(found, Solid):
            solids.append(found)
        elif row.count:
            unusable.append((row.name or f"piece {number + 1}", found))
    return Drawer(tuple(solids), bench.piece, goal.metal, goal.filler, tuple(unusable))


def _solid(number: int, row: DrawerPiece, goal: Goal) -> Solid | str:
    """A row as the formulas have it, or why it can't be taken."""
    if row.mass is None:
        return "its mass is missing"
    density = row.density.value if row.density else density_of_metal(row.metal)
    if row.metal is None and row.density is None:
        density = goal.metal
    if density is None:
        return f"the density of {row.metal} is not known"
    if density <= goal.filler:
        return "it is no denser than the filler"
    return Solid(
        str(number),
        row.mass.value,
        row.count,
        density,
        FORMS[row.form] if row.form else "putty",
        row.diameter.value if row.diameter else None,
        row.length.value if row.length else None,
    )


def portions(goal: Goal, mass: float) -> tuple[Solid, ...]:
    """Metal that takes the form of its holes, where the drawer is empty [kg]."""
    return (Solid("", mass / PORTIONS, PORTIONS, goal.metal, "putty"),)


# As it is typed


def typed_piece(solid: Solid, hole: int, drawer: Drawer, mass_unit: str, rule: Rule) -> Piece:
    """A piece as a row of the build.

    Args:
        solid: what was taken, its count the number taken.
        hole: number of its hole, counted from one.
        drawer: what it was taken from.
        mass_unit: label of the unit for what was cut.
        rule: for the length of what was cut.
    """
    row = drawer.rows[int(solid.id)] if solid.id else DrawerPiece(form="putty")
    whole = row.mass is not None and abs(row.mass.value - solid.mass) < 1e-9
    mass = row.mass if whole and row.mass else made(solid.mass, mass_unit, STEP)
    length = row.length
    if not whole and solid.length is not None:
        length = typed_length(max(solid.length, FINEST[rule]), rule)
    return Piece(
        mass=mass,
        count=solid.count,
        hole=hole,
        density=_density(row, solid, drawer),
        form=row.form or "putty",
        diameter=row.diameter,
        length=length,
        name=row.name,
    )


def _density(row: DrawerPiece, solid: Solid, drawer: Drawer) -> Quantity | None:
    """The density of a piece, where it is another than that of the ballast metal."""
    if row.density is not None:
        return row.density
    if abs(solid.metal_density - drawer.metal) < 1e-6 * drawer.metal:
        return None
    return made(solid.metal_density, "g/mL", 1.0)
