"""A density that is expected, not tested: from a table, or from a test of other wood."""

from __future__ import annotations

import math

from wizard.certainty import Uncertain
from wizard.plug.record import Sample
from wizard.quantity.making import made

FINEST_DENSITY = 0.1
"""Digits of an expected density [kg/m3]."""

WITHIN_SPECIES = 0.10
"""Coefficient of variation of the density within a species where its row has none.

Source: Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), Table 5-6, specific
gravity; from memory.
"""


def from_table(wood: str | None) -> Sample | None:
    """The density of a wood as the table has it; None for one that it doesn't know."""
    from wizard.tables import find_wood

    row = find_wood(wood or "")
    if row is None:
        return None
    note = f"from the table of woods, not tested: {row.name}"
    return _known(row.density.typical, row.standard_uncertainty, note)


def same_board(tested: Uncertain, whence: str, wood: str | None) -> Sample:
    """The density of the very board that was tested, with its own doubt.

    Args:
        tested: the density as tested [kg/m3].
        whence: the build that tested it.
        wood: its name.
    """
    note = f"carried over from “{whence}”, the same board: {_shown(tested.value)}"
    return _known(tested.value, tested.u, note)


def another_board(tested: Uncertain, whence: str, wood: str | None) -> Sample:
    """The density of another board of the wood that was tested.

    The doubt of the test and the variation between boards add in quadrature.

    Args:
        tested: the density as tested [kg/m3].
        whence: the build that tested it.
        wood: its name.

    Source: JCGM 100:2008, 5.1.2.
    """
    share = variation(wood)
    note = (
        f"carried over from “{whence}”: {_shown(tested.value)} as tested there; "
        f"another board of the same wood differs by about {100 * share:.0f} % (k = 1)"
    )
    return _known(tested.value, math.hypot(tested.u, share * tested.value), note)


def variation(wood: str | None) -> float:
    """How much boards of one wood differ, as a share of the density (k = 1) [1]."""
    from wizard.tables import find_wood

    row = find_wood(wood) if wood else None
    return row.variation if row is not None and row.variation is not None else WITHIN_SPECIES


def _shown(value: float) -> str:
    return f"{value / 1000:.4f} g/mL"


def _known(density: float, u: float, note: str) -> Sample:
    return Sample(
        method="known",
        density=made(density, "g/mL", FINEST_DENSITY),
        uncertainty=made(u, "g/mL", FINEST_DENSITY) if u > 0 else None,
        note=note,
    )
