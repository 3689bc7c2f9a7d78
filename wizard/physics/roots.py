"""One root of one smooth function, in plain floats."""

from __future__ import annotations

from collections.abc import Callable

_CLOSE = 2.0**-50


def root_between(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a continuous function crosses zero between two points of opposite sign.

    The answer is good to the last few bits, so that a numeric derivative of it is
    as smooth as the function.

    Args:
        function: continuous on low to high.
        low: one end.
        high: the other end; function(low) and function(high) differ in sign.

    Returns:
        The root.

    Raises:
        ValueError: if the ends do not differ in sign.

    Source: false position with the Illinois rule (Dowell and Jarratt 1971, BIT
    11, 168-174).
    """
    far, near = low, high
    f_far, f_near = function(far), function(near)
    if f_far == 0.0:
        return far
    if f_near * f_far > 0.0:
        raise ValueError(f"no change of sign between {low!r} and {high!r}")
    close = _CLOSE * (abs(low) + abs(high))
    for _ in range(200):
        if f_near == 0.0 or abs(near - far) <= close:
            break
        step = f_near * (near - far) / (f_near - f_far)
        x = near - step
        f_x = function(x)
        if f_x * f_near < 0.0:
            far, f_far = near, f_near
        else:
            f_far *= 0.5
        near, f_near = x, f_x
        if abs(step) <= close:
            break
    return near
