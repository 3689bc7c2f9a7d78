"""What every kind of test shares.

The suite draws the same examples on every machine and in every run, so that a change is
judged by itself and not by its luck. `PLUGWRIGHT_SEARCH=1` draws new ones: a failure
found that way becomes an `@example` beside the test.
"""

from __future__ import annotations

import os
from compileall import compile_dir
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("suite", derandomize=True, database=None, print_blob=True)
settings.register_profile("search", print_blob=True)
settings.load_profile("search" if os.environ.get("PLUGWRIGHT_SEARCH") else "suite")


def pytest_configure(config: pytest.Config) -> None:
    """Compile the program, as installing it does: the tests start it hundreds of times."""
    if not hasattr(config, "workerinput"):
        compile_dir(Path(__file__).parents[1] / "wizard", quiet=1)
