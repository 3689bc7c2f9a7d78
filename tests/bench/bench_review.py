"""How long `review --json` takes beside `python -c "import pint"`, in turns within one run.

Run by hand; the ratio counts, not the seconds. The goal is 1.5 at most. With `--quick` it is
run once or twice, to see that it still runs.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
RUNS = 2 if "--quick" in sys.argv else 15
GOAL = 1.5


def seconds(*command: str) -> float:
    """Wall time of one run of Python [s]."""
    began = time.perf_counter()
    subprocess.run([sys.executable, *command], cwd=ROOT, stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - began


def main() -> None:
    """Print the ratio for every build that comes along."""
    for path in sorted((ROOT / "profiles").glob("*.toml")):
        review = ("-m", "wizard", "review", str(path), "--json")
        pint = ("-c", "import pint")
        pairs = [(seconds(*review), seconds(*pint)) for _ in range(RUNS)]
        ours, theirs = (median(times) for times in zip(*pairs, strict=True))
        print(
            f"{path.stem:<16} review --json {1e3 * ours:4.0f} ms, "
            f"import pint {1e3 * theirs:4.0f} ms, ratio {ours / theirs:.2f} (goal {GOAL} at most)"
        )


if __name__ == "__main__":
    main()
