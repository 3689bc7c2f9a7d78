"""How long a drill plan takes; run by hand: python tests/bench/bench_layout.py."""

from __future__ import annotations

import math
import time
from dataclasses import replace

from wizard.physics.clearance import wire
from wizard.physics.drill_order import Order, at_x
from wizard.physics.layout import propose
from wizard.physics.pieces import Piece
from wizard.physics.remedies import remedies
from wizard.physics.shape import Body, Station

MM = 1e-3


def order() -> Order:
    """Three slugs and two balls of lead for a body of 130 mm, with a through-wire."""
    rows = [(0, 15, 15, 0), (26, 27, 4, 11), (60, 33, 0, 14), (100, 26, 4, 10), (130, 18, 11, 4)]
    body = Body.through([Station(*(value * MM for value in row)) for row in rows])
    slug = Piece("slug", 11340 * math.pi / 4 * 64e-6 * 0.01, 3, 11340, "cylinder", 8 * MM, 10 * MM)
    ball = Piece("ball", 11340 * math.pi / 6 * 512e-9, 2, 11340, "ball", 8 * MM)
    along = wire([(0.0, 0.0, 26 * MM), (0.13, 0.0, 22 * MM)], 0.7 * MM)
    drills = tuple(d * MM for d in (5, 6, 8, 9.525, 10, 12))
    return Order(body, (slug, ball), drills, at_x(60 * MM), obstacles=along)


def main() -> None:
    """Print the best of five runs of each kind."""
    asked = order()
    print("drill plans; aim: under 200 ms")
    for name, one in (
        ("as asked", asked),
        ("low", replace(asked, height="low")),
        ("high", replace(asked, height="high")),
        ("from the back", replace(asked, axis="down")),
        ("across", replace(asked, axis="across")),
        ("too far aft", replace(asked, aim=at_x(125 * MM))),
        ("too thick a wall", replace(asked, wall=12 * MM)),
    ):
        times = []
        for _ in range(5):
            start = time.perf_counter()
            plan = propose(one)
            times.append(time.perf_counter() - start)
        start = time.perf_counter()
        found = remedies(one, plan)
        took = time.perf_counter() - start
        print(
            f"{name:17} {min(times) * 1e3:6.1f} ms, {len(plan.holes)} holes, "
            f"{'reached' if plan.reached else [limit.kind for limit in plan.binding]}; "
            f"{len(found)} remedies in {took * 1e3:.0f} ms"
        )


if __name__ == "__main__":
    main()
