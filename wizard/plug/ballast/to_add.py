"""What is still to be added to the ballast that is laid out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.certainty import Uncertain
from wizard.plug.ballast.parts import pieces_mass
from wizard.plug.record import Build

if TYPE_CHECKING:
    from wizard.plug.derived import Derived


def ballast_to_add(build: Build, derived: Derived) -> Uncertain | None:
    """The full answer less what is laid out [kg]; below zero where that is too much.

    None while the answer is not known, or a piece has no mass yet.
    """
    full = derived.value("ballast_mass")
    if full is None or build.ballast is None:
        return None
    if not build.ballast.piece:
        return full
    there = pieces_mass(build.ballast)
    return None if there is None else full - there
