"""The builds that come along, for tests that go through several of them."""

from __future__ import annotations

from pathlib import Path

FOLDER = Path(__file__).parents[1] / "profiles"
ONE_OF_EACH = [
    FOLDER / f"{name}.toml"
    for name in ("harbour-dart", "reed-skimmer", "slate-minnow", "stillpool-hover")
]
"""A sinker, a floater, one stopped half way and a suspender: enough for a test that starts a
process or a window for each."""
