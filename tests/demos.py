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

BEGUN = """format = 1
[build]
name = "Pier herring"
step = "weighing"
[aim]
behaviour = "floats"
[shape]
length = "95 mm"
"""
"""A build that stands at the weighing, as a file."""
