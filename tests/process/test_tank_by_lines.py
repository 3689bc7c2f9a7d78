"""The tank in the line mode: what it says is read, a mend is written down and taken out."""

from __future__ import annotations

from pathlib import Path

from tests.process.test_timetable_by_lines import talked
from wizard.store.opening import open_profile

PROFILES = Path(__file__).parents[2] / "profiles"


def test_a_mend_is_read_and_written_down_by_lines(tmp_path: Path) -> None:
    path = tmp_path / "missed.toml"
    text = (PROFILES / "reed-skimmer.toml").read_text(encoding="utf-8")
    path.write_text(text.replace('weight = "3.24 g"', 'weight = "1.00 g"'), encoding="utf-8")
    out = talked(path, "/tank", "/mend 99", "/mend 1", "no", "/mend 1", "yes")
    assert "they do not agree" in out
    assert "/mend and a number of “What to do” writes it down as done." in out
    assert "Error: “99” is no number from 1 to" in out
    assert "Nothing is written down." in out
    assert "It is in the build. /undo takes it out again." in out
    (mend,) = open_profile(path).build.mend
    assert mend.done is not None
