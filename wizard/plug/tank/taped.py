"""The proof before drilling: sealed body, all hardware hung, the ballast taped on outside.

What it shows is the body's own lift, which all later sums rest on. A miss corrects the
amount of ballast, and a tilt its place, while nothing is drilled yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from wizard.certainty import Uncertain, exact
from wizard.certainty.adjusting import adjusted, widened
from wizard.physics.ballast import ballast_mass, ballast_mass_in_holes, target_mass
from wizard.physics.parts import (
    Part,
    Place,
    centre_of_buoyancy,
    centre_of_gravity,
    mass,
    volume,
)
from wizard.plug.account import account
from wizard.plug.ballast.parts import (
    ballast_density,
    dowels_mass,
    filler_density,
    fills_of_holes,
    hole_ratio,
    holes_volume,
    pieces_mass,
)
from wizard.plug.body.drawing import drawn_body
from wizard.plug.density.wood import WoodTest
from wizard.plug.doubts import bench_scale
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.record import Build, Trial
from wizard.plug.tank.mend_goal import pitch_at_rest
from wizard.plug.tank.suspects import Suspect, assumed_part, suspects
from wizard.plug.waters import Water, tank_water

TAPE_DENSITY = 1200.0
"""Vinyl tape [kg/m3]: from memory."""


@dataclass(frozen=True, slots=True)
class Taped:
    """One taped proof.

    Attributes:
        row: which trial, counted from zero; None before there is one.
        tank: the water.
        ballast: what is taped on [kg].
        predicted: N that it should show in the tank [kg].
        pitch: nose-down pitch that it should show [rad]; None while unknown.
        measured: N that it showed [kg]; None while not answered.
        shift: how far aft the ballast should go against the plan [m]; None while unknown.
    """

    row: int | None
    tank: Water
    ballast: float
    predicted: Uncertain
    pitch: float | None
    measured: Uncertain | None
    shift: float | None


def taped_parts(build: Build, trial: Trial, wood: Uncertain, ballast: float) -> tuple[Part, ...]:
    """Body, sealer, hardware, and ballast and tape outside; empty without a ballast metal."""
    metal = None if build.ballast is None else ballast_density(build.ballast)
    if metal is None:
        return ()
    known = account(build, wood).others
    on = [p for p in known if p.sort in ("body", "hardware") or p.stage == "sealed"]
    lead = Part(
        "ballast taped on", "ballast", exact(ballast), exact(ballast / metal),
        _taped_place(build, trial, ballast), "bare",
    )  # fmt: skip
    tape = trial.tape.value if trial.tape else 0.0
    sticky = trial.tape_density.value if trial.tape_density else TAPE_DENSITY
    band = Part("tape", "ballast", exact(tape), exact(tape / sticky), lead.place, "bare")
    return (*on, lead, band)


def _taped_place(build: Build, trial: Trial, ballast: float) -> Place | None:
    """At the belly, where it was taped, else under the planned holes."""
    body = drawn_body(build)
    x = trial.x.value if trial.x else _planned_station(build, ballast)
    if body is None or x is None or not body.nose <= x <= body.tail:
        return None
    return Place(x, float(body.bottom(x)))


def _planned_station(build: Build, ballast: float) -> float | None:
    """Where the ballast of the laid-out holes has its middle along the body [m]."""
    if build.ballast is None:
        return None
    fills, holes = fills_of_holes(build.ballast, ballast), build.ballast.hole
    if not fills or any(h.x is None for h in holes):
        return None
    whole = sum(f.mass for f in fills)
    pairs = zip(fills, holes, strict=True)
    return sum(f.mass * h.x.value for f, h in pairs if h.x) / whole if whole else None


def taped_amount(build: Build, trial: Trial, answered: float | None) -> float | None:
    """How much ballast is taped on: as typed, else as laid out, else the full answer [kg]."""
    if trial.ballast is not None:
        return trial.ballast.value
    laid_out = pieces_mass(build.ballast) if build.ballast else None
    return laid_out if laid_out is not None else answered


def taped(
    build: Build, wood: Uncertain | None, answered: float | None, row: int | None = None
) -> Taped | None:
    """A taped proof: what it should show and what it showed; None while that is unknown.

    Args:
        build: the record.
        wood: density of its wood [kg/m3].
        answered: the full answer for the ballast [kg].
        row: which trial; None for one that is still to be made.
    """
    trial = Trial("taped") if row is None else build.trial[row]
    amount = taped_amount(build, trial, answered)
    tank, _ = tank_water(build, trial, ("trial", row or 0))
    if wood is None or amount is None or tank is None:
        return None
    parts = taped_parts(build, trial, wood, amount)
    M, V = mass(parts), volume(parts)
    if not parts or M is None or V is None:
        return None
    given = tuple(replace(p, mass=_given(p.mass), volume=_given(p.volume)) for p in parts)
    pitch = pitch_at_rest(build, given, tank)
    shift = _shift(build, trial, given, tank, amount) if pitch is not None else None
    shown = _shown(build, trial, tank, row or 0)
    return Taped(row, tank, amount, M - tank.buoyant * V, pitch, shown, shift)


def _given(value: Uncertain | None) -> Uncertain | None:
    return None if value is None else value.given()


def _shown(build: Build, trial: Trial, tank: Water, row: int) -> Uncertain | None:
    """N by what was hung on until it went under, or taken off until it hung [kg]."""
    metal = None if build.ballast is None else ballast_density(build.ballast)
    if trial.result == "floats" and trial.weight is not None:
        density = trial.density.value if trial.density else metal
        weight = bench_scale(build).reading(trial.weight, ("trial", row, "weight"))
        return None if density is None else -1.0 * weight * (1.0 - tank.buoyant / density)
    if trial.result == "sinks" and trial.spare is not None and metal is not None:
        spare = bench_scale(build).reading(trial.spare, ("trial", row, "spare"))
        return spare * (1.0 - tank.buoyant / metal)
    return None


def _shift(
    build: Build, trial: Trial, parts: tuple[Part, ...], tank: Water, ballast: float
) -> float | None:
    """How far aft the ballast must go for the pitch that was planned [m]."""
    if trial.angle is None:
        return None
    M, planned = mass(parts), centre_of_gravity(parts)
    real = _gravity_with_pitch(build, parts, tank, trial.angle.value)
    if M is None or planned is None or real is None or ballast <= 0:
        return None
    return M.value * (planned.x.value - real) / ballast


def _gravity_with_pitch(
    build: Build, parts: tuple[Part, ...], tank: Water, pitch: float
) -> float | None:
    """Where CG must be along the body for a pitch that was seen [m]; None if nowhere near."""
    body = drawn_body(build)
    gravity, buoyancy, M = centre_of_gravity(parts), centre_of_buoyancy(parts), mass(parts)
    if body is None or gravity is None or buoyancy is None or M is None:
        return None
    low, high = -0.25 * body.length, 0.25 * body.length

    def off(x: float) -> float:
        push = Part("off", "weighing", exact(0.0), exact(0.0), None, "bare")
        turned = _with_moment(parts, M.value * x, push)
        found = pitch_at_rest(build, turned, tank)
        if found is None:
            raise ValueError("it turns over")
        return found - pitch

    try:
        first, last = off(low), off(high)
        if first * last > 0:
            return None
        while high - low > 0.1e-3:
            middle = (low + high) / 2.0
            if off(middle) * first > 0:
                low = middle
            else:
                high = middle
    except ValueError:
        return None
    return gravity.x.value + (low + high) / 2.0


def _with_moment(parts: tuple[Part, ...], moment: float, like: Part) -> tuple[Part, ...]:
    """The parts with CG moved aft by a moment [kg m], by a pair of masses that weigh nothing."""
    small = 1e-3
    fore = replace(like, mass=exact(-small), place=Place(0.0, 0.0))
    aft = replace(like, mass=exact(small), place=Place(moment / small, 0.0))
    return (*parts, fore, aft)


def put_right(
    build: Build,
    numbers: Mapping[str, Number],
    wood: WoodTest,
    water: Water,
    margin: Uncertain | None,
) -> tuple[Number, ...]:
    """The amount of ballast as the last taped proof corrects it; nothing without one.

    The miss is laid at the door of what the sum rests on, each by its doubt, and the
    answer moves with it.

    Source: least-squares adjustment; see `certainty.adjusting`.
    """
    answer = numbers.get("ballast_mass")
    rows = [i for i, t in enumerate(build.trial) if t.kind == "taped"]
    if not rows or answer is None or wood.density is None or margin is None:
        return ()
    told = taped(build, wood.density, answer.value.value, rows[-1])
    if told is None or told.measured is None:
        return ()
    bare = replace(build, trial=(), mend=())
    amount, tank, trial = told.ballast, told.tank, build.trial[rows[-1]]

    def net(changed: Build, rho: float) -> float | None:
        parts = taped_parts(changed, trial, exact(rho), amount)
        M, V = mass(parts), volume(parts)
        return None if M is None or V is None else M.value - tank.buoyant * V.value

    found = suspects(bare, wood, answer.value.value)
    gap = told.measured - told.predicted - assumed_part(found, _slope(net))
    ballast = answer.value + assumed_part(found, _slope(_answer(margin.value, water)))
    best = widened(adjusted(ballast, gap), gap, "trial")
    working = Working(
        "m_L' = m_L - cov(m_L, gap) / var(gap) gap",
        (
            Term("m_L", "full answer", answer.value, "g"),
            Term("N_taped", "as it should show", told.predicted, "g"),
            Term("N_seen", "as it showed", told.measured, "g"),
        ),
        "conditional mean of jointly normal values; the ballast outside counted with its water",
    )
    return (Number("proof_ballast", best, working),)


Answer = Callable[[Build, float], float | None]


def _answer(margin: float, water: Water) -> Answer:
    """The full answer for the ballast [kg] of a changed record with a given wood."""

    def ballast(changed: Build, rho: float) -> float | None:
        known, asked = account(changed, exact(rho)).others, changed.ballast
        M, V = mass(known), volume(known)
        if M is None or V is None or asked is None:
            return None
        metal, filler, dowels = ballast_density(asked), filler_density(asked), dowels_mass(asked)
        if metal is None or dowels is None:
            return None
        target, rest = target_mass(margin, water.buoyant, V), M + dowels
        room, fill = holes_volume(asked), filler or 0.0
        if room is not None:
            return ballast_mass_in_holes(target, rest, exact(rho), metal, fill, room).value
        q = hole_ratio(asked)
        return ballast_mass(target, rest, exact(rho), metal, fill, q).value

    return ballast


def _slope(answer: Answer) -> Callable[[Suspect], float]:
    """What one unit more of a suspect does to an answer [kg per unit]."""
    return lambda suspect: suspect.slope_of(answer)
