"""The timetable in the line mode: shown, taken over, marked, weighed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.process.test_timetable_command import BUILD
from wizard.store.opening import open_profile


def talked(profile: Path, *lines: str) -> str:
    """What is said to these lines, the mode ended after them."""
    run = subprocess.run(
        [sys.executable, "-m", "wizard", "--plain", str(profile)],
        input="".join(f"{line}\n" for line in (*lines, "/quit")),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return run.stdout


def test_taken_over_marked_and_weighed_by_lines(tmp_path: Path) -> None:
    path = tmp_path / "plug.toml"
    path.write_text(BUILD, encoding="utf-8")
    out = talked(
        path, "/begin 1", "/timetable", "/timetable take", "/begin 1", "/done 1", "/done 1",
        "/begin 77", "/begin 3", "no", "/begin 2", "no", "/weigh 41.2", "/weigh heavy",
    )  # fmt: skip
    assert "/timetable take takes the proposed one over" in out
    assert "degrease begun." in out
    assert "degrease finished. Next:" in out
    assert "“degrease” was finished" in out
    assert "“77” is no number from 1 to 9" in out
    assert "! “clear sealer” before it is not marked as done." in out
    assert "Nothing is marked." in out
    assert "Kept: 41.2 g, ballasted." in out
    assert "Error: “heavy”" in out
    build = open_profile(path).build
    assert [bool(row.finished) for row in build.operation] == [True] + [False] * 8
    assert build.operation[1].started is None  # too early, and not confirmed
    assert [row.mass.text for row in build.weight if row.mass] == ["41.2 g"]
    assert "done" in next(line for line in talked(path, "/timetable").splitlines()
                          if "degrease" in line and line.startswith("  1"))  # fmt: skip
