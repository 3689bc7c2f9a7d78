"""What every kind of test shares.

The suite draws the same examples on every machine and in every run, so that a change is
judged by itself and not by its luck. `PLUGWRIGHT_SEARCH=1` draws new ones: a failure
found that way becomes an `@example` beside the test. How long an example takes, or how long
it takes to draw one, is a matter of the machine: it fails no test.
"""

from __future__ import annotations

import os
from compileall import compile_dir
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "any speed", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
ANY_SPEED = settings.get_profile("any speed")
settings.register_profile("suite", ANY_SPEED, derandomize=True, database=None)
settings.register_profile("search", ANY_SPEED, derandomize=False)
settings.load_profile("search" if os.environ.get("PLUGWRIGHT_SEARCH") else "suite")


def pytest_configure(config: pytest.Config) -> None:
    """Compile the program, as installing it does: the tests start it hundreds of times."""
    if not hasattr(config, "workerinput"):
        compile_dir(Path(__file__).parents[1] / "wizard", quiet=1)
