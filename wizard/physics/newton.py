"""Newton's method that cannot leave a bracket."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

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
