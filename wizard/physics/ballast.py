"""How much ballast: the balance that the whole job is about.

All masses are scale readings in air, so the water's share of the push is the
buoyant density rho = rho_w - rho_a throughout.
"""

from __future__ import annotations

from wizard.certainty import Uncertain
from wizard.physics.validity import require_positive


def target_mass(margin: Uncertain | float, density: float, volume: Uncertain) -> Uncertain:
    """Mass that the finished plug should have, (1 + s) rho V [kg].

    Args:
        margin: s [1], below zero for a floater.
        density: buoyant density of the water, rho [kg/m3].
        volume: outside volume of the finished plug, V [m3].

    Source: Archimedes; the definition of the margin.
    """
    return (1.0 + margin) * density * volume


def ballast_mass(
    target: Uncertain,
    others: Uncertain,
    wood_density: Uncertain,
    ballast_density: float,
    filler_density: float,
    hole_ratio: float,
) -> Uncertain:
    """Ballast for the target while its holes are not laid out yet [kg].

    Holes of volume q m_L / rho_L are drilled out of the wood and filled flush:
    m_L = (target - others) / [1 - q rho_wood / rho_L + (q - 1) rho_fill / rho_L].

    Args:
        target: (1 + s) rho V [kg].
        others: sum of all other masses [kg].
        wood_density: rho_wood [kg/m3].
        ballast_density: rho_L [kg/m3].
        filler_density: rho_fill [kg/m3]; of no weight when q = 1.
        hole_ratio: q, hole volume per ballast volume [1], >= 1.

    Raises:
        OutsideValidity: putting it in would make the plug no heavier.

    Source: balance of masses, linear in m_L.
    """
    q, rho_L = hole_ratio, ballast_density
    share = 1.0 - q * wood_density / rho_L + (q - 1.0) * filler_density / rho_L
    require_positive("what a gram of ballast adds to the plug", share.value, "g")
    return (target - others) / share


def ballast_mass_in_holes(
    target: Uncertain,
    others: Uncertain,
    wood_density: Uncertain,
    ballast_density: float,
    filler_density: float,
    hole_volume: float,
) -> Uncertain:
    """Ballast for the target once its holes are laid out [kg].

    target = others - rho_wood V_h + m_L + rho_fill (V_h - m_L / rho_L), solved for m_L.

    Args:
        target: (1 + s) rho V [kg].
        others: sum of all other masses [kg].
        wood_density: rho_wood [kg/m3].
        ballast_density: rho_L [kg/m3].
        filler_density: rho_fill [kg/m3].
        hole_volume: V_h of all ballast holes [m3].

    Raises:
        OutsideValidity: the ballast is no denser than the filler that it replaces.

    Source: balance of masses, linear in m_L.
    """
    wood_out = wood_density * hole_volume
    backfill = filler_density * hole_volume
    share = 1.0 - filler_density / ballast_density
    require_positive("what a gram of ballast adds to the plug", share, "g")
    return (target - others + wood_out - backfill) / share


def bench_ballast(
    body_mass: Uncertain,
    wood_density: Uncertain,
    margin: Uncertain | float,
    hardware_mass: Uncertain,
) -> Uncertain:
    """The bench sum: V_b (1 + s) - m_b - m_hardware with water of 1 g/mL [kg].

    Common practice, no source: it leaves out the water's true density, coats,
    what hooks push aside, and the wood drilled out for the ballast.

    Args:
        body_mass: m_b [kg].
        wood_density: rho_wood [kg/m3].
        margin: s [1].
        hardware_mass: all hardware [kg].
    """
    return body_mass / wood_density * 1000.0 * (1.0 + margin) - body_mass - hardware_mass
