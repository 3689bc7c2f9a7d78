"""What every kind of test shares.

The suite draws the same examples on every machine and in every run, so that a change is
judged by itself and not by its luck. `PLUGWRIGHT_SEARCH=1` draws new ones: a failure
found that way becomes an `@example` beside the test.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("suite", derandomize=True, database=None, print_blob=True)
settings.register_profile("search", print_blob=True)
settings.load_profile("search" if os.environ.get("PLUGWRIGHT_SEARCH") else "suite")
