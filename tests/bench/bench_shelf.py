"""How fast the shelf opens: 1,000 builds at a glance, from the index, and how it grows.

Run by hand: python tests/bench/bench_shelf.py [builds]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from wizard.session.found import Look
from wizard.session.shelving import matching, ordered
from wizard.store.shelf import glance, shelf
from wizard.store.shelf_index import TICK, Index

DEMO = Path(__file__).parents[2] / "profiles" / "harbour-dart.toml"
WANTED = 0.5  # s, for 1,000 builds on two cores


def filled(folder: Path, count: int) -> None:
    """So many builds in a folder."""
    text = DEMO.read_text(encoding="utf-8")
    for n in range(count):
        named = text.replace("Harbour dart 108", f"Harbour dart {n}")
        (folder / f"dart-{n}.toml").write_text(named, encoding="utf-8")


def took(act: Callable[[], object]) -> float:
    """Seconds, the best of three."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return min(times)


def measured(count: int) -> dict[str, float]:
    """Seconds for a shelf of so many builds."""
    now = datetime.now().astimezone()
    with TemporaryDirectory() as name:
        folder = Path(name)
        filled(folder, count)
        first = took(lambda: glance(folder, Index()))
        time.sleep(TICK + 0.1)  # what was just written is read again
        start = time.perf_counter()
        shelf(folder, now)
        reading = time.perf_counter() - start
        again = took(lambda: Look(folder).at_once())
        found = Look(folder).at_once()
        typing = took(lambda: ordered(matching(found, "dart 9"), "name"))
    return {
        "opened for the first time": first,
        "read in full, once, behind the screen": reading,
        "opened again": again,
        "found and sorted while typing": typing,
    }


def main() -> None:
    """Print the times of a shelf, and of one a quarter its size."""
    numbers = [int(text) for text in sys.argv[1:] if text.isdigit()]
    count = numbers[0] if numbers else 100 if "--quick" in sys.argv else 1000
    small, large = measured(count // 4), measured(count)
    for what, seconds in large.items():
        growth = seconds / small[what]
        print(f"{what:<40} {seconds * 1e3:8.1f} ms  {growth:5.2f} times a quarter's")
    within = max(large["opened for the first time"], large["opened again"]) < WANTED
    print(f"{count} builds open within {WANTED} s: {'yes' if within else 'NO'}")


if __name__ == "__main__":
    main()
