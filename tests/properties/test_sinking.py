"""Properties of the sink rate and of timed runs: inverses, symmetry, limits, smoothness."""

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.physics.drag import resistance
from wizard.physics.sinking import (
    ADDED_MASS,
    TimedRun,
    distance_to_terminal,
    equivalent_diameter,
    net_mass_for_speed,
    start_length,
    terminal_from_timed_rise,
    terminal_from_timed_sink,
    terminal_speed,
    time_to_sink,
)
from wizard.physics.water import GRAVITY, OutsideValidity, seawater_density, viscosity

RHO = seawater_density(18.0, 0.0)
MU = viscosity(18.0, 0.0)

volumes = st.floats(2e-6, 2e-4)
sphericities = st.floats(0.5, 0.95)
fractions = st.floats(0.002, 0.6)


def area_of(volume: float, sphericity: float) -> float:
    """Outside area [m2] of a body of that volume and sphericity."""
    return math.pi * equivalent_diameter(volume) ** 2 / sphericity


@given(volume=volumes, p=sphericities, s=fractions, factor=st.floats(0.6, 1.6))
@settings(max_examples=100, deadline=None)
def test_speed_and_net_mass_undo_each_other(
    volume: float, p: float, s: float, factor: float
) -> None:
    area, net = area_of(volume, p), s * RHO * volume
    speed = terminal_speed(net, volume, area, RHO, MU, factor)
    assert net_mass_for_speed(speed, volume, area, RHO, MU, factor) == pytest.approx(net, rel=1e-11)
    assert terminal_speed(-net, volume, area, RHO, MU, factor) == -speed


@given(volume=volumes, p=sphericities, s=fractions, more=st.floats(1.001, 3.0))
@settings(max_examples=100, deadline=None)
def test_heavier_and_sleeker_sinks_faster(volume: float, p: float, s: float, more: float) -> None:
    area, net = area_of(volume, p), s * RHO * volume
    speed = terminal_speed(net, volume, area, RHO, MU)
    assert terminal_speed(more * net, volume, area, RHO, MU) > speed
    assert terminal_speed(net, volume, area, RHO, MU, more) < speed


def test_nothing_net_hangs() -> None:
    assert terminal_speed(0.0, 25e-6, 55e-4, RHO, MU) == 0.0
    # Through zero without a jump: a suspender may be either.
    assert 0.0 < terminal_speed(1e-9, 25e-6, 55e-4, RHO, MU) < 1e-4


@given(volume=volumes, p=sphericities, s=fractions, depth=st.floats(0.1, 3.0))
@settings(max_examples=100, deadline=None)
def test_a_timed_sink_gives_back_what_sank(volume: float, p: float, s: float, depth: float) -> None:
    area, net = area_of(volume, p), s * RHO * volume
    speed = terminal_speed(net, volume, area, RHO, MU)
    time = time_to_sink(depth, speed, s)
    run = terminal_from_timed_sink(depth, time, volume, area, RHO, MU)
    assert run.terminal_speed == pytest.approx(speed, rel=1e-9)
    assert run.net_mass == pytest.approx(net, rel=1e-9)
    assert run.lost_distance == pytest.approx(math.log(2.0) * start_length(speed, s), rel=1e-9)
    assert depth / time < speed


@given(volume=volumes, p=sphericities, s=fractions, depth=st.floats(0.1, 3.0))
@settings(max_examples=100, deadline=None)
def test_a_timed_rise_gives_back_what_rose(volume: float, p: float, s: float, depth: float) -> None:
    area, net = area_of(volume, p), -s * RHO * volume
    speed = terminal_speed(net, volume, area, RHO, MU)
    time = time_to_sink(depth, speed, -s)
    run = terminal_from_timed_rise(depth, time, volume, area, RHO, MU)
    assert run.terminal_speed == pytest.approx(speed, rel=1e-9)
    assert run.net_mass == pytest.approx(net, rel=1e-9)
    assert run.net_mass < 0.0 < run.lost_distance
    # A floater is the lighter of the two, so it starts the quicker.
    assert time < time_to_sink(depth, -speed, s)


@given(volume=volumes, p=sphericities, s=st.floats(0.01, 0.4), added=st.floats(0.5, 1.0))
@settings(max_examples=12, deadline=None)
def test_the_start_against_scipy_with_drag_that_varies(
    volume: float, p: float, s: float, added: float
) -> None:
    from scipy.integrate import solve_ivp

    area = area_of(volume, p)
    body = resistance(volume, area, RHO, MU)
    displaced = RHO * volume

    def motion(_: float, state: Any) -> list[float]:
        _, v = state
        force = (s * displaced - body.net_mass(v)) * GRAVITY
        return [v, force / ((1.0 + s + added) * displaced)]

    depth, speed = 0.4, body.speed(s * displaced)
    time = time_to_sink(depth, speed, s, added)
    path = solve_ivp(motion, (0.0, time), (0.0, 0.0), rtol=1e-8, atol=1e-10)
    assert path.success
    # A constant drag coefficient is what the closed form takes for granted.
    assert float(path.y[0, -1]) == pytest.approx(depth, rel=0.01)


@given(
    s=fractions, speed=st.floats(0.02, 0.8), added=st.floats(0.0, 1.0), share=st.floats(0.1, 0.99)
)
@settings(max_examples=100, deadline=None)
def test_the_way_to_a_share_of_the_speed(
    s: float, speed: float, added: float, share: float
) -> None:
    way = distance_to_terminal(speed, s, added, share)
    step = 1e-6 * way
    rate = (
        2.0
        * step
        / (time_to_sink(way + step, speed, s, added) - time_to_sink(way - step, speed, s, added))
    )
    assert rate == pytest.approx(share * speed, rel=1e-4)


@given(depth=st.floats(1e-7, 1e-6), s=fractions, speed=st.floats(0.05, 0.8))
@settings(max_examples=50, deadline=None)
def test_the_first_moment_is_free_fall_with_added_mass(
    depth: float, s: float, speed: float
) -> None:
    acceleration = s * GRAVITY / (1.0 + s + ADDED_MASS)
    free = math.sqrt(2.0 * depth / acceleration)
    assert time_to_sink(depth, speed, s) == pytest.approx(free, rel=1e-3)


def test_a_very_long_way_does_not_overflow() -> None:
    time = time_to_sink(5000.0, 0.2, 0.05)
    assert time == pytest.approx(25000.0, rel=1e-3)


@given(volume=volumes, p=sphericities, depth=st.floats(0.2, 1.5), mean=st.floats(0.002, 0.1))
@settings(max_examples=100, deadline=None)
@pytest.mark.parametrize("inverse", [terminal_from_timed_sink, terminal_from_timed_rise])
def test_longer_is_slower_and_the_mean_speed_is_too_low(
    inverse: Callable[..., TimedRun], volume: float, p: float, depth: float, mean: float
) -> None:
    area, time = area_of(volume, p), depth / mean
    run = inverse(depth, time, volume, area, RHO, MU)
    later = inverse(depth, 1.1 * time, volume, area, RHO, MU)
    assert abs(later.terminal_speed) < abs(run.terminal_speed)
    assert abs(later.net_mass) < abs(run.net_mass)
    assert abs(run.terminal_speed) > mean


@given(s=st.floats(0.01, 0.3), time_share=st.floats(0.2, 0.95))
@settings(max_examples=50, deadline=None)
def test_answers_are_smooth_enough_to_differentiate(s: float, time_share: float) -> None:
    volume, area, depth = 25e-6, 55e-4, 0.4
    speed = terminal_speed(s * RHO * volume, volume, area, RHO, MU)
    time = time_to_sink(depth, speed, s) / time_share

    def net(t: float) -> float:
        return terminal_from_timed_sink(depth, t, volume, area, RHO, MU).net_mass

    def slope(function: Callable[[float], float], at: float, step: float) -> float:
        return (function(at + step) - function(at - step)) / (2.0 * step)

    assert slope(net, time, 1e-7 * time) == pytest.approx(slope(net, time, 1e-4 * time), rel=1e-5)


@pytest.mark.parametrize(
    ("depth", "time", "quantity"),
    [(0.0, 2.0, "depth"), (-0.4, 2.0, "depth"), (0.4, 0.0, "time"), (0.4, -1.0, "time")],
)
@pytest.mark.parametrize("inverse", [terminal_from_timed_sink, terminal_from_timed_rise])
def test_a_run_without_depth_or_time_is_refused(
    inverse: Callable[..., TimedRun], depth: float, time: float, quantity: str
) -> None:
    with pytest.raises(OutsideValidity) as refusal:
        inverse(depth, time, 25e-6, 55e-4, RHO, MU)
    assert refusal.value.quantity == quantity


def test_nothing_is_quicker_than_free_fall() -> None:
    # x = g t^2 / 2: 0.286 s for 40 cm.
    with pytest.raises(OutsideValidity) as refusal:
        terminal_from_timed_sink(0.4, 0.28, 25e-6, 55e-4, RHO, MU)
    assert refusal.value.low > math.sqrt(2.0 * 0.4 / GRAVITY)


def test_a_speed_against_the_net_weight_is_refused() -> None:
    for terminal, s in ((0.2, -0.1), (-0.2, 0.1), (0.2, 0.0), (0.0, 0.1)):
        with pytest.raises(OutsideValidity):
            time_to_sink(0.4, terminal, s)
