"""Newton's method that cannot leave a bracket."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

import numpy as np

if TYPE_CHECKING:
    from wizard.physics.curve import Numbers

State = TypeVar("State")

_MOST_STEPS = 100


def newton_between(
    function: Callable[[float], tuple[float, float, State]],
    low: float,
    high: float,
    start: float,
    tolerance: float,
) -> tuple[float, State]:
    """Where a function that rises through zero does so, by Newton's steps.

    Args:
        function: gives its value, its slope (an estimate will do) and whatever
            was worked out on the way.
        low: an end where the value is not positive.
        high: an end where it is not negative.
        start: first guess, within the bracket.
        tolerance: of the value.

    Returns:
        The place, and what the function worked out there. Without a change of
        sign it is the end towards which the value falls short.

    Source: Newton's step; the bracket is halved where the step would leave it or
    shrinks too slowly (as rtsafe in Press and others, Numerical Recipes, section
    9.4; from memory).
    """
    x = min(max(start, low), high)
    last = before_last = high - low
    for _ in range(_MOST_STEPS):
        value, slope, state = function(x)
        if value > 0.0:
            high = x
        else:
            low = x
        width = high - low
        if abs(value) <= tolerance or width <= 1e-14 * (abs(low) + abs(high)):
            break
        step = -value / slope if slope > 0.0 else width
        if not low < x + step < high or abs(step) > before_last / 2:
            step = (low + high) / 2 - x
        before_last, last = last, abs(step)
        x += step
    return x, state


def newton_between_all(
    function: Callable[[Numbers], tuple[Numbers, Numbers, State]],
    low: Numbers,
    high: Numbers,
    start: Numbers,
    tolerance: float,
) -> tuple[Numbers, State]:
    """The same for several places at once, each in a bracket of its own.

    Arguments and result as for `newton_between`, an array for each number.
    """
    x = np.minimum(np.maximum(start, low), high)
    last = before_last = high - low
    for _ in range(_MOST_STEPS):
        value, slope, state = function(x)
        low, high = np.where(value > 0.0, low, x), np.where(value > 0.0, x, high)
        width = high - low
        done = (np.abs(value) <= tolerance) | (width <= 1e-14 * (np.abs(low) + np.abs(high)))
        if done.all():
            break
        rises = slope > 0.0
        step = np.where(rises, -value / np.where(rises, slope, 1.0), width)
        inside = (x + step > low) & (x + step < high) & (np.abs(step) <= before_last / 2)
        step = np.where(inside, step, (low + high) / 2 - x) * ~done
        before_last, last = last, np.abs(step)
        x = x + step
    return x, state
