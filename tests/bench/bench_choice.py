"""How long the choice of pieces takes; run by hand: python tests/bench/bench_choice.py."""

from __future__ import annotations

import random
import time

from wizard.physics.choice import choice
from wizard.physics.pieces import Piece


def drawer(kinds: int, count: int, wires: int) -> list[Piece]:
    """Different pieces of 0.3 to 30 g and some lead wire, always the same."""
    rng = random.Random(1)
    pieces = [
        Piece(f"piece {n}", round(rng.uniform(0.3, 30.0), 2) * 1e-3, count, 11340.0, "ball")
        for n in range(kinds)
    ]
    wire = [Piece(f"wire {n}", 0.05, 1, 11340.0, "wire", 0.003 + n * 1e-3) for n in range(wires)]
    return pieces + wire


def main() -> None:
    """Print the best of five runs for drawers of 80 kinds, 150 g, 0.01 g steps."""
    print("80 kinds, 150 g in 0.01 g steps; aim: under 50 ms")
    for count, wires in ((1, 0), (5, 0), (20, 0), (1, 3), (20, 3)):
        pieces = drawer(80, count, wires)
        for tolerance in (1e-5, 5e-4, 5e-3):
            times = []
            for _ in range(5):
                start = time.perf_counter()
                choice(pieces, 0.150, tolerance, trim=lambda members: members.mass)
                times.append(time.perf_counter() - start)
            print(
                f"{count:3} of each, {wires} wires, +- {tolerance * 1e3:5.2f} g: "
                f"{min(times) * 1e3:6.1f} ms"
            )


if __name__ == "__main__":
    main()
